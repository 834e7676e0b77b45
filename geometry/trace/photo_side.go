package trace

import (
	"image"
	"math"
	"slices"

	"traywright/geometry"
)

// How high pieces stand, from a photograph from the side:
//
//  1. A card stands upright beside them, on the table, its front and theirs on one line. It is
//     found as in a photograph from above; its lower edge is the table's line, and its plane measures.
//  2. What stands there is followed as from above; only its top has to be sure, and its foot tells
//     where it stands.
//  3. A place that lies nearer than the card is seen farther from the lens's own height than it is, one
//     that lies farther nearer: how deep a piece is bounds how wrong its height may be (Height). A foot that is seen lower
//     than the card's stands nearer, or on lower ground: both are in the bound. So is what stands nearer as its width shows it.

// SideOptions says how a photograph from the side is measured.
type SideOptions struct {
	CameraMM float64 // from the lens to the card
	Lens     *Lens   // as in PiecesOptions
	WithinMM float64 // the largest uncertainty of a height that is taken; 0 is usualHeightWithinMM
}

// Side is what a photograph from the side says.
type Side struct {
	Sight
	Card     CardFit
	Standing []Standing // from left to right
	CameraMM float64    // from the lens to the card, as it was said

	table     *table
	lensGiven bool
	cameras   []camera // that could have taken it: the far and the near ones
}

// Standing is one thing that stands beside the card.
type Standing struct {
	At    geometry.Point // its middle on the card's plane
	Edge  ring
	Why   *PictureError // why its top is not known, nil where it is
	Width float64       // as seen on the card's plane
	top   geometry.Point
	foot  float64
	blunt float64 // what a blur may have taken off it
	block bool    // its front goes up to its top
}

// Height is how high a piece stands. Lengths are mm.
type Height struct {
	MM, Off float64
	// NearMM is how much nearer to the lens than the card it is seen to stand, 0 where it may stand on its line;
	// PerMM what each mm of that takes from, or gives to, its height.
	NearMM, PerMM float64
	// LowMM is how much lower than the card's its foot is seen, 0 where both may stand on one surface and line.
	LowMM float64
}

// What is taken for granted of what stands there (judged, no source).
const (
	usualHeightWithinMM    = 1.0
	lineMM                 = 3         // from the card's line to a front
	uprightDegrees         = 1         // that the card leans
	levelMM                = 0.2       // how far from level table and paper are between card and piece
	footShadowMM           = 0.7       // by which a foot may be seen too low, with its shadow
	footPaleMM             = 0.3       // and too high
	unlikelyBend           = 0.012     // standard deviation of a lens that nobody measured
	turnDegrees            = 2         // that a long side is turned from the line
	widthOffMM             = 0.3       // of a width as it is seen
	leastFootMM            = 5         // that the lens is above a foot that tells where it stands
	topMM                  = 1.5       // of a top that is looked at
	saidShare              = 0.05      // how far off the lens's distance may be
	blockWide              = 0.9       // of its width that a thing with an upright front has below its top
	blockDown, blockDownMM = 0.12, 1.0 // so far down
)

// MeasureSide finds a standing card and what stands beside it. Errors are *PictureError.
//
// Limits: what leans on the card from behind and is seen is taken for a piece; what is as
// wide at its top as below has its top in front, where the lens is lower than that.
func MeasureSide(img image.Image, o SideOptions) (*Side, error) {
	if o.WithinMM == 0 {
		o.WithinMM = usualHeightWithinMM
	}
	po := PhotoOptions{CameraMM: o.CameraMM, oneCard: true}
	switch err := po.check(img.Bounds()); {
	case err != nil:
		return nil, err
	case o.CameraMM == 0:
		return nil, refuse("measure from the card to the lens, and say how far", "how far the lens was from the card is not known")
	}
	if err := o.Lens.takes(img); err != nil {
		return nil, err
	}
	s, light, paper, err := newScene(img, po)
	if err != nil {
		return nil, err
	}
	t := &table{scene: s, light: light, paper: paper, within: o.WithinMM, known: o.Lens, named: o.Lens.named(img)}
	if t.lens, err = t.straight(t.cardLens(), t.likelyLens); err != nil {
		return nil, err
	}
	side := &Side{Sight: s.sight(), Card: s.card.fit, CameraMM: o.CameraMM, table: t, lensGiven: o.Lens != nil}
	side.Card.PixelsPerMM *= float64(s.shrunk)
	side.toPixels, side.bent = t.lens.toPixels, t.lens.bent
	if side.cameras, err = t.sideCameras(o.CameraMM); err != nil {
		return nil, err
	}
	things, err := t.apart()
	if err != nil {
		return nil, err
	}
	for _, one := range things {
		side.Standing = append(side.Standing, t.standing(one))
	}
	slices.SortStableFunc(side.Standing, func(a, b Standing) int { return compare(a.At.X, b.At.X) })
	return side, nil
}

// cardLens is the lens that the card shows.
func (t *table) cardLens() lens {
	l, _ := t.withLens(0)
	l.bend, l.noise = t.cardBend(l), 2*t.card.bendNoise
	return l
}

// likelyLens is the lens by the card's word and by what lenses are like.
func (t *table) likelyLens() lens {
	card := 0.0
	if n := 2 * t.card.bendNoise; n > 0 {
		card = 1 / (n * n)
	}
	weight := card + 1/(unlikelyBend*unlikelyBend)
	l, ok := t.withLens(-t.card.bend * card / weight)
	if !ok {
		l, _ = t.withLens(0)
	}
	l.noise = 1 / math.Sqrt(weight)
	return l
}

// apart are the things at the level that parts most of them: at their feet shadows join them.
func (t *table) apart() (best []laid, err error) {
	most := 0
	for _, level := range append([]float64{t.floor}, cardLevels[:5]...) {
		if level < t.floor {
			continue
		}
		list, _, err := t.thingsAt(level)
		if err != nil {
			return nil, err
		}
		clear := 0
		for _, one := range list {
			if one.why == nil {
				clear++
			}
		}
		if clear > most {
			most, best = clear, list
		}
	}
	switch {
	case most == 0:
		return nil, refuse("stand the pieces beside the card, clear of it, before paper of another colour", "nothing is found that stands beside the card")
	case len(best) > mostThings:
		return nil, refuse("photograph fewer at a time, before smooth white paper", "%d things stand beside the card, more than %d", len(best), mostThings)
	}
	return best, nil
}
