package lettering

import (
	"bytes"
	"math"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"

	"traywright/geometry"
)

// block is a contour of a TrueType glyph, clockwise: inside on the right.
func block(x, y, size int) []int {
	return []int{x, y, x, y + size, x + size, y + size, x + size, y}
}

func backwards(contour []int) []int {
	var b []int
	for i := len(contour) - 2; i >= 0; i -= 2 {
		b = append(b, contour[i], contour[i+1])
	}
	return b
}

// capitalGlyph makes the capital height 700 units.
var capitalGlyph = polygonGlyph(block(0, 0, 700))

func setOne(t *testing.T, data []byte, text string, height float64) Line {
	t.Helper()
	face, err := ParseFont(data)
	require.NoError(t, err)
	line, err := face.Set(text, Setting{HeightMM: height})
	require.NoError(t, err)
	return line
}

func TestOutlinesOfFiles(t *testing.T) {
	for _, c := range []struct {
		name     string
		data     []byte
		contours int
		area     float64 // of the I at a height of 7 mm, so 100 units to the mm
	}{
		{"a square", trueType(nil, nil, capitalGlyph, polygonGlyph(block(0, 0, 300))), 1, 9},
		{"the other way round", trueType(nil, nil, capitalGlyph, polygonGlyph(backwards(block(0, 0, 300)))), 1, 9},
		{"with a hole", trueType(nil, nil, capitalGlyph, polygonGlyph(block(0, 0, 300), backwards(block(100, 100, 100)))), 2, 8},
		{"overlapping", trueType(nil, nil, capitalGlyph, polygonGlyph(block(0, 0, 200), block(100, 100, 200))), 1, 7},
		{"twice the same", trueType(nil, nil, capitalGlyph, polygonGlyph(block(0, 0, 200), block(0, 0, 200))), 1, 4},
		{"either way, apart", trueType(nil, nil, capitalGlyph, polygonGlyph(block(0, 0, 100), backwards(block(200, 0, 100)))), 2, 2},
		{"compound", trueType(nil, nil, capitalGlyph, compound(3, 3), polygonGlyph(block(0, 0, 300))), 1, 9},
		{"CFF", cffFont(nil, charstring(0, 0, 1, 1), charstring(0, 0, 700, 700), charstring(0, 0, 300, 300)), 1, 9},
	} {
		t.Run(c.name, func(t *testing.T) {
			line := setOne(t, c.data, "I", 7)
			r := line.Letters[0].Region
			require.NoError(t, r.Validate(joinMM))
			assert.Len(t, r.Contours(), c.contours)
			assert.InDelta(t, c.area, r.Area(), 1e-9)
			assert.InDelta(t, 6, line.AdvanceMM, 1e-9)
		})
	}
}

// A character that the font has but draws nothing for is as good as missing.
func TestNothingDrawnIsMissing(t *testing.T) {
	for _, g := range [][]byte{nil, polygonGlyph([]int{0, 0, 100, 100})} {
		face, err := ParseFont(trueType(nil, nil, capitalGlyph, g))
		require.NoError(t, err)
		_, err = face.Set("HI I", Setting{HeightMM: 7})
		missing := new(MissingError)
		require.ErrorAs(t, err, &missing)
		assert.Equal(t, []rune("I"), missing.Runes)
	}
}

// Goroutines that share a face get the same letters.
func TestFaceIsShared(t *testing.T) {
	for _, name := range []string{"go", Strokes} {
		face := shippedFace(t, name)
		want, err := face.Set("Quay", Setting{HeightMM: 10})
		require.NoError(t, err)
		var wait sync.WaitGroup
		for range 4 {
			wait.Go(func() {
				got, err := face.Set("Quay", Setting{HeightMM: 10})
				assert.NoError(t, err)
				assert.Equal(t, want, got)
			})
		}
		wait.Wait()
	}
}

