package drawing

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// groupsOf turns "0 LINE, 10 1, ..." into a DXF's lines.
func groupsOf(text string) string {
	var b strings.Builder
	for _, g := range strings.Split(text, ",") {
		code, value, _ := strings.Cut(strings.TrimSpace(g), " ")
		fmt.Fprintf(&b, "%3s\n%s\n", code, value)
	}
	return b.String()
}

const millimetres = "0 SECTION, 2 HEADER, 9 $INSUNITS, 70 4, 0 ENDSEC, "

// drawn is a whole drawing around entities.
func drawn(entities string) string {
	return groupsOf(millimetres + "0 SECTION, 2 ENTITIES, " + entities + ", 0 ENDSEC, 0 EOF")
}

// Group codes, signs and the mirrored plane after the DXF reference.
func TestReadEntities(t *testing.T) {
	cases := []struct{ name, entities, want string }{
		{"line", "0 LINE, 8 0, 10 1, 20 2, 11 3, 21 4", "1,2-3,4"},
		{"arc over zero degrees", "0 ARC, 10 0, 20 0, 40 2, 50 270, 51 90", "0,-2-0,2 via 2,0"},
		{"arc from below", "0 ARC, 10 5, 20 0, 40 2, 50 0, 51 90, 210 0, 220 0, 230 -1", "-7,0--5,2 via -6.414214,1.414214"},
		{"circle", "0 CIRCLE, 10 1, 20 1, 40 3", "4,1-4,1 via -2,1; closed"},
		{"ellipse", "0 ELLIPSE, 10 0, 20 0, 11 4, 21 0, 40 0.5, 41 0, 42 3.141592653589793", "4,0--4,0 via 0,2"},
		{"ellipse from below", "0 ELLIPSE, 10 0, 20 0, 11 4, 21 0, 40 0.5, 41 0, 42 3.141592653589793, 230 -1", "4,0--4,0 via 0,-2"},
		{"ellipse over the parameter zero", "0 ELLIPSE, 10 0, 20 0, 11 4, 21 0, 40 0.5, 41 4.71238898038469, 42 1.5707963267948966", "0,-2-0,2 via 4,0"},
		{"ellipse with nothing said is whole and round", "0 ELLIPSE, 10 1, 20 0, 11 0, 21 4", "1,4-1,4 via 1,-4"},
		{"arc with nothing said is whole", "0 ARC, 10 0, 20 0, 40 2", "2,0-2,0 via -2,0"},
		{"light polyline", "0 LWPOLYLINE, 90 3, 70 1, 10 0, 20 0, 42 1, 10 2, 20 0, 10 2, 20 5", "0,0-2,0 via 1,-1; 2,0-2,5; 2,5-0,0; closed"},
		{"open light polyline", "0 LWPOLYLINE, 90 2, 70 128, 10 0, 20 0, 10 2, 20 0, 42 1", "0,0-2,0"},
		{"light polyline from below", "0 LWPOLYLINE, 90 2, 70 0, 10 0, 20 0, 42 1, 10 2, 20 0, 230 -1", "0,0--2,0 via -1,-1"},
		{"polyline", "0 POLYLINE, 66 1, 70 1, 0 VERTEX, 10 0, 20 0, 42 -1, 0 VERTEX, 10 2, 20 0, 0 SEQEND", "0,0-2,0 via 1,1; 2,0-0,0; closed"},
		{"polyline with a frame", "0 POLYLINE, 70 4, 0 VERTEX, 10 9, 20 9, 70 16, 0 VERTEX, 10 0, 20 0, 70 8, 0 VERTEX, 10 2, 20 0, 70 8, 0 SEQEND", "0,0-2,0"},
		{"spline", "0 SPLINE, 70 8, 71 3, 40 0, 40 0, 40 0, 40 0, 40 1, 40 1, 40 1, 40 1, 10 0, 20 0, 10 1, 20 1, 10 2, 20 1, 10 3, 20 0", "0,0-3,0"},
		{"closed spline", "0 SPLINE, 70 1, 71 1, 40 0, 40 0, 40 1, 40 2, 40 3, 40 3, 10 0, 20 0, 10 4, 20 0, 10 4, 20 3, 10 0, 20 0", "0,0-0,0; closed"},
		{"spatial polyline stays as it is", "0 POLYLINE, 70 8, 230 -1, 0 VERTEX, 10 1, 20 0, 70 32, 0 VERTEX, 10 2, 20 5, 70 32, 0 SEQEND", "1,0-2,5"},
		{"spline of one segment in mid-knots", "0 SPLINE, 71 1, 40 -1, 40 0, 40 1, 40 2, 10 5, 20 0, 10 7, 20 0", "5,0-7,0"},
		{"not outlines", "0 TEXT, 1 hello, 0 POINT, 10 1, 0 LINE, 10 0, 20 0, 11 1, 21 0, 0 HATCH, 2 SOLID", "0,0-1,0"},
		{"points of an outline alone", "0 LWPOLYLINE, 70 1, 10 3, 20 3, 0 POLYLINE, 70 1, 0 VERTEX, 10 9, 20 9, 0 SEQEND, 0 LINE, 11 1, 21 0", "0,0-1,0"},
		{"paper space and invisible", "0 LINE, 67 1, 11 9, 0 LINE, 60 1, 11 9, 0 LINE, 11 1, 21 0", "0,0-1,0"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			pieces, err := readDXF(context.Background(), []byte(drawn(c.entities)))
			require.NoError(t, err)
			assert.Equal(t, c.want, sketch(pieces))
		})
	}
}

