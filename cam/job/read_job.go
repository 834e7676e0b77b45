package job

import (
	"fmt"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// Bounds of a job. They are far above what a bench can cut in a year, and keep
// a slip of the finger (a grid of 1000 by 1000) from taking the afternoon.
const (
	mostTrays   = 500
	mostLayers  = 200 // of a tray
	mostCases   = mostTrays
	mostPockets = 20_000 // of a job, grids counted out
)

// draft is a job as it stands in the file, before defaults and cases have been
// filled in.
type draft struct {
	Job
	at          finding.Position
	inside      insideDraft
	defaults    trayDraft
	trays       []trayDraft
	cases       []caseDraft
	rosterGiven bool
	rosterKnown bool // it could be read
	unit        units.Unit
	outlined    []drawn
}

// insideDraft is the room of a case, and which of its parts are given.
type insideDraft struct {
	Inside
	insideGiven, cornerGiven, easeGiven bool
}

type caseDraft struct {
	Case
	inside         insideDraft
	holdsPositions []finding.Position
}

func (r *reader) job(root strict.Value) *draft {
	d := &draft{at: root.At()}
	d.File, d.MachinePosition = r.First, finding.Position{File: r.First}
	if !root.IsMap() {
		r.CannotRead(root.At(), "wrong-type", fmt.Sprintf("here is %s, not a job", root.Written()), "a job has keys such as `machine:` and `trays:`; `traywright start DIR` writes one")
		return d
	}
	var unit, roster, box, defaults, trays, cases, stock, registration, dowel strict.Value
	keep := func(to *strict.Value) func(strict.Value) { return func(v strict.Value) { *to = v } }
	root.As("a job").Keys(&jobKeys,
		key("game", func(v strict.Value) { d.Game = v.Text() }),
		key("units", keep(&unit)),
		key("roster", keep(&roster)),
		key("machine", func(v strict.Value) { d.Machine, d.MachinePosition = v.Text(), v.At() }),
		key("shop_rules", func(v strict.Value) { d.ShopRules = r.path(v) }),
		key("profiles", func(v strict.Value) { d.Profiles, d.ProfilesPosition = r.path(v), v.At() }),
		key("page_font", func(v strict.Value) { d.PageFont, d.PageFontPosition = r.path(v), v.At() }),
		key("case", keep(&box)),
		key("tray_defaults", keep(&defaults)),
		key("trays", keep(&trays)),
		key("cases", keep(&cases)),
		key("stock", keep(&stock)),
		key("registration", keep(&registration)),
		key("dowel", keep(&dowel)),
	)
	// The unit rules every length, and defaults every tray, wherever they stand.
	r.readUnit(unit)
	d.Units, d.unit = r.unit, r.unit
	d.rosterGiven = roster.Present()
	d.Roster, d.rosterKnown = r.roster(roster)
	box.Keys(&insideKeys, d.inside.keys(r)...)
	d.defaults.dowelWish.read(registration)
	d.defaults.readDowel(r, dowel)
	r.tray(defaults, &d.defaults)
	r.checkDefaults(&d.defaults)
	d.trays = r.trays(trays, d.defaults)
	d.cases = r.cases(cases)
	d.Stock = r.stock(stock)
	return d
}

// readUnit reads the unit of bare numbers. Without it no length has a value, so
// an unknown one is not a matter of meaning.
func (r *reader) readUnit(v strict.Value) {
	switch text, ok := v.Scalar(); {
	case !ok:
	case text == "mm":
		r.unit = units.Millimetre
	case text == "in":
		r.unit = units.Inch
	default:
		r.CannotRead(v.At(), "bad-unit", fmt.Sprintf("`units` is %s", finding.Quote(text)), "write mm or in; a single length may carry another: 3 cm")
	}
}

// path is a file that the job names, in its own folder; "" when it is not.
func (r *reader) path(v strict.Value) string {
	name := v.Text()
	if name == "" {
		return ""
	}
	clean, _ := r.inFolder(v, name)
	return clean
}

// keys are those of a case's room, for the job's `case` and for each of `cases`.
func (in *insideDraft) keys(r *reader) []strict.Key {
	return []strict.Key{
		key("inside", func(v strict.Value) { in.read(r, v) }),
		key("corner", func(v strict.Value) { in.Corner, in.cornerGiven = r.notBelow(v), true }),
		key("ease", func(v strict.Value) { in.Ease, in.easeGiven = r.notBelow(v), true }),
	}
}

func (in *insideDraft) read(r *reader, v strict.Value) {
	in.Position, in.insideGiven = v.At(), true
	if t := v.Tuple("[length, width, height]"); t != nil {
		in.Length = r.above(t[0].As("the length of `inside`"))
		in.Width = r.above(t[1].As("the width of `inside`"))
		in.Height = r.above(t[2].As("the height of `inside`"))
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

func (r *reader) cases(v strict.Value) []caseDraft {
	var list []caseDraft
	for _, item := range v.ListUpTo(mostCases, "make it two jobs") {
		c := caseDraft{Case: Case{Position: item.At(), Copies: 1}}
		item.As("a case").Keys(&casesKeys, append([]strict.Key{
			key("name", func(v strict.Value) { c.Name = v.Text() }),
			key("copies", func(v strict.Value) { c.Copies = v.Whole(1, mostCount) }),
			key("stack", func(v strict.Value) { r.stack(v, &c) }),
			key("holds", func(v strict.Value) { c.Holds, c.holdsPositions = r.holds(v) }),
		}, c.inside.keys(r)...)...)
		list = append(list, c)
	}
	return list
}

// stack reads the trays of a case, top to bottom.
func (r *reader) stack(v strict.Value, c *caseDraft) {
	for _, item := range v.ListUpTo(mostTrays, "make it two jobs") {
		c.Stack = append(c.Stack, item.As("a tray of `stack`").Text())
		c.StackPositions = append(c.StackPositions, item.At())
	}
}
