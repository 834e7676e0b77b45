package safety

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/profiles"
)

// place is where in its file a rule stands.
type place struct{ line, column int }

// scope is whom a rule is for, and what of theirs it limits.
type scope struct {
	verb                string // what the rule does
	foam, kind, machine string
	process             profiles.Process
	power, feed, more   bool // limits; more is one that every process has
	spoken              bool // its kind is also any that the foam speaks of
	place
}

// scope reports names that nobody knows, and a rule whose names no cut can have at once: its
// owner believes that it holds.
func (k *ruleCheck) scope(s scope) {
	if !k.foam(finding.Error, s.place, s.foam) || !k.machine(finding.Error, s.place, s.machine) || !k.kind(finding.Error, s.place, s.kind) {
		return
	}
	if why, hint := k.never(s); why != "" {
		k.known(finding.Error, finding.List{{
			Unread: true, Rule: "rule-never-applies", Where: k.where(s.place), Message: fmt.Sprintf("the rule %s nothing: %s", s.verb, why), Hint: hint,
		}})
	}
}

// never is why no cut can be what a rule is for, or have what it limits, "" where one can; and
// which of its words the owner can take out so that it holds for something.
func (k *ruleCheck) never(s scope) (why, hint string) {
	if why = k.contradiction(s); why == "" {
		return "", ""
	}
	var ways []string
	for _, w := range []struct {
		written string
		given   bool
		out     func(*scope)
	}{
		{"foam: " + s.foam, s.foam != "", func(s *scope) { s.foam = "" }},
		{"kind: " + s.kind, s.kind != "", func(s *scope) { s.kind = "" }},
		{"process: " + string(s.process), s.process != "", func(s *scope) { s.process = "" }},
		{"machine: " + s.machine, s.machine != "", func(s *scope) { s.machine = "" }},
		{"power", s.power && (s.feed || s.more), func(s *scope) { s.power = false }},
		{"feed", s.feed && (s.power || s.more), func(s *scope) { s.feed = false }},
	} {
		if without := s; w.given {
			if w.out(&without); k.contradiction(without) == "" {
				ways = append(ways, "`"+w.written+"`")
			}
		}
	}
	if len(ways) == 0 {
		return why, "write it anew: `traywright profiles` lists the foams with their kinds, and the machines with what they cut by"
	}
	return why, "its owner takes out what is not meant: " + strings.Join(ways, " or ")
}

func (k *ruleCheck) contradiction(s scope) string {
	foam, _ := k.catalog.Foam(s.foam)
	m, _ := k.catalog.Machine(s.machine)
	by := cmp.Or(s.process, m.Process)
	whose := theProcess(by)
	if s.machine != "" {
		whose = s.machine + ", " + whose + ","
	}
	kinds := []string{foam.Kind}
	if s.spoken {
		kinds = kindsOf(Use{Foam: foam}, k.catalog, []Rules{k.rules})
	}
	switch {
	case s.foam != "" && s.kind != "" && !slices.Contains(kinds, s.kind):
		return fmt.Sprintf("%s is of the kind %s, and not of %s", s.foam, foam.Kind, s.kind)
	case s.machine != "" && s.process != "" && !mayCutBy(m, s.process):
		return fmt.Sprintf("%s is %s, and cuts by no %s", s.machine, theProcess(m.Process), s.process)
	case s.power && by != "" && !by.Traits().Beam:
		return whose + " has no power to limit: only a beam has"
	case s.feed && (by.Traits().ByHand || m.InHand()):
		return whose + " has no feed to limit: a hand moves the tool"
	}
	return ""
}

// mayCutBy is whether an owner who says a process means the machine with any tool of its own.
func mayCutBy(m profiles.Machine, p profiles.Process) bool {
	return m.CutsBy(p) || slices.ContainsFunc(m.Tools, func(t profiles.Tool) bool { return m.With(t).CutsBy(p) })
}
