package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// By hand: where an offcut takes all of 300 x 200, an arrow of 10 x 20 whose groove of 3 stays 10 - 3/2 off the
// edge lies from 8.5, and the offcut begins behind its groove, at 8.5 + 10 + 1.5. Where it would be no offcut
// any more, there is none.
func TestAnOffcutGivesWayToTheArrow(t *testing.T) {
	s := Setup{SizeMM: [2]float64{300, 200}, MarginMM: 10, Offcuts: []Rect{{0, 0, 300, 200}}}
	r := room{kerf: 3, margin: 10}
	_, ok := s.spare(r, 3, 10, 20, nil)
	assert.False(t, ok)
	at, ok := s.offOffcuts(r, 3, 10, 20, nil)
	assert.True(t, ok)
	assert.Equal(t, geometry.Point{X: 8.5, Y: 8.5}, at)
	assert.Equal(t, []Rect{{20, 0, 280, 200}}, s.Offcuts)
	s = Setup{SizeMM: [2]float64{70, 220}, MarginMM: 10, Offcuts: []Rect{{0, 0, 70, 220}}}
	_, ok = s.offOffcuts(r, 3, 50, 150, nil)
	assert.False(t, ok)
	assert.Equal(t, []Rect{{0, 0, 70, 220}}, s.Offcuts)
}

// Clamps keep a groove away by half of what is wider, it or the nut, 2 mm (profiles.ClampBesideMM) and what the zero may be off.
func TestClampsKeepTheArrowAway(t *testing.T) {
	s := Setup{ZeroMM: [2]float64{5, 10}}
	m := profiles.Machine{ZeroMM: number(0.5), Clamps: []profiles.ClampZone{{XMM: 20, YMM: 30, LengthMM: 40, WidthMM: 50}}}
	for _, c := range []struct{ collet, groove, away float64 }{{20, 3, 12.5}, {2, 3, 4}} {
		assert.Equal(t, []geometry.Box{Rect{25, 40, 40, 50}.box().Grow(c.away)}, s.clamped(m, profiles.Tool{ColletMM: number(c.collet)}, c.groove))
	}
}

// An arrow of 10 x 20 mm with a groove of 2 mm lies as near to the front as it can, 10 - 3/2 mm off the edge; behind an offcut of 50 mm with half
// its groove to it, and beside what else is taken.
func TestWhereTheArrowLies(t *testing.T) {
	r := room{kerf: 3, margin: 10}
	for _, c := range []struct {
		offcuts []Rect
		taken   []geometry.Box
		want    geometry.Point
		none    bool
	}{
		{nil, nil, geometry.Point{X: 8.5, Y: 8.5}, false},
		{[]Rect{{0, 0, 300, 50}}, nil, geometry.Point{X: 8.5, Y: 51}, false},
		{[]Rect{{0, 0, 300, 50}}, []geometry.Box{Rect{0, 0, 100, 200}.box()}, geometry.Point{X: 100, Y: 51}, false},
		{[]Rect{{0, 0, 300, 170.5}}, nil, geometry.Point{X: 8.5, Y: 171.5}, false}, {[]Rect{{0, 0, 300, 170.6}}, nil, geometry.Point{}, true},
		{nil, make([]geometry.Box, mostBoxes), geometry.Point{X: 8.5, Y: 8.5}, false}, {nil, make([]geometry.Box, mostBoxes+1), geometry.Point{}, true},
	} {
		s := Setup{SizeMM: [2]float64{300, 200}, MarginMM: 10, Offcuts: c.offcuts}
		at, ok := s.spare(r, 2, 10, 20, c.taken)
		assert.Equal(t, !c.none, ok, "%+v", c)
		assert.InDeltaSlice(t, []float64{c.want.X, c.want.Y}, []float64{at.X, at.Y}, 1e-9, "%+v", c)
	}
	offs := func(high float64) bool {
		s := Setup{SizeMM: [2]float64{300, 200}, MarginMM: 10, Offcuts: []Rect{{0, 0, 300, 200}}}
		_, ok := s.offOffcuts(r, 3, 10, 20, []geometry.Box{Rect{0, 0, 300, high}.box(), Rect{0, high + 20, 300, 300}.box()})
		return ok
	}
	assert.True(t, offs(8.5), "between two clamps")
	assert.False(t, offs(9), "on one")
}

