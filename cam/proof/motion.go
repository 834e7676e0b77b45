package proof

import (
	"math"
	"strconv"
	"strings"

	"traywright/cam/proof/read"
	"traywright/geometry"
	"traywright/profiles"
)

// sweep is the signed angle of an arc, counter-clockwise positive; a whole turn
// when it ends where it starts.
func (m Motion) sweep() float64 {
	a, b := m.From.Sub(m.Center), m.To.Sub(m.Center)
	angle := math.Atan2(a.Cross(b), a.Dot(b))
	if m.From.DistanceTo(m.To.Point) <= 1e-9 {
		angle = 0
	}
	switch {
	case m.CCW && angle <= 0:
		angle += 2 * math.Pi
	case !m.CCW && angle >= 0:
		angle -= 2 * math.Pi
	}
	return angle
}

// flatLength is the way seen from above, in mm.
func (m Motion) flatLength() float64 {
	if !m.Arc {
		return m.From.DistanceTo(m.To.Point)
	}
	return math.Abs(m.sweep()) * m.From.DistanceTo(m.Center)
}

// length is the whole way, along the helix for an arc that climbs.
func (m Motion) length() float64 { return math.Hypot(m.flatLength(), m.To.Z-m.From.Z) }

// box is the way's bounds seen from above.
func (m Motion) box() geometry.Box {
	box := geometry.EmptyBox()
	for _, s := range sweepsOf(0, m, 0, 0, 0) {
		box = box.Union(s.bounds())
	}
	return box
}

// lowest is the least Z on the way.
func (m Motion) lowest() float64 { return math.Min(m.From.Z, m.To.Z) }

// motions turns the trace's moving steps into motions in the foam's frame. The
// result's indexes are those of d.result.Motions; d.stepOf leads back.
func (d *run) motions() {
	ops := newOpNames(d.trace)
	d.stepOf = make([]int, 0, len(d.trace.Steps))
	room := len(d.trace.Steps)
	if d.trails() > 0 {
		room = roomForTips(room)
	}
	d.result.Motions = make([]Motion, 0, room)
	for i, step := range d.trace.Steps {
		if !step.Action.Moves() {
			continue
		}
		d.stepOf = append(d.stepOf, i)
		d.result.Motions = append(d.result.Motions, d.motion(step, ops.at(step.Line)))
	}
}

// motion is a step with Z from the foam's top. An axis whose place the program
// has not said yet starts where it ends: nobody knows the way.
func (d *run) motion(s read.Step, op string) Motion {
	from, to := s.From, s.To
	if s.Unknown&read.AxisX != 0 {
		from.X = to.X
	}
	if s.Unknown&read.AxisY != 0 {
		from.Y = to.Y
	}
	if s.Unknown&read.AxisZ != 0 {
		from.Z = to.Z
	}
	if !d.beam && (s.Unknown|s.Machine)&read.AxisZ != 0 && s.Named&read.AxisZ == 0 { // nobody knows how high: that is told, and taken as clear of the foam
		clear := d.top + math.Max(leastAboveMM, d.setup.Machine.ClearanceMM.Value)
		from.Z, to.Z = math.Max(from.Z, clear), math.Max(to.Z, clear)
	}
	tool := s.Tool
	if !s.HasTool {
		tool = d.spindle
	}
	return Motion{
		Line: s.Line, Rapid: s.Action == read.Traverse,
		Arc: s.Action == read.ArcCW || s.Action == read.ArcCCW, CCW: s.Action == read.ArcCCW,
		From: d.place(from), To: d.place(to), Center: s.Center,
		Feed: s.FeedMMPerMin, On: s.Spin != read.Off && s.S > 0 || d.wire || !d.beam && !d.turning, Power: d.percent(s.S), Tool: tool, Op: op,
	}
}

func (d *run) place(p read.Place) Point { return Point{Point: p.XY(), Z: d.above(p.Z)} }

// above is how high a Z of the program is above the foam's top.
func (d *run) above(z float64) float64 { return d.sign*z - d.top }

// zWord is the program's Z of a height above the foam's top.
func (d *run) zWord(above float64) float64 { return d.sign * (above + d.top) }

// percent is an S word as a part of the beam's full power; 0 for a spindle and
// where the scale is not known.
func (d *run) percent(s float64) float64 {
	scale := d.setup.Machine.Controller.PowerScale
	if !d.beam || scale <= 0 {
		return 0
	}
	return 100 * s / scale
}

// guessBeam decides what an unnamed machine is: a program that never moves Z
// drives a beam.
func guessBeam(m profiles.Machine, t read.Trace) bool {
	if m.Process != "" {
		return m.Process.Traits().Upright
	}
	for _, s := range t.Steps {
		if s.Action.Moves() && s.From.Z != s.To.Z {
			return false
		}
	}
	return true
}

// width is the kerf of a tool: as measured, else the tool's own diameter, else
// what holds for any, else what the program's tool list says.
func (d *run) width(tool int) (float64, bool) {
	if w, ok := d.setup.KerfMM[tool]; ok && w > 0 {
		return w, true
	}
	if t, ok := d.toolByNumber(tool); ok && t.DiameterMM.Value > 0 {
		return t.DiameterMM.Value, true
	}
	if w, ok := d.setup.KerfMM[0]; ok && w > 0 {
		return w, true
	}
	w := d.listed[tool]
	return w, w > 0
}

// toolByNumber finds a tool of the machine. A beam is its only tool whatever
// its number.
func (d *run) toolByNumber(number int) (profiles.Tool, bool) {
	tools := d.setup.Machine.Tools
	for _, t := range tools {
		if t.Number == number {
			return t, true
		}
	}
	if d.beam && len(tools) == 1 {
		return tools[0], true
	}
	return profiles.Tool{}, false
}

// toolInSpindle is the tool of a program without T words: the one that its
// comment says must be in the spindle, else the plan's, else the machine's only
// one, else 0.
func (d *run) toolInSpindle() int {
	for _, c := range d.trace.Comments {
		text, ok := strings.CutPrefix(c.Text, "tool in the spindle: T")
		word, _, _ := strings.Cut(text, " ")
		if number, err := strconv.Atoi(word); ok && err == nil {
			return number
		}
	}
	if d.setup.Tool != 0 {
		return d.setup.Tool
	}
	if tools := d.setup.Machine.Tools; len(tools) == 1 {
		return tools[0].Number
	}
	return 0
}
