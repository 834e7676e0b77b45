package cam

import (
	"fmt"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/kerf"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// What a sheet's files are called: TRAY/TRAY-N-FOAM-THICKNESS, or TRAY/TRAY-block,
// and behind that what each of them is. The file's own name says all of it, since
// programs are carried to a machine without their folders.

// stemOf is the path of a sheet's files, as far as they have it in common.
func stemOf(t *plan.Tray, s *plan.Sheet, u units.Unit) string {
	if s.Number == 0 {
		return fmt.Sprintf("%s/%s-block", t.ID, t.ID)
	}
	layer := s.Layers[0]
	return fmt.Sprintf("%s/%s-%d-%s-%s", t.ID, t.ID, s.Number, layer.Foam.ID, layer.Sold().InName(u))
}

// programPath is the path of a sheet's program: of its k-th, counted from 1 in the order
// of cutting, where each tool has its own; 0 for the only one.
func (w *sheetWork) programPath(k int) string {
	if k > 0 {
		return fmt.Sprintf("%s-t%d.%s", w.name, k, w.ending)
	}
	return w.name + "." + w.ending
}

// path is that of the work's own program.
func (w *sheetWork) path() string { return w.programPath(w.k) }

// isNamed reports whether a file has the name of one of the sheet's programs, in
// whatever folder.
func (w *sheetWork) isNamed(name string) bool {
	base := path.Base(strings.ReplaceAll(name, "\\", "/"))
	rest, ok := strings.CutPrefix(strings.TrimSuffix(base, path.Ext(base)), path.Base(w.name))
	k, numbered := strings.CutPrefix(rest, "-t")
	_, err := strconv.ParseUint(k, 10, 8)
	return ok && (rest == "" || numbered && err == nil)
}

// sharedNames refuses two sheets whose files would have one name, which ids with
// numbers in them can bring about.
func sharedNames(p *plan.Plan) finding.List {
	var found finding.List
	taken := map[string]*sheetWork{}
	for _, w := range sheetsOf(p) {
		base := path.Base(w.name)
		if first := taken[base]; first != nil {
			found = append(found, finding.Finding{
				Rule: "one-name-twice", Where: w.tray.Position.String(), Message: fmt.Sprintf("the files of %s and of %s would both be called %s", first.where(), w.where(), base),
				Hint: "give one of the trays an id without the number at its end",
			})
			continue
		}
		taken[base] = w
	}
	return found
}

// setupsDir is the folder of setups on sheets of the stock.
const setupsDir = "sheets"

// sharedFolder refuses a tray whose folder would be that of the setups.
func sharedFolder(p *plan.Plan) (found finding.List) {
	for _, t := range p.Trays {
		if p.Job.Stock != nil && t.ID == setupsDir {
			found = append(found, finding.Finding{
				Rule: "one-name-twice", Where: t.Position.String(), Message: "the folder of tray " + t.ID + " would be the one of the sheets of `stock`", Hint: "give it another id",
			})
		}
	}
	return found
}

// sheetsOf are all sheets of a plan, in its order.
func sheetsOf(p *plan.Plan) []*sheetWork {
	var works []*sheetWork
	for t := range p.Trays {
		for s := range p.Trays[t].Sheets {
			works = append(works, newSheetWork(&p.Trays[t], &p.Trays[t].Sheets[s], p.Machine, p.Job.Units))
		}
	}
	return works
}

// alike makes one work of sheets that are one: cut from the same foam by the same
// program, and held against the same, names included. The first keeps its own.
func alike(works []*sheetWork, m profiles.Machine) []*sheetWork {
	var list []*sheetWork
	first := map[string]*sheetWork{}
	for _, w := range works {
		key := w.key(m)
		if one := first[key]; one != nil && key != "" {
			one.makes = append(one.makes, w.makes...)
			continue
		}
		first[key] = w
		list = append(list, w)
	}
	return list
}

// key is the same for sheets that are one, "" for a sheet that has no program and for a setup,
// which has names and offcuts of its own.
func (w *sheetWork) key(m profiles.Machine) string {
	if len(w.body) == 0 || w.laidOn != nil {
		return ""
	}
	var b strings.Builder
	for _, l := range w.sheet.Layers {
		fmt.Fprintln(&b, l.Foam.ID, l.Sold(), l.Thickness)
	}
	fmt.Fprintf(&b, "%q\n", w.sheet.Notes)
	want := w.wanted(m)
	for _, c := range want.Cuts {
		fmt.Fprintf(&b, "%q\n", c.Name)
		for _, s := range c.Seats { // how high it may stand is held against the strictest of them
			fmt.Fprintf(&b, "%q %v %v %v\n", s.Name, s.At, s.TighterMM, s.LooserMM)
		}
	}
	fmt.Fprintln(&b, w.planSeal(m))
	b.Write(w.body)
	return b.String()
}

// made is how often the sheet is cut altogether.
func (w *sheetWork) made() int {
	n := 0
	for _, part := range w.makes {
		n += part.Tray.Copies
	}
	return n
}

// trays are the ids of the trays that it is for, in the plan's order.
func (w *sheetWork) trays() []string {
	var ids []string
	if w.laidOn != nil {
		for _, part := range setupParts(w.laidOn) {
			if !slices.Contains(ids, part.Tray) {
				ids = append(ids, part.Tray)
			}
		}
		return ids
	}
	for _, part := range w.makes {
		if !slices.Contains(ids, part.Tray.ID) {
			ids = append(ids, part.Tray.ID)
		}
	}
	return ids
}

// ourNames are what the files of a run are called that are no sheet's: of a job, a coupon, a
// measured one, an air cut, a dry run and photographs.
var ourNames = regexp.MustCompile(`^(report\.json|overview\.png|saw\.png|look\.html|cut-sheet\.(md|pdf)|templates\.pdf|(` +
	kerf.CouponID + `|` + MeetName + `)(-[a-z0-9.-]+)?\.[a-z0-9]+|measuring-sheet(-a4|-letter)?\.(csv|pdf)|lens-grid-(a4|letter)\.pdf|(fit|density|ladder)-\d+\.png|roster\.csv|(side-)?check(-\d+)?\.png|outlines/[^/]+\.dxf|\d{3}-[^/]+(/\d{4})?\.png)$`)

// sheetNames are the names of a sheet's files behind the id of its tray or setup.
var sheetNames = regexp.MustCompile(`^-(block|.+(mm|in))(-t\d+)?(` + finishedSuffix + `)?\.[a-z0-9]+$`)

// unnamedSheets are the names of a sheet's files from before they told their tray.
var unnamedSheets = regexp.MustCompile(`^\d+-.+mm(-t\d+)?(` + finishedSuffix + `)?\.[a-z0-9]+$`)

// IsOurName reports whether a file in an output folder is called as this program calls one. What is
// not, no run may take away, whatever a report says of it.
func IsOurName(name string) bool {
	dir, base := path.Split(name)
	if ourNames.MatchString(name) {
		return true
	}
	if dir == setupsDir+"/" {
		return sheetNames.MatchString("-" + base)
	}
	id := strings.TrimSuffix(dir, "/")
	if id == "" || strings.Contains(id, "/") {
		return false
	}
	rest, ok := strings.CutPrefix(base, id)
	return ok && sheetNames.MatchString(rest) || unnamedSheets.MatchString(base)
}

func newSheetWork(t *plan.Tray, s *plan.Sheet, m profiles.Machine, u units.Unit) *sheetWork {
	w := &sheetWork{tray: t, sheet: s, name: stemOf(t, s, u), ending: m.Controller.Extension, drawn: m.DrawingsOnly(), makes: []page.Part{{Tray: t, Sheet: s}}}
	if w.drawn {
		w.ending = "dxf"
	}
	if m.Process.Traits().ByHand {
		w.ending = "pdf" // the template is what a hand cuts along
	}
	return w
}
