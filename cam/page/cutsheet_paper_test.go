package page

import (
	"bytes"
	"image"
	"image/png"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

// Every row of every block is placed once or left over, in order, inside its
// column and below the row before it.
func TestFlowLosesNothing(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		blocks, want := anyBlocks(r)
		columns := []column{{0, 10, 110}, {100, 10, 110}}
		placed, rest := flow(blocks, columns, rapid.Bool().Draw(r, "forced"))
		var got []float64
		x, y := 0.0, 0.0
		for _, p := range placed {
			if p.x != x {
				x, y = p.x, 0
			}
			assert.GreaterOrEqual(r, p.y, y)
			y = p.y + p.height
			assert.LessOrEqual(r, y, 110+1e-9)
			got = append(got, p.height)
		}
		for _, b := range rest {
			for _, row := range b.rows {
				got = append(got, row.height)
			}
		}
		assert.Equal(r, want, got)
	})
}

// anyBlocks are blocks whose rows have heights unlike each other.
func anyBlocks(r *rapid.T) (blocks []block, heights []float64) {
	for range rapid.IntRange(1, 8).Draw(r, "blocks") {
		var b block
		b.newColumn = rapid.Bool().Draw(r, "new column")
		for range rapid.IntRange(1, 30).Draw(r, "rows") {
			h := rapid.Float64Range(1, 20).Draw(r, "height")
			b.rows = append(b.rows, row{height: h})
			heights = append(heights, h)
		}
		blocks = append(blocks, b)
	}
	return blocks, heights
}

func TestWrap(t *testing.T) {
	d, err := newDocument(a4, "", nil)
	require.NoError(t, err)
	st := style{8, false}
	rapid.Check(t, func(r *rapid.T) {
		width := rapid.Float64Range(5, 100).Draw(r, "width")
		for _, line := range d.wrap(rapid.String().Draw(r, "text"), st, width, 0) {
			assert.LessOrEqual(r, d.width(line, st), width+1e-9, "%q", line)
		}
	})
}

func TestSection(t *testing.T) {
	ring := geometry.NewRegion(geometry.Rectangle(box(10, 10, 40, 40), 0), geometry.Rectangle(box(20, 20, 20, 20), 0).Reverse())
	assert.Equal(t, [][2]float64{{10, 20}, {40, 50}}, spans(ring, 30))
	assert.Empty(t, spans(ring, 60))
	assert.Equal(t, [][2]float64{{10, 50}}, spans(ring, 15))

	tr := tray(250, 190, pocket("a", box(20, 20, 30, 40), 12), pocket("b", box(80, 30, 30, 40), 25.4), pocket("c", box(80, 120, 30, 40), 20))
	s := newCrossSection(tr, 1, 44)
	assert.Equal(t, 40.0, s.at) // through a and b, the lower of the two middles
	assert.Equal(t, []hole{{20, 50, 12}, {80, 110, 25.4}}, s.holes)
	glued := s.glued(25.4) // b ends where the base begins
	require.Len(t, glued, 2)
	assert.InDeltaSlice(t, []float64{0, 80, 110, 250}, []float64{glued[0][0], glued[0][1], glued[1][0], glued[1][1]}, 1e-9)
	assert.LessOrEqual(t, s.height(), mostSectionMM)
	assert.InDelta(t, 31.75*44/250*s.factor, s.height(), 1e-9)
}

// A picture is as tall as the page's text leaves room for, and the tallest where the text takes two pages.
func TestPictureIsTall(t *testing.T) {
	heights := map[int]int{} // of lines of text, the picture's
	for lines := range 150 {
		d, err := newDocument(a4, "a test", nil)
		require.NoError(t, err)
		c := &cutSheetPages{document: d}
		drawn := 0
		picture := func(px float64) ([]byte, error) {
			drawn++
			var b bytes.Buffer
			err := png.Encode(&b, image.NewGray(image.Rect(0, 0, shortPX, int(px))))
			return b.Bytes(), err
		}
		content := func(t typeset) []block { return []block{t.paragraphs("Text", slices.Repeat([]string{"word"}, lines))} }
		require.NoError(t, c.pictured(sheetPage{}, sheetText{Picture: picture, Least: func(px float64) float64 { return px / shortPX }}, content))
		require.Equal(t, 1, drawn, "none that has no room")
		heights[lines] = int(math.Round(c.pages[0].picture.ratio * shortPX))
		require.LessOrEqual(t, len(c.pages), 2)
		if len(c.pages) == 1 {
			continue
		}
		assert.Equal(t, 680, heights[lines-1], "the last that fits one page")
		assert.Equal(t, 1100, heights[lines], "the first that takes two")
		return
	}
	t.Fatal("nothing took two pages")
}

// The zero point stays on the picture's page: the text before it is so long that the tallest picture leaves it no room there.
func TestZeroStaysBesideThePicture(t *testing.T) {
	seen := map[float64]bool{}
	for lines := 10; lines < 110; lines += 4 {
		d, err := newDocument(letter, "a test", nil)
		require.NoError(t, err)
		c := &cutSheetPages{document: d, size: letter}
		picture := func(px float64) ([]byte, error) {
			var b bytes.Buffer
			err := png.Encode(&b, image.NewGray(image.Rect(0, 0, shortPX, int(px))))
			return b.Bytes(), err
		}
		content := func(t typeset) []block {
			zero := block{rows: []row{{height: 4}, {height: 3.25}}, newColumn: true} // of no other height
			return []block{t.paragraphs("Settings", slices.Repeat([]string{"word"}, lines)), zero, t.paragraphs("Order of work", slices.Repeat([]string{"word"}, 90))}
		}
		require.NoError(t, c.pictured(sheetPage{}, sheetText{Picture: picture, Least: func(px float64) float64 { return px / shortPX }}, content))
		require.Greater(t, len(c.pages), 1)
		high := math.Round(c.pages[0].picture.ratio * shortPX)
		seen[high] = true
		beside := slices.ContainsFunc(c.pages[0].rows, func(r placedRow) bool { return r.height == 3.25 })
		assert.True(t, beside || high == paperHeights[len(paperHeights)-1], "%d lines: a picture of %g pixels", lines, high)
	}
	assert.Greater(t, len(seen), 1)
}

