package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Registration. Layers that are glued by eye shift and, worse, go together turned or face
// down, and nobody sees it before the pockets do. Two holes through every layer of a tray, for
// dowels that stand in them while the glue sets, hold the layers in place; and where they lie so
// that no flip or turn of a layer brings both onto the holes of another, the dowels go in only
// when all lie as they should. Each hole is a pocket for nothing, through the whole tray: tool,
// path, dry run and drawings are those of any pocket. This decides how wide it is and where.

const (
	// dowelUnderMM is how much narrower than its dowel a hole is at most, where the foam gives
	// (from memory: foam is drilled 0 to 0.5 mm under a dowel).
	dowelUnderMM = 0.5
	// showsBy is how many times the hole's own width the holes of a flipped or turned layer are
	// off at least (above 1 the dowel does not go in; the rest is judged, no source).
	showsBy = 1.5
	// LeastTurn is the radius of the narrowest helix on which a cutter goes down however often it
	// winds, as a part of its width: its middle, which does not cut, moves aside by that (judged,
	// no source).
	LeastTurn = 0.1
	// leastApart is how far apart the two are at least, in diagonals of the tray: what play they
	// have turns a layer by play over distance (judged, no source).
	leastApart = 1.0 / 3
	// mistakenFor is by how much of its longer side a tray may be from a square and somebody
	// still try it a quarter turn round (judged, no source).
	mistakenFor = 0.1
	// leastByHandMM is the narrowest hole that a hand cuts through layers along a line, and a bow's
	// wire is threaded and turned in: narrower, the blade tears the foam (judged, no source).
	leastByHandMM = 5
	// mostSpots bounds the places that are held against each other in pairs.
	mostSpots = 1500
)

// dowelSizes are usual diameters of dowels in the shops (common practice, no source).
var dowelSizes = map[units.Unit][]units.Length{
	units.Millimetre: {3_000_000, 4_000_000, 5_000_000, 6_000_000, 8_000_000, 10_000_000, 12_000_000},
	units.Inch:       {3_175_000, 4_762_500, 6_350_000, 7_937_500, 9_525_000, 12_700_000},
}

// register gives a tray its registration holes, or says why it has none.
func (m *maker) register(b *board) {
	dowel := b.source.Dowel
	switch {
	case dowel == 0 || !b.known || !m.built():
		return
	case b.source.Cut == job.Block:
		m.log.note(b.at, "no-dowels-needed", "is glued before it is cut, and its layers need no registration holes: it gets none", "")
		return
	case len(b.Layers) < 2:
		m.log.note(b.at, "no-dowels-needed", "has one layer, and needs no registration holes: it gets none", "")
		return
	}
	if no := m.dowelTool(b, dowel); no != nil {
		if !no.told {
			m.log.fail(b.at, "dowel-and-tool", fmt.Sprintf("would have registration holes of %s for dowels of %s: a hole %s", m.mm(holeFor(b, dowel)), m.length(dowel), no.message), m.otherDowel(b, dowel))
		}
		return
	}
	defer m.relieve(b)()
	spots := m.dowelSpots(b, dowel)
	if spots == nil {
		where := ", outside its pockets and marks, with their walls and edge kept"
		if b.source.Ears {
			where = ", in ears at its back or its right side: both are too short"
		}
		m.log.fail(b.at, "no-room-for-dowels", fmt.Sprintf("has no room for two registration holes of %s that are a third of its diagonal apart and lie otherwise when a layer is flipped or turned",
			m.mm(holeFor(b, dowel)))+where, m.otherDowel(b, dowel))
		return
	}
	if e, ok := m.earsFor(b, dowel); ok && b.source.Ears {
		e.wear(b)
	}
	for i, at := range spots {
		h := m.dowelHole(b, i+1, at, dowel)
		h.outside = b.source.Ears
		b.holes = append(b.holes, h)
	}
}

