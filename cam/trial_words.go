package cam

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/gcode"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/cam/safety"
	"traywright/profiles"
)

// handWords are the keys of opening comments that a hand sets the machine up by, and
// nothing else of the program's says.
var handWords = []string{"tool", "stick-out", "z zero", "focus", "full power", "skin", "plugs", "left", "bridges", "breakthrough"}

// inSpindle begins the comment of a body that says what a hand has put into the spindle.
const inSpindle = "tool in the spindle"

// handWordsDiffer are errors where the program's comments tell a hand something else than the
// job's sheet has: another cutter, how far it stands out, where Z0 is, what is left under the
// outline; and warnings where they give another caution, or ask for something else, than the
// table and the owner do today. What no comment says, none contradicts.
func (d *Tried) handWordsDiffer(w *sheetWork, p *plan.Plan, rules []safety.Rules) finding.List {
	if w.program.Ops == nil && w.lay(p) != nil || w.program.Ops == nil {
		return nil
	}
	r := Request{Job: p.Job, Rules: rules}
	h := w.header(r, p)
	h.Seconds, h.LeastSeconds = proof.Time(w.body, p.Machine)
	written := proof.Comments(slices.Concat(gcode.Opening(w.program, w.stats, h, w.sheet.On(p.Machine)), w.body))
	own, all := sayings(written), heard(proof.Comments(d.trial.Text), written)
	said := map[string][]string{}
	for key, text := range d.header {
		said[key] = strings.Split(text, "\n")
	}
	found := d.falselySet(w, p, all, own)
	added := finding.Warning
	if claims(all) {
		sealed := d.header["seal of words"] == proof.WordsSeal(d.trial.Text)
		if said = all; !sealed {
			added = finding.Error
		}
		found = append(found, d.commentsDiffer(w, p, rules, all, own, sealed)...)
	} else {
		found = append(found, d.strangers(w, p, all, own)...)
	}
	for _, key := range []string{"caution", "required"} {
		for _, text := range said[key] {
			if text != "" && !says(placeless(own[key]), placeless([]string{text})[0]) {
				found = append(found, d.cautionDiffers(key, text, added))
			}
		}
	}
	said[inSpindle] = all[inSpindle]
	for _, key := range append([]string{inSpindle}, handWords...) {
		for _, text := range said[key] {
			if text != "" && !says(own[key], text) {
				found = append(found, d.wordsDiffer(key+": "+text, strings.Join(own[key], ", "), p.Machine))
			}
		}
	}
	return found
}

func (d *Tried) wordsDiffer(said, has string, m profiles.Machine) finding.Finding {
	line, rule, instead := d.lineOf(said), "words-differ", "write the job's there"
	if has == "" {
		rule, instead = "words-unasked", "take it out"
	}
	return finding.Finding{
		Rule: rule, Where: fmt.Sprintf("%s:%d", d.trial.Name, line), Line: line,
		Message: fmt.Sprintf("a comment tells whoever sets up %s %q, and the job has %s", m.ID, said, cmp.Or(has, "none")),
		Hint:    instead + ", or make the program again with `traywright cut`",
	}
}

// linesOf are the lines where a comment begins: of several those that say most of it.
func (d *Tried) linesOf(comment string) []int {
	if d.lines == nil { // once: a program may have as many comments as lines
		d.lines = map[string][]int{}
		n := 0
		for line := range bytes.Lines(d.trial.Text) {
			n++
			for _, c := range proof.Comments(line) {
				d.lines[squeezed(c)] = append(d.lines[squeezed(c)], n)
			}
		}
	}
	for said := squeezed(comment); said != ""; said = said[:len(said)-1] {
		if at := d.lines[said]; len(at) > 0 {
			return at
		}
	}
	return nil
}

// lineOf is the first of them.
func (d *Tried) lineOf(comment string) int { return append(d.linesOf(comment), 1)[0] }

// Order is the programs that have been tried, in the order in which they were given.
type Order struct{ ran map[string]copyOf }

// copyOf is what one copy of a sheet has been given so far.
type copyOf struct {
	number int // 1 first
	ran    []ran
}

// ran is one of a sheet's programs, and the file that it was read from.
type ran struct {
	k    int
	name string
}

// Add notes a program, and tells one that is cut before another that was given before it, or
// without one that comes before it. A program that is given again begins another copy.
func (o *Order) Add(t Tried) finding.List {
	if t.part.k == 0 {
		return nil
	}
	if o.ran == nil {
		o.ran = map[string]copyOf{}
	}
	copied, now := o.ran[t.part.name], ran{t.part.k, t.trial.Name}
	has := func(k int) bool { return slices.ContainsFunc(copied.ran, func(r ran) bool { return r.k == k }) }
	if copied.number == 0 || has(now.k) {
		copied = copyOf{number: copied.number + 1}
	}
	before := copied.ran
	copied.ran = append(slices.Clone(before), now)
	o.ran[t.part.name] = copied
	if at := slices.IndexFunc(before, func(r ran) bool { return r.k > now.k }); at >= 0 {
		return outOfOrder(now, before[at], t.of)
	}
	for k := 1; k < now.k; k++ {
		if !has(k) && (len(before) > 0 || copied.number > 1) { // one alone is looked at by itself
			return finding.List{{
				Severity: finding.Warning, Rule: "program-left-out", Where: now.name,
				Message: fmt.Sprintf("is program %d of its sheet, and program %d is not given before it: it is proved on the foam that all before it leave", now.k, k),
				Hint:    fmt.Sprintf("give program %d first, and run it first", k),
			}}
		}
	}
	return nil
}

// outOfOrder tells a program that is given after one of its sheet's programs that comes later.
func outOfOrder(now, later ran, last int) finding.List {
	why := "each is proved on the foam that those before it leave"
	if later.k == last {
		why = "run in this order the foam is cut loose before it is done"
	}
	return finding.List{{
		Rule: "wrong-order", Where: now.name,
		Message: fmt.Sprintf("is program %d of its sheet, and is given after %s, which is program %d: %s", now.k, later.name, later.k, why),
		Hint:    fmt.Sprintf("run %s first, and %s after it", now.name, later.name),
	}}
}
