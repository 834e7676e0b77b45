package cam

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"path"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/gcode"
	"traywright/cam/page"
	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// An air cut to meet a machine with, before any foam lies on it:
//
//   - the first program moves and switches nothing on: up and back, round the bed's
//     corners, its diagonals, squares in the middle, home again; all at one safe height;
//   - a router gets a second one, which turns the empty spindle for a moment;
//   - a knife with an axis that turns its blade one that turns the empty holder, both ways and back.
//
// A beam and a wire move in rapids alone, and no word of their program switches anything on. All
// programs go through the dry run as any other.

// Numbers of an air cut, mm: common practice, no source.
const (
	meetMarginMM = 5   // from the ends of the travel, where switches are
	meetHeightMM = 20  // least height of all moves above what Z is zeroed on, where there is room
	meetLiftMM   = 10  // up and back, to see which way up is
	meetShare    = 0.2 // of the fastest feed
)

var meetSquaresMM = []float64{20, 50, 100}

// MeetName is the name of the files of an air cut, without number and ending.
const MeetName = "trial"

// Meet makes the programs, a picture and an instruction sheet. A machine whose programs
// are not built is a finding.
func Meet(m profiles.Machine, c *profiles.Catalog, u units.Unit) (Result, error) {
	r := Result{Report: Report{SchemaVersion: SchemaVersion, Machine: m.ID}}
	if found := noAirCut(m); found.Failed() {
		r.Report.Findings = found
		return r, nil
	}
	r.Report.Findings = newWeaker(c).machine(m)
	m = fromZero(m)
	sheet := page.Meet{Machine: m, Unit: u, Squares: squaresFor(m), MarginMM: meetMarginMM, Share: meetShare}
	sheet.HeightMM, sheet.LiftMM = meetHeights(m)
	sheet.NoRecipe = !slices.ContainsFunc(c.Recipes(), func(r profiles.Recipe) bool { return r.Machine == m.ID })
	programs := []meeting{{MeetName + "-1-moves", quiet(m), meetMoves(m, sheet)}}
	if m.Process.Traits().Turning {
		sheet.RPM = meetRPM(m)
		programs = append(programs, meeting{MeetName + "-2-spindle", unchanged(m), meetSpin(m, sheet)})
	}
	if _, turned := m.TurnedTool(); turned {
		programs = append(programs, meeting{MeetName + "-2-axis", unchanged(m), meetTurns(m, sheet)})
	}
	for _, p := range programs {
		if err := r.meet(p, m, c, u, &sheet); err != nil {
			return r, err
		}
	}
	if r.Report.Findings.Failed() {
		return r, nil
	}
	text, err := written(MeetName+".md", func(w io.Writer) error { return sheet.Markdown(w) })
	if err != nil {
		return r, err
	}
	r.Files = append([]File{text}, r.Files...)
	for _, f := range r.Files {
		r.Report.Files = append(r.Report.Files, FileReport{Path: f.Path, SHA256: Sum(f.Data), Kind: cmp.Or(kinds[path.Ext(f.Path)], "gcode"), Process: string(m.Process), Machine: m.ID})
	}
	report, err := r.Report.JSON()
	r.Files = append([]File{{ReportName, report}}, r.Files...)
	return r, err
}

// noAirCut is the error of a machine that none is made for, and says how it is met without.
func noAirCut(m profiles.Machine) finding.List {
	why, hint := "", ""
	switch {
	case m.InHand():
		why, hint = "is a hand along a printed template, and there is nothing to meet", "print a template with `traywright cut JOB --machine "+m.ID+" --out DIR`, and measure its bars"
	case m.DrawingsOnly():
		why, hint = "takes drawings, and no programs", "let its own software go round the outline of a coupon's drawing with nothing lit, nothing turning and nothing lowered: `traywright coupon --help`"
	default:
		return nil
	}
	return finding.List{{Rule: "no-programs", Where: m.ID, Message: why, Hint: hint}}
}

