package page

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/geometry/units"
)

func drawSection(t *testing.T, name string, r proof.Result, axis Axis, at float64, o SectionOptions) image.Image {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Section(&b, r, axis, at, o))
	return show(t, name, b.Bytes())
}

func TestSectionPictures(t *testing.T) {
	r, wanted := trayResult()
	o := SectionOptions{
		Title: "crew: layer 1 of 2", Layers: []SectionLayer{{"pe-30", 19.05}, {"pe-45", 6.35}}, Wanted: wanted,
	}
	drawSection(t, "section-coins", r, AtY, 20, o)
	o.Unit = units.Inch
	drawSection(t, "section-kraken", r, AtY, 130, o)
	drawSection(t, "section-x", r, AtX, 208, SectionOptions{})
}

func TestSectionShowsTheDepths(t *testing.T) {
	r, _ := trayResult()
	s := newSection(setter(t), r, AtY, 23, SectionOptions{})
	assert.InDelta(t, 25.4, s.thick, 1e-9, "from the program's header")
	assert.InDelta(t, 12, s.depth(27), 0.01)
	assert.Zero(t, s.depth(41.3))
	assert.True(t, math.IsNaN(s.depth(-50)))
	im := s.draw().im
	on := rect{marginPX + rulerPX, float64(marginPX) + titleType.size + 22 + bodyType.lineHeight() + 60, 0, 0}
	column := int(on.x + (27-s.from)*s.scale)
	assert.Equal(t, paper, im.RGBAAt(column, int(s.py(on, 6))), "air in the pocket")
	assert.Equal(t, ink, im.RGBAAt(column, int(s.py(on, 12))), "its floor")
	assert.NotEqual(t, paper, im.RGBAAt(column, int(s.py(on, 20))), "foam below")
}

func TestThinFoamIsDrawnHigher(t *testing.T) {
	f := newField(0, 0, 600, 10, 1)
	s := newSection(setter(t), proof.Result{Field: f}, AtY, 5, SectionOptions{Layers: []SectionLayer{{"sheet", 6}}})
	assert.Greater(t, s.factor, 1.0)
	assert.GreaterOrEqual(t, 6*s.scale*s.factor, float64(leastStripPX)*0.5)
}

func TestAwkwardSectionsStillGiveAPicture(t *testing.T) {
	r, _ := trayResult()
	for name, at := range map[string]float64{"off": 1e6, "nan": math.NaN(), "inf": math.Inf(1)} {
		drawSection(t, "awkward-section-"+name, r, AtX, at, SectionOptions{Wanted: &proof.Wanted{}})
	}
	drawSection(t, "awkward-section-empty", proof.Result{}, AtX, 0, SectionOptions{Layers: []SectionLayer{{"", math.NaN()}, {"", -1}}})
}

func TestFramesEndWithTheFoamAsCut(t *testing.T) {
	r, _ := trayResult()
	o := FrameOptions{PictureOptions: PictureOptions{Title: "crew", Machine: fixtureMachine(), ThicknessMM: fixtureThickness}}
	m := newMovie(setter(t), r, 4, o)
	cut := 0
	for i := range m.count {
		m.advance(i)
		before := cut
		cut = 0
		for p, d := range m.now {
			if d > m.final[p] {
				t.Fatalf("frame %d is cut deeper than the dry run left it", i+1)
			}
			if d > 0 {
				cut++
			}
		}
		assert.Greater(t, cut, before, "frame %d", i+1)
	}
	assert.Equal(t, m.final, m.now)

	n := 0
	require.NoError(t, Frames(r, 3, o, func(i int, data []byte) error {
		n++
		assert.Equal(t, n, i)
		show(t, fmt.Sprintf("frame-%d", i), data)
		return nil
	}))
	assert.Equal(t, 3, n)
}

func TestFramesOfAwkwardResults(t *testing.T) {
	nan := proof.Motion{On: true, To: proof.Point{Point: geometry.Point{X: math.NaN()}, Z: math.Inf(-1)}}
	deep := proof.Motion{On: true, To: proof.Point{Point: geometry.Point{X: 3}, Z: math.NaN()}}
	for _, r := range []proof.Result{{}, {Motions: []proof.Motion{nan, deep}, Field: newField(0, 0, 9, 9, 1)}} {
		n := 0
		require.NoError(t, Frames(r, -3, FrameOptions{KerfMM: map[int]float64{0: math.NaN()}}, func(int, []byte) error { n++; return nil }))
		assert.Equal(t, 1, n)
	}
	stop := errors.New("stop")
	assert.ErrorIs(t, Frames(proof.Result{}, 5, FrameOptions{}, func(int, []byte) error { return stop }), stop)
}
