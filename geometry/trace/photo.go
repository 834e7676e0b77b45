package trace

import (
	"fmt"
	"image"
	"math"
	"strings"

	"traywright/geometry"
)

// PhotoOptions says how a piece in a photograph becomes a pocket's outline.
type PhotoOptions struct {
	// Card and Piece point at them, in pixels from the picture's upper-left corner, where
	// there are several things they could be; nil looks for the only one.
	Card, Piece *image.Point
	// Threshold is the least difference from the paper, as a share of its light, above
	// 0 and below 1, that is taken for the piece; 0 finds it.
	Threshold float64
	// CameraMM is how high the lens was above the paper, and HeightMM how high above
	// the paper the piece is widest. With both, the outline is drawn as large as it is at that
	// height; with CameraMM alone the error for each mm of height is told. 0 is not known.
	CameraMM, HeightMM float64
	// ClearanceMM is how far the pocket's edge keeps from the piece.
	ClearanceMM float64
	// ToolRadiusMM is that of the tool which will cut the pocket: no inward corner of it is
	// sharper, no wall of foam inside it thinner than its diameter. 0 leaves the outline as
	// it is.
	ToolRadiusMM float64
	// ToleranceMM is how far lines and arcs may stray from the traced edge; 0 is
	// 0.05 mm, or 0.15 pixels where that is more.
	ToleranceMM float64

	oneCard bool // nobody can point at it
}

// Photo is a piece measured in a photograph.
type Photo struct {
	Piece   geometry.Region // its outline at true size, holes filled, in mm
	Outline geometry.Region // the pocket's: the piece with its clearance, as the tool can cut it
	Card    CardFit
	// Threshold is the difference from the paper, as a share of its light, at which the
	// piece was told from it.
	Threshold float64
	// ParallaxPerMM is how far, in mm, a part of the piece is seen outside its place for
	// each mm of its height, at the worst place; 0 when the camera's height is not
	// known.
	ParallaxPerMM float64
	// Notes are what the person should know: what the outline does not take into
	// account, what looks doubtful. One line each.
	Notes []string

	Sight
	foot   geometry.Point // the point that a correction for height leaves alone
	lift   float64        // and its factor
	origin geometry.Point // subtracted at last
}

// Pixel is where a place of the regions is seen in the photograph, in pixels from its
// upper-left corner, Y down.
func (p *Photo) Pixel(place geometry.Point) (x, y float64) {
	place = place.Add(p.origin)
	return p.Seen(p.foot.Add(place.Sub(p.foot).Scale(1 / p.lift)))
}

// Sight is how a photograph sees the card and the plane that it lies on.
type Sight struct {
	toPixels       homography
	cardBox        geometry.Box
	height, shrunk float64                             // of the worked picture, and its pixels by the photograph's
	bent           func(geometry.Point) geometry.Point // where a lens that was straightened shows a place of the picture; nil for none
}

// Seen is where a place as high as the card is seen in the photograph, in pixels from
// its upper-left corner, Y down.
func (s Sight) Seen(place geometry.Point) (x, y float64) {
	q := s.toPixels.apply(place)
	if s.bent != nil {
		q = s.bent(q)
	}
	return q.X * s.shrunk, (s.height - q.Y) * s.shrunk
}

// CardPixels is the outline of the card as it was found, in pixels of the photograph
// like those of Seen, and its four corners as if they were sharp.
func (s Sight) CardPixels() (outline, corners [][2]float64) {
	card := geometry.NewRegion(geometry.Rectangle(s.cardBox, cardRadiusMM))
	for _, c := range card.Contours() {
		for segment := range c.Segments() {
			for i := range 16 {
				x, y := s.Seen(segment.At(float64(i) / 16))
				outline = append(outline, [2]float64{x, y})
			}
		}
	}
	for _, q := range geometry.Rectangle(s.cardBox, 0).Vertices() {
		x, y := s.Seen(q.Point)
		corners = append(corners, [2]float64{x, y})
	}
	return outline, corners
}

// TracePhoto finds an ID-1 card (85.60 x 53.98 mm, ISO/IEC 7810) and the one piece
// beside it in a photograph from above of both on plain paper, and measures the
// piece with the card. Everything happens in the picture's own pixels; only what was
// traced is put on the paper's plane, so nothing is blurred by turning the picture
// straight.
//
// Errors are *PictureError: no paper, no card or several, a card that is cut off,
// blurred, bent or of another shape; no piece or several.
//
// Limits: the camera is taken for a pinhole, so a lens that bends lines is only noticed,
// by the card's own edges; what stands above the paper is seen larger and
// aside; a shadow as dark as the piece is taken for it.
func TracePhoto(img image.Image, o PhotoOptions) (*Photo, error) {
	if err := o.check(img.Bounds()); err != nil {
		return nil, err
	}
	s, _, _, err := newScene(img, o)
	if err != nil {
		return nil, err
	}
	return s.measure()
}

