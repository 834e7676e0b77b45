package trace

import (
	"image"
	"math"
	"slices"

	"traywright/geometry"
)

// Several pieces in one photograph, each measured by itself:
//
//  1. What differs from the paper, at the least level that parts most of it from card and
//     border, is a thing each (this file).
//  2. A thing's edge is traced half way between itself and the paper (photo_pieces_one.go),
//     and given up where it is not sure to be the edge of one piece: shadow, gloss, two that
//     touch (photo_pieces_light.go, photo_pieces_neck.go).
//  3. How the lens bends lines is told by card and pieces: a disc has to be round and a
//     box to have right angles (photo_pieces_lens.go).
//  4. The box of each is measured along its own axes, its sides followed down to the paper
//     where its height is known (photo_pieces_size.go).
//  5. What the size may be off by is added up from the edges, the card, the lens and the
//     paper (photo_pieces_doubt.go); a size that is not sure enough is given up.

// PiecesOptions says how the pieces of a photograph are measured.
type PiecesOptions struct {
	// Card points at the card, in pixels from the picture's upper-left corner, where
	// there are several; nil looks for the only one.
	Card *image.Point
	// CameraMM is how high the lens was above the paper, 0 where nobody said. HeightMM is
	// how high the pieces stand, their sides upright; 0 takes them for as thin as the card.
	CameraMM, HeightMM float64
	// WithinMM is the largest uncertainty of a size that is taken; 0 is usualWithinMM.
	WithinMM float64
	Lens     *Lens // that took the photograph, nil where nobody measured it
}

// usualWithinMM is what a size may be uncertain by where nobody says another.
const usualWithinMM = 0.3

// Pieces is what a photograph of several pieces says.
type Pieces struct {
	Sight
	Card     CardFit
	Measured []Piece // from left to right, row by row
	Given    []GivenUp
	// Specks is how many things were too small to be a piece.
	Specks int
	// CameraMM is how high the lens was, or, where nobody said, is taken to have been;
	// FlatMM how far from flat the paper may be for the sizes to hold.
	CameraMM, FlatMM float64
	// ZoomedDegrees is what the lens sees along the picture's longer side where it must have been zoomed in to be so high, else 0.
	ZoomedDegrees float64
	// BendPercent is how far the lens moves a corner of the picture outwards, as the card and
	// the round and square pieces show it, and BendOffPercent what that may be off by: the
	// first is taken out of the sizes, the second is in what they may be off by.
	BendPercent, BendOffPercent float64
	// LensNamed is that the photograph's notes name the camera and zoom of the lens that was given.
	LensNamed bool

	table *table
}

// Form is what a piece looks like from above.
type Form int

const (
	Odd Form = iota // no box, no circle: its outline tells
	Box
	Disc
)

// Piece is one that was measured. Lengths are mm.
type Piece struct {
	Form          Form
	Length, Width float64 // of its box along its own axes, the longer first
	LengthOff     float64 // what they may be off by
	WidthOff      float64
	// PerMM is how much too long a part of it comes out, at most, for each mm that it is
	// higher than it was taken to be.
	PerMM   float64
	Region  geometry.Region   // as seen on the card's plane
	Axes    [4]geometry.Point // the corners of its box there
	Turn    float64           // of its length, in radians from the card's side
	edge    ring              // in the worked picture
	tipped  bool              // it may end in tips, which a blur shortens
	blunted [2]float64        // by so much, of its length and width
}

// Middle is the middle of the piece's box on the card's plane.
func (p Piece) Middle() geometry.Point { return p.Axes[0].Add(p.Axes[2]).Scale(0.5) }

// GivenUp is a thing in the photograph that was not measured, and why.
type GivenUp struct {
	At   geometry.Point // its middle on the card's plane
	Edge []geometry.Point
	Why  *PictureError
}

// MeasurePieces finds a card and the pieces beside it in a photograph, as TracePhoto does,
// and measures each. Errors are *PictureError; what is wrong with one thing alone is in
// Given.
//
// Limits: pieces of one colour that lie flush against each other are taken for one; a
// sharp shadow of exactly the piece's colour for part of it; a lens that bends lines is
// counted in what sizes may be off by, not corrected.
func MeasurePieces(img image.Image, o PiecesOptions) (*Pieces, error) {
	if o.WithinMM == 0 {
		o.WithinMM = usualWithinMM
	}
	po := PhotoOptions{Card: o.Card, CameraMM: o.CameraMM, HeightMM: o.HeightMM}
	if err := po.check(img.Bounds()); err != nil {
		return nil, err
	}
	if err := o.Lens.takes(img); err != nil {
		return nil, err
	}
	s, light, paper, err := newScene(img, po)
	if err != nil {
		return nil, err
	}
	table := &table{scene: s, light: light, paper: paper, within: o.WithinMM, height: o.HeightMM, heightOff: heightOffMM, known: o.Lens, named: o.Lens.named(img)}
	table.lens, _ = table.withLens(0)
	if err := table.place(o.CameraMM); err != nil {
		return nil, err
	}
	things, specks, err := table.things()
	if err != nil {
		return nil, err
	}
	p := &Pieces{Sight: s.sight(), Card: s.card.fit, Specks: specks, CameraMM: table.camera.height, FlatMM: flatMM, LensNamed: table.named, table: table}
	p.Card.PixelsPerMM *= float64(s.shrunk)
	if err := table.measure(things, p, o.CameraMM); err != nil {
		return nil, err
	}
	p.order()
	return p, nil
}

