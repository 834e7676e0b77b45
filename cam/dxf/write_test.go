package dxf

import (
	"bytes"
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/process"
	"traywright/geometry"
)

func pt(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }

func vx(x, y, bulge float64) geometry.Vertex { return geometry.Vertex{Point: pt(x, y), Bulge: bulge} }

// circle of radius r: two vertices of bulge 1 (DXF reference: 1 is a half circle).
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
			{Kind: process.Mark, Path: geometry.NewPath(vx(5, 5, 0), vx(15, 5, 0.5), vx(20, 10, 0.25))},
			{Kind: process.Pocket, Contour: circle(20, 20, 10)},
			{Kind: process.Outline, Contour: square(60)},
		},
		Finished: []geometry.Contour{circle(20, 20, 10.1), square(59.8)},
	}
}

func write(t require.TestingT, p process.Program, o Options) string {
	var b bytes.Buffer
	require.NoError(t, Write(&b, p, o))
	return b.String()
}

// pair is one group as this test reads it, without any code of the package.
type pair struct {
	code  int
	value string
}

func readPairs(t require.TestingT, text string) []pair {
	lines := strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n")
	require.Zero(t, len(lines)%2, "lines come in pairs")
	var out []pair
	for i := 0; i < len(lines); i += 2 {
		code, err := strconv.Atoi(lines[i])
		require.NoError(t, err)
		require.NotContains(t, lines[i+1], "\n")
		out = append(out, pair{code, lines[i+1]})
	}
	return out
}

// record is the pairs from one group 0 to the next.
type record []pair

func (e record) value(code int) string {
	for _, p := range e {
		if p.code == code {
			return p.value
		}
	}
	return ""
}

func records(t require.TestingT, text string) []record {
	var out []record
	for _, p := range readPairs(t, text) {
		if p.code == 0 {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], p)
	}
	return out
}

func ofKind(t require.TestingT, text, kind string) []record {
	var out []record
	for _, e := range records(t, text) {
		if e.value(0) == kind {
			out = append(out, e)
		}
	}
	return out
}

func TestPathsComeInCuttingOrder(t *testing.T) {
	cases := []struct {
		name     string
		o        Options
		entity   string
		polyline string // layer, closed flag of each
	}{
		{"r2000", Options{}, "LWPOLYLINE", "MARK 0, POCKET 1, OUTLINE 1"},
		{"r2000 finished", Options{Finished: true}, "LWPOLYLINE", "MARK 0, POCKET 1, OUTLINE 1, FINISHED 1, FINISHED 1"},
		{"r12", Options{Format: R12}, "POLYLINE", "MARK 0, POCKET 1, OUTLINE 1"},
		{"r12 finished", Options{Format: R12, Finished: true}, "POLYLINE", "MARK 0, POCKET 1, OUTLINE 1, FINISHED 1, FINISHED 1"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			text := write(t, sample(), c.o)
			var got []string
			for _, e := range ofKind(t, text, c.entity) {
				got = append(got, e.value(8)+" "+e.value(70))
			}
			assert.Equal(t, c.polyline, strings.Join(got, ", "))
			assert.Equal(t, c.o.Finished, strings.Contains(text, "FINISHED"))
		})
	}
}

func TestLayersInUse(t *testing.T) {
	text := write(t, process.Program{Drawn: sample().Drawn[1:]}, Options{})
	var names []string
	for _, e := range ofKind(t, text, "LAYER") {
		names = append(names, e.value(2))
		assert.Equal(t, "7", e.value(62), "one neutral colour for all")
	}
	assert.Equal(t, []string{"0", "POCKET", "OUTLINE"}, names)
}

// Group codes after the DXF reference pages for LWPOLYLINE and VERTEX.
func TestEntityText(t *testing.T) {
	text := strings.ReplaceAll(write(t, sample(), Options{}), "\r\n", " ")
	assert.Contains(t, text, "100 AcDbEntity 8 POCKET 100 AcDbPolyline 90 2 70 1 10 30 20 20 42 1 10 10 20 20 42 1 0 ")
	assert.Contains(t, text, "90 3 70 0 10 5 20 5 10 15 20 5 42 0.5 10 20 20 10 0 ", "an open path ends without a bulge")

	text = strings.ReplaceAll(write(t, sample(), Options{Format: R12}), "\r\n", " ")
	assert.Contains(t, text, "0 POLYLINE 8 POCKET 66 1 10 0 20 0 30 0 70 1 "+
		"0 VERTEX 8 POCKET 10 30 20 20 30 0 42 1 0 VERTEX 8 POCKET 10 10 20 20 30 0 42 1 0 SEQEND 8 POCKET ")
}

