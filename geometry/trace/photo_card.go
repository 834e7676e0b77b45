package trace

import (
	"math"

	"traywright/geometry"
)

// The card in a photograph is found and measured like this:
//
//  1. Where the picture differs from paper by more than a level, follow the edge. Several
//     levels are tried, so that neither a pale card nor a shadow is lost.
//  2. Take the four corners with the largest area on a ring's hull, fit a line to the
//     points along each side, and let neighbouring lines meet.
//  3. Go over each side again in the picture itself: at many places, across the side, find
//     where the picture is half way between inside and outside. The lines through
//     those places meet in the corners that the card would have if they were sharp.
//  4. The corners give the plane of the paper. Now everything can be measured in mm:
//     whether the sides are straight, whether a camera can see the card's shape so, whether
//     its corners are as round as they ought to be.

// An ID-1 card, in mm (ISO/IEC 7810; the radius is between 2.88 and 3.48).
const (
	cardLengthMM = 85.60
	cardWidthMM  = 53.98
	cardRadiusMM = 3.18
)

// What a card may be off by. The aim is 0.5 mm in 100 mm: its shape may be wrong by 0.6 %,
// the points along its sides may stray by a fifth of the aim.
const (
	LargestShapePercent = 0.6  // of CardFit.ShapePercent
	LargestEdgeRMSMM    = 0.1  // of CardFit.EdgeRMSMM
	LargestEdgeOffMM    = 0.25 // of CardFit.EdgeWorstMM
)

// Further limits. A blur of 1.5 mm from a tenth to nine tenths is a normal curve with a
// deviation of 0.6 mm, which rounds a right angle by 0.77 of that, 0.45 mm. The radius
// has the standard's room and a pixel's.
const (
	largestBlurMM   = 1.5
	leastRadiusMM   = 1.9
	largestRadiusMM = 4.6
	leastCardPixels = 40 // of the shorter side
)

// card is a card's measured place in a photograph, in pixels, Y up.
type card struct {
	corners  [4]geometry.Point // counter-clockwise, as if sharp
	size     [4]geometry.Point // where they are on the paper, in mm
	toPaper  homography
	toPixels homography
	edges    [4][]geometry.Point // places on the four sides
	blur     float64             // pixels from a tenth to nine tenths of an edge
	fit      CardFit
	// bend is how far the lens moves a corner of the picture, as a share of its distance
	// from the middle, and bendNoise the standard deviation of that.
	bend, bendNoise float64
}

// CardFit says how well the card was found: what the outline's size rests on.
type CardFit struct {
	PixelsPerMM  float64 // in its middle
	EdgeRMSMM    float64 // of the points along its sides from straight lines
	EdgeWorstMM  float64 // of the tenth part of a side that strays most
	ShapePercent float64 // how far its sides are from 85.60 : 53.98 and square, in per cent
	CornerMM     float64 // the same, as the distance of a corner from its place
	RadiusMM     float64 // of its corners; nominally 3.18
	EdgeWidthMM  float64 // blur: from a tenth to nine tenths of an edge
	TiltDegrees  float64 // of the camera from straight above
}

// levels of difference at which things are looked for, besides the grain's own.
var cardLevels = [...]float64{0.1, 0.15, 0.22, 0.3, 0.4, 0.5, 0.65}

// findCards lists every thing that could be a card, best first, and what was wrong
// with the nearest that could not.
func findCards(g grid, floor float64) (cards []card, nearest error) {
	var best float64
	for _, level := range append([]float64{floor}, cardLevels[:]...) {
		if level < floor {
			continue
		}
		rings, _, err := contours(g, level, true, leastCardPixels*leastCardPixels)
		if err != nil {
			continue
		}
		for _, r := range rings {
			if r.area() < leastCardPixels*leastCardPixels || g.touches(r) {
				continue
			}
			c, likeness, err := measureCard(g, r)
			switch {
			case err == nil:
				cards = addCard(cards, c)
			case likeness > best:
				best, nearest = likeness, err
			}
		}
	}
	return cards, nearest
}

// addCard keeps the better of two findings of one card.
func addCard(cards []card, c card) []card {
	middle := c.middle()
	for i, d := range cards {
		if middle.DistanceTo(d.middle()) < leastCardPixels/2 {
			if c.fit.EdgeRMSMM < d.fit.EdgeRMSMM {
				cards[i] = c
			}
			return cards
		}
	}
	return append(cards, c)
}

func (c card) middle() geometry.Point {
	return c.corners[0].Add(c.corners[1]).Add(c.corners[2]).Add(c.corners[3]).Scale(0.25)
}

// box is the card on the paper, as if its corners were sharp.
func (c card) box() geometry.Box {
	box := geometry.EmptyBox()
	for _, p := range c.size {
		box = box.Union(geometry.Box{Min: p, Max: p})
	}
	return box
}

