package process

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// hotWire cuts a sheet in one way without an end in the foam: from beside the sheet through its
// waste to the rim, round it, and from it by slits into every pocket and out again on the same
// line. Whatever lies beyond a slit is cut before the way round goes on, so that pockets drop out
// first and the tray last, and nothing that has dropped is cut again.
//
//  1. pocket and outline lay out the contours that the wire's middle follows;
//  2. close joins them by least slits (slits.go) and walks the tree, once there and back.
type hotWire struct {
	sheet   plan.Sheet
	machine profiles.Machine
	tol     float64
	feeds   map[string]float64 // mm/min, by the name of a cut
}

func (h *hotWire) clearZ() float64 { return 0 }

// least is the way round each contour; slits are added where they are known.
func (h *hotWire) least(OpKind, plan.Cut, geometry.Region) float64 { return 0 }

// marks are drawn with a pen, by hand.
func (h *hotWire) marks([]geometry.Path) (Op, error) {
	return Op{Kind: Mark, Tool: h.sheet.Marking.Tool}, nil
}

func (h *hotWire) pocket(cut plan.Cut, _ geometry.Point) (finished, error) {
	if !cut.Through {
		return finished{}, endsInside(cut, "a wire")
	}
	return h.lines(Pocket, cut, -cut.KerfMM[0]/2)
}

func (h *hotWire) along(cut plan.Cut, near geometry.Point) (finished, error) {
	return h.pocket(cut, near)
}

func (h *hotWire) outline(edge plan.Cut, _ geometry.Point) (finished, error) {
	return h.lines(Outline, edge, edge.KerfMM[0]/2)
}

// lines are the contours of a cut, half a kerf into what falls out. Their moves wait until all are known.
func (h *hotWire) lines(kind OpKind, cut plan.Cut, grown float64) (finished, error) {
	path, err := wirePath(cut, grown, h.tol, "make the pocket larger")
	if err != nil {
		return finished{}, err
	}
	h.feeds[cut.Name] = feedsOf(cut.Recipes[0], h.machine).cut
	return finished{Op{Kind: kind, Name: cut.Name, Tool: cut.Tool, KerfMM: cut.KerfMM[0], Passes: len(cut.Passes)}, path}, nil
}

// start is where the wire begins and ends, to the left of all foam, and the contour that it comes to first.
func (h *hotWire) start(contours []geometry.Contour) (from, to geometry.Point, first int) {
	first = 0
	for i, c := range contours {
		if c.Bounds().Min.X < contours[first].Bounds().Min.X-tieMM {
			first = i
		}
	}
	left := contours[first].Bounds().Min.X
	x := left - h.sheet.Edge.Recipes[0].LeadInMM.Value
	if foam := h.sheet.Foam; foam.Width() > 0 {
		x = foam.Min.X - plan.BesideMM
	}
	beside := geometry.Rectangle(geometry.Box{Min: geometry.Point{X: x - 1, Y: contours[first].Bounds().Min.Y}, Max: geometry.Point{X: x, Y: contours[first].Bounds().Max.Y}}, 0)
	_, from, to = geometry.Distance(beside, contours[first])
	from, to = middleOfFacing(beside, contours[first], from, to)
	return from, to, first
}

// close joins all contours and makes the one way that cuts them.
func (h *hotWire) close(p *Program) error {
	if len(p.Drawn) == 0 {
		return nil
	}
	w := newWireWay(h, p)
	if len(w.contours) == 0 {
		return nil
	}
	w.walk()
	return w.check()
}

// wireWay is the one way.
type wireWay struct {
	*hotWire
	program  *Program
	contours []geometry.Contour
	of       []int    // of each contour, which of the program's drawn lines it is
	slits    []slit   // the way in first
	into     [][]slit // from each contour, into those that are come to from it
	e        *emitter
	feed     float64
	last     Op // that is under way
	order    []int
}

func newWireWay(h *hotWire, p *Program) *wireWay {
	w := &wireWay{hotWire: h, program: p}
	for i, d := range p.Drawn {
		if d.Kind != Mark {
			w.contours, w.of = append(w.contours, d.Contour), append(w.of, i)
		}
	}
	return w
}

// thin is how thick a wall between two contours has to be to count as thick. What lies between two
// trays is waste.
func (w *wireWay) thin(a, b int) float64 {
	return thinBetween(w.sheet, w.program.Drawn[w.of[a]], w.program.Drawn[w.of[b]])
}

func thinBetween(s plan.Sheet, a, b Drawn) float64 {
	if a.Kind == Outline && b.Kind == Outline {
		return 0
	}
	return thinWalls*s.Layers[0].Foam.LeastWallMM.Value + s.Edge.KerfMM[0] // the wire's middle is half a kerf beside the wall
}

// walk makes the program's operations, and puts its lines into the order of cutting.
func (w *wireWay) walk() {
	from, to, first := w.start(w.contours)
	w.slits = append([]slit{{from, to, -1, first}}, leastSlits(w.contours, first, w.thin)...)
	w.into = make([][]slit, len(w.contours))
	for _, s := range w.slits[1:] {
		w.into[s.parent] = append(w.into[s.parent], s)
	}
	w.begin(first, from)
	w.enter(w.slits[0])
	w.end()
	w.sort()
}

