package stock

import (
	"cmp"
	"fmt"
	"strings"

	"traywright/cam/finding"
)

// What is at hand and stays whole, though layers of its foam and thickness were laid: which, and why.

// sought are layers that were laid together, and what they could be laid on then.
type sought struct {
	key   groupKey
	room  room
	kinds []kind
	items []item
}

// tellWhole notes the offcuts that none of such layers lies on, in a line for each reason.
func (l *layer) tellWhole() {
	var small, spared finding.Finding
	for i, sheet := range l.stock.Sheets {
		if !sheet.AtHand() || l.free[i] < sheet.Count {
			continue
		}
		least, takes := l.leastOn(i)
		f, text := &small, fmt.Sprintf("%s (%s)", l.rowName(i), least)
		switch {
		case takes:
			f, text = &spared, l.rowName(i)
		case least == "":
			continue // nothing is of its foam and thickness
		}
		f.Where = cmp.Or(f.Where, sheet.Position.String())
		f.Message = strings.TrimPrefix(f.Message+"; "+text, "; ")
	}
	for _, f := range [2]finding.Finding{
		{Where: small.Where, Message: "left whole, for no layer lies on it with the foam that is cut and held all around: " + small.Message},
		{Where: spared.Where, Message: "left whole, for with it no less would be bought, as far as the search finds: " + spared.Message},
	} {
		if f.Where != "" {
			f.Severity, f.Rule = finding.Note, "offcut-whole"
			l.found = append(l.found, f)
		}
	}
}

// leastOn is what the smallest of the layers of a row's foam and thickness needs, and whether any lies on its sheet.
func (l *layer) leastOn(row int) (least string, takes bool) {
	area := 0.0
	for _, s := range l.sought {
		if s.key.foam != l.stock.Sheets[row].Foam || s.key.sold != l.stock.Sheets[row].Thickness {
			continue
		}
		tried := map[[2]float64]bool{}
		for _, it := range s.items {
			if tried[it.size] {
				continue
			}
			tried[it.size] = true
			x, y := s.room.around(it.size[0]), s.room.around(it.size[1])
			if least == "" || x*y < area {
				area, least = x*y, "the smallest needs "+l.size(x, y)
			}
			takes = takes || onSome(s.kinds, func(k kind) bool { return k.row == row && k.begun == 0 && l.holds(k, it.size, s.room) })
		}
	}
	return least, takes
}

// rowName is what is at hand for its owner: by its name, if it has one, and its size.
func (l *layer) rowName(row int) string {
	s, name := l.stock.Sheets[row], ""
	if s.Name != "" {
		name = fmt.Sprintf("%q, ", s.Name)
	}
	return fmt.Sprintf("%s%s of %s, %s thick", name, l.size(s.Length.MM(), s.Width.MM()), s.Foam, l.length(s.Thickness.MM()))
}
