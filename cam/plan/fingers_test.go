package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// holeOf is a pocket of 40 x 30 mm at a place with a piece in it.
func holeOf(x, y float64) *hole {
	box := geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + 40, Y: y + 30}}
	h := &hole{source: &job.Pocket{}, piece: &job.Piece{}, pattern: &pattern{}}
	h.form = form{name: "rect", length: 40, width: 30}
	h.Box, h.Holds = box, 1
	return h
}

// A finger reaches 50 mm down, and 5 mm of a piece have to be beside an opening; a notch of 20 x 10 mm lets it in, a gap 10 mm wide, and a piece that
// stands out by 3 mm is lifted by that (reachMM, HoldMM, liftMM, notchWidthMM, notchReachMM: judged, no source).
func TestHowFingersGetIn(t *testing.T) {
	m := &maker{Input: Input{TolMM: 1e-6, Job: &job.Job{}}}
	b := &board{Tray: Tray{Length: mm(200), Width: mm(150)}}
	for name, c := range map[string]struct {
		change func(*hole)
		open   float64 // depth of what it meets; 0 for nothing
		want   string
	}{
		"no way": {func(h *hole) {}, 0, "none"}, "nothing in it": {func(h *hole) { h.piece, h.source.Notch = nil, job.East }, 0, "notch"}, "nothing, no notch": {func(h *hole) { h.Holds = 0 }, 30, "none"},
		"a notch": {func(h *hole) { h.source.Notch = job.East }, 0, "notch"}, "a narrow one": {func(h *hole) { h.source.Notch, h.source.NotchWidth = job.East, mm(19.9) }, 0, "none"},
		"a short one": {func(h *hole) { h.source.Notch, h.source.NotchReach = job.East, mm(9.9) }, 0, "none"}, "just wide and long": {func(h *hole) { h.source.Notch, h.source.NotchReach, h.source.NotchWidth = job.East, mm(10), mm(20) }, 0, "notch"},
		"50 mm down": {func(h *hole) { h.source.Notch, h.rest = job.East, 50 }, 0, "notch"}, "deeper": {func(h *hole) { h.source.Notch, h.rest = job.East, 50.1 }, 0, "none"},
		"beside an opening": {func(h *hole) { h.rest = 2 }, 7, "gap"}, "that is shallow": {func(h *hole) { h.rest = 2 }, 6.9, "none"}, "with play": {func(h *hole) { h.beside = 10 }, 0, "gap"}, "with less": {func(h *hole) { h.beside = 9.9 }, 0, "none"},
		"standing out": {func(h *hole) { h.rest = -3 }, 0, "lift"}, "less": {func(h *hole) { h.rest = -2.9 }, 0, "none"},
	} {
		h := holeOf(50, 50)
		c.change(h)
		b.holes = []*hole{h}
		var open *hole
		if c.open > 0 {
			open = &hole{Pocket: Pocket{Depth: mm(c.open)}}
		}
		assert.Equal(t, c.want, m.wayIn(b, h, open), name)
	}
}

// A finger of 10 mm has room beside what stands out where the tray goes on so far and no other piece stands out there.
func TestRoomBesideWhatStandsOut(t *testing.T) {
	b := &board{Tray: Tray{Length: mm(60), Width: mm(50)}}
	h := holeOf(10, 10) // 10 mm to each side
	other := func(x, y, rest float64, piece bool) *hole {
		o := holeOf(x, y)
		if o.rest = rest; !piece {
			o.piece = nil
		}
		return o
	}
	b.holes = []*hole{h}
	assert.True(t, b.roomBeside(h))
	b.Length, b.Width = mm(59.8), mm(49.8)
	h.moveBox(-0.1, -0.1)
	assert.False(t, b.roomBeside(h), "a hair less on every side")
	b.Length, b.Width = mm(59.8), mm(60)
	assert.True(t, b.roomBeside(h))
	for _, c := range []struct {
		o    *hole
		room bool
	}{{other(9.9, 41, -3, true), false}, {other(9.9, 41, -2.9, true), true}, {other(9.9, 41, -3, false), true}, {other(9.9, 50, -3, true), true}} {
		b.holes = []*hole{h, c.o}
		assert.Equal(t, c.room, b.roomBeside(h), "%+v", c.o.Box)
	}
}

// moveBox moves a hole's box.
func (h *hole) moveBox(x, y float64) {
	by := geometry.Point{X: x, Y: y}
	h.Box.Min, h.Box.Max = h.Box.Min.Add(by), h.Box.Max.Add(by)
}