// Of a sheet with several parts no picture is so low that they cannot be told apart; its text goes on over a page.
func TestPictureOfSeveralParts(t *testing.T) {
	for lines := range 150 {
		d, err := newDocument(a4, "a test", nil)
		require.NoError(t, err)
		c := &cutSheetPages{document: d}
		picture := func(px float64) ([]byte, error) {
			var b bytes.Buffer
			err := png.Encode(&b, image.NewGray(image.Rect(0, 0, shortPX, int(px))))
			return b.Bytes(), err
		}
		content := func(t typeset) []block { return []block{t.paragraphs("Text", slices.Repeat([]string{"word"}, lines))} }
		require.NoError(t, c.pictured(sheetPage{}, sheetText{Parted: true, Picture: picture, Least: func(px float64) float64 { return px / shortPX }}, content))
		assert.GreaterOrEqual(t, math.Round(c.pages[0].picture.ratio*shortPX), 820.0)
	}
}

// The list of programs stands whole on the first page where that takes no more than to have it before
// what is to be bought: two columns of 100 mm, 60 and 30 mm of other text before that, 25 mm of it, and 3.5 mm between: a list of up to 71.5 mm stands there anyway.
func TestListOfProgramsStandsWhole(t *testing.T) {
	d, err := newDocument(a4, "a test", nil)
	require.NoError(t, err)
	c := &cutSheetPages{document: d}
	top, _ := c.span(sheetPage{})
	whole := sheetPage{picture: &embedded{}}
	_, bottom := c.span(whole)
	width, _ := c.size.mm()
	whole.picture.ratio = 2*bleed + (bottom-top-4-100)/(width-2*margin)*(1-2*bleed) // leaves 100 mm
	for list, before := range map[float64]bool{15: false, 40: false, 70: false, 75: true, 95: true, 105: false} {
		content := func(typeset) []block {
			of := func(mm float64) block { return block{rows: slices.Repeat([]row{{height: mm / 10}}, 10)} }
			programs := of(list)
			programs.list, programs.over = true, 1
			return []block{of(60), of(30), of(25), programs, of(80)}
		}
		got := c.listed(whole, content)(c.typeset(8))
		heights := []float64{}
		for _, b := range got {
			heights = append(heights, math.Round(b.height()))
		}
		want := []float64{60, 30, 25, list, 80}
		if before {
			want = []float64{60, 30, list, 25, 80}
		}
		assert.Equal(t, want, heights)
	}
}

// What a picture takes at the least is found without drawing it, and it takes no less.
func TestLeastRatio(t *testing.T) {
	r, wanted := cutTray()
	o := routerOptions(wanted)
	for _, high := range paperHeights {
		var b bytes.Buffer
		require.NoError(t, picture(&b, r, o, high))
		ratio, err := ratioOf(b.Bytes())
		require.NoError(t, err)
		least := newSheet(setter(t), r, o).leastRatio(high)
		assert.LessOrEqual(t, least, ratio)
		assert.Greater(t, least, 0.9*ratio, "nor much more")
	}
}

// The first page has the list of programs, and all before it, on both papers: beside the first picture where both
// have room there, before it where only the page alone has; nothing is lost on the way.
func TestFirstPageSaysWhatToBuyAndDo(t *testing.T) {
	var seen [3]int
	for _, size := range []Paper{a4, letter} {
		for programs := 1; programs < 130; programs += 4 {
			d, err := newDocument(size, "a test", nil)
			require.NoError(t, err)
			c := &cutSheetPages{document: d}
			var picture bytes.Buffer
			require.NoError(t, png.Encode(&picture, image.NewGray(image.Rect(0, 0, shortPX, shortPX))))
			job := cutSheetText{InAll: "hours", Before: []string{"a caution"}, Buy: []string{"a sheet"}, Steps: slices.Repeat([]stepRow{{File: "a.ngc", Copies: 1}}, programs), Overview: [][]byte{picture.Bytes()}}
			require.NoError(t, c.overview(job))
			rows := 0
			for _, p := range c.pages {
				rows += len(p.rows)
			}
			whole := job.overview(c.typeset(spreadPT))
			want := 0
			for _, b := range whole {
				want += len(b.rows)
			}
			assert.Equal(t, want, rows, "%d programs", programs)
			alone := c.whole(sheetPage{}, whole)
			switch {
			case c.pages[0].picture != nil:
				seen[0]++
				assert.True(t, !alone || len(c.pages) == 1 || c.whole(c.pages[0], whole), "%d programs", programs)
			case alone:
				seen[1]++
				require.Greater(t, len(c.pages), 1)
				assert.NotNil(t, c.pages[1].picture)
			}
			if !alone {
				seen[2]++
			}
		}
	}
	assert.NotContains(t, seen, 0, "all kinds were met")
}