// meeting is one program of an air cut, and the machine as it is written for.
type meeting struct {
	name    string
	as      profiles.Machine
	program process.Program
}

// meet writes a program, tries it as `dryrun` does, and draws it.
func (r *Result) meet(p meeting, m profiles.Machine, c *profiles.Catalog, u units.Unit, sheet *page.Meet) error {
	body, err := gcode.Body(p.program, p.as)
	if err != nil {
		return err
	}
	h := gcode.Header{Job: "an air cut to meet the machine with", Machine: m.ID, MovesSeal: proof.MovesSeal(body), Notes: sheet.Notes()}
	h.Seconds, h.LeastSeconds = proof.Time(body, m)
	text := sealed(gcode.Opening(p.program, process.Measure(p.program), h, m), body, m)
	name := p.name + "." + m.Controller.Extension
	tried, found := Try(Trial{Name: name, Text: text, Machine: cold(m), Unit: u}, c, nil)
	r.Report.DryRun = append(r.Report.DryRun, DescribeRun(tried.Result))
	for _, f := range append(found, tried.Findings...) {
		if f.Severity == finding.Error { // what it warns and notes is of foam and of a job, and there is neither
			r.Report.Findings = append(r.Report.Findings, f)
		}
	}
	picture, err := tried.Picture()
	if err != nil {
		return err
	}
	r.Files = append(r.Files, File{name, text}, Sign(File{p.name + ".png", picture}))
	sheet.Programs = append(sheet.Programs, page.MeetProgram{File: name, Seconds: tried.Seconds})
	return nil
}

// unchanged is the machine without a tool changer, for nothing is put into the spindle,
// without air and dust, and without places to park at, which are meant for foam.
func unchanged(m profiles.Machine) profiles.Machine {
	c := &m.Controller
	c.ToolChange, c.Air, c.Dust, c.ParkAt, c.ChangeAt = "none", nil, nil, nil, nil
	return m
}

// quiet is the machine without anything that could be switched on, but a beam's, whose
// rapids are dark.
func quiet(m profiles.Machine) profiles.Machine {
	if !m.Process.Traits().Beam {
		m.Process = ""
	}
	return unchanged(m)
}

// cold is a machine whose hot wire has no supply: to the dry run a beam of 1 W that stays dark, for a
// wire would cut whatever foam there might be.
func cold(m profiles.Machine) profiles.Machine {
	if m.Process.Traits().Wire {
		m.Process, m.PowerW.Value = profiles.Laser, 1
	}
	return m
}

// fromZero is the machine with its clamps as high as they are above the air cut's Z0, which
// is half way up where the machine usually counts from the foam's top.
func fromZero(m profiles.Machine) profiles.Machine {
	if m.ZZero == profiles.ZBed {
		return m
	}
	var clamps []profiles.ClampZone
	for _, z := range m.Clamps {
		if z.HeightMM -= m.TravelMM[2].Value / 2; z.HeightMM > 0 {
			clamps = append(clamps, z)
		}
	}
	m.Clamps = clamps
	return m
}

// meetHeights is the height of all moves and how far they go up from there: less where
// the travel has no room. A beam stays at its focus.
func meetHeights(m profiles.Machine) (height, lift float64) {
	if m.Process.Traits().Upright {
		return 0, 0
	}
	high := meetHeightMM
	for _, z := range m.Clamps {
		high = max(high, int(math.Ceil(z.HeightMM))+meetHeightMM)
	}
	room := m.TravelMM[2].Value / 2 // Z is zeroed half way up where it is the foam's top
	if m.ZZero == profiles.ZBed {
		room = m.TravelMM[2].Value
	}
	height = math.Min(float64(high), math.Floor(room*2/3))
	return height, math.Min(meetLiftMM, math.Floor((room-height)/2)) // nobody goes half way up to the mm
}

// squaresFor are the squares that have room on the bed.
func squaresFor(m profiles.Machine) []float64 {
	var list []float64
	for _, s := range meetSquaresMM {
		if s <= math.Min(m.TravelMM[0].Value, m.TravelMM[1].Value)/2 {
			list = append(list, s)
		}
	}
	return list
}

