package trace

import (
	"math"
	"slices"

	"traywright/geometry"
)

// A lens moves a place at r from the middle of the picture to r (1 - bend r² / R²), R being
// half of the picture's diagonal, and lengths along r change by three times that share. The
// card is too small to show it well, but a disc far out becomes an oval, and the corners of a
// box are no longer right: bend is the one that makes them most round and right, by least
// squares, with what the card's own edges say. Nothing is asked of pieces of another form.
type lens struct {
	bend, noise float64 // and its standard deviation
	more        float64 // the same of r⁵ / R⁴, where the lens was measured by a grid
	middle      geometry.Point
	toPaper     homography
	toPixels    homography
	corners     [4]geometry.Point
}

func (l lens) straight(p geometry.Point) geometry.Point {
	d := p.Sub(l.middle)
	r := d.Dot(d) / l.middle.Dot(l.middle)
	return l.middle.Add(d.Scale(1 + l.bend*r + l.more*r*r))
}

// bent is where a straightened place is seen.
func (l lens) bent(p geometry.Point) geometry.Point {
	q := p
	for range 8 {
		q = q.Add(p.Sub(l.straight(q)))
	}
	return q
}

func (l lens) onPaper(p geometry.Point) geometry.Point { return l.toPaper.apply(l.straight(p)) }

// withLens measures the card through a lens that bends so much.
func (t *table) withLens(bend float64) (l lens, ok bool) {
	l = lens{bend: bend, middle: geometry.Point{X: float64(t.diff.w) / 2, Y: float64(t.diff.h) / 2}, toPaper: t.card.toPaper, toPixels: t.card.toPixels, corners: t.card.corners}
	if t.known != nil {
		l.more = t.known.K2
	}
	if bend == 0 && l.more == 0 {
		return l, true
	}
	var lines [4]side
	for k, edge := range t.card.edges {
		if lines[k], _, ok = steadyLine(ring(edge).placed(l.straight)); !ok {
			return l, false
		}
	}
	if l.corners, ok = meetAll(lines); !ok {
		return l, false
	}
	var there, back bool
	l.toPaper, there = homographyOf(l.corners, t.card.size)
	l.toPixels, back = homographyOf(t.card.size, l.corners)
	return l, there && back
}

// What is known of pieces beforehand (judged, no source).
const (
	truestMM    = 0.02 // how round and right they are at best, where many agree
	truerMM     = 0.06 // and one alone more
	largestLens = 0.1
)

// shown is the lens that makes card and pieces most straight, round and right.
func (t *table) shown(edges []ring) lens {
	best, _ := t.withLens(0)
	best.noise = 2 * t.card.bendNoise
	at := 0.0
	for range 3 {
		const step = 0.004
		here, ok := t.withLens(at)
		beside, ok2 := t.withLens(at + step)
		if !ok || !ok2 {
			return best
		}
		off, more := t.faults(edges, here), t.faults(edges, beside)
		if len(off) != len(more) {
			return best
		}
		change, noise, ok := solveLens(off, more, step, t.cardBend(here), t.card.bendNoise)
		if !ok || math.Abs(at+change) > largestLens {
			return best
		}
		at += change
		found, ok := t.withLens(at)
		if !ok {
			return best
		}
		best, best.noise = found, noise
	}
	return best
}

// solveLens is the change of the bend that takes the faults away, and what it may be off by.
// The card's word is one more fault, in its own deviation.
func solveLens(off, more []float64, step, card, cardNoise float64) (change, noise float64, ok bool) {
	if !(cardNoise > 0) || math.IsInf(cardNoise, 0) {
		return 0, 0, false
	}
	// Pieces that are neither round nor right say nothing.
	var sizes []float64
	for _, v := range off {
		sizes = append(sizes, math.Abs(v))
	}
	limit := math.Inf(1)
	if len(sizes) > 4 {
		slices.Sort(sizes)
		limit = 4*sizes[len(sizes)/2] + 3*truestMM
	}
	spread := 0.0
	for range 3 {
		weight, sum := 1/(cardNoise*cardNoise), card/(cardNoise*cardNoise)
		rest, n := 0.0, 0.0
		s := max(spread, truestMM)
		for i, v := range off {
			if math.Abs(v) > limit {
				continue
			}
			slope := (more[i] - v) / step
			weight, sum = weight+slope*slope/(s*s), sum-slope*v/(s*s)
			left := v + slope*change
			rest, n = rest+left*left, n+1
		}
		change, noise = sum/weight, 1/math.Sqrt(weight)
		if n > 0 {
			spread = max(math.Sqrt(rest/max(n-1, 1)), truestMM+truerMM/n)
		}
	}
	return change, noise, true
}

// faults is how far, in mm, discs are from round and boxes from right angles, two for each
// disc and one for each box, as one lens or another shows them. Discs of unknown height say
// nothing: their sides are seen.
func (t *table) faults(edges []ring, l lens) (list []float64) {
	before := t.lens
	defer func() { t.lens = before }()
	t.lens = l
	flat, _ := t.withLens(0)
	for _, edge := range edges {
		on := edge.placed(l.onPaper)
		around := hull(edge.placed(flat.onPaper))
		turn := leastBox(around)
		switch t.formOf(edge.placed(flat.onPaper), around, turn) {
		case Box:
			list = append(list, rightness(on, turn))
		case Disc:
			if t.height > 0 {
				oval := t.oval(on)
				list = append(list, oval[0], oval[1])
			}
		}
	}
	return list
}

// rightness is how far a box's corners are from right angles, at half of its shorter side. Which
// of its sides is the first is told by a turn that they have nearly, the same whatever the lens:
// else a box that is nearly square would lean the other way through another lens.
func rightness(on ring, near float64) float64 {
	turn := leastBox(hull(on))
	turn += math.Round((near-turn)/(math.Pi/2)) * math.Pi / 2
	reach := supports(on, turn)
	sides := on.sidesOf(turn, reach)
	var lean [2]float64
	for k := range 2 {
		for _, j := range [...]int{k, k + 2} {
			line, _, ok := steadyLine(sides[j])
			if !ok {
				return 0
			}
			lean[k] += leanOf(line, turn+float64(k)*math.Pi/2) / 2
		}
	}
	return (lean[0] - lean[1]) * min(reach[0]+reach[2], reach[1]+reach[3]) / 2
}

// leanOf is how far a side is turned from where it belongs, across a turn.
func leanOf(line side, turn float64) float64 {
	along := towards(turn).Left()
	d := line.d
	if d.Dot(along) < 0 {
		d = d.Scale(-1)
	}
	return along.Cross(d)
}

// oval is how much wider a disc is along the axes than across, and along the diagonals.
func (t *table) oval(on ring) (by [2]float64) {
	widths := t.widths(on)
	for k, w := range widths {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(len(widths))) // twice the direction, over half a turn
		by[0] += 2 * w * cos / float64(len(widths))
		by[1] += 2 * w * sin / float64(len(widths))
	}
	return by
}
