package cam

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/gcode"
	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/cam/safety"
	"traywright/profiles"
)

// ofRules is where an owner's rule stands, as a program's comments say it.
var ofRules = regexp.MustCompile(` ?<[^<>]*:\d+( of [^<>]*)?>`)

// placeless are the values of a header's key without the place in a rules file: the same file may
// be named by another way to it.
func placeless(list []string) []string {
	list = slices.Clone(list)
	for i, l := range list {
		list[i] = ofRules.ReplaceAllString(l, "")
	}
	return list
}

func (d *Tried) cautionDiffers(key, said string, severity finding.Severity) finding.Finding {
	line := d.lineOf(key + ": " + said)
	return finding.Finding{
		Severity: severity, Rule: "caution-differs", Where: fmt.Sprintf("%s:%d", d.trial.Name, line), Line: line,
		Message: fmt.Sprintf("a comment says %q, which neither the safety table nor the shop rules at hand say: heed the cut sheet", said),
		Hint:    "take it out, or make the program again with `traywright cut`, and read the cautions on its cut sheet",
	}
}

// cautionsSaid are those that `cut` would write, as comments say them.
func cautionsSaid(uses []safety.Use, m profiles.Machine, rules []safety.Rules) []string {
	h := gcode.Header{Cautions: safety.Cautions(uses, rules), Requires: safety.Requires(uses, rules)}
	return proof.Comments(gcode.Opening(process.Program{}, process.Stats{}, h, m))
}

// cautionsMissing are the cautions and the owner's wishes that are not said: an error each of the
// safety table, and a warning each of the owner's rules, which may be newer.
func (d *Tried) cautionsMissing(uses []safety.Use, m profiles.Machine, rules []safety.Rules, said map[string][]string) (found finding.List) {
	table, all := sayings(cautionsSaid(uses, m, nil)), sayings(cautionsSaid(uses, m, rules))
	for _, is := range []struct{ key, what string }{{"caution", "a caution"}, {"required", "what the owner requires"}} {
		for _, text := range all[is.key] {
			if says(placeless(said[is.key]), placeless([]string{text})[0]) {
				continue
			}
			f := finding.Finding{
				Severity: finding.Warning, Rule: "caution-missing", Where: d.trial.Name,
				Message: fmt.Sprintf("its comments leave out %s: %q", is.what, text),
				Hint:    "make the program again with `traywright cut`, and heed the cut sheet until then",
			}
			if says(table[is.key], text) {
				f.Severity = finding.Error
			}
			found = append(found, f)
		}
	}
	return found
}

// cautionsAlone are the cautions that the table has for the foam and the machine that a program names
// and that it leaves out, and those that nobody has: an owner's says in which rules it stands.
func (d *Tried) cautionsAlone(c *profiles.Catalog) finding.List {
	id, _, layer := madeFor(d.header)
	m, ok := c.Machine(id)
	foams, unknown := d.headerFoams(c)
	if !ok || len(foams) == 0 || unknown != "" {
		return nil
	}
	var uses []safety.Use
	for _, f := range foams {
		uses = append(uses, safety.Use{Foam: f, Machine: m, Block: len(foams) > 1 || strings.HasPrefix(layer, "all"), DepthMM: d.saidMM, Where: d.trial.Name})
	}
	own := cautionsSaid(uses, m, d.trial.Rules)
	said := heard(proof.Comments(d.trial.Text), own)
	found := d.cautionsMissing(uses, m, d.trial.Rules, said)
	for _, text := range said["caution"] {
		if text != "" && !ofRules.MatchString(text) && !says(sayings(own)["caution"], text) {
			found = append(found, d.cautionDiffers("caution", text, finding.Error))
		}
	}
	return found
}