// Above a tray there is what its cases have left, the least of them, where it is the uppermost; none above others; and no end where no case stacks it.
func TestAirAboveATray(t *testing.T) {
	tray := func(id string, thick ...float64) job.Tray {
		made := job.Tray{ID: id}
		for _, x := range thick {
			made.Layers = append(made.Layers, job.Layer{Thickness: mm(x)})
		}
		return made
	}
	j := &job.Job{Trays: []job.Tray{tray("top", 20, 6), tray("low", 50), tray("alone", 5)}}
	of := func(high float64, stack ...string) job.Case {
		return job.Case{Stack: stack, Inside: job.Inside{Height: mm(high)}}
	}
	for name, c := range map[string]struct {
		cases []job.Case
		want  [3]float64
	}{
		"one case": {[]job.Case{of(80, "top", "low")}, [3]float64{4, 0, math.Inf(1)}}, "two": {[]job.Case{of(80, "top", "low"), of(29, "top")}, [3]float64{3, 0, math.Inf(1)}},
		"twice in one": {[]job.Case{of(80, "top", "top")}, [3]float64{0, math.Inf(1), math.Inf(1)}}, "the other way": {[]job.Case{of(80, "low", "top")}, [3]float64{0, 4, math.Inf(1)}},
	} {
		j.Cases = c.cases
		for i, want := range c.want {
			assert.InDelta(t, 0, zeroOf(AirMM(j, &j.Trays[i]), want), 1e-9, "%s, %s", name, j.Trays[i].ID)
		}
	}
	m := &maker{Input: Input{TolMM: 1e-6, Job: j}}
	j.Cases = []job.Case{of(80, "top", "low")} // 4 mm of air
	b := &board{source: &j.Trays[0]}
	for _, c := range []struct {
		access      job.Access
		proud, asks float64
		want        bool
	}{{job.LiftAccess, 4, 0, true}, {job.LiftAccess, 4.1, 0, false}, {job.LiftAccess, 4, 4, true}, {job.LiftAccess, 4, 3.9, false}, {job.AnyAccess, 0, 0, false}} {
		h := holeOf(0, 0)
		h.source.Access, h.source.Proud = c.access, mm(c.asks)
		assert.Equal(t, c.want, m.proudAsPlanned(b, h, c.proud), "%+v", c)
	}
	for _, c := range []struct {
		access job.Access
		asks   units.Length
		want   float64
	}{{job.AnyAccess, mm(9), 0}, {job.LiftAccess, 0, UsualProudMM}, {job.LiftAccess, mm(9), 9}} {
		h := holeOf(0, 0)
		h.source.Access, h.source.Proud = c.access, c.asks
		assert.Equal(t, c.want, h.plannedProud())
	}
}

// zeroOf is how far a is from b; 0 where both are without end.
func zeroOf(a, b float64) float64 {
	if a == b {
		return 0
	}
	return a - b
}

// Why an arranged piece has no way in, those of one reason together, each once.
func TestWhyNoFingerGetsIn(t *testing.T) {
	m := &maker{Input: Input{Job: &job.Job{}}}
	shut := func(name string, change func(*hole)) *hole {
		h := holeOf(0, 0)
		h.For = name
		change(h)
		return h
	}
	deep, narrow := func(h *hole) { h.rest = 50.1 }, func(h *hole) { h.form = form{name: "rect", length: 10, width: 9} }
	drawn := func(h *hole) {
		h.form.outline = newDrawn(geometry.NewRegion(geometry.Polygon(geometry.Point{X: 30}, geometry.Point{X: 60, Y: 30}, geometry.Point{X: 30, Y: 60}, geometry.Point{Y: 30})))
	}
	room := func(h *hole) { h.rest = 50 }
	assert.Equal(t, "keg, bell: more than 50 mm below the tray's top; kraken: no side of the outline has a place for a notch; die: no side is wide enough for a finger; log: no room was found for a way in, or the job asks for another one",
		m.whyShut([]*hole{shut("keg", deep), shut("die", narrow), shut("keg", deep), shut("log", room), shut("bell", deep), shut("kraken", drawn)}))
}

// A slender wall keeps the worst by its thickness against what it should have; thin ones the thinnest.
func TestTheWorstOfManyWalls(t *testing.T) {
	var w worst
	for i, d := range []float64{3, 2, 2.5} {
		w.add(d, float64(5+i), "pe-30", place{})
	}
	assert.Equal(t, []any{3, 2.0, 6.0}, []any{w.count, w.distance, w.least})
	assert.Equal(t, units.Length(0), slabOf(10, 30).depthIn(&hole{Pocket: Pocket{Depth: mm(9)}}))
	assert.Equal(t, []units.Length{mm(5), mm(20)}, []units.Length{slabOf(10, 30).depthIn(&hole{Pocket: Pocket{Depth: mm(15)}}), slabOf(10, 30).depthIn(&hole{Pocket: Pocket{Depth: mm(40)}})})
}

func slabOf(top, bottom float64) slab { return slab{top: mm(top), bottom: mm(bottom)} }
