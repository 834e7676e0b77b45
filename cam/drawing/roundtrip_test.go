package drawing

import (
	"context"
	"math"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

func TestWhatIsWrittenIsReadBack(t *testing.T) {
	const same = 1e-6 // mm, one nanometre
	for _, f := range everyFormat {
		t.Run(f.name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				c := anyContour(t)
				text, err := f.write(pocket(c.Vertices()...))
				require.NoError(t, err)
				pieces, err := f.read(context.Background(), []byte(text))
				require.NoError(t, err)
				r, err := Region(context.Background(), pieces, Tolerance{FitMM: same, GapMM: same})
				require.NoError(t, err)
				require.Len(t, r.Contours(), 1)
				back := r.Contours()[0]
				if f.name == "svg" {
					back = back.Transform(fromPage(t, text))
				}
				assert.LessOrEqual(t, apart(c, back), same)
				assert.LessOrEqual(t, apart(back, c), same)
				assert.InDelta(t, c.Length(), back.Length(), 1e-5)
				assert.InDelta(t, math.Abs(c.Area()), back.Area(), same*c.Length())
			})
		})
	}
}

// fromPage takes what was read back to where it was in the program, by what the
// drawing says of itself.
func fromPage(t require.TestingT, text string) geometry.Transform {
	said := regexp.MustCompile(`height="([\d.]+)mm"[^$]* at x=(\S+) y=(\S+) on this page`).FindStringSubmatch(text)
	require.Len(t, said, 4)
	var v [3]float64
	for i := range v {
		var err error
		v[i], err = strconv.ParseFloat(said[i+1], 64)
		require.NoError(t, err)
	}
	return geometry.Translate(-v[1], v[2]-v[0])
}

// Marks stay open, and every path of a program comes back in its order.
func TestAProgramIsReadBack(t *testing.T) {
	for _, version := range []DXFVersion{R2000, R12} {
		pieces, err := readDXF(context.Background(), []byte(writeDXF(t, sample(true), version)))
		require.NoError(t, err)
		assert.Equal(t, "5,5-15,5; 15,5-20,10 via 18.75,6.25; "+
			"30,20-10,20 via 20,30; 10,20-30,20 via 20,10; closed; "+
			"0,0-60,0; 60,0-60,60; 60,60-0,60; 0,60-0,0; closed; "+
			"30.1,20-9.9,20 via 20,30.1; 9.9,20-30.1,20 via 20,9.9; closed; "+
			"0,0-59.8,0; 59.8,0-59.8,59.8; 59.8,59.8-0,59.8; 0,59.8-0,0; closed", sketch(pieces))
	}
}
