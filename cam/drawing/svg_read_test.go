package drawing

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// onPage is a whole drawing of 100 by 50 mm around elements, 1 unit to the mm.
func onPage(elements string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50">` + "\n" + elements + "\n</svg>"
}

// After SVG 1.1, sections 8 and 9, from memory. Y is 50 less the drawing's.
func TestReadElements(t *testing.T) {
	cases := []struct{ name, element, want string }{
		{"lines", `<path d="M1 50 L3 50 l2-2 H9 h-1 V40 v-5z"/>`, "1,0-3,0; 3,0-5,2; 5,2-9,2; 9,2-8,2; 8,2-8,10; 8,10-8,15; closed"},
		{"pairs after M are lines", `<path d="m1,50 2,0 2-2"/>`, "1,0-3,0; 3,0-5,2"},
		{"two subpaths", `<path d="M0 50H1V49Z M5 50h1v-1z"/>`, "0,0-1,0; 1,0-1,1; closed; 5,0-6,0; 6,0-6,1; closed"},
		{"a subpath from where the last began", `<path d="M0 50H1V49Z H-1 V48z"/>`, "0,0-1,0; 1,0-1,1; closed; 0,0--1,0; -1,0--1,2; closed"},
		{"cubic", `<path d="M0 50C0 49 1 48 2 48s2 1 2 2"/>`, "0,0-2,2 by 0,1 1,2; 2,2-4,0 by 3,2 4,1"},
		{"smooth behind a line", `<path d="M0 50L2 50S4 49 4 48"/>`, "0,0-2,0; 2,0-4,2 by 2,0 4,1"},
		{"quadratic", `<path d="M0 50Q3 47 6 50t6 0"/>`, "0,0-6,0 by 2,2 4,2; 6,0-12,0 by 8,-2 10,-2"},
		{"arc, short way left", `<path d="M10 50 A10 10 0 0 0 20 40"/>`, "10,0-20,10 via 17.071068,2.928932"},
		{"arc, short way right", `<path d="M10 50 A10 10 0 0 1 20 40"/>`, "10,0-20,10 via 12.928932,7.071068"},
		{"arc, long way", `<path d="M10 50 A10 10 0 1 1 20 40"/>`, "10,0-20,10 via 2.928932,17.071068"},
		{"arc, flags without space", `<path d="M10 50a10 10 0 0010-10"/>`, "10,0-20,10 via 17.071068,2.928932"},
		{"arc with radii too short", `<path d="M0 50A1 1 0 0 0 10 50"/>`, "0,0-10,0 via 5,-5"},
		{"arc without radius", `<path d="M0 50A0 5 0 0 0 10 50"/>`, "0,0-10,0"},
		{"elliptical arc", `<path d="M0 50A5 2 0 0 1 10 50"/>`, "0,0-10,0 via 5,2"},
		{"elliptical arc, turned", `<path d="M0 50A2 5 90 0 1 10 50"/>`, "0,0-10,0 via 5,2"},
		{"numbers close together", `<path d="M.5.5L1e1-1e0"/>`, "0.5,49.5-10,51"},
		{"rect", `<rect x="1" y="2" width="10" height="5"/>`, "1,48-11,48; 11,48-11,43; 11,43-1,43; 1,43-1,48; closed"},
		{"rect without height", `<rect x="1" y="2" width="10"/>`, ""},
		{"round rect", `<rect x="0" y="40" width="10" height="10" rx="5"/>`,
			"5,10-10,5 via 8.535534,8.535534; 10,5-10,5; 10,5-5,0 via 8.535534,1.464466; 5,0-5,0; 5,0-0,5 via 1.464466,1.464466; 0,5-0,5; 0,5-5,10 via 1.464466,8.535534; closed"},
		{"circle", `<circle cx="5" cy="45" r="2"/>`, "7,5-7,5 via 3,5; closed"},
		{"ellipse", `<ellipse cx="5" cy="45" rx="2" ry="1"/>`, "7,5-7,5 via 3,5; closed"},
		{"line", `<line x2="5" y1="50" y2="45"/>`, "0,0-5,5"},
		{"polyline", `<polyline points="0,50 1,50 1,49"/>`, "0,0-1,0; 1,0-1,1"},
		{"polygon", `<polygon points="0 50 1 50 1 49"/>`, "0,0-1,0; 1,0-1,1; 1,1-0,0; closed"},
		{"length with a unit", `<circle cx="25.4mm" cy="0" r="1in"/>`, "192,50-192,50 via 0,50; closed"},
		{"not drawn", `<defs><path d="M0 0H1"/></defs><title>t</title><clipPath><rect width="1" height="1"/></clipPath><g display="none"><text>x</text></g><path style="display: none" d="M0 0H1"/>`, ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			pieces, err := readSVG(context.Background(), []byte(onPage(c.element)))
			require.NoError(t, err)
			assert.Equal(t, c.want, sketch(pieces))
		})
	}
}

