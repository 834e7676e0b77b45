package proof

import (
	"math"

	"traywright/geometry"
)

// Heat is what a lit beam gives to the foam where it gives most.
type Heat struct {
	PassJPerMM float64 // to a mm of its way, in one pass
	AllJPerMM  float64 // to a place, in all that goes through it
	Passes     int     // through that place
}

// Within reports whether it is no more than another, but for rounding.
func (h Heat) Within(most Heat) bool {
	return h.PassJPerMM <= (1+rounded)*most.PassJPerMM && h.AllJPerMM <= (1+rounded)*most.AllJPerMM && h.Passes <= most.Passes
}

const (
	// heatMM is the size of the places that are kept apart, in four grids, each half a
	// place from the others: what lies within a quarter of a mm is in one of them.
	heatMM = 0.5
	// heatStepMM is how finely a path is divided among the places, unless that were more than
	// mostHeatSteps in all: two kilometres of lit beam, the work of hours.
	heatStepMM    = heatMM / 10
	mostHeatSteps = 4e7
)

// What a contour does where it closes: it ends within closesMM of a place of its first leadMM,
// and has been farther away from there than that. A pass may come in from the waste, and run on
// past where it came to the wall.
const (
	closesMM = 1
	leadMM   = 5 // longer than the lead-ins that ship (judged, no source)
)

// heatPlace is a place of one of the grids: the grid from 1, and column and row in 30
// bits each, so that what lies 500 km apart may be taken for one. 0 is none.
type heatPlace uint64

// heatVisits is what a place gets: once from each visit, however short, and from
// every mm in it, however few visits.
type heatVisits struct {
	visits, visitJ float64 // visitJ is a sum of J/mm
	mm, j          float64
	closes         bool // a contour closes here
}

// heatBlock is eight by eight places that lie together: a beam stays among them for many steps.
type heatBlock [64]heatVisits

// heated is the places of a program, and the beam's way since it was lit.
type heated struct {
	stepMM float64
	blocks map[heatPlace]*heatBlock // by their first place
	key    [4]heatPlace             // of the block of each grid that was asked for last
	block  [4]*heatBlock
	last   [4]heatPlace
	stays  [4]heatVisits // in the last places, not added yet
	early  []earlyPlace  // of its first leadMM
	wayMM  float64
	end    geometry.Point
	lit    bool
	away   bool // it has been away from all of them
}

// earlyPlace is where the beam came in.
type earlyPlace struct {
	at     geometry.Point
	wentBy bool // has been away from there since
}

// Heat finds where the beam gives most, from the motions: the beam's full power in
// W, the power of each motion and its feed. However a program takes its passes
// apart or shifts them a little, they add up where they lie on each other. A place
// gets all that the beam gives on its way in it, so that going to and fro in one
// spot adds up as well; half of that where a contour closes, since each pass begins
// and ends there. Of many visits that are shorter than a place half count anyway.
func (r Result) Heat(fullPowerW float64) Heat {
	litMM := 0.0
	for _, m := range r.Motions {
		if m.On && !m.Rapid {
			litMM += m.flatLength()
		}
	}
	h := heated{blocks: map[heatPlace]*heatBlock{}, stepMM: math.Max(heatStepMM, litMM/mostHeatSteps)}
	var most Heat
	for _, m := range r.Motions {
		if m.Rapid || !m.On {
			h.goDark()
			continue
		}
		heat := fullPowerW * m.Power / 100 * 60 / m.Feed
		most.PassJPerMM = math.Max(most.PassJPerMM, heat)
		h.along(m, heat)
	}
	h.goDark()
	for _, b := range h.blocks {
		for _, v := range b {
			share := 1.0
			if v.closes {
				share = 0.5
			}
			most.AllJPerMM = math.Max(most.AllJPerMM, math.Max(v.visitJ/2, share*v.j/heatMM))
			most.Passes = max(most.Passes, int(math.Max(math.Ceil(v.visits/2), math.Round(share*v.mm/heatMM))))
		}
	}
	return most
}

// at is what a place has got.
func (h *heated) at(p heatPlace) *heatVisits {
	const low = 7
	grid, key := p>>60-1, p&^(low<<30|low)
	if h.key[grid] != key {
		b := h.blocks[key]
		if b == nil {
			b = &heatBlock{}
			h.blocks[key] = b
		}
		h.key[grid], h.block[grid] = key, b
	}
	return &h.block[grid][p>>30&low<<3|p&low]
}

