package page

import (
	"cmp"
	"fmt"
	"strings"

	"traywright/cam/plan"
	"traywright/cam/process"
)

// orderOf is all that a sheet's program cuts, in its order, alike things together: their
// numbers in the drawing, and what they are. None is left out, for the deepest come last.
func (c CutSheet) orderOf(s Sheet) [][2]string {
	if c.wired() {
		return c.wireOrder(s)
	}
	sh := newSheet(c.letters, s.Run, s.Picture)
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

// handOrder is all that a hand does along lines, in its order, alike things together, and what with.
func (c CutSheet) handOrder(s Sheet) [][2]string {
	var list [][2]string
	first := 0
	for _, n := range numberedLines(s) {
		text := fmt.Sprintf("%s, through, with the %s", n.piece(s, c.letters), n.tool().ID)
		if n.lines[0].Kind == process.Mark {
			text = n.name + ", drawn with a pen, not cut"
		}
		if last := len(list) - 1; last >= 0 && list[last][1] == text {
			list[last][0] = fmt.Sprintf("%d–%d", first, n.number)
			continue
		}
		first = n.number
		list = append(list, [2]string{fmt.Sprint(first), text})
	}
	return list
}

// piece is what a cut is for.
func (n numbered) piece(s Sheet, t *typesetter) string {
	if k := pocketOf(s, n.name); k != nil {
		return t.called(k)
	}
	return operation{name: n.name}.piece()
}

// called is what a person calls a pocket: the name that the roster gives its piece, or what the
// pocket is, as a hole for a dowel.
func (t *typesetter) called(k *plan.Pocket) string {
	if k.Dowel > 0 {
		return "dowel hole"
	}
	return cmp.Or(t.name(k), operation{name: k.Name}.piece())
}

// name is what the roster calls a piece, or its id where the letters lack some of that.
func (t *typesetter) name(k *plan.Pocket) string { return t.named(k.Piece, k.For) }

// named is a name, or an id where there is none or the letters lack some of it: a page without a typesetter has all letters.
func (t *typesetter) named(name, id string) string {
	if name != "" && (t == nil || t.lacking(name) == nil) {
		return apart(name)
	}
	return apart(id)
}
