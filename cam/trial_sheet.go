package cam

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/proof"
)

// Which sheet of a job a program is for: the one that its header names, else the one
// whose file it is named like, else the only one whose own program goes where it goes.

// madeFor is the machine and sheet that a program of ours names in its header.
func madeFor(header map[string]string) (machine, tray, layer string) {
	machine, _, _ = strings.Cut(header["machine"], ",")
	tray, _, _ = strings.Cut(header["tray"], ",")
	layer, _, _ = strings.Cut(header["layer"], " ")
	return strings.TrimSpace(machine), strings.TrimSpace(tray), layer
}

// sheetOf finds the sheet, or says why there is none.
func sheetOf(t Trial, header map[string]string, p *plan.Plan) (*sheetWork, finding.List) {
	works := sheetsOf(p)
	_, id, layer := madeFor(header)
	named := namedLike(t, works)
	for _, w := range works {
		number := w.sheet.Number
		if w.tray.ID == id && (strconv.Itoa(number) == layer || number == 0 && strings.HasPrefix(layer, "all")) {
			return w, namesDiffer(t, w, named)
		}
	}
	if named != nil {
		return named, nil
	}
	return sheetAlike(t, works, p)
}

// namedLike is the sheet whose file has the program's name; nil for none.
func namedLike(t Trial, works []*sheetWork) *sheetWork {
	for _, w := range works {
		if w.isNamed(t.Name) {
			return w
		}
	}
	return nil
}

// namesDiffer warns where a program of one sheet has the name of another: somebody would
// lay the other's foam under it.
func namesDiffer(t Trial, w, named *sheetWork) finding.List {
	if named == nil || named == w {
		return nil
	}
	return finding.List{{
		Severity: finding.Warning, Rule: "name-and-header", Where: t.Name,
		Message: fmt.Sprintf("has the name of %s, and by its opening comments it is %s, against which it was held", named.programPath(0), w.programPath(0)),
		Hint:    "name it after the sheet that it cuts",
	}}
}

// sheetAlike is the sheet whose own program goes where this one goes. Of several that
// are cut of one foam by the same moves any does.
func sheetAlike(t Trial, works []*sheetWork, p *plan.Plan) (*sheetWork, finding.List) {
	goes := proof.WayOf(t.Text, p.Machine)
	var fits []*sheetWork
	for _, w := range works {
		if err := w.lay(p); err == nil && len(w.body) > 0 && goes.Alike(proof.WayOf(w.body, p.Machine)) {
			fits = append(fits, w)
		}
	}
	if len(fits) == 0 {
		return nil, finding.List{{
			Rule: "no-such-sheet", Where: t.Name, Message: "the job has no sheet that this program could be for: neither its opening comments nor its name say one, and none is cut by such moves",
			Hint: "keep the folder and file names that `cut` wrote, or leave --job out",
		}}
	}
	one := true
	var names []string
	for _, w := range fits {
		one = one && bytes.Equal(w.body, fits[0].body) && w.foams() == fits[0].foams()
		names = append(names, w.programPath(0))
	}
	if one {
		return fits[0], nil
	}
	return nil, finding.List{{
		Rule: "which-sheet", Where: t.Name, Message: fmt.Sprintf("by its moves the program could be for several sheets of the job: %s", strings.Join(names, ", ")),
		Hint: "give the file the folder and name of the one that it is for",
	}}
}