func TestReadBlocksAndLayers(t *testing.T) {
	const blocks = "0 SECTION, 2 BLOCKS, 0 BLOCK, 2 Peg, 10 1, 20 0, 0 LINE, 10 1, 20 0, 11 3, 21 0, 0 ENDBLK, " +
		"0 BLOCK, 2 PAIR, 10 0, 20 0, 0 INSERT, 2 PEG, 10 0, 20 0, 0 INSERT, 2 PEG, 10 0, 20 5, 0 ENDBLK, " +
		"0 BLOCK, 2 SLOPE, 10 1, 20 1, 0 LINE, 10 1, 20 1, 11 2, 21 3, 0 ENDBLK, " +
		"0 BLOCK, 2 LOOP, 0 INSERT, 2 LOOP, 0 ENDBLK, 0 ENDSEC, "
	const layers = "0 SECTION, 2 TABLES, 0 TABLE, 2 LAYER, 0 LAYER, 2 Off, 62 -7, 70 0, 0 LAYER, 2 Frozen, 62 7, 70 1, 0 LAYER, 2 On, 62 7, 70 0, 0 ENDTAB, 0 ENDSEC, "
	cases := []struct{ name, entities, want string }{
		{"placed by its base point", "0 INSERT, 2 PEG, 10 10, 20 20", "10,20-12,20"},
		{"turned", "0 INSERT, 2 peg, 10 10, 20 20, 50 90", "10,20-10,22"},
		{"scaled and mirrored", "0 INSERT, 2 PEG, 10 0, 20 0, 41 -2, 42 1", "0,0--4,0"},
		{"scaled in X and Y", "0 INSERT, 2 SLOPE, 10 5, 20 6, 41 2, 42 3", "5,6-7,12"},
		{"scaled in Y alone, then turned", "0 INSERT, 2 SLOPE, 10 5, 20 6, 42 3, 50 180", "5,6-4,0"},
		{"columns step along the turned axes", "0 INSERT, 2 SLOPE, 70 2, 44 10, 50 90", "0,0--2,1; 0,10--2,11"},
		{"from below", "0 INSERT, 2 PEG, 10 3, 20 1, 230 -1", "-3,1--5,1"},
		{"rows and columns", "0 INSERT, 2 PEG, 10 0, 20 0, 70 2, 71 2, 44 10, 45 5", "0,0-2,0; 10,0-12,0; 0,5-2,5; 10,5-12,5"},
		{"nested", "0 INSERT, 2 PAIR, 10 1, 20 1, 50 90", "1,1-1,3; -4,1--4,3"},
		{"hidden layers", "0 LINE, 8 OFF, 11 9, 0 LINE, 8 frozen, 11 9, 0 LINE, 8 On, 11 1, 21 0", "0,0-1,0"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			pieces, err := readDXF(context.Background(), []byte(groupsOf(millimetres+layers+blocks+"0 SECTION, 2 ENTITIES, "+c.entities+", 0 ENDSEC, 0 EOF")))
			require.NoError(t, err)
			assert.Equal(t, c.want, sketch(pieces))
		})
	}
	_, err := readDXF(context.Background(), []byte(groupsOf(millimetres+blocks+"0 SECTION, 2 ENTITIES, 0 INSERT, 2 LOOP, 0 ENDSEC, 0 EOF")))
	assert.ErrorContains(t, err, `block "LOOP" is inserted within itself, or too deeply`)
}