// A line from 1, 0 to 1, 10 down the page, which is 1,50 to 1,40 up.
func TestReadTransforms(t *testing.T) {
	cases := []struct{ transform, want string }{
		{"", "1,50-1,40"},
		{"translate(3)", "4,50-4,40"},
		{"translate(3 -4)", "4,54-4,44"},
		{"scale(2)", "2,50-2,30"},
		{"scale(2,.5)", "2,50-2,45"},
		{"rotate(90)", "0,49--10,49"},
		{"rotate(90 1 0)", "1,50--9,50"},
		{"skewX(45)", "1,50-11,40"},
		{"skewY(45)", "1,49-1,39"},
		{"matrix(0 1 -1 0 5 6)", "5,43--5,43"},
		{"translate(3), scale(2)", "5,50-5,30"},
		{"scale(2) translate(3)", "8,50-8,30"},
	}
	for _, c := range cases {
		t.Run(c.transform, func(t *testing.T) {
			pieces, err := readSVG(context.Background(), []byte(onPage(`<g transform="`+c.transform+`"><g><path d="M1 0V10"/></g></g>`)))
			require.NoError(t, err)
			assert.Equal(t, c.want, sketch(pieces))
		})
	}
	pieces, err := readSVG(context.Background(), []byte(onPage(`<circle r="2" transform="scale(2 1) rotate(30)"/><circle r="2" transform="rotate(30) scale(-2)"/>`)))
	require.NoError(t, err)
	oval, round := pieces[0].Curves[0].(arc), pieces[1].Curves[0].(arc)
	assert.Greater(t, math.Abs(oval.U.Norm()-oval.V.Norm()), 0.1)
	assert.InDelta(t, 4, round.U.Norm(), 1e-12)
	assert.InDelta(t, 0, round.U.Dot(round.V), 1e-12)
}

// A line from 0, 0 to 1, 0 on pages of many kinds; units after CSS.
func TestReadPages(t *testing.T) {
	cases := []struct{ page, want string }{
		{`width="10mm" height="10mm" viewBox="0 0 10 10"`, "0,10-1,10"},
		{`width="1in" height="1in" viewBox="0 0 1 1"`, "0,25.4-25.4,25.4"},
		{`width="1cm" height="2cm" viewBox="0 0 10 20"`, "0,20-1,20"},
		{`width="72pt" height="6pc" viewBox="0 0 1 1"`, "0,25.4-25.4,25.4"},
		{`width="1in" height="1in"`, "0,25.4-0.264583,25.4"},
		{`width="10mm" height="10mm" viewBox="-5 -5 10 10"`, "5,5-6,5"},
		{`width="20mm" height="10mm" viewBox="0 0 10 10"`, "5,10-6,10"},
		{`width="20mm" height="10mm" viewBox="0 0 10 10" preserveAspectRatio="none"`, "0,10-2,10"},
	}
	for _, c := range cases {
		t.Run(c.page, func(t *testing.T) {
			pieces, err := readSVG(context.Background(), []byte(`<?xml version="1.0"?><!-- by hand --><svg `+c.page+`><path d="M0 0H1"/></svg>`))
			require.NoError(t, err)
			assert.Equal(t, c.want, sketch(pieces))
		})
	}
}