// Between two control points in a row an outline goes through their middle (OpenType 1.9,
// "glyf"), which here is half way between two units.
func TestImpliedPoints(t *testing.T) {
	outline := []int{0, 0, 0, 301, 301, 301, 301, 0}
	half := 1.505
	for _, c := range []struct {
		name string
		on   []byte
		want []geometry.Point // implied, at 100 units to the mm
	}{
		{"none on the curve", []byte{0, 0, 0, 0}, []geometry.Point{{X: 0, Y: half}, {X: half, Y: 3.01}, {X: 3.01, Y: half}, {X: half, Y: 0}}},
		{"the first", []byte{1, 0, 0, 0}, []geometry.Point{{X: half, Y: 3.01}, {X: 3.01, Y: half}}},
		{"the second", []byte{0, 1, 0, 0}, []geometry.Point{{X: 3.01, Y: half}, {X: half, Y: 0}}},
		{"both ends", []byte{1, 0, 0, 1}, []geometry.Point{{X: half, Y: 3.01}}},
	} {
		g := polygonGlyph(outline)
		copy(g[glyfHeader+4:], c.on)
		for _, data := range [][]byte{trueType(nil, nil, capitalGlyph, g), trueType(nil, nil, capitalGlyph, compound(3), g)} {
			contour := setOne(t, data, "I", 7).Letters[0].Region.Contours()[0]
			for _, want := range c.want {
				least := math.Inf(1)
				for _, v := range contour.Vertices() {
					least = min(least, v.DistanceTo(want))
				}
				assert.InDelta(t, 0, least, 1e-9, "%s: %v", c.name, want)
			}
		}
	}
}

// The capital height of the Go fonts is 1480 of 2048 units, as their OS/2 tables say and their H
// measures; the H of Go Regular is 165 to 1313 units wide.
func TestPublishedFactsOfGoRegular(t *testing.T) {
	line := setOne(t, goregular.TTF, "H", 14.80)
	b := line.Box
	assert.InDelta(t, 1.65, b.Min.X, 1e-9)
	assert.InDelta(t, 13.13, b.Max.X, 1e-9)
	assert.InDelta(t, 0, b.Min.Y, 1e-9)
	assert.InDelta(t, 14.80, b.Max.Y, 1e-9)
}

// A font of symbols has neither.
func TestCapitalHeightOfSymbols(t *testing.T) {
	data := trueType(nil, nil, nil, polygonGlyph(block(0, 0, 500)))
	assert.InDelta(t, 5, setOne(t, data, "I", 7).Box.Height(), 1e-9)
}

// Without an H the OS/2 table tells the capital height: sCapHeight at byte 88 of version 2.
func TestCapitalHeightFromOS2(t *testing.T) {
	os2 := append(u16(2), make([]byte, 94)...)
	copy(os2[88:], u16(500))
	data := trueType(map[string][]byte{"OS/2": os2}, nil, nil, polygonGlyph(block(0, 0, 500)))
	assert.InDelta(t, 5, setOne(t, data, "I", 5).Box.Height(), 1e-9)
}

func TestKerning(t *testing.T) {
	pairs := slices.Concat(u16(0, 1, 0, 6+8+6, 1), u16(1, 0, 0, 0), u16(2, 1, -100))
	data := trueType(map[string][]byte{"kern": pairs}, nil, capitalGlyph, polygonGlyph(block(0, 0, 300)))
	assert.InDelta(t, 11, setOne(t, data, "IH", 7).AdvanceMM, 1e-9, "kerned")
	assert.InDelta(t, 12, setOne(t, data, "HI", 7).AdvanceMM, 1e-9)
	assert.InDelta(t, 5, setOne(t, data, "IH", 7).Letters[1].Box.Min.X, 1e-9)
}

func TestParseFontRefuses(t *testing.T) {
	for _, c := range []struct {
		name, text string
		data       []byte
	}{
		{"nothing", "cannot be read", nil},
		{"text", "cannot be read", []byte("once upon a tide")},
		{"WOFF", "WOFF font", []byte("wOFF....")},
		{"WOFF2", "WOFF2 font", []byte("wOF2....")},
		{"collection", "collection of fonts", []byte("ttcf....")},
		{"Type 1", "Type 1", []byte("%!PS-AdobeFont")},
		{"half", "cannot be read", goregular.TTF[:len(goregular.TTF)/2]},
		{"large", "the limit is", make([]byte, maxFontBytes+1)},
		{"units", "units to the em", trueType(map[string][]byte{"head": make54(9)}, nil, capitalGlyph)},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ParseFont(c.data)
			fault := new(Fault)
			require.ErrorAs(t, err, &fault)
			assert.Equal(t, ruleFont, fault.Rule)
			assert.Contains(t, fault.Text, c.text)
			assert.NotEmpty(t, fault.Hint)
		})
	}
}

func make54(units int) []byte {
	head := commonTables(2)["head"]
	copy(head[18:], u16(units))
	return head
}