// newScene finds paper and card; the photograph's light and the paper's come along.
func newScene(img image.Image, o PhotoOptions) (*scene, planes, paper, error) {
	light, shrunk := linearOf(img, photoPixels)
	if min(light.w, light.h) < 3*leastCardPixels {
		return nil, light, paper{}, refuse("take a larger photograph", "the photograph has %d x %d pixels, too few to measure in", img.Bounds().Dx(), img.Bounds().Dy())
	}
	light.soften()
	found, err := light.findPaper()
	if err != nil {
		return nil, light, found, err
	}
	s := &scene{diff: found.difference(light), shrunk: shrunk, options: o}
	s.floor = max(0.05, 4*grainOf(s.diff))
	if s.card, err = s.chooseCard(); err != nil {
		return nil, light, found, err
	}
	s.clear = s.sharpest()
	s.wipe()
	return s, light, found, nil
}

func (o PhotoOptions) check(b image.Rectangle) error {
	for _, v := range []struct {
		name  string
		value float64
	}{{"camera's height", o.CameraMM}, {"piece's height", o.HeightMM}, {"clearance", o.ClearanceMM}, {"tool's radius", o.ToolRadiusMM}, {"tolerance", o.ToleranceMM}} {
		if !(v.value >= 0 && v.value < largestMM) {
			return refuse("give a positive number of mm", "the %s %g is not from 0 to %d mm", v.name, v.value, largestMM)
		}
	}
	if !(o.Threshold >= 0 && o.Threshold < 1) {
		return refuse("0.3 is a usual one; leave it out to have it found", "the threshold %g is not from 0 to 1", o.Threshold)
	}
	if o.HeightMM > 0 && o.CameraMM < 3*o.HeightMM {
		return refuse("say how high the lens was above the paper; three times the piece's height is the least that can be corrected",
			"the piece's height of %g mm cannot be corrected with the camera at %g mm", o.HeightMM, o.CameraMM)
	}
	for _, p := range []*image.Point{o.Card, o.Piece} {
		if p != nil && !p.In(image.Rectangle{Max: b.Size()}) {
			return refuse("count pixels from the picture's upper-left corner", "the place %d,%d lies outside the picture of %d x %d pixels", p.X, p.Y, b.Dx(), b.Dy())
		}
	}
	return nil
}

// The way of a photograph, a file a step: the card is found by its outline
// (photo_card.go, its quadrangle in photo_quad.go), its edges are sharpened between
// pixels (photo_sharpen.go, photo_edge.go), the paper's plane follows from it
// (photo_plane.go, photo_paper.go), the piece is traced (photo_piece.go), and what is
// left over goes into the pocket's outline (photo_pocket.go).

func (s *scene) sight() Sight {
	return Sight{toPixels: s.card.toPixels, cardBox: s.card.box(), height: float64(s.diff.h), shrunk: float64(s.shrunk)}
}

// scene is a photograph on the way to a measured piece.
type scene struct {
	diff    grid // from paper
	floor   float64
	shrunk  int
	options PhotoOptions
	card    card
	clear   float64 // how steep the card's edge is where no shadow lies
	unseen  float64 // per cent that a lens could change lengths by, unseen by the card's edges
}

// shown puts a place in the worked picture into the photograph's pixels, Y down.
func (s *scene) shown(p geometry.Point) image.Point {
	return image.Pt(int(p.X*float64(s.shrunk)), int((float64(s.diff.h)-p.Y)*float64(s.shrunk)))
}

// placed is the other way round.
func (s *scene) placed(p image.Point) geometry.Point {
	return geometry.Point{X: (float64(p.X) + 0.5) / float64(s.shrunk), Y: float64(s.diff.h) - (float64(p.Y)+0.5)/float64(s.shrunk)}
}

func (s *scene) chooseCard() (card, error) {
	cards, nearest := findCards(s.diff, s.floor)
	if s.options.Card != nil {
		hint := s.placed(*s.options.Card)
		for _, c := range cards {
			if ring(c.corners[:]).contains(hint) {
				return c, nil
			}
		}
	}
	switch {
	case len(cards) == 0 && nearest != nil:
		return card{}, nearest
	case len(cards) == 0 || s.options.Card != nil:
		return card{}, errNoCard
	case len(cards) > 1:
		var places []string
		for _, c := range cards {
			p := s.shown(c.middle())
			places = append(places, fmt.Sprintf("%d,%d", p.X, p.Y))
		}
		hint := "take all but one away, pieces of a card's shape too"
		if !s.options.oneCard {
			hint += "; or point at your card of 85.60 x 53.98 mm, and at no other: --card " + strings.Join(places, " or --card ")
		}
		return card{}, refuse(hint, "%d things of a card's shape are in the picture, at the pixels %s, and a piece measured by the wrong one has a wrong size", len(cards), strings.Join(places, " and "))
	}
	return cards[0], nil
}