// touches reports whether a ring reaches the picture's border.
func (g grid) touches(r ring) bool {
	b := boundsOf([]ring{r})
	return b.Min.X < 1 || b.Min.Y < 1 || b.Max.X > float64(g.w)-1 || b.Max.Y > float64(g.h)-1
}

// measureCard measures a ring as if it were a card. likeness, 0 to 1, is how much
// of a card it is when it is none: the error says what is missing.
func measureCard(g grid, r ring) (c card, likeness float64, err error) {
	around := hull(r)
	if r.area() < 0.9*ring(around).area() { // a card has no bays
		return c, 0, errNoCard
	}
	quad, ok := largestQuad(around)
	if !ok {
		return c, 0, errNoCard
	}
	if c.corners, ok = r.settle(quad); !ok {
		return c, 0, errNoCard
	}
	fill := r.area() / quadArea(c.corners)
	if !(fill > 0.96 && fill < 1.02) || !convex(c.corners) || shortest(c.corners) < leastCardPixels {
		return c, 0.1, errNoCard
	}
	if c.corners, c.edges, c.blur, ok = g.sharpenQuad(c.corners); !ok || !convex(c.corners) {
		return c, 0.2, errNoCard
	}
	c.size = cardOnPaper(c.corners)
	toPixels, ok1 := homographyOf(c.size, c.corners)
	toPaper, ok2 := homographyOf(c.corners, c.size)
	if !ok1 || !ok2 {
		return c, 0.2, errNoCard
	}
	c.toPixels, c.toPaper = toPixels, toPaper
	c.judge(g)
	return c, c.likeness(), c.check()
}

var errNoCard = refuse("lay a bank card or the like (85.60 mm x 53.98 mm) flat beside the piece, clear of it and of the picture's border, on paper of another colour than its edge",
	"no card is found in the picture")

// cardOnPaper gives each corner its place on the paper: the card's sides lie along
// the axes, turned as little as may be.
func cardOnPaper(corners [4]geometry.Point) (size [4]geometry.Point) {
	first := 0
	best := math.Inf(-1)
	for k := range 4 {
		side := corners[(k+1)%4].Sub(corners[k])
		if along := side.X / side.Norm(); along > best {
			best, first = along, k
		}
	}
	side := func(k int) float64 { return corners[(first+k+1)%4].DistanceTo(corners[(first+k)%4]) }
	width, height := cardLengthMM, cardWidthMM
	if side(0)+side(2) < side(1)+side(3) {
		width, height = height, width
	}
	for k, p := range [4]geometry.Point{{}, {X: width}, {X: width, Y: height}, {Y: height}} {
		size[(first+k)%4] = p
	}
	return size
}

// judge measures the residuals.
func (c *card) judge(g grid) {
	f := &c.fit
	f.PixelsPerMM = c.toPixels.scale(c.size[0].Add(c.size[2]).Scale(0.5))
	var sum float64
	n := 0
	for k, edge := range c.edges {
		a, b := c.size[k], c.size[(k+1)%4]
		along := b.Sub(a).Scale(1 / a.DistanceTo(b))
		var off []float64
		for _, p := range edge {
			d := along.Cross(c.toPaper.apply(p).Sub(a))
			off = append(off, d)
			sum += d * d
			n++
		}
		f.EdgeWorstMM = max(f.EdgeWorstMM, worstTenth(off))
	}
	f.EdgeRMSMM = math.Sqrt(sum / float64(max(n, 1)))
	f.EdgeWidthMM = c.blur / f.PixelsPerMM
	best := bestView(c.centred(g), float64(max(g.w, g.h)))
	f.ShapePercent = 100 * best.misfit
	f.CornerMM = best.misfit * math.Hypot(cardLengthMM, cardWidthMM) / 2
	f.TiltDegrees = best.tilt * 180 / math.Pi
	f.RadiusMM = c.radius(g)
	c.bend, c.bendNoise = c.lens(g, asSeen)
}

// lens measures by the card's sides how much the lens bends lines, to first order: a place
// at r from the middle of the picture is moved outwards by bend r³ / R², R being half of
// the picture's diagonal (D. Brown, "Close-range camera calibration", Photogrammetric
// Engineering 37, 1971: lines that ought to be straight tell). It is the least squares of what the sides
// stray by against how that would bend them. Neighbouring places of an edge share
// their noise, so each counts for a fourth. The sides are looked at as straight shows them.
func (c *card) lens(g grid, straight func(geometry.Point) geometry.Point) (bend, noise float64) {
	middle := geometry.Point{X: float64(g.w) / 2, Y: float64(g.h) / 2}
	var strays, bends []float64
	for k, edge := range c.edges {
		n := c.corners[(k+1)%4].Sub(c.corners[k]).Left()
		n = n.Scale(1 / n.Norm())
		var along, stray, curve []float64
		for _, p := range edge {
			q := straight(p).Sub(middle)
			along = append(along, -n.Left().Dot(q))
			stray = append(stray, n.Dot(q))
			curve = append(curve, n.Dot(q)*q.Dot(q)/middle.Dot(middle))
		}
		strays = append(strays, lessLine(along, stray)...)
		bends = append(bends, lessLine(along, curve)...)
	}
	var both, square, rest float64
	for i, b := range bends {
		both, square = both+b*strays[i], square+b*b
	}
	if square == 0 {
		return 0, math.Inf(1)
	}
	bend = both / square
	for i, b := range bends {
		rest += (strays[i] - bend*b) * (strays[i] - bend*b)
	}
	return bend, 2 * math.Sqrt(rest/float64(len(bends))/square)
}