// otherDowel is what to do where a dowel has no tool or no room: the size nearest to it that has
// both, or none.
func (m *maker) otherDowel(b *board, dowel units.Length) string {
	sizes := slices.Clone(dowelSizes[m.unit])
	off := func(d units.Length) units.Length { return max(d-dowel, dowel-d) }
	slices.SortStableFunc(sizes, func(c, d units.Length) int { return cmp.Compare(off(c), off(d)) })
	for _, d := range sizes {
		if d != dowel && m.dowelTool(b, d) == nil && m.dowelSpots(b, d) != nil {
			return "write `dowel: " + d.Exact(m.unit) + "`: holes for that have a tool and room in this tray" + m.orEars(b, dowel, "; or write ")
		}
	}
	if ears := m.orEars(b, dowel, "write "); ears != "" {
		return ears
	}
	if b.source.Chosen {
		return "trays that are chosen for a case leave no room for holes: write `registration: none` in `tray_defaults`, and `registration: dowels` on each tray of `trays` that is to have them"
	}
	boards := "write `registration: none` for this tray and glue it by its edges, along two boards that stand at a right angle; or "
	if !slices.ContainsFunc(sizes, func(d units.Length) bool { return m.dowelTool(b, d) == nil }) {
		return boards + "cut it on another machine: no hole for a usual dowel has a tool on this one"
	}
	return boards + "make room: fewer or smaller pockets, less `wall` or `edge`"
}

// orEars offers the waste beside a tray that is too full, behind such a word; "" where that is no way out.
func (m *maker) orEars(b *board, dowel units.Length, word string) string {
	e, ok := m.earsFor(b, dowel)
	if b.source.Ears || !ok || m.dowelTool(b, dowel) != nil {
		return ""
	}
	try := *b
	e.wear(&try)
	if widest := m.widestTool(); !m.Machine.Process.Traits().ByHand && !m.travels(&try, widest) {
		return ""
	}
	return word + "`registration: ears`: the holes go through two ears of waste beside its rim, which are cut off when its layers are glued"
}

// holeFor is how wide a hole through all layers is for a dowel, mm: tight in the foam that gives
// least, and no more than a little narrower than the dowel.
func holeFor(b *board, dowel units.Length) float64 {
	fit := -dowelUnderMM
	for _, l := range b.Layers {
		tight, ok := FitIn(l.Foam, "tight")
		if !ok {
			tight, _ = FitIn(l.Foam, "")
		}
		fit = max(fit, tight)
	}
	return dowel.MM() + fit
}

// dowelTool is why no tool that such a hole may be made with makes it through one of the tray's
// layers; nil where all have one.
func (m *maker) dowelTool(b *board, dowel units.Length) *refusal {
	form := form{name: "round", length: holeFor(b, dowel), width: holeFor(b, dowel)}
	switch {
	case !(form.length > 0):
		return &refusal{message: "has no width in foam that soft"}
	case m.Machine.Process.Traits().ByHand && form.length < leastByHandMM-m.slackMM():
		return &refusal{message: "is too narrow for a hand, which cuts holes of " + m.more(leastByHandMM) + " and wider"}
	}
	tool := ""
	if m.wholeLayers() {
		tool = b.source.Tool // see toolOf
	}
	told := m.beyond
	defer func() { m.beyond = told }()
	for _, s := range m.slabs(b) {
		t := task{tool: tool, layers: s.layers, depthMM: (s.bottom - s.top).MM(), through: true}
		_, no := m.choose(t, func(tool profiles.Tool, recipes []profiles.Recipe) (choice, *refusal) {
			last := recipes[len(recipes)-1]
			r := max(m.turnRadius(recipes), m.Means.LeastRoundMM(tool, last, t.depthMM+last.BreakthroughMM.Value))
			if fits := form.reach(r, leastRoomMM); fits.narrow {
				return choice{}, m.tooNarrow(tool, r, fits.at)
			}
			return choice{design: geometry.NewRegion(form.contour())}, nil
		})
		if no != nil {
			no.told = no.told || no.rule != "pocket-too-narrow" && no.rule != "tool-too-short" // the rim's tool lacks it too
			return no
		}
	}
	return nil
}

// turnRadius is the least radius of a round hole that a tool goes down into without a plunge.
func (m *maker) turnRadius(recipes []profiles.Recipe) float64 {
	r := cornerRadius(recipes)
	if m.Means.RoundCorners() {
		r = max(r, (1+2*LeastTurn)*radius(recipes)+m.slackMM())
	}
	return r
}

