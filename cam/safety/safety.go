// Package safety holds a job against the table of foam and process and against
// the rules of the machine's owner. It only ever makes things stricter.
//
// The table comes first: what it refuses stays refused. What it leaves to the
// owner needs a permit in the shop rules. What is left may still be forbidden or
// limited by any of the rules files in force; of several, the strictest wins.
package safety

import (
	"fmt"

	"traywright/profiles"
)

// Rules is what the machine's owner allows, from one shop rules file.
type Rules struct {
	File     string
	Owner    string
	Permits  []Permit
	Forbids  []Forbid
	Limits   []Limits
	Requires []Require
	Vouches  []Vouch
}

// Permit is the owner's word for one foam under one process, on a condition.
// It opens nothing without one: see saysSomething.
type Permit struct {
	Foam         string
	Process      profiles.Process
	Machine      string // "" is every machine of the process
	When         string
	Line, Column int
}

// Forbid shuts out whatever matches all of its fields that are not empty. One
// without any shuts out everything.
type Forbid struct {
	Foam, Kind, Machine string
	Process             profiles.Process
	Line, Column        int
}

// Limits lower recipes and refuse what cannot be lowered; a zero number is no
// limit. They hold for whatever matches all of Foam, Machine and Process that
// are not empty.
type Limits struct {
	Foam, Machine                                string
	Process                                      profiles.Process
	PowerPercent, FeedMMPerMin, DepthMM, Minutes float64 // Minutes is of one program and holds for every one
	Line, Column                                 int
}

// Require is something to be seen to before a cut: a box to tick. It holds for
// whatever matches all of its fields that are not empty.
type Require struct {
	What                string
	Foam, Kind, Machine string
	Process             profiles.Process
	Line, Column        int
}

// Vouch is the owner's word for what a foam is, although its profile speaks of
// something else: see vouch.go. Without a reason in words it says nothing.
type Vouch struct {
	Foam         string
	Is           string // the kind that its profile states
	Although     string // the kind that its profile speaks of
	Because      string
	Line, Column int
}

// Use is one foam that a job puts under a machine.
type Use struct {
	Foam    profiles.Foam
	Machine profiles.Machine
	Block   bool    // layers glued before they are cut
	DepthMM float64 // of the deepest cut, below the top of the foam
	Where   string  // for findings
}

func (p Permit) covers(u Use) bool {
	return p.Foam == u.Foam.ID && p.Process == u.Machine.Process && (p.Machine == "" || p.Machine == u.Machine.ID) && saysSomething(p.When)
}

// covers is whether a rule shuts a use out. What nobody has named may be anything
// that the rule names.
func (f Forbid) covers(u Use) bool {
	if u.Foam.ID == "" {
		f.Foam, f.Kind = "", ""
	}
	if u.Machine.ID == "" {
		f.Machine = ""
	}
	return matches(f.Foam, u.Foam.ID) && matches(f.Kind, u.Foam.Kind) && matches(f.Machine, u.Machine.ID) && ruled(f.Process, u.Machine)
}

func (r Require) covers(u Use) bool {
	return Forbid{Foam: r.Foam, Kind: r.Kind, Machine: r.Machine, Process: r.Process}.covers(u)
}

func (l Limits) cover(foam string, m profiles.Machine) bool {
	return matches(l.Foam, foam) && matches(l.Machine, m.ID) && ruled(l.Process, m)
}

// mayCover is whether a limit holds for a program of which not all is known: one
// for a foam or a machine holds where nobody says which it is.
func (l Limits) mayCover(foams []profiles.Foam, m profiles.Machine) bool {
	if len(foams) == 0 {
		foams = []profiles.Foam{{ID: l.Foam}}
	}
	if m.ID == "" {
		m.ID = l.Machine
	}
	for _, f := range foams {
		if l.cover(f.ID, m) {
			return true
		}
	}
	return false
}

// ProgramLimits are the strictest limits of feed, power and depth that may hold
// for a program that cuts these foams on a machine; no foams, or a machine without
// a name, are not known. 0 is no limit.
func ProgramLimits(foams []profiles.Foam, m profiles.Machine, rules []Rules) Limits {
	most := func(limit func(Limits) float64) float64 {
		least, _ := strictest(rules, func(l Limits) float64 {
			if !l.mayCover(foams, m) {
				return 0
			}
			return limit(l)
		})
		return least
	}
	return Limits{
		FeedMMPerMin: most(func(l Limits) float64 { return l.FeedMMPerMin }),
		PowerPercent: most(func(l Limits) float64 { return l.PowerPercent }),
		DepthMM:      most(func(l Limits) float64 { return l.DepthMM }),
	}
}

// matches is whether a rule's field matches: an empty one matches everything.
func matches[T ~string](field, value T) bool { return field == "" || field == value }

// ruled is whether a rule's process, where it has one, is by what a machine cuts.
func ruled(p profiles.Process, m profiles.Machine) bool { return p == "" || m.CutsBy(p) }

// rule names a rule as the reports do.
func (r Rules) rule(line int) string {
	s := fmt.Sprintf("%s:%d", r.File, line)
	if r.Owner != "" {
		s += " of " + r.Owner
	}
	return s
}
