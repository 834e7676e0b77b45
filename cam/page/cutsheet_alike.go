package page

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"traywright/cam/proof"
	"traywright/cam/stock"
)

// Sheets of the stock whose pages would say the same, to their own names, have one page. It is written for the first,
// and has a box for each of them with its names.

// alikeHead is what those boxes stand under.
const alikeHead = "Run so, each with its own names"

// folded is the job in words, with one page for all sheets of the stock that are alike, in the order of the first of each.
func (c CutSheet) folded() cutSheetText {
	t := c.text()
	if !t.Stocked {
		return t
	}
	all := t.Sheets
	var groups [][]int
	for i := range all {
		at := slices.IndexFunc(groups, func(group []int) bool { return c.alike(all[group[0]], all[i]) })
		if at < 0 {
			groups = append(groups, []int{i})
		} else {
			groups[at] = append(groups[at], i)
		}
	}
	t.Sheets = nil
	for _, group := range groups {
		page := all[group[0]]
		if n := len(group); n > 1 {
			page.Work = page.untilWhole()
			page.Head, page.Aside = fmt.Sprintf("%s and %d alike", page.Head, n-1), fmt.Sprintf("%d to make", n)
			for _, i := range group {
				page.Alike = append(page.Alike, c.alikeRow(all[i]))
			}
		}
		t.Sheets = append(t.Sheets, page)
	}
	return t
}

// untilWhole is a page's order of work without its last steps, which name trays.
func (t sheetText) untilWhole() []string {
	return slices.Clone(t.Work[:len(t.Work)-len(t.whole)])
}

// alikeRow is a sheet's program, the foam it runs on, and what that becomes.
func (c CutSheet) alikeRow(text sheetText) string {
	s := c.Sheets[text.of]
	var parts []string
	for i, p := range s.Laid.Parts {
		parts = append(parts, fmt.Sprintf("part %d is %s", i+1, p.Label()))
	}
	return strings.Join(append([]string{fmt.Sprintf("%s on %s: %s.", s.File, c.panelOf(s), strings.Join(parts, ", "))}, text.whole...), " ")
}

// panelOf is a setup's foam by its names.
func (c CutSheet) panelOf(s Sheet) string {
	l := s.Laid
	if l.From.Sheet == "" {
		return labelled(l.Name, l.From.Label)
	}
	return l.Name + " " + whichPanel(l)
}

// whichPanel is which of a parted sheet a setup is.
func whichPanel(l *stock.Setup) string {
	return fmt.Sprintf("(panel %d of %s)", l.From.Number, labelled(l.From.Sheet, l.From.Label))
}

// alike reports whether the page of a sheet does for a later one too: the same foam and moves, and the same words but names. A
// tool that the first fits may stay in for the others, and not the other way round.
func (c CutSheet) alike(first, later sheetText) bool {
	a, b := c.Sheets[first.of], c.Sheets[later.of]
	if !sameFoam(a, b) || a.K != b.K || !slices.EqualFunc(a.Run.Motions, b.Run.Motions, sameMove) {
		return false
	}
	words := func(s Sheet, text sheetText, fitted bool) string {
		text.Work = text.untilWhole()
		if fit, _ := c.fit(s); fitted && len(fit) > 0 {
			text.Work = slices.DeleteFunc(text.Work, func(step string) bool { return step == fit[0] })
		}
		return c.withoutNames(s, text)
	}
	stays := c.staysFrom(b, toolsInOrder(b.Program)) != ""
	return words(a, first, stays) == words(b, later, stays)
}

// sameFoam compares what lies on the bed: a part may be called what one of the foams is, so that their words do not do.
func sameFoam(a, b Sheet) bool {
	return a.Laid.Foam == b.Laid.Foam && a.Laid.SizeMM == b.Laid.SizeMM && a.Laid.ZeroMM == b.Laid.ZeroMM && a.Sheet.ThicknessMM() == b.Sheet.ThicknessMM()
}

// sameMove compares what a machine does.
func sameMove(a, b proof.Motion) bool {
	a.Op, b.Op = "", ""
	return a == b
}

// withoutNames is all that a page says but the names of its sheet and of what lies on it.
func (c CutSheet) withoutNames(s Sheet, text sheetText) string {
	names := []string{s.Name, "NAME", path.Base(s.Name), "NAME", c.panelOf(s), "FOAM", s.Laid.Name, "FOAM", whichPanel(s.Laid), "PANEL"}
	for i, p := range s.Laid.Parts {
		names = append(names, p.Label(), fmt.Sprintf("PART %d", i+1))
	}
	text.of, text.whole, text.Picture, text.Least = 0, nil, nil, nil
	return strings.NewReplacer(names...).Replace(fmt.Sprintf("%+v", text))
}
