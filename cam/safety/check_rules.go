package safety

import (
	"fmt"
	"slices"

	"traywright/cam/finding"
	"traywright/profiles"
)

// checkRules holds a rules file against what is known. A rule that shuts out,
// limits or asks something of what nobody knows is an error: its owner meant something, and it
// may be what this job cuts. A permit like that opens nothing, which a warning
// tells.
func checkRules(r Rules, c *profiles.Catalog) finding.List {
	k := &ruleCheck{rules: r, catalog: c}
	if r.Owner == "" {
		k.add(finding.Warning, place{line: 1}, "no-owner", "the file does not say whose rules these are", "add owner: with the name of whoever answers for the machine")
	}
	for _, p := range r.Permits {
		k.permit(p)
	}
	for _, v := range r.Vouches {
		k.vouch(v)
	}
	for _, f := range r.Forbids {
		k.scope(scope{verb: "forbids", foam: f.Foam, kind: f.Kind, machine: f.Machine, process: f.Process, spoken: true, place: place{f.Line, f.Column}})
	}
	for _, l := range r.Limits {
		k.scope(scope{
			verb: "limits", foam: l.Foam, machine: l.Machine, process: l.Process, power: l.PowerPercent > 0, feed: l.FeedMMPerMin > 0,
			more: l.DepthMM > 0, place: place{l.Line, l.Column},
		})
	}
	for _, q := range r.Requires {
		k.scope(scope{verb: "asks for", foam: q.Foam, kind: q.Kind, machine: q.Machine, process: q.Process, place: place{q.Line, q.Column}})
	}
	return k.found
}

type ruleCheck struct {
	rules   Rules
	catalog *profiles.Catalog
	found   finding.List
}

func (k *ruleCheck) add(severity finding.Severity, at place, rule, message, hint string) {
	k.found = append(k.found, finding.Finding{
		Severity: severity, Rule: rule, Where: k.where(at), Message: message, Hint: hint,
	})
}

// permit tells of permits that open nothing.
func (k *ruleCheck) permit(p Permit) {
	at := place{p.Line, p.Column}
	if !k.foam(finding.Warning, at, p.Foam) || !k.machine(finding.Warning, at, p.Machine) {
		return
	}
	foam, _ := k.catalog.Foam(p.Foam)
	v := k.catalog.Safety(foam.Kind, p.Process)
	what := fmt.Sprintf("the permit for %s under %s", p.Foam, theProcess(p.Process))
	never, hint := k.never(scope{machine: p.Machine, process: p.Process})
	switch {
	case never != "":
		k.add(finding.Warning, at, "permit-opens-nothing", what+" opens nothing: "+never, hint)
	case v.Answer == profiles.Refused:
		k.add(finding.Warning, at, "permit-opens-nothing", what+" opens nothing: "+v.Reason, "take it out; no rule opens what the safety table refuses")
	case v.Answer != profiles.OwnerWord:
		k.add(finding.Note, at, "permit-not-needed", what+" is not needed", "nothing else depends on it; it may stay")
	case !saysSomething(p.When):
		why := "it does not say when"
		if p.When != "" {
			why = fmt.Sprintf("%q is no condition", p.When)
		}
		k.add(finding.Warning, at, "permit-without-condition", what+" opens nothing, because "+why,
			`its owner writes when: "..." with what has to be so, such as "extraction running"; `+needsWords)
	}
}

// foam, machine and kind report a name that nobody knows; an empty one is no
// name and is fine.
func (k *ruleCheck) foam(s finding.Severity, at place, id string) bool {
	_, unknown := k.catalog.FindFoam(id, k.where(at))
	return id == "" || k.known(s, unknown)
}

func (k *ruleCheck) machine(s finding.Severity, at place, id string) bool {
	_, unknown := k.catalog.FindMachine(id, k.where(at))
	return id == "" || k.known(s, unknown)
}

func (k *ruleCheck) kind(s finding.Severity, at place, kind string) bool {
	kinds := k.catalog.Kinds()
	if kind == "" || slices.Contains(kinds, kind) {
		return true
	}
	return k.known(s, finding.List{{
		Unread: true, Rule: "unknown-kind", Where: k.where(at), Message: fmt.Sprintf("there is no kind %q", kind), Hint: finding.Suggest(kind, kinds),
	}})
}

// known reports a name that nobody knows, or names that go not together, as severe as its rule is.
func (k *ruleCheck) known(s finding.Severity, unknown finding.List) bool {
	for _, f := range unknown {
		f.Severity = s
		k.found = append(k.found, f)
	}
	return len(unknown) == 0
}

func (k *ruleCheck) where(at place) string {
	return finding.Position{File: k.rules.File, Line: at.line, Column: at.column}.String()
}
