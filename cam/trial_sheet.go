package cam

import (
	"bytes"
	"fmt"
	"path"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/page"
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

// sheetOf finds the sheet, and of its programs the one that this is, or says why there is
// none.
func sheetOf(t Trial, header map[string]string, p *plan.Plan) (*sheetWork, finding.List) {
	w, found := wholeSheetOf(t, header, p)
	if w == nil || w.k > 0 || !w.takesSeveral(p.Machine) || w.lay(p) != nil {
		return w, found
	}
	programs := w.programs()
	k, _, _ := strings.Cut(header["program"], " ")
	for _, one := range programs {
		if k == strconv.Itoa(one.k) {
			return one, append(found, namesDiffer(t, one, namedLike(t, programs))...)
		}
	}
	for _, one := range programs {
		if k == "" && strings.HasSuffix(t.Name, path.Base(one.path())) {
			return one, found
		}
	}
	goes := proof.WayOf(t.Text, p.Machine)
	for _, one := range programs {
		if goes.Alike(proof.WayOf(one.body, p.Machine)) {
			return one, found
		}
	}
	return nil, append(found, finding.Finding{
		Rule: "which-program", Where: t.Name, Message: fmt.Sprintf("is for %s, which takes %d programs, and nothing says which of them it is", w.where(), len(programs)),
		Hint: "keep the names that `cut` wrote, which end in -t1, -t2 and on",
	})
}

// wholeSheetOf finds the sheet.
func wholeSheetOf(t Trial, header map[string]string, p *plan.Plan) (*sheetWork, finding.List) {
	works := worksOf(p)
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
		if w.k == 0 && w.isNamed(t.Name) || w.k > 0 && strings.HasSuffix(t.Name, path.Base(w.path())) {
			return w
		}
	}
	return nil
}

// namesDiffer refuses a program of one sheet that has the name of another: somebody would lay the other's foam
// under it, of another kind or thickness, another layer or with another place for X0 Y0 and its offcuts, or put the other's tool in.
func namesDiffer(t Trial, w, named *sheetWork) finding.List {
	if named == nil || named == w || named.k == w.k && named.path() == w.path() {
		return nil
	}
	f := finding.Finding{
		Severity: finding.Error, Rule: "name-and-header", Where: t.Name,
		Message: fmt.Sprintf("has the name of %s, and by its opening comments it is %s, against which it was held", named.path(), w.path()),
		Hint:    "name it " + path.Base(w.path()),
	}
	sheet := func(w *sheetWork) string {
		return fmt.Sprintf("%s of %s", w.foams(), page.Length(w.sheet.ThicknessMM(), t.Unit))
	}
	layer := func(w *sheetWork) string { return fmt.Sprintf("layer %d of its tray", w.sheet.Number) }
	program := func(w *sheetWork) string { return fmt.Sprintf("the tool of program %d", w.k) }
	for _, of := range []func(*sheetWork) string{sheet, layer, program} {
		if has, wants := of(named), of(w); has != wants {
			f.Message += fmt.Sprintf(": whoever goes by the name has %s on the machine, and not %s", has, wants)
			return finding.List{f}
		}
	}
	f.Message += ": whoever goes by the name has the other's foam on the machine, or cuts one twice and the other never"
	return finding.List{f}
}

// sheetAlike is the program, of all that the sheets take, that goes where this one goes; before
// those that only do, the ones with its very moves. Of several that cut one foam by the same
// moves any does.
func sheetAlike(t Trial, works []*sheetWork, p *plan.Plan) (*sheetWork, finding.List) {
	goes, moves := proof.WayOf(t.Text, p.Machine), proof.MovesSeal(t.Text)
	var fits, same []*sheetWork
	for _, w := range works {
		if w.lay(p) != nil {
			continue
		}
		for _, one := range w.programs() {
			if len(one.body) > 0 && goes.Alike(proof.WayOf(one.body, p.Machine)) {
				fits = append(fits, one)
			}
			if len(one.body) > 0 && moves == proof.MovesSeal(one.body) {
				same = append(same, one)
			}
		}
	}
	if len(same) > 0 {
		fits = same
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
		one = one && bytes.Equal(w.body, fits[0].body) && w.foams() == fits[0].foams() && w.k == fits[0].k
		names = append(names, w.path())
	}
	if one {
		return fits[0], nil
	}
	return nil, finding.List{{
		Rule: "which-sheet", Where: t.Name, Message: fmt.Sprintf("by its moves the program could be for several sheets of the job: %s", strings.Join(names, ", ")),
		Hint: "give the file the folder and name of the one that it is for",
	}}
}
