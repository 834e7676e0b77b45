package page

import (
	"image"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/math/fixed"

	"traywright/cam/kerf"
	"traywright/geometry/units"
)

// watched is a font that notes what is set in it, and where on the page.
type watched struct {
	font.Face
	st  style
	all *[]written
}

// written is a line of text on a page.
type written struct {
	text string
	st   style
	box  rect // from the letters' caps down to their baseline
	end  fixed.Int26_6
}

func (w watched) Glyph(dot fixed.Point26_6, r rune) (image.Rectangle, image.Image, image.Point, fixed.Int26_6, bool) {
	dr, mask, maskp, advance, ok := w.Face.Glyph(dot, r)
	x, y := float64(dot.X)/64, float64(dot.Y)/64
	list := *w.all
	if n := len(list) - 1; n >= 0 && list[n].st == w.st && list[n].box.bottom() == y && (list[n].end-dot.X < 64 && dot.X-list[n].end < 64) {
		list[n].text += string(r)
		list[n].end = dot.X + advance
		list[n].box.w = float64(list[n].end)/64 - list[n].box.x
		return dr, mask, maskp, advance, ok
	}
	h := w.st.capHeight()
	*w.all = append(list, written{string(r), w.st, rect{x, y - h, float64(advance) / 64, h}, dot.X + advance})
	return dr, mask, maskp, advance, ok
}

// watch is a typesetter whose texts are noted.
func watch(t testing.TB) (*typesetter, *[]written) {
	set, all := setter(t), &[]written{}
	for _, st := range []style{figureType, titleType, headingType, bodyType, strongType, smallType, numberType} {
		set.faces[st] = watched{set.face(st), st, all}
	}
	return set, all
}

// readable fails for texts that cover each other, or that the page's edge cuts off.
// Text that stands upright is noted as it lies, at the page's corner, and left out.
func readable(t *testing.T, name string, im *image.RGBA, all []written) {
	t.Helper()
	var lying []written
	for _, w := range all {
		if w.box.bottom() > 40 {
			lying = append(lying, w)
		}
	}
	require.NotEmpty(t, lying, name)
	page := rect{0, 0, float64(im.Bounds().Dx()), float64(im.Bounds().Dy())}.inset(16)
	for i, a := range lying {
		assert.True(t, a.box.x >= page.x && a.box.right() <= page.right() && a.box.bottom() <= page.bottom(), "%s: %q is cut off at %v", name, a.text, a.box)
		for _, b := range lying[:i] {
			assert.False(t, a.box.overlaps(b.box), "%s: %q at %v covers %q at %v", name, a.text, a.box, b.text, b.box)
		}
	}
}

// No text of a sheet's picture covers another or leaves the page: as planned, wrong
// everywhere, of a beam, with hundreds of cuts, on a screen and on paper.
func TestTextsOfSheetsAreReadable(t *testing.T) {
	router, wanted := trayResult()
	bad, badWanted := badTray()
	laser, laserWanted := laserResult()
	failing, _ := faulty(25)
	inches := routerOptions(wanted)
	inches.Unit = units.Inch
	for _, c := range []struct {
		name string
		s    func(set *typesetter) *sheet
	}{
		{"router", func(set *typesetter) *sheet { return newSheet(set, router, routerOptions(wanted)) }},
		{"router in inches", func(set *typesetter) *sheet { return newSheet(set, router, inches) }},
		{"bad", func(set *typesetter) *sheet { return newSheet(set, bad, routerOptions(badWanted)) }},
		{"failing", func(set *typesetter) *sheet { return newSheet(set, failing, routerOptions(wanted)) }},
		{"laser", func(set *typesetter) *sheet { return newSheet(set, laser, laserOptions(laserWanted)) }},
		{"crowded", func(set *typesetter) *sheet { return newSheet(set, crowded(400), PictureOptions{ThicknessMM: 30}) }},
	} {
		set, all := watch(t)
		readable(t, c.name, c.s(set).draw(), *all)
		for _, high := range []float64{paperHeights[0], paperHeights[len(paperHeights)-1]} {
			set, all := watch(t)
			s := c.s(set)
			s.onPaper, s.paperPX = true, high
			im := s.draw()
			readable(t, c.name+" on paper", im, *all)
			assert.Equal(t, shortPX, im.Bounds().Dx())
		}
	}
}

func TestTextsOfOverviewsAreReadable(t *testing.T) {
	for _, o := range []OverviewOptions{{}, {Unit: units.Inch, Lines: []string{"arranged, not cut yet"}}} {
		for _, onPaper := range []bool{false, true} {
			set, all := watch(t)
			v := newOverview(set, demoPlan(t), o, onPaper)
			for _, rows := range v.parts() {
				*all = nil
				readable(t, "overview", v.draw(rows, true), *all)
			}
		}
	}
}

func TestTextsOfSectionsAreReadable(t *testing.T) {
	r, wanted := trayResult()
	o := SectionOptions{Title: "crew: layer 1 of 2", Layers: []SectionLayer{{"pe-30", 19.05}, {"pe-45", 6.35}}, Wanted: wanted}
	for _, axis := range []Axis{AtX, AtY} {
		set, all := watch(t)
		readable(t, "section", newSection(set, r, axis, 60, o).draw().im, *all)
		var said []string
		for _, w := range *all {
			said = append(said, w.text)
		}
		assert.Subset(t, said, []string{[]string{"X", "Y"}[axis] + " 60 mm", "pe-30 19.05 mm", "pe-45 6.35 mm", "crew: layer 1 of 2"})
	}
}

// The numbers of a chart's axes, its names, legends and the words at its points keep
// clear of each other, for good readings and for some that are far off.
func TestTextsOfChartsAreReadable(t *testing.T) {
	fits := kerfFits(t, measuredTable())
	for _, unit := range []units.Unit{units.Millimetre, units.Inch} {
		for _, f := range fits {
			set, all := watch(t)
			p := drawFit(set, f, unit)
			readable(t, "fit", p.im, *all)
			assert.Equal(t, f.KerfMM.In(unit), largest(*all))
		}
		for _, c := range kerf.Curves(fits) {
			set, all := watch(t)
			readable(t, "curve", drawCurve(set, c, unit).im, *all)
			assert.Regexp(t, `^kerf 0\.\d{3} to 0\.\d{3} (mm|in)$`, largest(*all))
		}
		for _, l := range kerf.Ladders(fits) {
			set, all := watch(t)
			readable(t, "ladder", drawLadder(set, l, unit).im, *all)
			assert.Regexp(t, `^kerf 0\.\d{3} to 0\.\d{3} (mm|in)$`, largest(*all))
		}
	}
}

// largest is the text in the largest letters.
func largest(all []written) string {
	var best written
	for _, w := range all {
		if w.st.size > best.st.size {
			best = w
		}
	}
	return best.text
}