// dowelHole is one of the holes as a pocket.
func (m *maker) dowelHole(b *board, number int, at geometry.Point, dowel units.Length) *hole {
	wide := holeFor(b, dowel)
	f := form{name: "round", length: wide, width: wide}
	shape, err := m.pattern(patternKey{form: f})
	if err != nil {
		shape = &pattern{} // a circle that a tool fits into has a shape
	}
	name := fmt.Sprintf("registration hole %d", number)
	h := &hole{
		Pocket: Pocket{
			Name: name, Piece: name, Position: b.at.position, Depth: b.Thickness(), Through: true, ShapeName: "round", Access: "none", Waste: "clear", Dowel: dowel,
		},
		pattern: shape, source: &job.Pocket{Shape: job.RoundShape, Waste: job.ClearWaste}, at: b.at.with(name),
	}
	if m.wholeLayers() {
		h.Waste = "plug"
	}
	h.moveTo(at.Sub(geometry.Point{X: wide / 2, Y: wide / 2}))
	return h
}

// keepOut is foam that a hole's middle keeps a distance from.
type keepOut struct {
	box   geometry.Box // grown by the distance
	walls geometry.Walls
	mm    float64
}

// dowelSpots are the middles of the two holes: of all pairs with room whose pattern no flip or
// turn of a layer repeats, the one that is farthest apart; nil for none. They are looked for on a
// grid, coarse first.
func (m *maker) dowelSpots(b *board, dowel units.Length) []geometry.Point {
	if b.source.Ears {
		e, _ := m.earsFor(b, dowel)
		return e.holes
	}
	wide := holeFor(b, dowel)
	rim, out := m.dowelKeepOut(b, wide/2)
	step := Step(m.unit).MM()
	const fewSpots, finer = 600, 4
	pitch := math.Sqrt(b.Length.MM() * b.Width.MM() / fewSpots)
	for range finer {
		grid := max(1, math.Round(pitch/step)) * step
		if pair := m.apart(b, m.freeSpots(rim, out, grid, step), showsBy*wide); pair != nil {
			return pair
		}
		pitch /= 2
	}
	return nil
}

// dowelKeepOut is what a hole of that radius keeps away from: the rim, and pockets and marks.
func (m *maker) dowelKeepOut(b *board, radius float64) (rim keepOut, out []keepOut) {
	edge := b.edgeMM(b.Thickness()) + radius
	rim = keepOut{b.box().Grow(-edge), geometry.NewWalls(geometry.NewRegion(b.rim())), edge}
	for _, h := range b.holes {
		mm := b.wallMM(h.Depth) + radius
		out = append(out, keepOut{h.Design.Bounds().Grow(mm), geometry.NewWalls(h.Design), mm})
	}
	for _, k := range b.marks {
		mm := b.wallMM(k.Depth) + radius
		out = append(out, keepOut{k.Box.Grow(mm), geometry.NewWalls(geometry.NewRegion(geometry.Rectangle(k.Box, 0))), mm})
	}
	return rim, out
}

// freeSpots are the points of a grid that keep away from all, row by row; of many only each nth.
// The grid begins at the first whole step inside the rim.
func (m *maker) freeSpots(rim keepOut, out []keepOut, grid, step float64) (spots []geometry.Point) {
	first := func(x float64) float64 { return math.Ceil(x/step-1e-9) * step }
	for y := first(rim.box.Min.Y); y <= rim.box.Max.Y+m.TolMM; y += grid {
		for x := first(rim.box.Min.X); x <= rim.box.Max.X+m.TolMM; x += grid {
			p := geometry.Point{X: x, Y: y}
			if rim.walls.DistanceTo(p, 0) >= rim.mm-m.TolMM && !slices.ContainsFunc(out, func(k keepOut) bool { return k.keeps(p, m.TolMM) }) {
				spots = append(spots, p)
			}
		}
	}
	if nth := (len(spots) + mostSpots - 1) / mostSpots; nth > 1 {
		kept := spots[:0]
		for i := 0; i < len(spots); i += nth {
			kept = append(kept, spots[i])
		}
		return kept
	}
	return spots
}

// keeps reports whether a point is too near.
func (k keepOut) keeps(p geometry.Point, tol float64) bool {
	if p.X <= k.box.Min.X || p.X >= k.box.Max.X || p.Y <= k.box.Min.Y || p.Y >= k.box.Max.Y {
		return false
	}
	return k.walls.Contains(p) || k.walls.DistanceTo(p, 0) < k.mm-tol
}