// along adds a motion. A short piece of it counts by the longest of its sides: a
// straight way through a place then has the place's size in any direction.
func (h *heated) along(m Motion, heat float64) {
	if !h.lit {
		h.lit, h.away, h.early, h.wayMM = true, false, append(h.early[:0], earlyPlace{at: m.From.Point}), 0
	}
	h.end = m.From.Point
	rise := math.Abs(m.To.Z-m.From.Z) / (m.steps(h.stepMM) + 1)
	m.along(h.stepMM, func(p geometry.Point) {
		way := p.Sub(h.end)
		middle := h.end.Add(way.Scale(0.5))
		for grid := range h.stays {
			at := placeOf(middle, grid)
			s := &h.stays[grid]
			if at != h.last[grid] {
				h.leave(grid)
				h.last[grid], s.visits, s.visitJ = at, 1, heat
			}
			mm := max(math.Abs(way.X), math.Abs(way.Y), rise)
			s.mm, s.j = s.mm+mm, s.j+mm*heat
		}
		h.wayMM += way.Norm()
		h.end = p
		h.comeIn(p)
	})
}

// comeIn keeps the first places of the way, and which of them it has left.
func (h *heated) comeIn(p geometry.Point) {
	if h.away {
		return
	}
	last := h.early[len(h.early)-1].at
	if h.wayMM <= leadMM && p.DistanceTo(last) >= heatMM/2 {
		h.early = append(h.early, earlyPlace{at: p})
	}
	h.away = h.wayMM > leadMM
	for i := range h.early {
		e := &h.early[i]
		e.wentBy = e.wentBy || p.DistanceTo(e.at) > closesMM
		h.away = h.away && e.wentBy
	}
}

// placeOf is the place of one of the four grids that a point is in.
func placeOf(p geometry.Point, grid int) heatPlace {
	dx, dy := float64(grid%2)/2, float64(grid/2)/2
	const thirty = 1<<30 - 1
	column, row := int64(math.Floor(p.X/heatMM+dx))&thirty, int64(math.Floor(p.Y/heatMM+dy))&thirty
	return heatPlace(int64(grid+1)<<60 | column<<30 | row)
}

// leave adds what the beam gave to the place that it was in last.
func (h *heated) leave(grid int) {
	if at, s := h.last[grid], h.stays[grid]; at > 0 {
		v := h.at(at)
		*v = heatVisits{v.visits + s.visits, v.visitJ + s.visitJ, v.mm + s.mm, v.j + s.j, v.closes}
	}
	h.last[grid], h.stays[grid] = 0, heatVisits{}
}

// goDark ends the beam's way, and marks where it closed.
func (h *heated) goDark() {
	for grid := range h.last {
		h.leave(grid)
	}
	for _, e := range h.early {
		if h.lit && e.wentBy && h.end.DistanceTo(e.at) <= closesMM {
			h.closesAt(e.at)
		}
	}
	h.lit = false
}

// closesAt marks the places around one where a contour closes.
func (h *heated) closesAt(p geometry.Point) {
	for i := range 25 {
		off := geometry.Point{X: float64(i%5-2) * closesMM / 2, Y: float64(i/5-2) * closesMM / 2}
		for grid := range h.last {
			h.at(placeOf(p.Add(off), grid)).closes = true
		}
	}
}

// steps is into how many parts along divides a motion.
func (m Motion) steps(step float64) float64 {
	const most = 1e6 // of a motion that no machine could make
	return math.Min(most, math.Ceil(m.flatLength()/step))
}

// along visits points of a motion, no farther apart than step in mm, both ends among
// them.
func (m Motion) along(step float64, visit func(geometry.Point)) {
	n := int(m.steps(step))
	starts, radius, sweep := 0.0, 0.0, 0.0
	if m.Arc {
		starts, radius, sweep = math.Atan2(m.From.Y-m.Center.Y, m.From.X-m.Center.X), m.From.DistanceTo(m.Center), m.sweep()
	}
	for i := range n + 1 {
		t := 1.0
		if n > 0 {
			t = float64(i) / float64(n)
		}
		if !m.Arc {
			visit(geometry.Point{X: m.From.X + t*(m.To.X-m.From.X), Y: m.From.Y + t*(m.To.Y-m.From.Y)})
			continue
		}
		sin, cos := math.Sincos(starts + t*sweep)
		visit(geometry.Point{X: m.Center.X + radius*cos, Y: m.Center.Y + radius*sin})
	}
}
