package trace

import (
	"math"

	"traywright/geometry"
)

// What a size may be off by is the root of the squares of what each cause may add (ISO/IEC
// Guide 98-3, 5.1.2); each is a bound that holds in nearly all photographs, not a standard
// deviation. The numbers are judged by rendered scenes, no source.
const (
	edgePixels  = 0.45 // of both edges of a size together
	hiddenBlur  = 0.12 // of an edge's width by which a shadow may move it that is too thin to be seen
	tipPixels   = 1.2  // the same of a piece that may end in a tip
	tipBlunted  = 1.3  // times what a blur takes off a tip: see blunted
	cardPixels  = 0.1  // of each of the card's corners, beside what its edges' noise says
	flatMM      = 0.5  // how far the paper may be from flat, up or down
	flatReachMM = 120  // over which paper that is not flat leans a card
	leanReachMM = 50   // and over which a piece, which is seen the shorter or longer the more it is seen from the side, and its top moved: twice as much by a steep place
	lensSure    = 2.5  // deviations of what is known of the lens
	heightOffMM = 0.5  // how far off a height that was told may be, where nobody measured it
)

// doubt works out what the sizes of a piece may be off by.
func (t *table) doubt(p *Piece) {
	perPixel := 0.0
	far := 0.0
	middle := geometry.Point{X: float64(t.diff.w) / 2, Y: float64(t.diff.h) / 2}
	for _, c := range p.Axes {
		q := t.lens.toPixels.apply(c)
		perPixel = max(perPixel, 1/t.lens.toPixels.scale(c))
		far = max(far, q.DistanceTo(middle)/middle.Norm())
		p.PerMM = max(p.PerMM, c.DistanceTo(t.camera.foot)/t.camera.height)
	}
	lens := 3 * lensSure * t.lens.noise * far * far
	center := t.card.size[0].Add(t.card.size[2]).Scale(0.5)
	lie := flatMM * (1 + p.Middle().DistanceTo(center)/flatReachMM)
	if t.height > 0 {
		lie = math.Hypot(lie, t.heightOff)
	}
	const lean = flatMM / leanReachMM
	moved, pixels := t.cardMoves(p), edgePixels
	if p.tipped {
		pixels = tipPixels
	}
	for k, to := range []*float64{&p.LengthOff, &p.WidthOff} {
		size := [2]float64{p.Length, p.Width}[k]
		edges := max(pixels*perPixel, tipBlunted*p.blunted[k])
		*to = root(edges, hiddenBlur*t.card.blur*perPixel, moved[k], lens*size, lie*size/t.camera.height, lean*(p.PerMM*size+2*t.height))
	}
}

// blunted is what a blur may have taken off the tip that reaches farthest one way. Where light of
// a normal curve leaves half, it is 0.3 times the edge's width from a tenth to nine tenths, over the
// tangent of half the tip's angle (derived: 0.50 widths at 60 degrees, 0.30 at 90, 0.18 at 120), and no more than
// where the two sides would meet.
func (t *table) blunted(on ring, out geometry.Point) float64 {
	far := 0
	for k := range on {
		if out.Dot(on[k]) > out.Dot(on[far]) {
			far = k
		}
	}
	blur := t.card.blur / stepPixels
	near, end := int(blur), max(int(3*blur), int(blur)+8)
	if 2*end > len(on) {
		return 0
	}
	var arms [2]side
	for i, way := range [2]int{-1, 1} {
		var points []geometry.Point
		for k := near; k <= end; k++ {
			points = append(points, on.at(far+way*k))
		}
		p, d := fitLine(points)
		if d.Dot(points[0].Sub(p)) < 0 { // towards the tip
			d = d.Scale(-1)
		}
		arms[i] = side{p: p, d: d}
	}
	tip, ok := meet(arms[0], arms[1], on[far])
	if !ok {
		return 0
	}
	half := math.Atan2(math.Abs(arms[0].d.Cross(arms[1].d)), arms[0].d.Dot(arms[1].d)) / 2
	most := 0.3 * t.card.blur / t.card.fit.PixelsPerMM / math.Tan(half)
	return max(min(out.Dot(tip.Sub(on[far])), most), 0)
}

func root(parts ...float64) float64 {
	sum := 0.0
	for _, v := range parts {
		sum += v * v
	}
	return math.Sqrt(sum)
}

// cornerOff is how far off, in pixels, a corner of the card may be: it is where two lines end that go
// through a fourth of the points each, and neighbouring points share their noise.
func (t *table) cornerOff() float64 {
	n := 0
	for _, e := range t.card.edges {
		n += len(e)
	}
	return cardPixels + 2*t.card.fit.EdgeRMSMM*t.card.fit.PixelsPerMM*math.Sqrt(24/float64(max(n, 24)))
}

// cardMoves is how much the piece's length and width change with the card's corners, each
// moved by what it may be off.
func (t *table) cardMoves(p *Piece) (moves [2]float64) {
	off := t.cornerOff()
	var seen [4]geometry.Point
	for k, c := range p.Axes {
		seen[k] = t.lens.toPixels.apply(c)
	}
	for k := range t.lens.corners {
		for _, d := range [...]geometry.Point{{X: off}, {Y: off}} {
			corners := t.lens.corners
			corners[k] = corners[k].Add(d)
			h, ok := homographyOf(corners, t.card.size)
			if !ok {
				continue
			}
			length := h.apply(seen[0]).DistanceTo(h.apply(seen[1]))/2 + h.apply(seen[3]).DistanceTo(h.apply(seen[2]))/2
			width := h.apply(seen[0]).DistanceTo(h.apply(seen[3]))/2 + h.apply(seen[1]).DistanceTo(h.apply(seen[2]))/2
			moves[0] = math.Hypot(moves[0], length-p.Axes[0].DistanceTo(p.Axes[1]))
			moves[1] = math.Hypot(moves[1], width-p.Axes[0].DistanceTo(p.Axes[3]))
		}
	}
	return moves
}

// unsure gives a piece up whose size is not sure enough.
func (t *table) unsure(p Piece, worst float64) *PictureError {
	return given("lay it nearer to the card, card and pieces in the middle of the picture, the paper on a flat table; hold the camera higher, and say how high with --camera; or take a less sure size with --within",
		"%.1f x %.1f mm as seen, but it may be off by %.2f mm, and %.2f mm is allowed", p.Length, p.Width, worst, t.within)
}