func asSeen(p geometry.Point) geometry.Point { return p }

// lessLine is y less the line a + bx that fits it best.
func lessLine(x, y []float64) []float64 {
	n := float64(len(x))
	var sx, sy, xx, xy float64
	for i := range x {
		sx, sy = sx+x[i], sy+y[i]
	}
	for i := range x {
		xx += (x[i] - sx/n) * (x[i] - sx/n)
		xy += (x[i] - sx/n) * (y[i] - sy/n)
	}
	out := make([]float64, len(x))
	for i := range x {
		out[i] = y[i] - sy/n - xy/xx*(x[i]-sx/n)
	}
	return out
}

// worstTenth is the largest mean of a tenth part of a row of values.
func worstTenth(v []float64) float64 {
	n := max(len(v)/10, 1)
	worst := 0.0
	for i := 0; i+n <= len(v); i += n {
		sum := 0.0
		for _, x := range v[i : i+n] {
			sum += x
		}
		worst = max(worst, math.Abs(sum/float64(n)))
	}
	return worst
}

// centred is the map from mm to pixels that count from the middle of the picture.
func (c *card) centred(g grid) homography {
	h := c.toPixels
	for k := range 3 {
		h[k] -= float64(g.w) / 2 * h[6+k]
		h[3+k] -= float64(g.h) / 2 * h[6+k]
	}
	return h
}

// radius is that of corners which are as far from sharp as these are, along their
// diagonals: a round corner of a right angle leaves out (√2 - 1) r of it. It is the
// middle one of four, as one may lie in a shadow.
func (c *card) radius(g grid) float64 {
	const from, to, step = -2.0, 4.6, 0.1 // mm along the diagonal, inwards
	var radii []float64
	center := c.size[0].Add(c.size[2]).Scale(0.5)
	for _, p := range c.size {
		// A right angle's diagonal, not the card's.
		inward := geometry.Point{X: math.Copysign(math.Sqrt2/2, center.X-p.X), Y: math.Copysign(math.Sqrt2/2, center.Y-p.Y)}
		var profile []float64
		for d := from; d < to; d += step {
			profile = append(profile, g.near(c.toPixels.apply(p.Add(inward.Scale(d)))))
		}
		if at, _, ok := edgeIn(profile); ok {
			radii = append(radii, max(from+at*step, 0)/(math.Sqrt2-1))
		}
	}
	if len(radii) == 0 {
		return 0
	}
	return middleOf(radii)
}

// likeness is larger the fewer rules a thing breaks, and by less.
func (c *card) likeness() float64 {
	f := c.fit
	return 1 / (1 + f.ShapePercent/LargestShapePercent + f.EdgeRMSMM/LargestEdgeRMSMM + f.EdgeWorstMM/LargestEdgeOffMM)
}

// check holds the residuals against their limits.
func (c *card) check() error {
	f := c.fit
	const again = "photograph it again from straight above, sharp, the card flat and the whole picture kept (not cropped)"
	switch {
	case f.EdgeWidthMM > largestBlurMM:
		return refuse("hold the camera still and let it focus on the card",
			"the picture is blurred: the card's edge is %.1f mm wide, and more than %.1f mm hides where the piece ends", f.EdgeWidthMM, largestBlurMM)
	case f.EdgeRMSMM > LargestEdgeRMSMM || f.EdgeWorstMM > LargestEdgeOffMM:
		return refuse("lay the card flat; step back with a lens that bends lines less, keep card and piece near the middle",
			"the card's edges are not straight: they stray by %.2f mm (RMS) and %.2f mm at the worst place, and %.2f mm and %.2f mm are allowed for outlines true to 0.5 mm", f.EdgeRMSMM, f.EdgeWorstMM, LargestEdgeRMSMM, LargestEdgeOffMM)
	case f.ShapePercent > LargestShapePercent:
		return refuse(again, "the card's shape is %.2f %% off 85.60 : 53.98 (its corners by %.2f mm), and %.1f %% is allowed for outlines true to 0.5 mm: it is no ID-1 card, or not flat",
			f.ShapePercent, f.CornerMM, LargestShapePercent)
	case f.RadiusMM < leastRadiusMM || f.RadiusMM > largestRadiusMM:
		return refuse("use an ID-1 card: a bank card, an identity card",
			"the thing of a card's shape has corners of radius %.1f mm, and an ID-1 card has %.2f mm", f.RadiusMM, cardRadiusMM)
	}
	return nil
}