func TestHeader(t *testing.T) {
	for format, version := range map[Format]string{R2000: "AC1015", R12: "AC1009"} {
		text := strings.ReplaceAll(write(t, sample(), Options{Format: format}), "\r\n", " ")
		assert.Contains(t, text, "9 $ACADVER 1 "+version+" ")
		assert.Contains(t, text, "9 $INSUNITS 70 4 ", "4 is millimetres")
		assert.Contains(t, text, "9 $MEASUREMENT 70 1 ", "1 is metric, from memory")
		assert.Contains(t, text, "9 $EXTMIN 10 0 20 0 30 0 9 $EXTMAX 10 60 20 60 30 0 ")
	}
	text := strings.ReplaceAll(write(t, process.Program{Drawn: sample().Drawn[1:2]}, Options{}), "\r\n", " ")
	assert.Contains(t, text, "$EXTMIN 10 10 20 10 30 0 9 $EXTMAX 10 30 20 30 ", "arcs count in full, not by their end points")
}

func TestSectionsOfR2000(t *testing.T) {
	var sections, tables []string
	text := write(t, sample(), Options{})
	for _, e := range ofKind(t, text, "SECTION") {
		sections = append(sections, e.value(2))
	}
	for _, e := range ofKind(t, text, "TABLE") {
		tables = append(tables, e.value(2))
	}
	assert.Equal(t, "HEADER CLASSES TABLES BLOCKS ENTITIES OBJECTS", strings.Join(sections, " "))
	assert.Equal(t, "VPORT LTYPE LAYER STYLE VIEW UCS APPID DIMSTYLE BLOCK_RECORD", strings.Join(tables, " "))
	assert.True(t, strings.HasSuffix(text, "0\r\nENDSEC\r\n0\r\nEOF\r\n"))
}

func TestHandlesAreUniqueOwnedAndBelowTheSeed(t *testing.T) {
	number := func(s string) uint64 {
		n, err := strconv.ParseUint(s, 16, 64)
		require.NoError(t, err)
		return n
	}
	text := write(t, sample(), Options{Finished: true})
	seen := map[uint64]bool{0: true}
	var seed uint64
	for _, e := range records(t, text)[1:] {
		id := e.value(5)
		if e.value(0) == "DIMSTYLE" {
			id = e.value(105)
		}
		if id == "" {
			continue
		}
		assert.False(t, seen[number(id)], "handle %s of %s is taken", id, e.value(0))
		seen[number(id)] = true
	}
	for _, e := range records(t, text)[1:] {
		if owner := e.value(330); owner != "" {
			assert.True(t, seen[number(owner)], "%s is owned by %s, which is not there", e.value(0), owner)
		}
	}
	for i, p := range readPairs(t, text) {
		if p.value == "$HANDSEED" {
			seed = number(readPairs(t, text)[i+1].value)
		}
	}
	for id := range seen {
		assert.Less(t, id, seed)
	}
}

func TestArcsOverAHalfCircleAreHalved(t *testing.T) {
	// A key hole: the head is an arc of radius 5 over a chord of 2.
	chord, r := 2.0, 5.0
	angle := 2*math.Pi - 2*math.Asin(chord/2/r)
	head := geometry.NewContour(vx(1, 0, math.Tan(angle/4)), vx(-1, 0, 0), vx(-1, -10, 0), vx(1, -10, 0))
	text := write(t, process.Program{Drawn: []process.Drawn{{Kind: process.Pocket, Contour: head}}}, Options{})
	got := ofKind(t, text, "LWPOLYLINE")[0]
	assert.Equal(t, "5", got.value(90))
	var bulges []float64
	for _, p := range got {
		if p.code == 42 {
			b, err := strconv.ParseFloat(p.value, 64)
			require.NoError(t, err)
			bulges = append(bulges, b)
		}
	}
	require.Len(t, bulges, 2)
	for _, b := range bulges {
		assert.InDelta(t, math.Tan(angle/8), b, 1e-9)
	}
}