// begin makes what follows an operation of its own, from where the wire stands.
func (w *wireWay) begin(contour int, at geometry.Point) {
	w.end()
	d := w.program.Drawn[w.of[contour]]
	w.last = Op{Kind: d.Kind, Name: d.Name, Tool: d.Tool, KerfMM: w.sheet.Edge.KerfMM[0], Passes: 1}
	w.e, w.feed = &emitter{tol: w.tol}, w.feeds[d.Name]
	w.e.rapid(Point{at, 0})
}

// end closes the operation that is under way, if it has gone anywhere.
func (w *wireWay) end() {
	if w.e == nil || len(w.e.moves) < 2 {
		return
	}
	w.last.Moves = w.e.done()
	for i, at := 1, w.last.Moves[0].To; i < len(w.last.Moves); i++ {
		w.last.LeastS += 60 * wayOf(at, w.last.Moves[i]) / w.feed
		at = w.last.Moves[i].To
	}
	w.program.Ops = append(w.program.Ops, w.last)
}

// enter goes in by a slit, round the contour, and out again.
func (w *wireWay) enter(s slit) {
	d := &w.program.Drawn[w.of[s.contour]]
	d.Contour = beginAt(d.Contour, nearestOn(d.Contour, s.to), w.tol)
	d.Slit = geometry.NewPath(geometry.Vertex{Point: s.from}, geometry.Vertex{Point: s.to})
	w.e.line(Point{newTrack(d.Contour).start(), 0}, w.feed)
	w.round(s.contour, newTrack(d.Contour))
	w.e.line(Point{s.from, 0}, w.feed)
	w.order = append(w.order, w.of[s.contour])
}

// round goes round a contour, and from it into all that is come to from it.
func (w *wireWay) round(contour int, t track) {
	stops := w.into[contour]
	slices.SortStableFunc(stops, func(a, b slit) int { return cmp.Compare(t.placeOf(a.from), t.placeOf(b.from)) })
	done := 0.0
	for _, s := range stops {
		at := t.placeOf(s.from)
		w.follow(t.part(done, at))
		w.begin(s.contour, w.e.at.Point)
		s.from = w.e.at.Point
		w.enter(s)
		w.begin(contour, s.from)
		done = at
	}
	w.follow(t.part(done, t.length()))
}

func (w *wireWay) follow(list []geometry.Segment) {
	for _, s := range list {
		w.e.segment(s, 0, w.feed)
	}
}

// placeOf is how far along the track the place is that is nearest to p.
func (t track) placeOf(p geometry.Point) float64 {
	best, at := math.Inf(1), 0.0
	for i, s := range t.segments {
		if on, share := s.Nearest(p); on.DistanceTo(p) < best-tieMM {
			best, at = on.DistanceTo(p), t.ends[i]-(1-share)*s.Length()
		}
	}
	return at
}

// sort puts the drawn lines into the order in which they come free.
func (w *wireWay) sort() {
	drawn := w.program.Drawn
	sorted := slices.DeleteFunc(slices.Clone(drawn), func(d Drawn) bool { return d.Kind != Mark })
	for _, i := range w.order {
		sorted = append(sorted, drawn[i])
	}
	w.program.Drawn = sorted
}

// check is the last look: the way is one, it is as long as all contours and twice all slits, and no
// slit comes nearer to a third contour than its kerf is wide.
func (w *wireWay) check() error {
	at, length, want := w.program.Ops[0].Moves[0].To, 0.0, 0.0
	for _, op := range w.program.Ops {
		for _, m := range op.Moves {
			if m.Kind == Rapid && m.To != at {
				return w.fault("has a gap", m.To.Point)
			}
			length += wayOf(at, m)
			at = m.To
		}
	}
	for _, c := range w.contours {
		want += c.Length()
	}
	for _, s := range w.slits {
		want += 2 * s.from.DistanceTo(s.to)
	}
	if math.Abs(length-want) > 1e-3*float64(1+len(w.contours)) {
		return w.fault(fmt.Sprintf("is %.3f mm long instead of %.3f mm", length, want), at.Point)
	}
	kerf := w.sheet.Edge.KerfMM[0]
	for _, s := range w.slits {
		for i, c := range w.contours {
			if i == s.contour || i == s.parent || boxGap(s.asContour().Bounds(), c.Bounds()) >= kerf {
				continue
			}
			if d, on, _ := geometry.Distance(s.asContour(), c); d < kerf {
				return noPath(w.program.Drawn[0].Name, fmt.Sprintf("a slit would pass %.3f mm beside another cut, at X%.3f Y%.3f, which is less than the kerf of %.3f mm", d, on.X, on.Y, kerf),
					"move the pockets there farther apart")
			}
		}
	}
	return nil
}

func (w *wireWay) fault(what string, at geometry.Point) error {
	return fault(w.sheet.Edge, what, at)
}
