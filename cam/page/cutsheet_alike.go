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

// folded is the job in words, with one page for each program of all sheets of the stock that are alike, in the order of the
// first of each: sheets, and not programs, are alike, for what goes before on a sheet has to go before in the pages.
func (c CutSheet) folded() cutSheetText {
	t := c.text()
	if !t.Stocked {
		return t
	}
	var sheets [][]sheetText // each by its programs
	for _, page := range t.Sheets {
		if n := len(sheets); c.Sheets[page.of].K > 1 {
			sheets[n-1] = append(sheets[n-1], page)
		} else {
			sheets = append(sheets, []sheetText{page})
		}
	}
	var groups [][][]sheetText
	for _, sheet := range sheets {
		at := slices.IndexFunc(groups, func(group [][]sheetText) bool { return slices.EqualFunc(group[0], sheet, c.alike) })
		if at < 0 {
			groups = append(groups, [][]sheetText{sheet})
		} else {
			groups[at] = append(groups[at], sheet)
		}
	}
	t.Sheets = nil
	for _, group := range groups {
		for k := range group[0] {
			t.Sheets = append(t.Sheets, c.pageFor(group, k))
		}
	}
	return t
}

// pageFor is the page of the k-th program of sheets that are alike.
func (c CutSheet) pageFor(group [][]sheetText, k int) sheetText {
	page, n := group[0][k], len(group)
	if n == 1 {
		return page
	}
	for _, sheet := range group {
		page.Alike = append(page.Alike, c.alikeRow(page, sheet, k))
	}
	page.Work = page.untilWhole()
	page.Head, page.Aside = fmt.Sprintf("%s and %d alike", page.Head, n-1), fmt.Sprintf("%d to make", n)
	return page
}

// untilWhole is a page's order of work without its last steps, which name trays.
func (t sheetText) untilWhole() []string {
	return slices.Clone(t.Work[:len(t.Work)-len(t.whole)])
}

// alikeRow is a sheet's k-th program, the foam it runs on, and what of that has another name than on the page of the first: its parts, its
// offcuts, where a tool stays in from, and what comes next.
func (c CutSheet) alikeRow(first sheetText, sheet []sheetText, k int) string {
	s := c.Sheets[sheet[k].of]
	var parts []string
	for i, p := range s.Laid.Parts {
		parts = append(parts, fmt.Sprintf("part %d is %s", i+1, p.Label()))
	}
	row := []string{fmt.Sprintf("%s on %s: %s.", s.File, c.panelOf(s), strings.Join(parts, ", "))}
	if from := c.staysFrom(s, toolsInOrder(s.Program)); from != "" && sheet[k].of != first.of {
		row = append(row, fmt.Sprintf("T%d stays in from %s.", toolsInOrder(s.Program)[0].Number, from))
	}
	if s.K < s.Of {
		return strings.Join(append(row, fmt.Sprintf("Then %s, before any other foam is laid.", c.Sheets[sheet[k+1].of].File)), " ")
	}
	for _, name := range s.Laid.Called {
		row = append(row, fmt.Sprintf("An offcut to keep is %q.", name))
	}
	return strings.Join(append(row, sheet[k].whole...), " ")
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