// $INSUNITS: 1 inch, 2 foot, 4 mm, 5 cm, 6 m, after the DXF reference.
func TestReadUnits(t *testing.T) {
	for unit, mm := range map[string]float64{"1": 25.4, "2": 304.8, "4": 1, "5": 10, "6": 1000} {
		text := strings.Replace(drawn("0 LINE, 11 1, 21 0"), "70\n4\n", "70\n"+unit+"\n", 1)
		pieces, err := readDXF(context.Background(), []byte(text))
		require.NoError(t, err)
		assert.Equal(t, fmt.Sprintf("0,0-%g,0", mm), sketch(pieces))
	}
}

func TestLineEndsAndPadding(t *testing.T) {
	plain := drawn("0 LINE, 11 1, 21 0")
	for name, text := range map[string]string{
		"CR LF": strings.ReplaceAll(plain, "\n", "\r\n"), "CR": strings.ReplaceAll(plain, "\n", "\r"),
		"byte-order mark": "\ufeff" + plain, "comment first": "999\nmade by hand\n" + plain, "no last line end": strings.TrimSuffix(plain, "\n"),
	} {
		pieces, err := readDXF(context.Background(), []byte(text))
		require.NoError(t, err, name)
		assert.Equal(t, "0,0-1,0", sketch(pieces), name)
	}
}

func TestReadDXFRefuses(t *testing.T) {
	noUnits := strings.Replace(drawn("0 LINE, 11 1"), "70\n4\n", "70\n0\n", 1)
	cases := []struct{ name, text, want string }{
		{"empty", "", "line 1: the drawing ends without EOF"},
		{"not DXF", "<svg/>\n\n", `line 1: a group code is expected, not "<svg/>"`},
		{"binary", "Binary DXF\r\n\x1a\x00", "the drawing is a binary DXF"},
		{"cut short", strings.TrimSuffix(drawn("0 LINE, 11 1"), "  0\nEOF\n"), "the drawing ends without EOF"},
		{"unitless", noUnits, "the drawing does not say its units: $INSUNITS is missing or 0"},
		{"no header", groupsOf("0 SECTION, 2 ENTITIES, 0 ENDSEC, 0 EOF"), "the drawing does not say its units: $INSUNITS is missing or 0"},
		{"light years", strings.Replace(drawn("0 LINE, 11 1"), "70\n4\n", "70\n19\n", 1), `line 8: the drawing's units, $INSUNITS "19", are not known here`},
		{"comma", drawn("0 LINE, 10 1;5"), `line 18: "1;5" is not a number that a drawing can have`},
		{"not a number", drawn("0 LINE, 10 NaN"), `"NaN" is not a number that a drawing can have`},
		{"too large", drawn("0 LINE, 10 1e308"), `"1e308" is not a number that a drawing can have`},
		{"solid", drawn("0 3DSOLID"), "line 15: a 3DSOLID is not an outline that can be read"},
		{"tilted", drawn("0 CIRCLE, 40 1, 210 1, 220 0, 230 0"), "this CIRCLE lies in a tilted plane (1, 0, 0)"},
		{"no radius", drawn("0 CIRCLE, 10 0"), "this CIRCLE has the radius 0"},
		{"negative radius", drawn("0 ARC, 40 -5"), "this ARC has the radius -5"},
		{"flat ellipse", drawn("0 ELLIPSE, 11 4, 40 0"), "this ELLIPSE has half axes of 4 and 0"},
		{"ellipse turned inside out", drawn("0 ELLIPSE, 11 4, 40 -0.5"), "this ELLIPSE has half axes of 4 and -2"},
		{"ellipse of no length", drawn("0 ELLIPSE, 11 0, 40 0.5"), "this ELLIPSE has half axes of 0 and 0"},
		{"faces", drawn("0 POLYLINE, 70 64, 0 SEQEND"), "this POLYLINE is a mesh, not an outline"},
		{"spline of unequal lists", drawn("0 SPLINE, 71 1, 10 1, 20 1, 10 2"), "this SPLINE has 2 X and 1 Y"},
		{"more columns than pieces", drawn("0 INSERT, 2 NONE, 70 200001"), "this INSERT has 200001 columns and 1 rows"},
		{"mesh", drawn("0 POLYLINE, 70 16, 0 SEQEND"), "this POLYLINE is a mesh, not an outline"},
		{"fit points", drawn("0 SPLINE, 71 3, 11 1, 21 1"), "this SPLINE has fit points alone"},
		{"knots", drawn("0 SPLINE, 71 1, 40 0, 10 1, 20 1, 10 2, 20 2"), "this SPLINE has 1 knots, not 4"},
		{"lost block", drawn("0 INSERT, 2 NONE"), `block "NONE" is not in the drawing`},
		{"a million places", drawn("0 INSERT, 2 NONE, 70 1000000, 71 1000000"), "this INSERT has 1000000 columns and 1000000 rows"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := readDXF(context.Background(), []byte(c.text))
			wantFault(t, err, c.want)
		})
	}
}

