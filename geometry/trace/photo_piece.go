package trace

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"traywright/geometry"
)

// findPiece finds the ring around the piece and its shadow, at the lowest difference
// that keeps it clear of the card and the border, and the level that tells the one from
// the other.
func (s *scene) findPiece() (level float64, whole ring, err error) {
	for _, low := range append([]float64{s.floor}, cardLevels[:4]...) {
		if low < s.floor {
			continue
		}
		whole, err = s.pieceAt(low)
		if err == nil || !errors.Is(err, errNotClear) {
			break
		}
	}
	if err != nil {
		return 0, nil, err
	}
	if level = s.options.Threshold; level == 0 {
		level = s.levelOf(whole)
	}
	return max(level, s.floor), whole, nil
}

// errNotClear is the refusal of a piece that a shadow may have joined to what is beside
// it.
var errNotClear = refuse("keep the piece and its shadow inside the picture, on the paper, and a finger's breadth from the card",
	"no piece is found: what lies beside the card touches it, or the picture's border")

// pieceAt is the ring around the one thing on the paper beside the card.
func (s *scene) pieceAt(level float64) (ring, error) {
	rings, _, err := contours(s.diff, level, true, smallestSpeck)
	if err != nil {
		return nil, errGrainy
	}
	var pieces []ring
	joined := false
	for _, r := range rings {
		switch near, far := s.fromCard(r); {
		case s.onPaper(r) < leastPieceMM2 || near && far < cardShadowMM:
		case near || s.diff.touches(r):
			joined = true
		default:
			pieces = append(pieces, r)
		}
	}
	if s.options.Piece != nil {
		pieces = holding(pieces, s.placed(*s.options.Piece))
	}
	switch {
	case len(pieces) == 1:
		return pieces[0], nil
	case len(pieces) > 1:
		return nil, s.several(pieces)
	case joined:
		return nil, errNotClear
	}
	return nil, refuse("lay it beside the card, clear of it, on paper of another colour", "no piece is found beside the card")
}

var errGrainy = refuse("photograph it on smooth white paper, in more light", "the paper is too grainy to tell the piece from it")

// What belongs to the card: its place and a little more is wiped from the picture before
// the piece is looked for, and what touches that and reaches no farther is its shadow.
const (
	cardWipeMM   = 1.5
	cardShadowMM = 8
)

// wipe takes the card from the picture.
func (s *scene) wipe() {
	box := s.card.box().Grow(cardWipeMM)
	for y := range s.diff.h {
		for x := range s.diff.w {
			p := s.card.toPaper.apply(geometry.Point{X: float64(x) + 0.5, Y: float64(s.diff.h-y) - 0.5})
			if p.X > box.Min.X && p.X < box.Max.X && p.Y > box.Min.Y && p.Y < box.Max.Y {
				s.diff.v[y*s.diff.w+x] = 0
			}
		}
	}
}

// fromCard reports whether a ring touches the card's place, and how many mm it
// reaches away from the card.
func (s *scene) fromCard(r ring) (near bool, far float64) {
	box := s.card.box()
	touching := cardWipeMM + 1.5/s.card.fit.PixelsPerMM
	for _, p := range r {
		q := s.card.toPaper.apply(p)
		d := max(box.Min.X-q.X, q.X-box.Max.X, box.Min.Y-q.Y, q.Y-box.Max.Y)
		near = near || d < touching
		far = max(far, d)
	}
	return near, far
}

func holding(rings []ring, p geometry.Point) (kept []ring) {
	for _, r := range rings {
		if r.contains(p) {
			kept = append(kept, r)
		}
	}
	return kept
}

func (s *scene) several(pieces []ring) error {
	var places []string
	for _, r := range pieces {
		b := boundsOf([]ring{r})
		p := s.shown(b.Min.Add(b.Max).Scale(0.5))
		places = append(places, fmt.Sprintf("%d,%d", p.X, p.Y))
	}
	if len(places) > 6 {
		places = append(places[:6], "others")
	}
	return refuse("take all but one away, or point at it, such as --piece "+places[0], "%d things lie beside the card, at the pixels %s", len(pieces), strings.Join(places, ", "))
}

// onPaper is the area of a ring in mm², 0 for a hole.
func (s *scene) onPaper(r ring) float64 {
	on := make(ring, len(r))
	for i, p := range r {
		on[i] = s.card.toPaper.apply(p)
	}
	return max(on.area(), 0)
}

