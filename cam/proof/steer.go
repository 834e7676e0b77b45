package proof

import (
	"math"
	"slices"

	"traywright/cam/proof/read"
	"traywright/geometry"
	"traywright/profiles"
)

// A blade that is turned is followed by the program's A words. What it cuts is its chord, half of
// it ahead of the axis, at its edge, and half behind, at its heel. Three things are held:
//
//   - how it goes: along its way, its edge in front, and turned in one place no farther than its
//     gouge allows. What it turns fades as it goes on: a curve tighter than half of its chord is a
//     turn in one place (judged, no source);
//   - where its ends go: no farther into foam that is to stay than its gouge;
//   - what it cuts: its axis' way, longer by half a chord wherever it comes down and is lifted. That
//     is what all else in the dry run is of. On a curve the ends of that line are taken to lie on the
//     curve, for where they really are has been held already.

// steering is the blade on its way.
type steering struct {
	d       *run
	tool    profiles.Tool
	reach   float64 // of the middle of its cut, ahead and behind
	list    []Motion
	stepOf  []int
	took    []span
	heading float64 // radians
	turned  float64 // what has not faded of its turns in the foam
	told    bool    // of them, since it came down
	down    int     // the motion that brought it down, an index into list; -1 when it is up
	cut     bool    // it has gone on since
	ends    *bladeEnds
	wound   bool // told
}

// followBlade puts what a blade that is turned cuts into the place of its axis' motions.
func (d *run) followBlade() {
	tool, ok := d.toolByNumber(d.spindle)
	if !ok || !tool.Turned() || d.turning || d.beam {
		return
	}
	width, _ := d.width(tool.Number)
	b := &steering{d: d, tool: tool, reach: math.Max(0, (tool.ChordMM.Value-width)/2), down: -1}
	room := len(d.stepOf)
	for i := range d.result.Motions {
		if m := &d.result.Motions[i]; m.To.Z < m.From.Z { // whose blade may only come down, which is a motion more
			room++
		}
	}
	b.list, b.stepOf, b.took = make([]Motion, 0, room), make([]int, 0, room), make([]span, 0, room)
	b.ends = d.bladeEnds(tool, b.reach, width/2)
	next := 0
	for i, s := range d.trace.Steps {
		before := b.heading
		if d.trace.Turns != nil {
			b.heading = d.setup.Machine.ASign() * d.trace.Turns[i] * math.Pi / 180
		}
		b.winds(s, before)
		switch {
		case next < len(d.stepOf) && d.stepOf[next] == i:
			b.move(next, before)
			next++
		case s.Action == read.Turn && b.down >= 0:
			b.turnStanding(s, before)
		}
	}
	b.lift()
	d.result.Motions, d.stepOf, d.took = slices.Clip(b.list), b.stepOf, b.took
}

// move follows one motion of the axis.
func (b *steering) move(i int, before float64) {
	m := b.d.result.Motions[i]
	switch flat := m.flatLength(); {
	case m.lowest() >= -slackMM || flat == 0 && m.To.Z > m.From.Z:
		b.turnRising(m, before)
		b.lift()
		b.add(m, i)
	case m.Rapid && flat > 0: // in a slit that is there it cuts nothing, and tears what it is not along
		b.judge(m, before)
		b.lift()
		b.add(m, i)
	case flat == 0:
		b.comesDown(m, b.d.stepOf[i])
		b.add(m, i)
		if b.down < 0 {
			b.down, b.cut, b.turned, b.told = len(b.list)-1, false, 0, false
		}
		b.turn(m.Line, b.tool.MostTurn(b.tool.AheadMM(-m.lowest()))+roundingRad, math.Abs(b.heading-before), 0)
	default:
		b.judge(m, before)
		if !b.cut {
			m.From.Point = b.extended(m, false)
		}
		b.add(m, i)
		if b.down < 0 { // it came in sideways
			b.down, b.turned, b.told = len(b.list)-1, 0, false
		}
		b.cut = true
	}
}

func (b *steering) add(m Motion, i int) {
	b.list, b.stepOf, b.took = append(b.list, m), append(b.stepOf, b.d.stepOf[i]), append(b.took, b.d.took[i])
}

// lift ends a stroke in the foam: what was cut reaches on as far as the blade does.
func (b *steering) lift() {
	if b.down < 0 {
		return
	}
	last := len(b.list) - 1
	if b.cut {
		b.list[last].To.Point = b.extended(b.list[last], true)
	} else if down := b.list[b.down]; down.To.Z < -slackMM { // it only came down
		sin, cos := math.Sincos(b.heading)
		half := geometry.Point{X: b.reach * cos, Y: b.reach * sin}
		m := b.list[last]
		m.From = Point{m.To.Sub(half), m.To.Z}
		m.To.Point = m.To.Add(half)
		b.list, b.stepOf = append(b.list, m), append(b.stepOf, b.stepOf[last])
		b.took = append(b.took, span{b.took[last].to, b.took[last].to})
	}
	b.down, b.cut = -1, false
}

