package trace

import (
	"math"

	"traywright/geometry"
)

// When a piece is as good as a box or a circle (judged, no source).
const (
	boxFill     = 0.955 // of its box that it fills
	roundness   = 0.02  // of the radius that its edge strays from a circle's, RMS
	roundWorst  = 0.05  // and at the worst place
	roundNoise  = 0.1   // mm that may come on top
	straightest = 0.7   // of a side that is fitted: the middle of it
	roundEndMM  = 0.05  // that such a side strays from a line, RMS: more is no straight side, and reaches as far as its farthest place
)

// size measures the box of a piece along its own axes, whose edge on the card's plane is
// given as points and as a region.
func (t *table) size(on ring, region geometry.Region) Piece {
	var outline []geometry.Point
	for s := range region.Contours()[0].Segments() {
		n := 1 + int(4*math.Abs(s.Sweep())/(math.Pi/8))
		for i := range n {
			outline = append(outline, s.At(float64(i)/float64(n)))
		}
	}
	around := hull(outline)
	turn := leastBox(around)
	p := Piece{Form: t.formOf(on, around, turn), Region: region}
	p.tipped = p.Form == Odd
	var edges [4]float64
	switch p.Form {
	case Box:
		turn, edges, p.tipped = boxSides(on, turn)
	default:
		edges = supports(around, turn)
	}
	p.Length, p.Width = t.lowered(edges[0], turn)+t.lowered(edges[2], turn+math.Pi), t.lowered(edges[1], turn+math.Pi/2)+t.lowered(edges[3], turn-math.Pi/2)
	if p.Form == Disc {
		p.Length = t.diameter(on)
		p.Width = p.Length
	}
	if p.Length < p.Width {
		p.Length, p.Width = p.Width, p.Length
		turn, edges = turn+math.Pi/2, [4]float64{edges[1], edges[2], edges[3], edges[0]}
	}
	p.Turn = turn
	u, v := towards(turn), towards(turn+math.Pi/2)
	if p.tipped {
		for k, out := range [2]geometry.Point{u, v} {
			p.blunted[k] = t.blunted(on, out) + t.blunted(on, out.Scale(-1))
		}
	}
	for k, e := range [4][2]float64{{-edges[2], -edges[3]}, {edges[0], -edges[3]}, {edges[0], edges[1]}, {-edges[2], edges[1]}} {
		p.Axes[k] = u.Scale(e[0]).Add(v.Scale(e[1]))
	}
	return p
}

func towards(turn float64) geometry.Point {
	sin, cos := math.Sincos(turn)
	return geometry.Point{X: cos, Y: sin}
}

// supports are how far points reach towards a turn and each quarter turn on.
func supports(points []geometry.Point, turn float64) (reach [4]float64) {
	for k := range reach {
		d := towards(turn + float64(k)*math.Pi/2)
		reach[k] = math.Inf(-1)
		for _, p := range points {
			reach[k] = max(reach[k], d.Dot(p))
		}
	}
	return reach
}

// leastBox is the turn of the box of least area around a convex hull: one of its sides
// lies along the hull's (H. Freeman, R. Shapira, Communications of the ACM 18, 1975).
func leastBox(around []geometry.Point) (turn float64) {
	least := math.Inf(1)
	for i, p := range around {
		side := around[(i+1)%len(around)].Sub(p)
		at := math.Atan2(side.Y, side.X)
		r := supports(around, at)
		if area := (r[0] + r[2]) * (r[1] + r[3]); area < least {
			least, turn = area, at
		}
	}
	return turn
}

func (t *table) formOf(on ring, around []geometry.Point, turn float64) Form {
	r := supports(around, turn)
	if math.Abs(on.area()) > boxFill*(r[0]+r[2])*(r[1]+r[3]) {
		return Box
	}
	middle, radius := circleThrough(on)
	sum, worst := 0.0, 0.0
	for _, p := range on {
		d := p.DistanceTo(middle) - radius
		sum, worst = sum+d*d, max(worst, math.Abs(d))
	}
	if math.Sqrt(sum/float64(len(on))) < roundness*radius+roundNoise/2 && worst < roundWorst*radius+roundNoise {
		return Disc
	}
	return Odd
}

