package page

import (
	"fmt"
	"strings"
)

// orderOf is all that a sheet's program cuts, in its order, alike things together: their
// numbers in the drawing, and what they are. None is left out, for the deepest come last.
func orderOf(s Sheet) [][2]string {
	sh := newSheet(nil, s.Run, s.Picture)
	var list [][2]string
	for _, g := range sh.groups {
		number := fmt.Sprint(g.first)
		if g.last > g.first {
			number = fmt.Sprintf("%d–%d", g.first, g.last)
		}
		list = append(list, [2]string{number, strings.TrimSuffix(g.piece+", "+sh.depthText(g.piece, g.depthMM), ", ")})
	}
	return list
}