// apart is the pair that is farthest apart, of those whose pattern is off by more than that
// wherever a layer is flipped or turned; nil for none.
func (m *maker) apart(b *board, spots []geometry.Point, offMM float64) (best []geometry.Point) {
	far := leastApart * math.Hypot(b.Length.MM(), b.Width.MM())
	for i, p := range spots {
		for _, q := range spots[i+1:] {
			if d := p.DistanceTo(q); d > far+m.TolMM && mistakeMM(b.box(), []geometry.Point{p, q}) > offMM {
				best, far = []geometry.Point{p, q}, d
			}
		}
	}
	return best
}

// mistakeMM is how far, in mm, the holes of a layer that lies flipped or turned are off those of
// one that lies right, where they are off least: over all ways in which a box lies on itself, the
// least of the largest distances from hole to hole.
func mistakeMM(box geometry.Box, holes []geometry.Point) float64 {
	middle := box.Min.Add(box.Max).Scale(0.5)
	ways := []func(p geometry.Point) geometry.Point{
		func(p geometry.Point) geometry.Point { return geometry.Point{X: -p.X, Y: p.Y} },
		func(p geometry.Point) geometry.Point { return geometry.Point{X: p.X, Y: -p.Y} },
		func(p geometry.Point) geometry.Point { return geometry.Point{X: -p.X, Y: -p.Y} },
	}
	if long, short := max(box.Width(), box.Height()), min(box.Width(), box.Height()); long-short <= mistakenFor*long {
		ways = append(ways,
			func(p geometry.Point) geometry.Point { return geometry.Point{X: p.Y, Y: p.X} },
			func(p geometry.Point) geometry.Point { return geometry.Point{X: -p.Y, Y: -p.X} },
			func(p geometry.Point) geometry.Point { return geometry.Point{X: -p.Y, Y: p.X} },
			func(p geometry.Point) geometry.Point { return geometry.Point{X: p.Y, Y: -p.X} })
	}
	least := math.Inf(1)
	for _, way := range ways {
		moved := make([]geometry.Point, len(holes))
		for i, h := range holes {
			moved[i] = way(h.Sub(middle)).Add(middle)
		}
		least = min(least, bottleneck(holes, moved))
	}
	return least
}

// bottleneck is the largest distance in the pairing of two equally many points that has the
// least; it tries all, which few holes allow.
func bottleneck(list, others []geometry.Point) float64 {
	if len(list) == 0 {
		return 0
	}
	least := math.Inf(1)
	for i := range others {
		rest := slices.Delete(slices.Clone(others), i, i+1)
		least = min(least, max(list[0].DistanceTo(others[i]), bottleneck(list[1:], rest)))
	}
	return least
}

// Dowels are the tray's registration holes.
func (t *Tray) Dowels() (list []Pocket) {
	for _, k := range t.Pockets {
		if k.Dowel > 0 {
			list = append(list, k)
		}
	}
	return list
}

// DowelNeed is the dowels that a job takes of one diameter: so many at a time, of that length at
// least, for they are pulled out again.
type DowelNeed struct {
	Diameter, Length units.Length
	Count            int
}

// dowelGrip is how far a dowel stands out of the thickest tray, to be pulled (judged, no source).
const dowelGrip units.Length = 20_000_000

// Dowels are the dowels that the plan's trays are glued up with, thinnest first.
func (p *Plan) Dowels() (list []DowelNeed) {
	for _, t := range p.Trays {
		count := map[units.Length]int{}
		for _, k := range t.Dowels() {
			count[k.Dowel]++
		}
		for d, n := range count {
			at := slices.IndexFunc(list, func(need DowelNeed) bool { return need.Diameter == d })
			if at < 0 {
				at = len(list)
				list = append(list, DowelNeed{Diameter: d})
			}
			list[at].Count = max(list[at].Count, n)
			list[at].Length = max(list[at].Length, (t.Thickness() + dowelGrip).Up(Step(p.Job.Units)))
		}
	}
	slices.SortFunc(list, func(a, b DowelNeed) int { return cmp.Compare(a.Diameter, b.Diameter) })
	return list
}