// meetMoves are the moves of the first program.
func meetMoves(m profiles.Machine, s page.Meet) process.Program {
	p := process.Program{ClearZ: s.HeightMM}
	feed := math.Ceil(m.MaxFeedMMPerMin.Value * meetShare)
	at := func(x, y, z float64) process.Point { return process.Point{Point: geometry.Point{X: x, Y: y}, Z: z} }
	op := func(name string, points ...process.Point) {
		o := process.Op{Kind: process.Mark, Name: name, Tool: noCutter(m), Passes: 1}
		for i, to := range points {
			move := process.Move{Kind: process.Line, To: to, FeedMMPerMin: feed}
			if i == 0 || m.Process.Traits().Upright {
				move = process.Move{Kind: process.Rapid, To: to}
			}
			o.Moves = append(o.Moves, move)
		}
		p.Ops = append(p.Ops, o)
	}
	x, y, z := m.TravelMM[0].Value, m.TravelMM[1].Value, s.HeightMM
	low := at(meetMarginMM, meetMarginMM, z)
	right, far, left := at(x-meetMarginMM, meetMarginMM, z), at(x-meetMarginMM, y-meetMarginMM, z), at(meetMarginMM, y-meetMarginMM, z)
	if s.LiftMM > 0 {
		op("up and back", low, at(meetMarginMM, meetMarginMM, z+s.LiftMM), low)
	}
	op("round the bed", low, right, far, left, low)
	op("diagonals", low, far, right, left, low)
	for _, side := range s.Squares {
		a, b := x/2-side/2, y/2-side/2
		op(fmt.Sprintf("square of %g mm", side), at(a, b, z), at(a+side, b, z), at(a+side, b+side, z), at(a, b+side, z), at(a, b, z))
	}
	op("home", low, at(0, 0, z))
	return p
}

// meetSpin turns the empty spindle, and moves nowhere but over the corner.
func meetSpin(m profiles.Machine, s page.Meet) process.Program {
	over := process.Point{Point: geometry.Point{X: meetMarginMM, Y: meetMarginMM}, Z: s.HeightMM}
	return process.Program{ClearZ: s.HeightMM, Ops: []process.Op{{Name: "turn the empty spindle", Tool: noCutter(m), RPM: s.RPM, Passes: 1,
		Moves: []process.Move{{Kind: process.Rapid, To: over}}}}}
}

// meetTurns turns the axis of a blade a quarter up and a quarter down, as slowly as the lines go.
func meetTurns(m profiles.Machine, s page.Meet) process.Program {
	over := process.Point{Point: geometry.Point{X: meetMarginMM, Y: meetMarginMM}, Z: s.HeightMM}
	o := process.Op{Kind: process.Mark, Name: "turn the empty holder", Tool: noCutter(m), Passes: 1, Moves: []process.Move{{Kind: process.Rapid, To: over}}}
	for _, quarters := range []float64{1, 0, -1, 0} {
		o.Moves = append(o.Moves, process.Move{Kind: process.Line, To: over, FeedMMPerMin: math.Ceil(360 * m.TurnRPM.Value * meetShare), Heading: quarters * math.Pi / 2})
	}
	return process.Program{ClearZ: s.HeightMM, Ops: []process.Op{o}}
}

// noCutter is the first tool's number, for what the dry run asks of it, and the word for
// hands that there is none.
func noCutter(m profiles.Machine) profiles.Tool {
	name, _ := m.Process.Traits().Idle()
	return profiles.Tool{Number: m.Tools[0].Number, Name: name}
}

// meetRPM is half of the spindle's speed, and no speed that could be a beam's power.
func meetRPM(m profiles.Machine) float64 {
	return math.Max(math.Round(m.MaxRPM.Value/2), math.Min(profiles.MostPowerScale+1, m.MaxRPM.Value))
}
