package page

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/plan"
)

// Part is one sheet of a tray that is cut with a program. Sheets that are one have
// one program, however many trays they are for.
type Part struct {
	Tray  *plan.Tray
	Sheet *plan.Sheet
}

// name is the tray, and which layer of it where it has several.
func (p Part) name() string {
	if p.Sheet.Number == 0 || len(p.Tray.Layers) == 1 {
		return p.Tray.ID
	}
	return fmt.Sprintf("%s layer %d", p.Tray.ID, p.Sheet.Number)
}

// MadeText says how often a program is run and what for, such as "4 times: 3 for
// stores layer 2, 1 for crew layer 2"; "" for once.
func MadeText(parts []Part) string {
	n := 0
	var list []string
	for _, p := range parts {
		n += p.Tray.Copies
		list = append(list, fmt.Sprintf("%d for %s", p.Tray.Copies, p.name()))
	}
	switch {
	case n <= 1:
		return ""
	case len(list) == 1:
		return fmt.Sprintf("%d times, for %s", n, parts[0].name())
	}
	return fmt.Sprintf("%d times: %s", n, strings.Join(list, ", "))
}

// made is how often the sheet is cut altogether.
func (s Sheet) made() int {
	n := 0
	for _, p := range s.Parts {
		n += p.Tray.Copies
	}
	return n
}

// trays are the ids of the trays that it is for.
func (s Sheet) trays() string {
	var list []string
	if s.Laid != nil {
		for _, p := range s.Laid.Parts {
			if !slices.Contains(list, p.Tray.ID) {
				list = append(list, p.Tray.ID)
			}
		}
		return strings.Join(list, ", ")
	}
	for i, p := range s.Parts {
		if i == 0 || p.Tray != s.Parts[i-1].Tray {
			list = append(list, p.Tray.ID)
		}
	}
	return strings.Join(list, ", ")
}

// toldOfSetups has each tray on the page of the last setup that something of it lies on: then it
// can be glued.
func (c CutSheet) toldOfSetups() map[string][]Part {
	told, done := map[string][]Part{}, map[*plan.Tray]bool{}
	for _, s := range slices.Backward(c.Sheets) {
		if s.K != s.Of {
			continue
		}
		for _, p := range s.Laid.Parts {
			if !done[p.Tray] {
				done[p.Tray] = true
				told[s.File] = append(told[s.File], Part{p.Tray, p.Sheet})
			}
		}
	}
	return told
}

// told are the trays whose glue-up and packing list are on a program's page: its own,
// and those that have no page of their own because all of their sheets are one with
// others.
func (c CutSheet) told() map[string][]Part {
	if len(c.Sheets) > 0 && c.Sheets[0].Laid != nil {
		return c.toldOfSetups()
	}
	own := map[*plan.Tray]bool{}
	for _, s := range c.Sheets {
		own[s.Tray] = true
	}
	told := map[string][]Part{}
	for _, s := range c.Sheets {
		if s.K != s.Of {
			continue // it is glued when its last program has run
		}
		for i, p := range s.Parts {
			if i == 0 || !own[p.Tray] {
				told[s.File] = append(told[s.File], p)
				own[p.Tray] = true
			}
		}
	}
	return told
}
