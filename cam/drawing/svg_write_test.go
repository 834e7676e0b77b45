package drawing

import (
	"encoding/xml"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

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
	d := Drawing{Title: `Crew <tray> & "stores"`, About: "Paths are in cutting order, kerf taken off.", Layers: sampleLayers, Paths: []Path{
		{Layer: "MARK", Open: geometry.NewPath(vx(5, 5, 0), vx(15, 5, 0), vx(20, 10, 0.25))},
		{Layer: "POCKET", Contour: geometry.NewContour(vx(20, 20, 0), vx(30, 20, math.Tan(math.Pi/8)), vx(30, 30, 0), vx(20, 30, 0))},
		{Layer: "OUTLINE", Contour: square(60)},
	}}
	assert.Equal(t, golden, writeSVG(t, d))
}

func TestNotesAreInTheDescription(t *testing.T) {
	d := sample(false)
	d.Notes = []string{"no kerf is taken off <squares>", "cut a skin"}
	text := writeSVG(t, d)
	assert.Contains(t, text, "in cutting order. Note: no kerf is taken off &lt;squares&gt;. Note: cut a skin.</desc>")
}

func TestFinishedIsAGroupOfItsOwn(t *testing.T) {
	text := writeSVG(t, sample(true))
	assert.Contains(t, text, ` <g id="FINISHED" fill="none" stroke="#009E73" stroke-width="0.1">`)
	assert.Contains(t, text, `d="M 31.1 41 A 10.1 10.1 0 0 0 `, "a circle is cut into four arcs")
	assert.Equal(t, 4, strings.Count(text[strings.Index(text, "FINISHED\" "):], "A 10.1 10.1"))
	assert.NotContains(t, writeSVG(t, sample(false)), "FINISHED")
}

// Drawings of one sheet have one page, so that they lie on each other.
func TestAPageHoldsWhatIsAskedFor(t *testing.T) {
	d := sample(false)
	d.Paths, d.Around = d.Paths[1:2], geometry.Box{Min: pt(0, 0), Max: pt(60, 60)}
	text := writeSVG(t, d)
	assert.Contains(t, text, `viewBox="0 0 62 62"`)
	assert.Contains(t, text, `d="M 31 41 A 10 10 0 0 0 `, "a place on it stays where it is")
}

func TestTitleCannotBreakOut(t *testing.T) {
	titles := []string{"</title><script/>", "]]>", "\x00\x1b[31m", "-->", "\xff\xfe", "Käpt’n", strings.Repeat("x", 5000)}
	for _, title := range titles {
		d := sample(false)
		d.Title = title
		text := writeSVG(t, d)
		var back svgDocument
		require.NoError(t, xml.Unmarshal([]byte(text), &back), "%q", title)
		assert.Len(t, back.Groups, 3)
		assert.NotContains(t, text, "<script")
	}
}

// Every number in a path is a plain decimal and no place lies off the page.
func TestNumbersArePlainAndOnThePage(t *testing.T) {
	coordinate := rapid.Float64Range(-1e4, 1e4)
	rapid.Check(t, func(t *rapid.T) {
		var vertices []geometry.Vertex
		for range rapid.IntRange(2, 6).Draw(t, "n") {
			vertices = append(vertices, vx(coordinate.Draw(t, "x"), coordinate.Draw(t, "y"), rapid.Float64Range(-3, 3).Draw(t, "bulge")))
		}
		var back svgDocument
		text := writeSVG(t, pocket(vertices...))
		require.NoError(t, xml.Unmarshal([]byte(text), &back))
		for _, word := range strings.Fields(back.Groups[0].Paths[0].Data) {
			assert.Regexp(t, `^([MLAZ]|-?\d+(\.\d*[1-9])?)$`, word)
			assert.False(t, strings.HasPrefix(word, "-"), "the page begins at 0")
		}
	})
}