// contains reports whether a ring goes around a place.
func (r ring) contains(p geometry.Point) bool {
	inside := false
	for i, a := range r {
		b := r[(i+1)%len(r)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			inside = !inside
		}
	}
	return inside
}

// leastPieceMM2 is the least area that is a piece and no crumb.
const leastPieceMM2 = 20

// measure traces the piece, puts it on the paper and makes the pocket.
func (s *scene) measure() (*Photo, error) {
	level, whole, err := s.findPiece()
	if err != nil {
		return nil, err
	}
	outer, err := s.tracePiece(level, whole)
	if err != nil {
		return nil, err
	}
	if err := s.checkLens(outer); err != nil {
		return nil, err
	}
	p := &Photo{
		Card: s.card.fit, Threshold: level, Sight: s.sight(), lift: 1,
	}
	p.Card.PixelsPerMM *= float64(s.shrunk)
	tolerance := s.options.ToleranceMM
	if tolerance == 0 {
		tolerance = max(0.05, 0.15/s.card.fit.PixelsPerMM)
	}
	region, err := regionOf(s.settleEdges(outer), tolerance, s.card.toPaper.apply)
	if err != nil {
		return nil, err
	}
	if err := s.correct(p, &region); err != nil {
		return nil, err
	}
	s.doubt(p, level, whole, outer)
	p.Piece = region
	if p.Outline, err = pocket(region, s.options.ClearanceMM, s.options.ToolRadiusMM, p); err != nil {
		return nil, err
	}
	p.origin = p.Outline.Bounds().Min
	home := geometry.Translate(-p.origin.X, -p.origin.Y)
	p.Piece, p.Outline = p.Piece.Transform(home), p.Outline.Transform(home)
	return p, nil
}

// checkLens refuses a lens that is seen to bend lines, by so much that the piece would be
// of another size than the card says: bend r³ changes lengths by up to 3 bend r².
func (s *scene) checkLens(piece []ring) error {
	middle := geometry.Point{X: float64(s.diff.w) / 2, Y: float64(s.diff.h) / 2}
	far := 0.0
	for _, r := range piece {
		for _, p := range r {
			far = max(far, p.DistanceTo(middle)/middle.Norm())
		}
	}
	off := 100 * 3 * math.Abs(s.card.bend) * far * far
	s.unseen = 100 * 3 * 4 * s.card.bendNoise * far * far
	if off < s.unseen || off < LargestShapePercent {
		return nil
	}
	return refuse("step back, use a lens that is less wide, keep piece and card near the middle of the picture",
		"the lens bends straight lines: the card's edges show that lengths at the piece are off by up to %.1f %%, and %.1f %% is allowed", off, LargestShapePercent)
}

const cardThicknessMM = 0.76 // ISO/IEC 7810

// doubt notes what looks like a shadow, or like a pale part that was lost, and a
// strongly leaning camera.
func (s *scene) doubt(p *Photo, level float64, whole ring, outer []ring) {
	kept, blur := 0.0, 0.0
	for _, r := range outer {
		kept += s.onPaper(r)
		blur += r.length() / p.Card.PixelsPerMM * float64(s.shrunk) * p.Card.EdgeWidthMM
	}
	if around := s.onPaper(whole); around > 1.03*kept+blur {
		p.Notes = append(p.Notes, fmt.Sprintf("beside the outline lie %.0f mm² that are paler than the piece (under %.2f) and darker than paper, and were left out: "+
			"a shadow, or a pale part of the piece; look at the picture, light it from all sides, or set a threshold", around-kept, level))
	}
	if p.Card.TiltDegrees > 10 {
		p.Notes = append(p.Notes, fmt.Sprintf("the camera leans by %.0f°: the side of a piece that stands up is seen as part of it", p.Card.TiltDegrees))
	}
	p.Notes = append(p.Notes, fmt.Sprintf("a lens that bends straight lines is not corrected, only noticed by the card's edges: here they could not tell one that "+
		"changes lengths at the piece's far end by less than %.1f %%; keep piece and card near the middle of the picture", max(s.unseen, LargestShapePercent)))
}
