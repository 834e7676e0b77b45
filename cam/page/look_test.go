package page

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
	"math"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/goregular"

	"traywright/geometry"
)

// WOFF 1.0, sections 3 to 5: signature, the font's own flavor, lengths that add up, and every
// table as it was, on a boundary of four bytes.
func TestWOFFHoldsTheFont(t *testing.T) {
	be, ttf := binary.BigEndian, goregular.TTF
	packed := woff(ttf)
	assert.Equal(t, "wOFF", string(packed[:4]))
	assert.Equal(t, ttf[:4], packed[4:8])
	assert.EqualValues(t, len(packed), be.Uint32(packed[8:]))
	assert.Less(t, len(packed), len(ttf)*2/3)
	tables := int(be.Uint16(packed[12:]))
	assert.EqualValues(t, be.Uint16(ttf[4:]), tables)
	whole := 12 + 16*tables
	for i := range tables {
		was, is := ttf[12+16*i:][:16], packed[44+20*i:][:20]
		require.Equal(t, was[:4], is[:4], "the font's own directory is in order")
		assert.Zero(t, be.Uint32(is[4:])%4)
		data := packed[be.Uint32(is[4:]):][:be.Uint32(is[8:])]
		if be.Uint32(is[8:]) < be.Uint32(is[12:]) {
			r, err := zlib.NewReader(bytes.NewReader(data))
			require.NoError(t, err)
			data, err = io.ReadAll(r)
			require.NoError(t, err)
		}
		assert.Equal(t, ttf[be.Uint32(was[8:]):][:be.Uint32(was[12:])], data)
		assert.Equal(t, was[4:8], is[16:20])
		whole += (len(data) + 3) &^ 3
	}
	assert.EqualValues(t, whole, be.Uint32(packed[16:]))
}

// A path in SVG's words (SVG 2, 9.3): Y up, an arc counter-clockwise where its sweep flag is 1,
// large where it turns more than half.
func TestPathsOfTheLook(t *testing.T) {
	bulge := math.Tan(math.Pi / 8) // of a quarter turn
	c := geometry.NewContour(geometry.Vertex{Point: geometry.Point{X: 0, Y: 0}}, geometry.Vertex{Point: geometry.Point{X: 10, Y: 0}, Bulge: bulge},
		geometry.Vertex{Point: geometry.Point{X: 10, Y: 10.004}})
	assert.Equal(t, "M0 0L10 0A7.07 7.07 0 0 1 10 10L0 0Z", svgPath(geometry.NewRegion(c)))
	assert.Equal(t, "0", svgNumber(-0.001))
}

// The page has its colours from the palette, as all pictures have, and what is rust moves.
func TestStylesHaveThePalettesColours(t *testing.T) {
	css := lookText("look.css")
	require.NotEmpty(t, css)
	assert.NotRegexp(t, `#[0-9a-fA-F]{3,8}\b|rgba?\(|hsl`, css)
	for rule := range strings.SplitSeq(css, "}") {
		if strings.Contains(rule, "var(--rust)") {
			assert.Regexp(t, `\.tool|\.mark`, rule)
		}
	}
	for _, name := range lookModules {
		assert.NotRegexp(t, `"#[0-9a-fA-F]{3,8}"|rgba?\(|--rust`, lookText(name+".mjs"), name)
	}
}

// All modules become one script, so no two may have the same name at their top, and each comes
// behind those that it imports. No file is left out, and each is as short as those of Go.
func TestModulesOfTheLookJoin(t *testing.T) {
	entries, err := lookFiles.ReadDir("look")
	require.NoError(t, err)
	assert.Len(t, entries, len(lookModules)+2)
	names, before := map[string]string{}, map[string]bool{}
	for _, module := range lookModules {
		text := lookText(module + ".mjs")
		assert.LessOrEqual(t, strings.Count(text, "\n"), 400, module)
		for _, m := range regexp.MustCompile(`(?m)^import .* from "\./(\w+)\.mjs";$`).FindAllStringSubmatch(text, -1) {
			assert.True(t, before[m[1]], "%s imports %s", module, m[1])
		}
		for _, m := range regexp.MustCompile(`(?m)^(?:export )?(?:const|let|class|function) (\w+)`).FindAllStringSubmatch(text, -1) {
			assert.Empty(t, names[m[1]], "%s in %s", m[1], module)
			names[m[1]] = module
		}
		before[module] = true
	}
	assert.NotRegexp(t, `(?m)^(import|export) `, lookScript())
	assert.NotContains(t, lookScript(), "</")
}

// What README says that keys do on the page of `look`, and what comes first and is printed.
func TestTheLookIsAsReadmeSays(t *testing.T) {
	for file, says := range map[string][]string{
		"look.html.tmpl": {`(?s)<ul class="cautions">.*<main id="bench"`},
		"look.css":       {`@media print\{\n[^}]*\}\nhtml,body\{background:none;color:black;[^}]*\}\n\.bench,`},
		"hands.mjs": {
			`const turnDegrees = 15;`, `\(e\.ctrlKey \|\| e\.metaKey\) && e\.key === "z"`, `this\.nudge\(way, e\.shiftKey \? 10 : 1\)`,
			`this\.turn\(e\.key === "R" \? -turnDegrees : turnDegrees\)`,
		},
	} {
		text, err := os.ReadFile("look/" + file)
		require.NoError(t, err)
		for _, s := range says {
			assert.True(t, regexp.MustCompile(s).Match(text), "%s: %s", file, s)
		}
	}
}