// Bulge is tan(angle/4): check values of 60, 90, 120 and 180 degrees, worked
// out from that definition.
func TestBulgeText(t *testing.T) {
	for degrees, want := range map[float64]string{60: "0.267949192", 90: "0.414213562", 120: "0.577350269", 180: "1"} {
		var p pairs
		p.bulge(math.Tan(degrees * math.Pi / 180 / 4))
		assert.Equal(t, "42\r\n"+want+"\r\n", p.text.String())
	}
}

func TestDecimal(t *testing.T) {
	cases := map[float64]string{
		0: "0", math.Copysign(0, -1): "0", -4e-7: "0", 1: "1", -1.5: "-1.5", 100: "100", 25.4 / 64: "0.396875",
		1e-6: "0.000001", 123456.7890123: "123456.789012", 1e15: "1000000000000000", 2.0 / 3: "0.666667",
	}
	for x, want := range cases {
		assert.Equal(t, want, decimal(x, 6))
	}
}

func TestWriteRefuses(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	one := func(d process.Drawn) process.Program { return process.Program{Drawn: []process.Drawn{d}} }
	contour := func(v ...geometry.Vertex) process.Program {
		return one(process.Drawn{Kind: process.Pocket, Contour: geometry.NewContour(v...)})
	}
	cases := []struct {
		name string
		p    process.Program
		o    Options
		want string
	}{
		{"nothing", process.Program{}, Options{}, "the program has no path to draw"},
		{"finished alone, not wanted", process.Program{Finished: []geometry.Contour{square(1)}}, Options{}, "the program has no path to draw"},
		{"not a number", contour(vx(nan, 0, 0), vx(1, 0, 0)), Options{}, "path 1 of the drawing, layer POCKET: the point XNaN Y0, bulge 0, is not finite"},
		{"infinite", contour(vx(0, 0, 0), vx(1, inf, 0)), Options{Format: R12}, "path 1 of the drawing, layer POCKET: the point X1 Y+Inf, bulge 0, is not finite"},
		{"infinite bulge", contour(vx(0, 0, inf), vx(1, 0, 0)), Options{}, "path 1 of the drawing, layer POCKET: the point X0 Y0, bulge +Inf, is not finite"},
		{"one point", contour(vx(0, 0, 0)), Options{}, "path 1 of the drawing, layer POCKET: a path needs two points, this one has 1"},
		{"no point", one(process.Drawn{}), Options{}, "path 1 of the drawing, layer MARK: a path needs two points, this one has 0"},
		{"unknown kind", one(process.Drawn{Kind: 9, Contour: square(1)}), Options{}, "path 1 of the drawing is of an unknown kind 9"},
		{"unknown format", sample(), Options{Format: 7}, "there is no DXF format 7; choose r2000 or r12"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			assert.EqualError(t, Write(&b, c.p, c.o), c.want)
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
	for _, o := range []Options{{}, {Finished: true}, {Format: R12}} {
		assert.Equal(t, write(t, sample(), o), write(t, sample(), o))
	}
}

// Whatever the numbers are, both formats print plain decimals and the same vertices.
func TestNumbersArePlain(t *testing.T) {
	coordinate := rapid.Float64Range(-1e4, 1e4)
	rapid.Check(t, func(t *rapid.T) {
		var vertices []geometry.Vertex
		for range rapid.IntRange(2, 6).Draw(t, "n") {
			vertices = append(vertices, vx(coordinate.Draw(t, "x"), coordinate.Draw(t, "y"), rapid.Float64Range(-3, 3).Draw(t, "bulge")))
		}
		p := process.Program{Drawn: []process.Drawn{{Kind: process.Outline, Contour: geometry.NewContour(vertices...)}}}
		var both [2][]string
		for format := range both {
			for _, e := range records(t, write(t, p, Options{Format: Format(format)})) {
				if e.value(0) != "LWPOLYLINE" && e.value(0) != "VERTEX" {
					continue
				}
				for _, g := range e {
					if g.code == 10 || g.code == 20 || g.code == 42 {
						assert.Regexp(t, `^-?\d+(\.\d*[1-9])?$`, g.value)
						assert.NotEqual(t, "-0", g.value)
						both[format] = append(both[format], g.value)
					}
				}
			}
		}
		assert.Equal(t, both[R2000], both[R12])
	})
}
