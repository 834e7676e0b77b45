package drawing

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

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
		version  DXFVersion
		finished bool
		entity   string
		polyline string // layer, closed flag of each
	}{
		{"r2000", R2000, false, "LWPOLYLINE", "MARK 0, POCKET 1, OUTLINE 1"},
		{"r2000 finished", R2000, true, "LWPOLYLINE", "MARK 0, POCKET 1, OUTLINE 1, FINISHED 1, FINISHED 1"},
		{"r12", R12, false, "POLYLINE", "MARK 0, POCKET 1, OUTLINE 1"},
		{"r12 finished", R12, true, "POLYLINE", "MARK 0, POCKET 1, OUTLINE 1, FINISHED 1, FINISHED 1"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			text := writeDXF(t, sample(c.finished), c.version)
			var got []string
			for _, e := range ofKind(t, text, c.entity) {
				got = append(got, e.value(8)+" "+e.value(70))
			}
			assert.Equal(t, c.polyline, strings.Join(got, ", "))
			assert.Equal(t, c.finished, strings.Contains(text, "FINISHED"))
		})
	}
}

func TestLayersInUse(t *testing.T) {
	text := writeDXF(t, Drawing{Layers: sampleLayers, Paths: sample(false).Paths[1:]}, R2000)
	var names, colours []string
	for _, e := range ofKind(t, text, "LAYER") {
		names = append(names, e.value(2))
		colours = append(colours, e.value(62))
	}
	assert.Equal(t, []string{"0", "POCKET", "OUTLINE"}, names)
	assert.Equal(t, []string{"7", "30", "7"}, colours)
}

// Group codes after the DXF reference pages for LWPOLYLINE and VERTEX.
func TestEntityText(t *testing.T) {
	text := strings.ReplaceAll(writeDXF(t, sample(false), R2000), "\r\n", " ")
	assert.Contains(t, text, "100 AcDbEntity 8 POCKET 62 30 100 AcDbPolyline 90 2 70 1 10 30 20 20 42 1 10 10 20 20 42 1 0 ")
	assert.Contains(t, text, "90 3 70 0 10 5 20 5 10 15 20 5 42 0.5 10 20 20 10 0 ", "an open path ends without a bulge")

	text = strings.ReplaceAll(writeDXF(t, sample(false), R12), "\r\n", " ")
	assert.Contains(t, text, "0 POLYLINE 8 POCKET 62 30 66 1 10 0 20 0 30 0 70 1 "+
		"0 VERTEX 8 POCKET 62 30 10 30 20 20 30 0 42 1 0 VERTEX 8 POCKET 62 30 10 10 20 20 30 0 42 1 0 SEQEND 8 POCKET 62 30 ")
}

func TestHeader(t *testing.T) {
	for version, said := range map[DXFVersion]string{R2000: "AC1015", R12: "AC1009"} {
		text := strings.ReplaceAll(writeDXF(t, sample(false), version), "\r\n", " ")
		assert.Contains(t, text, "9 $ACADVER 1 "+said+" ")
		assert.Contains(t, text, "9 $INSUNITS 70 4 ", "4 is millimetres")
		assert.Contains(t, text, "9 $MEASUREMENT 70 1 ", "1 is metric, from memory")
		assert.Contains(t, text, "9 $EXTMIN 10 0 20 0 30 0 9 $EXTMAX 10 60 20 60 30 0 ")
	}
	text := strings.ReplaceAll(writeDXF(t, Drawing{Layers: sampleLayers, Paths: sample(false).Paths[1:2]}, R2000), "\r\n", " ")
	assert.Contains(t, text, "$EXTMIN 10 10 20 10 30 0 9 $EXTMAX 10 30 20 30 ", "arcs count in full, not by their end points")
}

// Every group of both versions as an independent reader of DXF audited it without a fault, in the same
// words that it audits from the demos at every gate: what no reader needs to be otherwise stays.
func TestDrawingsAsTheyWereAudited(t *testing.T) {
	for name, version := range map[string]DXFVersion{"sample-r2000.dxf": R2000, "sample-r12.dxf": R12} {
		want, err := os.ReadFile(filepath.Join("testdata", name))
		require.NoError(t, err)
		assert.Equal(t, string(want), strings.ReplaceAll(writeDXF(t, sample(true), version), "\r\n", "\n"), name)
	}
}

func TestSectionsOfR2000(t *testing.T) {
	var sections, tables []string
	text := writeDXF(t, sample(false), R2000)
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
	text := writeDXF(t, sample(true), R2000)
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
	head := pocket(vx(1, 0, math.Tan(angle/4)), vx(-1, 0, 0), vx(-1, -10, 0), vx(1, -10, 0))
	text := writeDXF(t, head, R2000)
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

// Whatever the numbers are, both formats print plain decimals and the same vertices.
func TestNumbersInDXFArePlain(t *testing.T) {
	coordinate := rapid.Float64Range(-1e4, 1e4)
	rapid.Check(t, func(t *rapid.T) {
		var vertices []geometry.Vertex
		for range rapid.IntRange(2, 6).Draw(t, "n") {
			vertices = append(vertices, vx(coordinate.Draw(t, "x"), coordinate.Draw(t, "y"), rapid.Float64Range(-3, 3).Draw(t, "bulge")))
		}
		d := pocket(vertices...)
		var both [2][]string
		for version := range both {
			for _, e := range records(t, writeDXF(t, d, DXFVersion(version))) {
				if e.value(0) != "LWPOLYLINE" && e.value(0) != "VERTEX" {
					continue
				}
				for _, g := range e {
					if g.code == 10 || g.code == 20 || g.code == 42 {
						assert.Regexp(t, `^-?\d+(\.\d*[1-9])?$`, g.value)
						assert.NotEqual(t, "-0", g.value)
						both[version] = append(both[version], g.value)
					}
				}
			}
		}
		assert.Equal(t, both[R2000], both[R12])
	})
}