// extended is the end of a motion, or its beginning, as far on as the blade reaches: on its circle,
// or straight where that is small.
func (b *steering) extended(m Motion, end bool) geometry.Point {
	at, away, share := m.From.Point, -b.reach, 0.0
	if end {
		at, away, share = m.To.Point, b.reach, 1
	}
	if r := m.Center.DistanceTo(at); m.Arc && r > b.tool.ChordMM.Value/2 && b.reach+m.flatLength() < 2*math.Pi*r {
		sin, cos := math.Sincos(math.Copysign(away/r, away*m.sweep()))
		out := at.Sub(m.Center)
		return m.Center.Add(geometry.Point{X: out.X*cos - out.Y*sin, Y: out.X*sin + out.Y*cos})
	} else if m.Arc {
		return at
	}
	t := m.heading(share)
	way := geometry.Point{X: t[0], Y: t[1]}
	if way.Norm() == 0 { // it went deeper, and not on
		return at
	}
	return at.Add(way.Scale(away / way.Norm()))
}

// comesDown: nobody knows where a blade points that the program has not turned.
func (b *steering) comesDown(m Motion, step int) {
	d := b.d
	if !d.trace.Steps[step].Turned && d.counts["heading-unsaid"] == 0 {
		d.wrong(m.Line, "heading-unsaid", "comes down before the program has said where the blade points, or has said it again after a reference point").hint("write A on the rapid before it")
	}
}

// judge holds how the blade goes along a motion, and where its ends are.
func (b *steering) judge(m Motion, before float64) {
	ahead := b.tool.AheadMM(-m.lowest())
	most := b.tool.MostTurn(ahead) + roundingRad
	start, end := m.heading(0), m.heading(1)
	off := math.Max(math.Abs(angleBetween(math.Atan2(start[1], start[0]), before)), math.Abs(angleBetween(math.Atan2(end[1], end[0]), b.heading)))
	if off > most {
		b.d.wrong(m.Line, "heading-off", "takes the blade along %v degrees off where it points, and %v are allowed: its edge is %v ahead of its axis, and cuts beside", degrees(off), degrees(most), length(ahead)).
			hint("turn it along its way first: A counts degrees from X, %v seen from above", b.d.countsA())
	}
	b.turn(m.Line, most, math.Abs(b.heading-before), m.flatLength())
	b.ends.judge(m, before, b.heading)
}

// turnRising is what a blade turns while it is lifted, as far as it is still in the foam.
func (b *steering) turnRising(m Motion, before float64) {
	if m.From.Z > -slackMM || m.To.Z <= m.From.Z || m.flatLength() > 0 {
		return
	}
	by := (b.heading - before) * math.Min(1, -m.From.Z/(m.To.Z-m.From.Z))
	b.turn(m.Line, b.tool.MostTurn(b.tool.AheadMM(-m.lowest()))+roundingRad, math.Abs(by), 0)
	b.ends.judge(m, before, before+by)
}

// turnStanding is a turn in one place.
func (b *steering) turnStanding(s read.Step, before float64) {
	at := b.list[len(b.list)-1]
	if at.To.Z > -slackMM {
		return
	}
	b.turn(s.Line, b.tool.MostTurn(b.tool.AheadMM(-at.To.Z))+roundingRad, math.Abs(b.heading-before), 0)
	at.To.Point = b.axis(s)
	at.Line, at.From, at.Arc = s.Line, at.To, false
	b.ends.judge(at, before, b.heading)
}

// axis is where the program's axis stands at a step, in true mm.
func (b *steering) axis(s read.Step) geometry.Point {
	x, y := b.d.setup.Machine.Scale()
	return geometry.Point{X: x * s.From.X, Y: y * s.From.Y}
}

// turn adds a turn, which fades along a way.
func (b *steering) turn(line int, most, by, way float64) {
	b.turned = math.Max(0, b.turned+by-way/(b.tool.ChordMM.Value/2))
	if b.turned > most && !b.told && b.down >= 0 {
		b.told = true
		b.d.wrong(line, "turned-in-foam", "has turned the blade by %v degrees in one place of the foam, and its gouge of %v allows %v", degrees(b.turned), length(b.tool.GougeMM.Value), degrees(most)).
			hint("lift it out of the foam to turn it")
	}
}

// roundingRad is what four decimals of degrees and of mm may add to an angle.
const roundingRad = 0.002

func degrees(rad float64) string { return number(math.Round(rad*1800/math.Pi) / 10) }

// countsA is which way the machine's A counts, in words.
func (d *run) countsA() string {
	if d.setup.Machine.ASign() < 0 {
		return "clockwise"
	}
	return "counter-clockwise"
}

// turnSeconds is how long the axis that turns a blade needs for what a motion turns.
func (d *run) turnSeconds(motion int) float64 {
	if d.trace.Turns == nil || d.setup.Machine.TurnRPM.Value <= 0 {
		return 0
	}
	step := d.stepOf[motion]
	return math.Abs(d.turnOf(step)) / (6 * d.setup.Machine.TurnRPM.Value)
}

// turnOf is by how much a step turns the A axis, degrees.
func (d *run) turnOf(step int) float64 {
	if step == 0 {
		return d.trace.Turns[0]
	}
	return d.trace.Turns[step] - d.trace.Turns[step-1]
}

// countTurn adds the time of a turn in one place.
func (d *run) countTurn(step int, s read.Step) {
	by, seconds := math.Abs(d.turnOf(step)), 0.0
	if s.FeedMMPerMin > 0 {
		seconds = 60 * by / s.FeedMMPerMin
		d.result.LowerBoundSeconds += seconds
	}
	if rpm := d.setup.Machine.TurnRPM.Value; rpm > 0 {
		seconds = math.Max(seconds, by/(6*rpm))
	}
	d.result.Seconds += seconds
}
