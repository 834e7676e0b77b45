package proof

import (
	"math"

	"traywright/cam/proof/read"
	"traywright/geometry"
	"traywright/profiles"
)

// bladeEnds holds both ends of a turned blade against the foam that is to stay.
type bladeEnds struct {
	d           *run
	walls       geometry.Walls
	reach, half float64
	most        float64 // that an end may cut into it
}

const (
	// endsMM and endsRad are how finely a way and a turn are looked at, in mostEnds pieces: a turn of more
	// than a whole one shows nothing new.
	endsMM, endsRad, mostEnds = 0.25, 0.02, 20_000
	// unionMM is the distance under which two places of the foam that stays are one.
	unionMM = 1e-6
)

// bladeEnds is nil where nobody has said what is to stay.
func (d *run) bladeEnds(tool profiles.Tool, reach, half float64) *bladeEnds {
	if d.want == nil {
		return nil
	}
	holes := make([]geometry.Region, 0, len(d.want.Cuts))
	for _, c := range d.want.Cuts {
		holes = append(holes, c.Shape)
	}
	stays := d.want.Outline
	if open, err := geometry.Union(unionMM, holes...); err == nil {
		if rest, err := geometry.Difference(stays, open, unionMM); err == nil {
			stays = rest
		}
	}
	return &bladeEnds{d, geometry.NewWalls(stays), reach, half, tool.GougeMM.Value + d.tolerance}
}

// judge finds the place of a motion where an end is deepest in foam that stays.
func (e *bladeEnds) judge(m Motion, before, after float64) {
	if e == nil {
		return
	}
	worst, at := 0.0, geometry.Point{}
	n := math.Ceil(m.flatLength()/endsMM) + math.Ceil(math.Min(math.Abs(after-before), 2*math.Pi)/endsRad)
	n = math.Min(math.Max(1, n), mostEnds)
	way := axisOf(m)
	for k := 0.0; k <= n; k++ {
		sin, cos := math.Sincos(before + k/n*(after-before))
		axis, ahead := way.at(k/n), geometry.Point{X: e.reach * cos, Y: e.reach * sin}
		for _, end := range [2]geometry.Point{axis.Add(ahead), axis.Sub(ahead)} {
			if over := e.over(end); over > worst {
				worst, at = over, end
			}
		}
	}
	if worst > e.most {
		e.d.wrong(m.Line, "blade-in-foam", "an end of the blade cuts %v into foam that is to stay at %v, and its gouge allows %v", length(worst), at, length(e.most-e.d.tolerance)).
			hint("let it stop short of a corner by half of its width, and lift it to turn")
	}
}

// over is how deep an end cuts into foam that stays.
func (e *bladeEnds) over(end geometry.Point) float64 {
	far := e.walls.DistanceTo(end, 0)
	if e.walls.Contains(end) {
		return e.half + far
	}
	return e.half - far
}

// winds finds a blade that is turned farther in the air than a whole turn from A0: there the same
// heading is always nearer, and the cable of a blade's motor winds up.
func (b *steering) winds(s read.Step, before float64) {
	now := math.Abs(b.heading)
	if b.wound || now <= 2*math.Pi+roundingRad || now <= math.Abs(before) || s.Action != read.Traverse && s.Action != read.Turn && b.d.above(s.To.Z) < 0 {
		return
	}
	b.wound = true
	b.d.strictly(s.Line, "wound-up", "turns the blade to %v degrees from A0 where it cuts nothing: no heading needs more than 360, and the cable of its motor winds up", degrees(now)).
		hint("write the A from -360 to 360 that points the same way")
}