// table is a photograph on the way to measured pieces.
type table struct {
	*scene
	light          planes
	paper          paper
	camera         camera
	within, height float64
	heightOff      float64 // how far off the height may be
	lens           lens
	known          *Lens // as a grid has measured it, or nil
	named          bool  // and the photograph says that it is this one
}

// usualFocal is the focal length, in longer sides of the picture, of a camera of which
// nobody said how high it was: shorter than most telephones' main one, whose sides are
// seen under 69 degrees or less, so that it stands for the lower camera (judged, no source).
const usualFocal = 0.7

// place finds out where the lens was.
func (t *table) place(heightMM float64) error {
	seen := t.card
	seen.toPixels = t.lens.toPixels
	h, longer := seen.centred(t.diff), float64(max(t.diff.w, t.diff.h))
	if heightMM == 0 {
		t.camera = view(h, longer*usualFocal)
		return nil
	}
	t.camera = viewFrom(h, longer, heightMM)
	if 100*t.camera.misfit > 3*LargestShapePercent {
		return refuse("measure from the paper to the lens, or leave it out",
			"a camera %g mm above the paper would not see the card in this shape", heightMM)
	}
	t.camera.height = heightMM
	return t.camera.plausible("paper", "--camera", heightMM, longer, farthestLens)
}

// A lens whose focal length, in longer sides of the picture, is beyond these was not so near, or so far (judged, no source: telephones'
// lenses have 0.5 to 1 of them, and up to 4 zoomed in).
const (
	widestFocal  = 0.35
	zoomedFocal  = 1.5
	farthestLens = 5
	farthestSide = 8 // of a photograph from the side, for which it is good to zoom
)

// plausible refuses a distance from which no usual lens would see the card so large.
func (c camera) plausible(from, flag string, saidMM, longer, most float64) error {
	if share := c.focal / longer; share < widestFocal || share > most {
		return refuse("measure from the "+from+" to the lens again, and mind the unit: "+flag+" \"450 mm\" is 45 cm",
			"seen from %g mm, the card would be as large as it is only in a lens that sees %.0f degrees along the picture's longer side, and no usual one does", saidMM, sees(share))
	}
	return nil
}

// sees is the angle that the picture's longer side takes, in degrees.
func sees(focal float64) float64 { return 2 * math.Atan(0.5/focal) * 180 / math.Pi }

// laid is something on the paper: the ring around it and its shadow.
type laid struct {
	around ring
	why    *PictureError // why it cannot be measured, nil where nothing is known against it
}

// mostThings bounds what is looked at.
const mostThings = 400

// things finds what lies on the paper, at the level that leaves the least unclear.
func (t *table) things() (best []laid, specks int, err error) {
	fewest := math.MaxInt
	for _, level := range append([]float64{t.floor}, cardLevels[:4]...) {
		if level < t.floor {
			continue
		}
		list, small, err := t.thingsAt(level)
		if err != nil {
			return nil, 0, err
		}
		unclear := 0
		for _, one := range list {
			if one.why != nil {
				unclear++
			}
		}
		if len(list) > 0 && unclear < fewest {
			fewest, best, specks = unclear, list, small
		}
		if fewest == 0 {
			break
		}
	}
	switch {
	case len(best) == 0:
		return nil, specks, refuse("lay the pieces beside the card, clear of it, on paper of another colour", "no piece is found beside the card")
	case len(best) > mostThings:
		return nil, specks, refuse("photograph fewer at a time, on smooth white paper", "%d things lie beside the card, more than %d", len(best), mostThings)
	}
	return best, specks, nil
}

var (
	errAtBorder = &PictureError{"it reaches the picture's border", "move it towards the middle, or step back"}
	errAtCard   = &PictureError{"it, or its shadow, touches the card's", "move it a finger's breadth away from the card"}
)

// leastSpeckMM2 is the least area that is counted at all.
const leastSpeckMM2 = 3

func (t *table) thingsAt(level float64) (list []laid, specks int, err error) {
	rings, _, err := contours(t.diff, level, true, smallestSpeck)
	if err != nil {
		return nil, 0, errGrainy
	}
	for _, r := range rings {
		area := t.onPaper(r)
		near, far := t.fromCard(r)
		switch {
		case area < leastSpeckMM2 || near && far < cardShadowMM:
		case t.diff.touches(r):
			list = append(list, laid{r, errAtBorder})
		case near:
			list = append(list, laid{r, errAtCard})
		case area < leastPieceMM2:
			specks++
		default:
			list = append(list, laid{r, nil})
		}
	}
	return slices.DeleteFunc(list, func(one laid) bool {
		return slices.ContainsFunc(list, func(other laid) bool {
			return other.around.area() > one.around.area() && other.around.contains(one.around[0])
		})
	}), specks, nil
}

// order puts pieces into the order of reading: rows from the top of the picture, each
// row as high as its first piece.
func (p *Pieces) order() {
	place := func(q geometry.Point) (x, y float64) { return p.Seen(q) }
	slices.SortStableFunc(p.Measured, func(a, b Piece) int {
		_, ya := place(a.Middle())
		_, yb := place(b.Middle())
		return compare(ya, yb)
	})
	for first := 0; first < len(p.Measured); {
		bottom := math.Inf(-1)
		for _, c := range p.Measured[first].Axes {
			_, y := place(c)
			bottom = max(bottom, y)
		}
		next := first
		for next < len(p.Measured) {
			if _, y := place(p.Measured[next].Middle()); y > bottom {
				break
			}
			next++
		}
		next = max(next, first+1)
		slices.SortStableFunc(p.Measured[first:next], func(a, b Piece) int {
			xa, _ := place(a.Middle())
			xb, _ := place(b.Middle())
			return compare(xa, xb)
		})
		first = next
	}
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}
