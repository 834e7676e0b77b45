package page

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/plan"
	"traywright/geometry/units"
)

// The drawing in letters: columns for the tray's length, about as many rows for
// its thickness.
const (
	textColumns = 60
	textRows    = 10
)

// sectionText is the tray in section as lines of letters, layers top to bottom:
// "#" is foam of the layer that counts number from the top (of every layer where
// number is 0), "." is other foam, "=" is glue, a gap is a pocket.
func sectionText(t *plan.Tray, number int, unit units.Unit) string {
	s := newCrossSection(t, number, textColumns)
	var b strings.Builder
	frame := " " + strings.Repeat("-", textColumns) + "\n"
	b.WriteString(frame)
	for i, l := range t.Layers {
		top, thick := l.Top.MM(), l.Thickness.MM()
		if i > 0 {
			fmt.Fprintf(&b, "|%s|  glue\n", s.letters(top, '='))
		}
		rows := max(1, int(math.Round(thick/s.thick()*textRows)))
		foam := '.'
		if number == 0 || number == i+1 {
			foam = '#'
		}
		for r := range rows {
			fmt.Fprintf(&b, "|%s|", s.letters(top+thick*(float64(r)+0.5)/float64(rows), foam))
			if r == (rows-1)/2 {
				fmt.Fprintf(&b, "  %d  %s, %s", i+1, l.Foam.ID, l.Thickness.Exact(unit))
			}
			b.WriteString("\n")
		}
	}
	b.WriteString(frame)
	fmt.Fprintf(&b, "section at Y %s, seen from the front", Length(s.at, unit))
	if number > 0 && len(t.Layers) > 1 {
		b.WriteString("; # is this sheet")
	}
	b.WriteString("; not to scale\n")
	return b.String()
}

// letters is one row: foam at a depth, and gaps where pockets reach it.
func (s crossSection) letters(depth float64, foam rune) string {
	row := []rune(strings.Repeat(string(foam), textColumns))
	for i := range row {
		x := s.box.Min.X + s.box.Width()*(float64(i)+0.5)/textColumns
		for _, h := range s.holes {
			if h.from < x && x < h.to && depth <= h.depth {
				row[i] = ' '
			}
		}
	}
	return string(row)
}
