package trace

import (
	"errors"
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

	toPixels       homography
	cardBox        geometry.Box
	height, shrunk float64        // of the worked picture, and its pixels by the photograph's
	foot           geometry.Point // the point that a correction for height leaves alone
	lift           float64        // and its factor
	origin         geometry.Point // subtracted at last
}

// Pixel is where a place of the regions is seen in the photograph, in pixels from its
// upper-left corner, Y down.
func (p *Photo) Pixel(place geometry.Point) (x, y float64) {
	place = place.Add(p.origin)
	place = p.foot.Add(place.Sub(p.foot).Scale(1 / p.lift))
	return p.pixel(place)
}

func (p *Photo) pixel(onPaper geometry.Point) (x, y float64) {
	q := p.toPixels.apply(onPaper)
	return q.X * p.shrunk, (p.height - q.Y) * p.shrunk
}

// CardPixels is the outline of the card as it was found, in pixels of the photograph
// like those of Pixel, and its four corners as if they were sharp.
func (p *Photo) CardPixels() (outline, corners [][2]float64) {
	card := geometry.NewRegion(geometry.Rectangle(p.cardBox, cardRadiusMM))
	for _, c := range card.Contours() {
		for s := range c.Segments() {
			for i := range 16 {
				x, y := p.pixel(s.At(float64(i) / 16))
				outline = append(outline, [2]float64{x, y})
			}
		}
	}
	for _, q := range geometry.Rectangle(p.cardBox, 0).Vertices() {
		x, y := p.pixel(q.Point)
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
	light, shrunk := linearOf(img, photoPixels)
	if min(light.w, light.h) < 3*leastCardPixels {
		return nil, refuse("take a larger photograph", "the photograph has %d x %d pixels, too few to measure in", img.Bounds().Dx(), img.Bounds().Dy())
	}
	light.soften()
	found, err := light.findPaper()
	if err != nil {
		return nil, err
	}
	s := scene{diff: found.difference(light), shrunk: shrunk, options: o}
	s.floor = max(0.05, 4*grainOf(s.diff))
	if s.card, err = s.chooseCard(); err != nil {
		return nil, err
	}
	s.wipe()
	return s.measure()
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

// scene is a photograph on the way to a measured piece.
type scene struct {
	diff    grid // from paper
	floor   float64
	shrunk  int
	options PhotoOptions
	card    card
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
		return card{}, refuse("point at the one to measure with, such as --card "+places[0], "%d cards are in the picture, at the pixels %s", len(cards), strings.Join(places, " and "))
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
		Card: s.card.fit, Threshold: level, cardBox: s.card.box(), toPixels: s.card.toPixels,
		height: float64(s.diff.h), shrunk: float64(s.shrunk), lift: 1,
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
