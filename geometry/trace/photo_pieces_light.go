package trace

import (
	"math"
	"slices"

	"traywright/geometry"
)

func sortFloats(v []float64) { slices.Sort(v) }

// What an edge in the photograph has to be like to be a piece's own (judged by rendered
// scenes, no source).
const (
	softEdge      = 0.55 // of the slope that an edge as sharp as the card's has: a shadow's, or out of focus
	softShadow    = 0.8  // of that slope: what is steeper is no shadow's end
	softShare     = 0.05 // of an edge that may be so
	hiddenRise    = 0.4  // of an edge's usual contrast: with less, a shadow or a glare hides it
	paleShare     = 0.02 // of an edge that may be hidden
	neutral       = 0.05 // how far apart the colours of a shadow on paper may be, in shares of its light
	brighter      = 1.06 // times the paper's light: gloss
	tintShare     = 0.06 // of a strip outside that may have a colour
	glossShare    = 0.01 // of a strip inside the edge that may be so
	shadowShare   = 0.03 // of that strip that may be a shadow's colour, where the rest is not
	lopsidedShare = 0.88 // of the slope of the card's sharpest side that a piece's softest has at least
	fringe        = 0.08 // how far the light just inside an edge is from that further in, where it has no colour
	fringeShare   = 0.04 // of an edge that may be so
	leastTint     = 0.2  // how uneven a piece's colours are at least that a grey edge is seen beside
	greyingTint   = 0.6  // of that: less is a grey edge
	greyingShare  = 0.04 // of an edge that may be so
	shadowSpread  = 0.12 // in a piece as grey as a shadow, how far apart its light may be
)

// looks is what an edge is like along its way.
type looks struct {
	seen, soft, pale, gloss, grey, tinted, fringed, greying int
	softRun                                                 int       // the longest of soft places, in a row
	light                                                   []float64 // inside, in shares of the paper's
	sharp                                                   [8][]float64
}

// lit looks along an edge for what makes it unsure: soft or pale stretches, gloss, and what
// has the colour of a shadow beside a piece that has not.
func (t *table) lit(edge ring) *PictureError {
	reach := min(max(2*t.card.blur, 4), 12)
	var l looks
	var rises []float64
	run := 0
	for k := 0; k < len(edge); k += 2 {
		p, outward := edge[k], edge.outward(k)
		l.seen++
		rise, sharp := t.slope(p, outward)
		rises = append(rises, rise)
		run++
		if sharp >= softEdge {
			run = 0
		} else {
			l.soft++
		}
		l.softRun = max(l.softRun, run)
		way := int(math.Atan2(outward.Y, outward.X)/(2*math.Pi)*8+8.5) % 8
		l.sharp[way] = append(l.sharp[way], sharp)
		if _, apart, ok := t.shade(p.Add(outward.Scale(reach))); ok && apart > 2*neutral {
			l.tinted++
		}
		t.inside(&l, p, outward, reach)
		if t.greys(p, outward, reach) {
			l.greying++
		}
	}
	clear := middleOf(rises)
	for _, rise := range rises {
		if rise < leastContrast || rise < hiddenRise*clear {
			l.pale++
		}
	}
	return l.judge(3.5*t.card.blur, t.clear)
}

// inside looks at the light inside of a place of an edge.
func (t *table) inside(l *looks, p, outward geometry.Point, reach float64) {
	var light [3]float64
	for i, d := range [...]float64{0.5, 1, 1.7} {
		bright, even, ok := t.shade(p.Sub(outward.Scale(d * reach)))
		if !ok {
			continue
		}
		light[i] = bright
		if i == 0 {
			if even < neutral {
				light[0] = -bright
			}
			continue
		}
		if bright > brighter {
			l.gloss++
		}
		if even < neutral && bright > 0.15 && bright < 0.95 {
			l.grey++
		}
		l.light = append(l.light, bright)
	}
	if light[0] < 0 && math.Abs(light[2]+light[0]) > fringe {
		l.fringed++
	}
}

// greys reports whether an edge has less colour than the piece inside of it: paper and piece
// mix to the piece's colour, paler, and only a shadow between them is grey.
func (t *table) greys(p, outward geometry.Point, reach float64) bool {
	depth, inside := t.tint(p.Sub(outward.Scale(reach)))
	faint, edge := t.tint(p.Add(outward.Scale(t.card.blur / 4)))
	return depth > 0 && faint > leastContrast && inside > leastTint && edge < greyingTint*inside
}

// tint is how much a place differs from paper, and how unevenly its colours do, in shares of that.
func (t *table) tint(p geometry.Point) (depth, uneven float64) {
	bright, apart, ok := t.shade(p)
	if !ok || bright >= 1 {
		return 0, 0
	}
	return 1 - bright, apart / (1 - bright)
}