// Every glyph here would take millions of steps or points to draw.
func TestHostileGlyphs(t *testing.T) {
	tree := [][]byte{nil, capitalGlyph}
	for i := range 6 { // I shows J eight times, which shows K eight times ...
		tree = append(tree, compound(slices.Repeat([]int{i + 3}, 8)...))
	}
	tree = append(tree, polygonGlyph(block(0, 0, 10)))
	self := [][]byte{nil, capitalGlyph, compound(2)}
	heavy := [][]byte{nil, capitalGlyph, compound(slices.Repeat([]int{3}, 60)...), manyPoints(60_000)}
	// Each subroutine calls the next one a thousand times; -107 is the number of the first.
	call := func(n int) []byte { return append(short(n-107), 29) }
	var subrs [][]byte
	for i := range 9 {
		subrs = append(subrs, append(slices.Repeat(call(i+1), 1000), 11))
	}
	subrs = append(subrs, []byte{11})
	box := charstring(0, 0, 700, 700)
	for _, c := range []struct {
		name string
		data []byte
	}{
		{"a tree of compounds", trueType(nil, tree...)},
		{"a compound of itself", trueType(nil, self...)},
		{"many points", trueType(nil, nil, capitalGlyph, manyPoints(60_000))},
		{"a few too many", trueType(nil, nil, capitalGlyph, manyPoints(12_000))},
		{"many points many times", trueType(nil, heavy...)},
		{"subroutines", cffFont(subrs, box, box, call(0))},
	} {
		t.Run(c.name, func(t *testing.T) {
			face, err := ParseFont(c.data)
			require.NoError(t, err)
			before := allocated()
			_, err = face.Set("I", Setting{HeightMM: 10})
			fault := new(Fault)
			require.ErrorAs(t, err, &fault)
			assert.Equal(t, ruleFont, fault.Rule)
			assert.Contains(t, fault.Text, `'I'`)
			assert.Less(t, allocated()-before, uint64(512<<20), "bytes")
			_, err = face.Set("H", Setting{HeightMM: 10})
			require.NoError(t, err, "other letters work")
		})
	}
}

func allocated() uint64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.TotalAlloc
}

// The library panics on some damaged files; a face never does.
func TestDamagedFonts(t *testing.T) {
	n := 400
	if testing.Short() {
		n = 100
	}
	step := len(gomono.TTF)/n | 1
	for at := 0; at < len(gomono.TTF); at += step {
		data := bytes.Clone(gomono.TTF)
		for i := range 4 {
			if at+i < len(data) {
				data[at+i] = ^data[at+i]
			}
		}
		tryFont(t, data)
	}
}

// tryFont sets a little text if the font can be read; what comes out is valid.
func tryFont(t *testing.T, data []byte) {
	face, err := ParseFont(data)
	if err != nil {
		return
	}
	assert.True(t, utf8.ValidString(face.name) && !strings.ContainsFunc(face.name, func(r rune) bool { return r < ' ' }))
	for _, text := range []string{"H", "&", "é"} {
		line, err := face.Set(text, Setting{HeightMM: 5})
		if err != nil {
			continue
		}
		require.NoError(t, line.Letters[0].Region.Validate(joinMM))
	}
}

func FuzzParseFont(f *testing.F) {
	box := charstring(0, 0, 700, 700)
	f.Add(trueType(nil, nil, capitalGlyph, compound(1, 1)))
	f.Add(cffFont([][]byte{{11}}, box, box, box))
	f.Add(goregular.TTF[:4096])
	f.Fuzz(func(t *testing.T, data []byte) { tryFont(t, data) })
}

func TestReadsAsTheLibraryDoes(t *testing.T) {
	// What is read through the meter is what the library reads from memory.
	face, err := ParseFont(goregular.TTF)
	require.NoError(t, err)
	assert.Equal(t, "Go Regular", face.name)
	a, err := face.Set("Quay", Setting{HeightMM: 10})
	require.NoError(t, err)
	b, err := face.Set("Quay", Setting{HeightMM: 10})
	require.NoError(t, err)
	assert.Equal(t, a, b)
}

func TestZeroFace(t *testing.T) {
	var face Face
	assert.Empty(t, face.name)
	_, err := face.Set("A", Setting{HeightMM: 10})
	require.Error(t, err)
	_, err = face.Fit("A", 10, 10, Setting{})
	require.Error(t, err)
	assert.True(t, Line{}.Transform(geometry.Translate(1, 1)).Box.Empty())
	assert.Empty(t, Line{}.Strokes())
	r, err := Line{}.Region(joinMM)
	require.NoError(t, err)
	assert.True(t, r.Empty())
	assert.Zero(t, Bridge{}.strip().Len())
}