// levelOf is Otsu's threshold between the piece and what is around it, paper and
// shadow, no nearer to either than a quarter of the way.
func (s *scene) levelOf(whole ring) float64 {
	b := boundsOf([]ring{whole})
	margin := 0.25 * math.Max(b.Width(), b.Height())
	around := b.Grow(margin)
	counts := make([]int, 256)
	inside := make([]float64, 0, 1024)
	for y := range s.diff.h {
		for x := range s.diff.w {
			p := geometry.Point{X: float64(x) + 0.5, Y: float64(s.diff.h-y) - 0.5}
			if p.X < around.Min.X || p.X > around.Max.X || p.Y < around.Min.Y || p.Y > around.Max.Y {
				continue
			}
			v := float64(s.diff.v[y*s.diff.w+x])
			counts[min(int(v*255), 255)]++
			if v > s.floor {
				inside = append(inside, v)
			}
		}
	}
	middle := middleOf(append(inside, s.floor))
	return min(max(otsu(counts).level/255, middle/4), 3*middle/4)
}

// tracePiece follows the piece's edge at a level, inside the ring around it and its
// shadow. Small parts that the level cuts off are left out, holes are filled.
func (s *scene) tracePiece(level float64, whole ring) ([]ring, error) {
	rings, _, err := contours(s.diff, level, true, smallestSpeck)
	if err != nil {
		return nil, errGrainy
	}
	around := boundsOf([]ring{whole})
	var outer []ring
	largest := 0.0
	for _, r := range rings {
		b := boundsOf([]ring{r})
		if s.onPaper(r) < leastPieceMM2 || b.Min.X < around.Min.X-1 || b.Max.X > around.Max.X+1 || b.Min.Y < around.Min.Y-1 || b.Max.Y > around.Max.Y+1 {
			continue
		}
		largest = max(largest, r.area())
		outer = append(outer, r)
	}
	var kept []ring
	for _, r := range outer {
		if r.area() > largest/50 && !inAnother(r, outer) {
			kept = append(kept, r)
		}
	}
	if len(kept) == 0 {
		return nil, refuse("use a smaller threshold", "nothing of the piece is left at the threshold %.2f", level)
	}
	return kept, nil
}

// inAnother reports whether a ring lies inside another one: an island in a hole.
func inAnother(r ring, rings []ring) bool {
	for _, other := range rings {
		if other.area() > r.area() && other.contains(r[0]) {
			return true
		}
	}
	return false
}

// correct works out what the camera's height means, and draws the region at the
// piece's own height. A ray from the lens to a place on the card's plane passes a
// plane h above the paper at (d - h) / (d - t) of the way out from the foot, t being
// the card's thickness.
func (s *scene) correct(p *Photo, region *geometry.Region) error {
	o := s.options
	if o.CameraMM == 0 {
		p.Notes = append(p.Notes, "the outline is right for edges that lie as high as the card; a part that is higher is drawn too large, "+
			"outwards from the point under the lens: say how high the lens was to be told by how much")
		return nil
	}
	c := viewFrom(s.card.centred(s.diff), float64(max(s.diff.w, s.diff.h)), o.CameraMM)
	if 100*c.misfit > 3*LargestShapePercent {
		return refuse("measure from the paper to the lens, or leave it out",
			"a camera %g mm above the paper would not see the card in this shape", o.CameraMM)
	}
	far := 0.0
	for _, contour := range region.Contours() {
		for _, v := range contour.Vertices() {
			far = max(far, v.DistanceTo(c.foot))
		}
	}
	p.ParallaxPerMM = far / o.CameraMM
	if o.HeightMM > 0 {
		p.foot, p.lift = c.foot, (o.CameraMM-o.HeightMM)/(o.CameraMM-cardThicknessMM)
		*region = region.Transform(geometry.Scale(p.lift, c.foot))
		p.Notes = append(p.Notes, fmt.Sprintf("drawn at %g mm above the paper, %.1f %% smaller than seen", o.HeightMM, 100*(1-p.lift)))
		return nil
	}
	p.Notes = append(p.Notes, fmt.Sprintf("each mm that an edge lies above the card moves it outwards by up to %.3f mm: say how high the piece is widest to have it corrected", p.ParallaxPerMM))
	return nil
}