// What the DXF reference knows and is no outline is passed over.
func TestWhatIsNoOutlineIsPassedOver(t *testing.T) {
	for _, kind := range strings.Fields("TEXT MTEXT ATTDEF ATTRIB DIMENSION LEADER MULTILEADER TOLERANCE POINT HATCH VIEWPORT VERTEX SEQEND IMAGE") {
		pieces, err := readDXF(context.Background(), []byte(drawn("0 "+kind+", 10 1, 20 1, 0 LINE, 11 1, 21 0")))
		require.NoError(t, err, kind)
		assert.Equal(t, "0,0-1,0", sketch(pieces), kind)
	}
}

// Twenty blocks of ten inserts of the one before would be 10^20 pieces.
func TestBlocksThatExplodeAreStopped(t *testing.T) {
	blocks := "0 SECTION, 2 BLOCKS, 0 BLOCK, 2 B0, 0 LINE, 11 1, 0 ENDBLK, "
	for i := 1; i < 15; i++ {
		blocks += fmt.Sprintf("0 BLOCK, 2 B%d, %s0 ENDBLK, ", i, strings.Repeat(fmt.Sprintf("0 INSERT, 2 B%d, ", i-1), 10))
	}
	_, err := readDXF(context.Background(), []byte(groupsOf(millimetres+blocks+"0 ENDSEC, 0 SECTION, 2 ENTITIES, 0 INSERT, 2 B14, 0 ENDSEC, 0 EOF")))
	assert.ErrorContains(t, err, "the drawing has more than 200000 pieces")
}

func FuzzReadDXF(f *testing.F) {
	f.Add(drawn("0 LINE, 10 1, 20 2, 11 3, 21 4"))
	f.Add(drawn("0 LWPOLYLINE, 90 3, 70 1, 10 0, 20 0, 42 1, 10 2, 20 0, 10 2, 20 5"))
	f.Add(drawn("0 SPLINE, 71 1, 40 -1, 40 0, 40 1, 40 2, 10 5, 20 0, 10 7, 20 0"))
	f.Add(drawn("0 POLYLINE, 70 1, 0 VERTEX, 10 0, 20 0, 42 -1, 0 VERTEX, 10 2, 20 0, 0 SEQEND"))
	f.Add(drawn("0 ELLIPSE, 11 4, 40 0.5, 41 0, 42 3.14, 0 ARC, 40 2, 50 270, 51 90, 0 CIRCLE, 40 3"))
	f.Add(groupsOf(millimetres + "0 SECTION, 2 BLOCKS, 0 BLOCK, 2 B, 0 LINE, 11 1, 0 ENDBLK, 0 ENDSEC, 0 SECTION, 2 ENTITIES, 0 INSERT, 2 B, 0 ENDSEC, 0 EOF"))
	f.Fuzz(func(t *testing.T, text string) { readAnything(t, readDXF, text) })
}