// circleThrough is the circle nearest to a ring, by its middle and its mean distance: good
// where the points lie evenly all around.
func circleThrough(on ring) (middle geometry.Point, radius float64) {
	for _, p := range on {
		middle = middle.Add(p.Scale(1 / float64(len(on))))
	}
	for _, p := range on {
		radius += p.DistanceTo(middle) / float64(len(on))
	}
	return middle, radius
}

// boxSides fits a line to the middle of each side of a box, and is how far each lies out
// along their common turn; tipped is one with a side that is not straight.
func boxSides(on ring, turn float64) (at float64, straight [4]float64, tipped bool) {
	reach := supports(on, turn)
	sides := on.sidesOf(turn, reach)
	lean, weights := 0.0, 0.0
	for k, points := range sides {
		if line, _, ok := steadyLine(points); ok {
			length := reach[(k+1)%4] + reach[(k+3)%4]
			w := length * length * length // a line's lean is as sure as its length cubed
			lean, weights = lean+w*leanOf(line, turn+float64(k)*math.Pi/2), weights+w
		}
	}
	if weights > 0 {
		turn += lean / weights
	}
	straight = supports(on, turn)
	for k, points := range sides {
		out := towards(turn + float64(k)*math.Pi/2)
		mean, square := 0.0, 0.0
		for _, p := range points {
			d := out.Dot(p)
			mean, square = mean+d/float64(len(points)), square+d*d/float64(len(points))
		}
		if len(points) > 0 && math.Sqrt(max(square-mean*mean, 0)) < roundEndMM {
			straight[k] = mean
		} else {
			tipped = true
		}
	}
	return turn, straight, tipped
}

// sidesOf are the points along the middle of each side of a box that reaches so far.
func (r ring) sidesOf(turn float64, reach [4]float64) (sides [4][]geometry.Point) {
	for k := range sides {
		out := towards(turn + float64(k)*math.Pi/2)
		low, high := -reach[(k+3)%4], reach[(k+1)%4]
		deep := 0.15 * (reach[k] + reach[(k+2)%4])
		for _, p := range r {
			u := (out.Left().Dot(p) - low) / (high - low)
			if math.Abs(u-0.5) < straightest/2 && out.Dot(p) > reach[k]-deep {
				sides[k] = append(sides[k], p)
			}
		}
	}
	return sides
}

// lowered is how far out a side really lies that is seen so far out on the card's plane,
// from the paper's origin, for a piece with upright sides: away from the foot of the
// lens its top is what is seen, towards it the edge on which it stands. Where nobody said how high it
// is, nothing is known, and the side is where it is seen.
func (t *table) lowered(reach, turn float64) float64 {
	if t.height == 0 {
		return reach
	}
	foot := towards(turn).Dot(t.camera.foot)
	high := 0.0
	if reach > foot {
		high = t.height
	}
	return foot + (reach-foot)*(t.camera.height-high)/(t.camera.height-cardThicknessMM)
}

// diameter is the mean width over many directions.
func (t *table) diameter(on ring) float64 {
	widths := t.widths(on)
	sum := 0.0
	for _, w := range widths {
		sum += w
	}
	return sum / float64(len(widths))
}

// widths of a disc over half a turn: how far out its edge lies either way, along arcs.
func (t *table) widths(on ring) (widths [36]float64) {
	middle, radius := circleThrough(on)
	var far, n [2 * len(widths)]float64
	for _, p := range on {
		q := p.Sub(middle)
		k := int(math.Round(math.Atan2(q.Y, q.X)/(2*math.Pi)*float64(len(far))+float64(len(far)))) % len(far)
		far[k], n[k] = far[k]+q.Norm(), n[k]+1
	}
	for k := range far {
		if n[k] == 0 {
			far[k], n[k] = radius, 1
		}
		turn := 2 * math.Pi * float64(k) / float64(len(far))
		widths[k%len(widths)] += t.lowered(towards(turn).Dot(middle)+far[k]/n[k], turn)
	}
	return widths
}