// In a pocket of 30 x 40 mm an arrow of 10 x 20 mm with a groove of 2 mm lies in the middle: in what is milled away half a mm
// deeper than it and half a mm wider on each side, in a plug or under a beam 2 mm and what the beam takes off. Of several the pocket whose tool comes last.
func TestTheArrowInAPocket(t *testing.T) {
	region := func(boxes ...geometry.Box) geometry.Region {
		list := []geometry.Contour{geometry.Rectangle(boxes[0], 0)}
		for _, b := range boxes[1:] {
			list = append(list, geometry.Rectangle(b, 0).Reverse())
		}
		return geometry.NewRegion(list...)
	}
	pocket := func(width, deep float64) plan.Cut {
		return plan.Cut{Name: "keg", Pockets: []int{0}, DepthMM: deep, Shape: region(Rect{100, 50, 30, width}.box()), Tool: profiles.Tool{Number: 1}}
	}
	plug := func(c plan.Cut, width float64) plan.Cut {
		c.Plug, c.Shape = true, region(c.Shape.Bounds().Grow(5), geometry.Box{Min: geometry.Point{X: 100, Y: 50}, Max: geometry.Point{X: 130, Y: 50 + width}})
		return c
	}
	dowel, rough, through := pocket(40, 9), pocket(40, 9), pocket(40, 0)
	dowel.Dowel, rough.Rough, through.Through = true, true, true
	for name, c := range map[string]struct {
		cut     plan.Cut
		beam    bool
		clamped []geometry.Box
		want    bool
	}{
		"deep enough": {pocket(40, 1.5), false, nil, true}, "too shallow": {pocket(40, 1.4), false, nil, false}, "through": {through, false, nil, true},
		"wide enough": {pocket(23.01, 9), false, nil, true}, "too narrow": {pocket(22.99, 9), false, nil, false}, "a dowel's": {dowel, false, nil, false}, "a roughing": {rough, false, nil, false},
		"under a beam": {pocket(34.01, 9), true, nil, true}, "under a beam, too narrow": {pocket(33.99, 9), true, nil, false}, // 20 + 2 (1 + 2 + 3 + 1)
		"a plug": {plug(pocket(40, 9), 26.01), false, nil, true}, "too narrow a plug": {plug(pocket(40, 9), 25.99), false, nil, false},
		"beside a clamp": {pocket(40, 9), false, []geometry.Box{Rect{125, 60, 9, 90}.box()}, true}, "below a clamp": {pocket(40, 9), false, []geometry.Box{Rect{124.9, 60, 9, 90}.box()}, false},
	} {
		s := Setup{ZeroMM: [2]float64{5, 10}}
		at, in, ok := s.inPocket(room{kerf: 3, lead: 1}, plan.Sheet{Cuts: []plan.Cut{c.cut}, Turns: []int{1}}, c.beam, 2, 1, 10, 20, c.clamped)
		assert.Equal(t, c.want, ok, name)
		if ok {
			b := c.cut.Shape.Bounds()
			if c.cut.Plug {
				b = plugOf(c.cut).Bounds()
			}
			assert.InDeltaSlice(t, []float64{115, (b.Min.Y+b.Max.Y)/2 - 10 + 10}, []float64{at.X, at.Y}, 1e-9, name)
			assert.Equal(t, "keg", in.Name)
		}
	}
	late, near, far := pocket(40, 9), pocket(40, 9), pocket(40, 9)
	late.Tool.Number, late.Name, near.Name = 2, "late", "near"
	near.Shape = near.Shape.Transform(geometry.Translate(0, -20))
	s := Setup{}
	for _, c := range []struct {
		cuts []plan.Cut
		want string
	}{{[]plan.Cut{far, near, late}, "late"}, {[]plan.Cut{far, near}, "near"}, {[]plan.Cut{near, far}, "near"}, {[]plan.Cut{late, plug(far, 40), near}, "keg"}} {
		_, in, _ := s.inPocket(room{}, plan.Sheet{Cuts: c.cuts, Turns: []int{1, 2}}, false, 2, 1, 10, 20, nil)
		assert.Equal(t, c.want, in.Name)
	}
	assert.Equal(t, "late", firstCut(plan.Sheet{Cuts: []plan.Cut{near, late}, Turns: []int{2, 1}}).Name)
	assert.Equal(t, "outline", firstCut(plan.Sheet{Cuts: []plan.Cut{near}, Turns: []int{2}, Edge: plan.Cut{Name: "outline"}}).Name)
}
