package proof

import (
	"cmp"
	"math"
	"slices"

	"traywright/geometry"
)

// A cutter goes into foam on a ramp, no steeper than its recipe's: straight down its middle,
// where it hardly turns, tears and melts. The plan's own way says where it goes straight down all
// the same: onto a floor that lies open, behind a tab, and for want of room. How steep a program goes is judged by the foam under the tool's middle, so
// that sinking in what is cleared is none, and added up along its way, so that steps are no ramp.

const (
	// steeper is how much steeper than its recipe a ramp may be, which rounding of its heights
	// makes of short pieces; steepMM is how far a cutter may sink beyond its ramp in all (judged,
	// no source).
	steeper = 1.03
	steepMM = 0.2
	// plungeMM is how far from its place a planned plunge may be.
	plungeMM = toleranceMM
)

// sunk is foam under the middle of a tool that a motion goes into more steeply than its ramp.
type sunk struct {
	motion, sweep int
	mm, top       float64 // of foam, and how deep its top lies there
}

// ramp is the steepest way down that the limits of a motion allow, mm down per mm along; +Inf
// where one of them does not say.
func (d *run) ramp(motion int) float64 {
	list := d.limitsOf(motion)
	if !d.turning || len(list) == 0 {
		return math.Inf(1)
	}
	most := 0.0
	for _, l := range list {
		if l.RampDegrees == 0 {
			return math.Inf(1)
		}
		most = math.Max(most, math.Tan(l.RampDegrees*math.Pi/180))
	}
	return most
}

// sinks is how much foam a sweep is about to take under the tool's middle while it goes down, at
// its end, where that lies in the band, no more than it goes down; and how deep its top lies.
func (f *Field) sinks(s *sweep, thickness float64, band rows) (mm, top float64) {
	down := s.depthB - s.depthA
	if down <= 0 || s.motion < 0 {
		return 0, 0
	}
	c, r := int(math.Floor((s.b.X-f.Origin.X)/f.CellMM)), int(math.Floor((s.b.Y-f.Origin.Y)/f.CellMM))
	if c < 0 || c >= f.Columns || r < int(band.first) || r >= int(band.end) {
		return 0, 0
	}
	depth := s.depthB
	if thickness > 0 {
		depth = math.Min(depth, thickness)
	}
	mm = math.Max(0, math.Min(down, depth-float64(f.row(r)[c])))
	return mm, depth - mm
}

// judgeSinking finds what goes into foam more steeply than its ramp; list has what was found
// under the tools' middles.
func (d *run) judgeSinking(list []sunk) {
	if !d.turning || d.want == nil {
		return
	}
	slices.SortFunc(list, func(a, b sunk) int { return cmp.Compare(a.sweep, b.sweep) })
	planned := d.plannedPlunges()
	d.judgeWinding(list, planned)
	beyond, at := 0.0, 0
	for i, m := range d.result.Motions {
		mm, top := 0.0, math.Inf(1)
		for ; at < len(list) && list[at].motion == i; at++ {
			mm, top = mm+list[at].mm, math.Min(top, list[at].top)
		}
		slope, flat := steeper*d.ramp(i), m.flatLength()
		switch {
		case m.Rapid:
			if width, _ := d.width(m.Tool); flat > width {
				beyond = 0
			}
			continue
		case math.IsInf(slope, 1) || planned.allow(m, top):
			continue
		}
		if beyond = math.Max(0, beyond+mm-slope*flat); beyond > steepMM {
			angle := number(math.Round(10*math.Atan(slope/steeper)*180/math.Pi) / 10)
			d.wrong(m.Line, "plunge-too-steep", "sinks into the foam %v steeper than its recipe's ramp of %v degrees: a cutter's middle does not cut, it tears and melts", length(beyond), angle).
				hint("go down along the way, no steeper than that")
			return
		}
	}
}

// judgeApproach finds a way straight down that ends nearer to the foam than a rapid may, faster than it may sink
// into it: the top may lie higher than planned.
func (d *run) judgeApproach() {
	if !d.turning || d.want == nil {
		return
	}
	most := 0.0
	for _, l := range d.planned {
		most = math.Max(most, l.PlungeMMPerMin)
	}
	for _, m := range d.result.Motions {
		down := !m.Rapid && m.flatLength() <= slackMM && m.To.Z < m.From.Z
		if down && most > 0 && m.To.Z >= -faceMM && m.To.Z < d.sinkMM()-slackMM && m.Feed > most*exactly {
			d.wrong(m.Line, "plunge-too-fast", "sinks to %v at %v, where foam may stand that is not flat; its recipe sinks at %v", d.height(m.To.Z), feed(m.Feed), feed(most)).hint("lower F")
			return
		}
	}
}

// plunges are the places to which the plan goes straight down, by the cells of a grid that they
// lie in.
type plunges map[geometry.Point][]plunge

// plunge is one of them, and how deep its tool stood before: nothing is left above there.
type plunge struct {
	to   Point
	from float64
}

func (d *run) plannedPlunges() plunges {
	list := plunges{}
	if d.want.Way == nil {
		return list
	}
	from, goesOn := 0.0, false // one in pieces may be written as one
	for m := range d.want.Way {
		down := !m.Rapid && m.From.Point == m.To.Point && m.To.Z < math.Min(0, m.From.Z)
		if down && !goesOn {
			from = -m.From.Z
		}
		if goesOn = down; down {
			list[plungeCell(m.To.Point)] = append(list[plungeCell(m.To.Point)], plunge{m.To, from})
		}
	}
	return list
}

func plungeCell(p geometry.Point) geometry.Point {
	return geometry.Point{X: math.Round(p.X), Y: math.Round(p.Y)}
}

// allow reports whether a motion goes straight down where the plan does, no deeper, and into no
// foam above where the plan's begins; top is how deep the top of what it takes lies. Places are
// looked up in a cell and those beside it.
func (l plunges) allow(m Motion, top float64) bool {
	if m.flatLength() > plungeMM {
		return false
	}
	cell := plungeCell(m.To.Point)
	for i := range 9 {
		beside := cell.Add(geometry.Point{X: float64(i%3 - 1), Y: float64(i/3 - 1)})
		for _, p := range l[beside] {
			if p.to.DistanceTo(m.To.Point) <= plungeMM && m.To.Z >= p.to.Z-toleranceMM && top >= p.from-steepMM {
				return true
			}
		}
	}
	return false
}
