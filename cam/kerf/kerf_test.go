package kerf

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

var shipped = sync.OnceValues(LongEdged)

// LongEdged is the shipped catalog with cutters whose edges are as long as they reach, so
// that tests of coupons in 1 in of foam are no tests of which tool is long enough for it.
func LongEdged() (*profiles.Catalog, error) {
	c, err := profiles.Shipped()
	if err != nil {
		return nil, err
	}
	m, _ := c.Machine("bench-router")
	for i, reach := range []float64{38, 60} {
		m.Tools[i].FluteMM, m.Tools[i].StickoutMM = profiles.Number{}, profiles.Number{}
		m.Tools[i].ReachMM = profiles.Number{Value: reach, Source: "of tests"}
	}
	return c, c.Add(fstest.MapFS{"long.yaml": {Data: c.MachineFile(m, m.ID)}})
}

// catalog is a copy of the shipped one: Add replaces maps and never changes one.
func catalog(t require.TestingT) *profiles.Catalog {
	c, err := shipped()
	require.NoError(t, err)
	copied := *c
	return &copied
}

const head = "foam,thickness,machine,axis,size,hole,plug\n"

// coupon is a synthetic coupon: what a caliper without error would read.
type coupon struct {
	scale    map[Axis]float64
	top      float64 // kerf at the top
	taper    float64 // degrees, each wall
	mm       float64 // thickness
	sizes    []float64
	sides    []Face
	noise    float64 // standard deviation of a reading
	decimals int
}

func plain() coupon {
	return coupon{scale: map[Axis]float64{axisX: 0.997, axisY: 1.002}, top: 0.37, mm: 25.4, sizes: []float64{10, 20, 30, 40, 60}, sides: []Face{AnyFace}, decimals: 4}
}

// table writes the coupon as a CSV.
func (c coupon) table(random *rand.Rand) string {
	var b strings.Builder
	b.WriteString("foam,thickness,machine,axis,size,hole,plug,face\n")
	for _, axis := range []Axis{axisX, axisY} {
		scale, there := c.scale[axis]
		for _, size := range c.sizes {
			for _, face := range c.sides {
				if !there {
					continue
				}
				k := c.top
				if face == Bottom {
					k -= 2 * c.mm * math.Tan(c.taper*math.Pi/180)
				}
				read := func(sign float64) float64 {
					mm := scale*size + sign*k
					if random != nil {
						mm += random.NormFloat64() * c.noise
					}
					return mm
				}
				fmt.Fprintf(&b, "pe-30,%g mm,bench-laser,%s,%g,%.*f,%.*f,%s\n", c.mm, axis, size, c.decimals, read(1), c.decimals, read(-1), face)
			}
		}
	}
	return b.String()
}

// analyse reads and fits a table.
func analyse(t testing.TB, text string, drop ...Drop) ([]Fit, finding.List) {
	r, found, err := Read("m.csv", []byte(text), units.Millimetre)
	require.NoError(t, err)
	fits, more := Analyse(r, catalog(t), drop)
	return fits, append(found, more...)
}

func TestExactCoupon(t *testing.T) {
	fits, found := analyse(t, plain().table(nil))
	assert.Empty(t, errorsOf(found))
	require.Len(t, fits, 1)
	f := fits[0]
	assert.InDelta(t, 0.37, f.KerfMM.Value, 1e-4)
	assert.Less(t, f.KerfMM.HalfWidth, 1e-3)
	require.Len(t, f.Axes, 2)
	assert.InDelta(t, 0.997, f.Axes[0].Scale.Value, 1e-5)
	assert.InDelta(t, 1.002, f.Axes[1].Scale.Value, 1e-5)
	assert.Nil(t, f.TaperDegrees)
	assert.Equal(t, 20, f.Readings())
	assert.Equal(t, "beam", f.Tool)
}

// Half of the difference of top and bottom leans on each wall:
// atan((top - bottom) / (2 thickness)).
func TestTaperIsRecovered(t *testing.T) {
	c := plain()
	c.sides, c.taper = []Face{Top, Bottom}, 0.25
	fits, found := analyse(t, c.table(nil))
	assert.Empty(t, errorsOf(found))
	require.NotNil(t, fits[0].TaperDegrees)
	assert.InDelta(t, 0.25, fits[0].TaperDegrees.Value, 1e-3)
	require.NotNil(t, fits[0].TopMM)
	assert.InDelta(t, 0.37, fits[0].TopMM.Value, 1e-4)
	assert.InDelta(t, 0.37-2*25.4*math.Tan(0.25*math.Pi/180), fits[0].BottomMM.Value, 1e-4)
	assert.Equal(t, *fits[0].BottomMM, fits[0].KerfMM, "the narrower one")
}

func errorsOf(list finding.List) (errors finding.List) {
	for _, f := range list {
		if f.Severity == finding.Error {
			errors = append(errors, f)
		}
	}
	return errors
}

// The 95 % interval holds the true value 95 times in a hundred: 10,000 coupons
// of a known kerf, scale and taper with normal noise.
func TestCoverage(t *testing.T) {
	runs := 10000
	if testing.Short() {
		runs = 2000
	}
	c := plain()
	c.sizes, c.sides, c.taper, c.noise = []float64{10, 25, 50}, []Face{Top, Bottom}, 0.25, 0.05
	known := catalog(t)
	random := rand.New(rand.NewPCG(6, 2026))
	hits := map[string]int{}
	hit := func(name string, e Estimate, truth float64) {
		if math.Abs(e.Value-truth) <= e.HalfWidth {
			hits[name]++
		}
	}
	for range runs {
		r, _, err := Read("m.csv", []byte(c.table(random)), units.Millimetre)
		require.NoError(t, err)
		fits, _ := Analyse(r, known, nil)
		require.Len(t, fits, 1)
		f := fits[0]
		bottom := 0.37 - 2*25.4*math.Tan(0.25*math.Pi/180)
		hit("kerf", f.KerfMM, bottom)
		hit("scale x", f.Axes[0].Scale, 0.997)
		hit("scale y", f.Axes[1].Scale, 1.002)
		hit("kerf along x, top", *f.Axes[0].TopMM, 0.37)
		hit("taper", *f.TaperDegrees, 0.25)
	}
	for _, name := range []string{"kerf", "scale x", "scale y", "kerf along x, top", "taper"} {
		share := float64(hits[name]) / float64(runs)
		t.Logf("%s: %.2f %% of %d", name, 100*share, runs)
		assert.InDelta(t, 0.95, share, 0.02, name)
	}
}