// judge says what makes the edge unsure. So long a row of soft places, in pixels, is more than a
// corner.
func (l *looks) judge(longest, sharpest float64) *PictureError {
	share := func(n, of int) float64 { return float64(n) / float64(max(of, 1)) }
	sortFloats(l.light)
	spread := 0.0
	if n := len(l.light); n > 20 {
		spread = l.light[n*95/100] - l.light[n*5/100]
	}
	const (
		evenly = "light it from all sides, without a lamp or a window near"
		itsOwn = evenly + "; if that is its own colour, `traywright outline` with --piece takes it"
	)
	greys := share(l.grey, len(l.light))
	switch {
	case share(l.gloss, len(l.light)) > glossShare:
		return given("turn the lamp away, or photograph in the shade", "light is mirrored near its edge: it is brighter than the paper there")
	case share(l.pale, l.seen) > paleShare:
		return given(evenly+"; lay it on paper of another colour", "%.0f %% of its edge is hidden by a shadow, or is as pale as paper", 100*share(l.pale, l.seen))
	case share(l.soft, l.seen) > softShare || float64(l.softRun)*2*stepPixels > longest:
		return given(evenly+", hold the camera still", "part of its edge is softer than the card's: a shadow, mirrored light, or out of focus")
	case share(l.tinted, l.seen) > tintShare:
		return given("lay it clear of the others, on white paper", "what lies beside its edge has a colour: a pale part of it, or another piece")
	case greys > shadowShare && (greys < 1-shadowShare || spread > shadowSpread) || share(l.fringed, l.seen) > fringeShare || share(l.greying, l.seen) > greyingShare:
		return given(itsOwn, "part of it has the colour of a shadow on the paper, and the rest has not")
	case l.softest() < lopsidedShare*sharpest:
		return given(evenly, "its edge is softer on one side than the card's: a shadow may lie there")
	}
	return nil
}

// softest is how steep an edge is on its softest side.
func (l *looks) softest() float64 {
	softest := math.Inf(1)
	for _, v := range l.sharp {
		if len(v)*20 > l.seen { // fewer are a corner
			softest = min(softest, middleOf(v))
		}
	}
	return softest
}

// sharpest is how steep the card's edge is on its sharpest side: a shadow lies on the others.
func (t *scene) sharpest() float64 {
	sharpest := 0.0
	for k, edge := range t.card.edges {
		out := t.card.corners[(k+1)%4].Sub(t.card.corners[k]).Left().Scale(-1)
		out = out.Scale(1 / out.Norm())
		var sharp []float64
		for _, p := range edge {
			_, s := t.slope(p, out)
			sharp = append(sharp, s)
		}
		sharpest = max(sharpest, middleOf(sharp))
	}
	return sharpest
}

// slope is how much darker it is inside of an edge than outside, and how steeply it rises
// there, an edge as sharp as the card's by 1 or more.
func (t *scene) slope(p, outward geometry.Point) (rise, sharp float64) {
	near := max(t.card.blur, 2)
	at := func(d float64) float64 { return t.diff.near(p.Add(outward.Scale(d))) }
	rise = at(-near) - at(near)
	return rise, (at(-near/4) - at(near/4)) * 2 / max(rise, leastContrast)
}

// inShadow reports whether what lies between two edges of a thing, found at two levels, is
// a shadow: soft where it ends.
func (t *table) inShadow(outer, inner ring) bool {
	n, soft := 0, 0
	for k := 0; k < len(outer); k += 4 {
		p := outer[k]
		near := math.Inf(1)
		for _, q := range inner {
			near = min(near, p.DistanceTo(q))
		}
		if near < 1.5*t.card.blur {
			continue
		}
		n++
		if _, sharp := t.slope(p, outer.outward(k)); sharp < softShadow {
			soft++
		}
	}
	return n > 0 && float64(soft) > 0.7*float64(n)
}

// shade is how bright a place is in shares of the paper's light, and how far apart its
// colours are there.
func (t *table) shade(p geometry.Point) (bright, apart float64, ok bool) {
	x, y := int(p.X), int(float64(t.diff.h)-p.Y)
	if x < 0 || y < 0 || x >= t.light.w || y >= t.light.h {
		return 0, 0, false
	}
	u, v := t.light.place(float64(x)+0.5, float64(y)+0.5)
	low, high := math.Inf(1), math.Inf(-1)
	for k := range t.light.c {
		share := float64(t.light.c[k][y*t.light.w+x]) / math.Exp(t.paper.color[k].at(u, v))
		low, high, bright = min(low, share), max(high, share), bright+share/3
	}
	return bright, high - low, true
}
