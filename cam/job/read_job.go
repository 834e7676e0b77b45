package job

import (
	"fmt"

	"traywright/geometry/units"
)

// Bounds of a job. They are far above what a bench can cut in a year, and keep
// a slip of the finger (a grid of 1000 by 1000) from taking the afternoon.
const (
	mostTrays   = 500
	mostLayers  = 200 // of a tray
	mostCases   = 200
	mostPockets = 20_000 // of a job, grids counted out
)

// draft is a job as it stands in the file, before defaults and cases have been
// filled in.
type draft struct {
	Job
	at          Position
	inside      insideDraft
	defaults    trayDraft
	trays       []trayDraft
	cases       []caseDraft
	rosterGiven bool
	rosterKnown bool // it could be read
	unit        units.Unit
}

// insideDraft is the room of a case, and which of its parts are given.
type insideDraft struct {
	Inside
	insideGiven, cornerGiven, easeGiven bool
}

type caseDraft struct {
	Case
	inside         insideDraft
	holdsPositions []Position
}

func (r *reader) job(root *value) *draft {
	d := &draft{at: root.at}
	d.File, d.MachinePosition = r.First, Position{File: r.First}
	if root.kind != mapping {
		r.CannotRead(root.at, "wrong-type", fmt.Sprintf("here is %s, not a job", root.kind), "a job has keys such as `machine:` and `trays:`; `traywright start DIR` writes one")
		return d
	}
	var unit, roster, box, defaults, trays, cases *value
	keep := func(to **value) func(*value) { return func(v *value) { *to = v } }
	r.group(root, "a job",
		key{"game", func(v *value) { d.Game = r.text(v, "`game`") }},
		key{"units", keep(&unit)},
		key{"roster", keep(&roster)},
		key{"machine", func(v *value) { d.Machine, d.MachinePosition = r.text(v, "`machine`"), v.at }},
		key{"shop_rules", func(v *value) { d.ShopRules = r.path(v, "shop_rules") }},
		key{"case", keep(&box)},
		key{"tray_defaults", keep(&defaults)},
		key{"trays", keep(&trays)},
		key{"cases", keep(&cases)},
	)
	// The unit rules every length, and defaults every tray, wherever they stand.
	r.ifGiven(unit, r.readUnit)
	d.Units, d.unit = r.unit, r.unit
	r.ifGiven(roster, func(v *value) { d.rosterGiven = true; d.Roster, d.rosterKnown = r.roster(v) })
	r.ifGiven(box, func(v *value) { r.group(v, "`case`", d.inside.keys(r)...) })
	r.ifGiven(defaults, func(v *value) { r.tray(v, &d.defaults, "`tray_defaults`") })
	r.checkDefaults(&d.defaults)
	r.ifGiven(trays, func(v *value) { d.trays = r.trays(v, d.defaults) })
	r.ifGiven(cases, func(v *value) { d.cases = r.cases(v) })
	return d
}

func (r *reader) ifGiven(v *value, read func(*value)) {
	if v != nil {
		read(v)
	}
}

// readUnit reads the unit of bare numbers. Without it no length has a value, so
// an unknown one is not a matter of meaning.
func (r *reader) readUnit(v *value) {
	switch text, _ := r.scalar(v, "`units`"); {
	case v.kind != scalar:
	case text == "mm":
		r.unit = units.Millimetre
	case text == "in":
		r.unit = units.Inch
	default:
		r.CannotRead(v.at, "bad-unit", fmt.Sprintf("`units` is %s", quote(text)), "write mm or in; a single length may carry another: 3 cm")
	}
}

// path is a file that the job names, in its own folder; "" when it is not.
func (r *reader) path(v *value, key string) string {
	name := r.text(v, "`"+key+"`")
	if name == "" {
		return ""
	}
	clean, _ := r.inFolder(v.at, key, name)
	return clean
}

// keys are those of a case's room, for the job's `case` and for each of `cases`.
func (in *insideDraft) keys(r *reader) []key {
	return []key{
		{"inside", func(v *value) { in.read(r, v) }},
		{"corner", func(v *value) { in.Corner, in.cornerGiven = r.notBelow(v, "`corner`"), true }},
		{"ease", func(v *value) { in.Ease, in.easeGiven = r.notBelow(v, "`ease`"), true }},
	}
}

func (in *insideDraft) read(r *reader, v *value) {
	in.Position, in.insideGiven = v.at, true
	if t := r.tuple(v, "inside", "[length, width, height]", 3); t != nil {
		in.Length = r.above(t[0], "the length of `inside`")
		in.Width = r.above(t[1], "the width of `inside`")
		in.Height = r.above(t[2], "the height of `inside`")
	}
}

// or fills in what is not given from the job's own case.
func (in insideDraft) or(job insideDraft) insideDraft {
	if !in.insideGiven {
		corner, ease := in.Corner, in.Ease
		in.Inside, in.insideGiven = job.Inside, job.insideGiven
		in.Corner, in.Ease = corner, ease
	}
	if !in.cornerGiven {
		in.Corner = job.Corner
	}
	if !in.easeGiven {
		in.Ease = job.Ease
	}
	return in
}

func (r *reader) cases(v *value) []caseDraft {
	var list []caseDraft
	for _, item := range r.list(v, "`cases`", mostCases) {
		c := caseDraft{Case: Case{Position: item.at, Copies: 1}}
		r.group(item, "a case", append([]key{
			{"name", func(v *value) { c.Name = r.text(v, "`name`") }},
			{"copies", func(v *value) { c.Copies = r.whole(v, "`copies`") }},
			{"stack", func(v *value) { r.stack(v, &c) }},
			{"holds", func(v *value) { c.Holds, c.holdsPositions = r.holds(v) }},
		}, c.inside.keys(r)...)...)
		list = append(list, c)
	}
	return list
}

// stack reads the trays of a case, top to bottom.
func (r *reader) stack(v *value, c *caseDraft) {
	for _, item := range r.list(v, "`stack`", mostTrays) {
		c.Stack = append(c.Stack, r.text(item, "a tray of `stack`"))
		c.StackPositions = append(c.StackPositions, item.at)
	}
}
