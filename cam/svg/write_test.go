package svg

import (
	"bytes"
	"encoding/xml"
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/process"
	"traywright/geometry"
)

func vx(x, y, bulge float64) geometry.Vertex {
	return geometry.Vertex{Point: geometry.Point{X: x, Y: y}, Bulge: bulge}
}

func circle(x, y, r float64) geometry.Contour {
	return geometry.NewContour(vx(x+r, y, 1), vx(x-r, y, 1))
}

func square(side float64) geometry.Contour {
	return geometry.NewContour(vx(0, 0, 0), vx(side, 0, 0), vx(side, side, 0), vx(0, side, 0))
}

// sample has every kind of path once.
func sample() process.Program {
	return process.Program{
		Drawn: []process.Drawn{
			{Kind: process.Mark, Path: geometry.NewPath(vx(5, 5, 0), vx(15, 5, 0), vx(20, 10, 0.25))},
			{Kind: process.Pocket, Contour: geometry.NewContour(vx(20, 20, 0), vx(30, 20, math.Tan(math.Pi/8)), vx(30, 30, 0), vx(20, 30, 0))},
			{Kind: process.Outline, Contour: square(60)},
		},
		Finished: []geometry.Contour{circle(20, 20, 10)},
	}
}

func write(t require.TestingT, p process.Program, o Options) string {
	var b bytes.Buffer
	require.NoError(t, Write(&b, p, o))
	return b.String()
}

// The page is 60 mm and a margin of 1 mm a side; Y is turned over: program
// Y 20 is 61 - 20 = 41 down the page. A quarter turn to the left is a sweep
// against the page's angles, flag 0.
const golden = `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="62mm" height="62mm" viewBox="0 0 62 62">
 <title>Crew &lt;tray&gt; &amp; &#34;stores&#34;</title>
 <desc>Lengths in mm. X0 Y0 of the program is at x=1 y=61 on this page. Paths are in cutting order, kerf taken off.</desc>
 <g id="MARK" fill="none" stroke="#0072B2" stroke-width="0.1">
  <path d="M 6 56 L 16 56 L 21 51"></path>
 </g>
 <g id="POCKET" fill="none" stroke="#D55E00" stroke-width="0.1">
  <path d="M 21 41 L 31 41 A 7.071067812 7.071067812 0 0 0 31 31 L 21 31 Z"></path>
 </g>
 <g id="OUTLINE" fill="none" stroke="#000000" stroke-width="0.1">
  <path d="M 1 61 L 61 61 L 61 1 L 1 1 Z"></path>
 </g>
</svg>
`

func TestGolden(t *testing.T) {
	assert.Equal(t, golden, write(t, sample(), Options{Title: `Crew <tray> & "stores"`}))
}

func TestNotesAreInTheDescription(t *testing.T) {
	text := write(t, sample(), Options{Notes: []string{"no kerf is taken off <squares>", "cut a skin"}})
	assert.Contains(t, text, "kerf taken off. Note: no kerf is taken off &lt;squares&gt;. Note: cut a skin.</desc>")
}

func TestFinishedIsAGroupOfItsOwn(t *testing.T) {
	text := write(t, sample(), Options{Finished: true})
	assert.Contains(t, text, "kerf taken off, save in group FINISHED, which has the sizes that the foam will have and is not for cutting.")
	assert.Contains(t, text, ` <g id="FINISHED" fill="none" stroke="#009E73" stroke-width="0.1">`)
	assert.Contains(t, text, `d="M 31 41 A 10 10 0 0 0 `, "a circle is cut into four arcs")
	assert.Equal(t, 4, strings.Count(text[strings.Index(text, "FINISHED\" "):], "A 10 10"))
	assert.NotContains(t, write(t, sample(), Options{}), "FINISHED")
}

func TestTitleCannotBreakOut(t *testing.T) {
	titles := []string{"</title><script/>", "]]>", "\x00\x1b[31m", "-->", "\xff\xfe", "Käpt’n", strings.Repeat("x", 5000)}
	for _, title := range titles {
		text := write(t, sample(), Options{Title: title})
		var back drawing
		require.NoError(t, xml.Unmarshal([]byte(text), &back), "%q", title)
		assert.Len(t, back.Groups, 3)
		assert.NotContains(t, text, "<script")
	}
}

func TestWriteRefuses(t *testing.T) {
	one := func(d process.Drawn) process.Program { return process.Program{Drawn: []process.Drawn{d}} }
	contour := func(v ...geometry.Vertex) process.Program {
		return one(process.Drawn{Kind: process.Pocket, Contour: geometry.NewContour(v...)})
	}
	cases := []struct {
		name string
		p    process.Program
		want string
	}{
		{"nothing", process.Program{}, "the program has no path to draw"},
		{"finished alone, not wanted", process.Program{Finished: []geometry.Contour{square(1)}}, "the program has no path to draw"},
		{"not a number", contour(vx(math.NaN(), 0, 0), vx(1, 0, 0)), "path 1 of layer POCKET: the segment from XNaN Y0, bulge 0, is not finite"},
		{"infinite", contour(vx(0, 0, 0), vx(1, math.Inf(-1), 0)), "path 1 of layer POCKET: the segment from X0 Y0, bulge 0, is not finite"},
		{"infinite bulge", contour(vx(0, 0, 0), vx(1, 0, math.Inf(1))), "path 1 of layer POCKET: the segment from X1 Y0, bulge +Inf, is not finite"},
		{"one point", contour(vx(0, 0, 0)), "path 1 of layer POCKET has fewer than two points"},
		{"no point", one(process.Drawn{}), "path 1 of layer MARK has fewer than two points"},
		{"unknown kind", one(process.Drawn{Kind: 9, Contour: square(1)}), "path 1 is of an unknown kind 9"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			assert.EqualError(t, Write(&b, c.p, Options{}), c.want)
			assert.Zero(t, b.Len(), "nothing is written beside an error")
		})
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errors.New("the disk is full") }

func TestWriteReturnsTheWritersError(t *testing.T) {
	assert.EqualError(t, Write(brokenWriter{}, sample(), Options{}), "the disk is full")
}

func TestSameBytesEveryTime(t *testing.T) {
	assert.Equal(t, write(t, sample(), Options{Finished: true}), write(t, sample(), Options{Finished: true}))
}

// Every number in a path is a plain decimal and no place lies off the page.
func TestNumbersArePlainAndOnThePage(t *testing.T) {
	coordinate := rapid.Float64Range(-1e4, 1e4)
	rapid.Check(t, func(t *rapid.T) {
		var vertices []geometry.Vertex
		for range rapid.IntRange(2, 6).Draw(t, "n") {
			vertices = append(vertices, vx(coordinate.Draw(t, "x"), coordinate.Draw(t, "y"), rapid.Float64Range(-3, 3).Draw(t, "bulge")))
		}
		var back drawing
		text := write(t, process.Program{Drawn: []process.Drawn{{Kind: process.Outline, Contour: geometry.NewContour(vertices...)}}}, Options{})
		require.NoError(t, xml.Unmarshal([]byte(text), &back))
		for _, word := range strings.Fields(back.Groups[0].Paths[0].Data) {
			assert.Regexp(t, `^([MLAZ]|-?\d+(\.\d*[1-9])?)$`, word)
			assert.False(t, strings.HasPrefix(word, "-"), "the page begins at 0")
		}
	})
}