func TestReadSVGRefuses(t *testing.T) {
	const size = "the drawing does not say how large it is: "
	deep := strings.Repeat("<g>", 100) + strings.Repeat("</g>", 100)
	cases := []struct{ name, text, want string }{
		{"empty", "", "line 1: the drawing ends too early"},
		{"not XML", "0\nSECTION", "the drawing ends too early"},
		{"another root", "<html/>", `line 1: the drawing begins with "html", not with svg`},
		{"cut short", `<svg width="1mm" height="1mm"><path`, "the drawing is not good XML"},
		{"wrong end", onPage("<g></b>"), "the drawing is not good XML"},
		{"entity", onPage("&boom;"), "the drawing is not good XML"},
		{"no size", "<svg/>", size + `width is ""`},
		{"pixels", `<svg width="100px" height="50mm"/>`, size + `width is "100px"`},
		{"bare numbers", `<svg width="100mm" height="50"/>`, size + `height is "50"`},
		{"per cent", `<svg width="100%" height="100%"/>`, size + `width is "100%"`},
		{"ells", `<svg width="1ell" height="1mm"/>`, `width="1ell" is not a size that can be read`},
		{"no room", `<svg width="0mm" height="1mm"/>`, `the page's width is "0mm"`},
		{"viewBox", `<svg width="1mm" height="1mm" viewBox="0 0 1"/>`, `viewBox="0 0 1" is not four numbers, the last two above zero`},
		{"flat viewBox", `<svg width="1mm" height="1mm" viewBox="0 0 1 0"/>`, `viewBox="0 0 1 0" is not four numbers`},
		{"aspect", `<svg width="2mm" height="1mm" viewBox="0 0 1 1" preserveAspectRatio="xMinYMin slice"/>`, `preserveAspectRatio="xMinYMin slice" is not known here`},
		{"text", onPage("<text>hi</text>"), "line 2: a text element is not an outline that can be read"},
		{"picture", onPage("<image/>"), "line 2: a image element is not an outline that can be read"},
		{"clone", onPage("<g><use/></g>"), "line 2: a use element is not an outline that can be read"},
		{"path without M", onPage(`<path d="L1 1"/>`), `line 2: the path data cannot be read at character 1: "L1 1"`},
		{"path with a letter", onPage(`<path d="M0 0 B1"/>`), `cannot be read at character 6: "B1"`},
		{"path with half a pair", onPage(`<path d="M0 0 L1"/>`), "cannot be read at character 8"},
		{"path with a bad flag", onPage(`<path d="M0 0 A1 1 0 2 0 1 1"/>`), "cannot be read at character 13"},
		{"path with NaN", onPage(`<path d="M0 NaN"/>`), "cannot be read at character 4"},
		{"path too large", onPage(`<path d="M0 1e308"/>`), "the path data cannot be read"},
		{"points", onPage(`<polygon points="1 2 3"/>`), `points="1 2 3" is not a list of X and Y`},
		{"length", onPage(`<circle r="5%"/>`), `r="5%" is not a length that can be read`},
		{"transform", onPage(`<g transform="spin(3)"/>`), `transform="spin(3)" cannot be read`},
		{"transform with two angles", onPage(`<g transform="rotate(3 4)"/>`), `transform="rotate(3 4)" cannot be read`},
		{"transform in a style", onPage(`<g style="transform: scale(2)"/>`), "a transform in a style cannot be read"},
		{"too deep", onPage(deep), "groups are nested more than 64 deep"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := readSVG(context.Background(), []byte(c.text))
			wantFault(t, err, c.want)
		})
	}
}

func FuzzReadSVG(f *testing.F) {
	f.Add(onPage(`<path d="M1 50 L3 50 l2-2 H9 h-1 V40 v-5z C0 49 1 48 2 48s2 1 2 2Q3 47 6 50t6 0 a10 10 0 0010-10"/>`))
	f.Add(onPage(`<g transform="matrix(0 1 -1 0 5 6) rotate(90 1 0) skewX(4)"><rect x="0" y="40" width="10" height="10" rx="5"/></g>`))
	f.Add(onPage(`<circle cx="5" cy="45" r="2"/><ellipse rx="2" ry="1"/><polygon points="0 50 1 50 1 49"/><line x2="5mm"/>`))
	f.Add(`<svg width="20mm" height="10mm" viewBox="0 0 10 10" preserveAspectRatio="none"/>`)
	f.Fuzz(func(t *testing.T, text string) { readAnything(t, readSVG, text) })
}
