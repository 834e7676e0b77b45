package page

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof"
	"traywright/geometry/units"
)

// strip is a field of one row.
func strip(depths ...float32) proof.Field {
	return proof.Field{CellMM: 1, Columns: len(depths), Rows: 1, DepthMM: depths}
}

func TestClassesAreTheFloorsThereAre(t *testing.T) {
	nan, inf := float32(math.NaN()), float32(math.Inf(1))
	for name, c := range map[string]struct {
		thickness float64
		field     proof.Field
		names     []string
	}{
		"nothing cut":            {25, strip(0, 0, 0), nil},
		"two floors and through": {25, strip(0, 10, 10, 20, 25, 25.3), []string{"10 mm", "20 mm", "through"}},
		"thickness not known":    {0, strip(0, 10, 25.3), []string{"10 mm", "25.3 mm"}},
		"floors that wobble":     {25, strip(10, 10.01, 9.98, 10.02), []string{"10.02 mm"}},
		"not numbers":            {25, strip(nan, -3, 7, inf), []string{"7 mm"}},
		"empty":                  {25, proof.Field{}, nil},
	} {
		s := newShades(c.thickness, c.field)
		var names []string
		for class := 1; class <= len(s.to); class++ {
			names = append(names, strings.ReplaceAll(s.name(class, units.Millimetre), hardSpace, " "))
		}
		assert.Equal(t, c.names, names, name)
	}
}

func TestSlopesGetEvenSteps(t *testing.T) {
	var depths []float32
	for i := range 2000 {
		depths = append(depths, float32(i)*0.009)
	}
	s := newShades(0, strip(depths...))
	assert.LessOrEqual(t, len(s.to), mostClasses)
	assert.Greater(t, len(s.to), 3)
	for i := 2; i < len(s.to); i++ {
		assert.InDelta(t, s.to[1]-s.to[0], s.to[i]-s.to[i-1], 1e-9)
	}
}

func TestClassOfDepth(t *testing.T) {
	s := newShades(25, strip(0, 10, 20, 25.3))
	for depth, want := range map[float32]uint8{
		0: untouched, -1: untouched, 0.005: untouched, 0.5: 1, 10: 1, 10.5: 2, 20: 2, 24.9: 2, 24.99: 3, 25: 3, 400: 3,
		float32(math.NaN()): untouched, float32(math.Inf(1)): 3, float32(math.Inf(-1)): untouched,
	} {
		assert.Equal(t, want, s.class(depth), "depth %g", depth)
	}
}

// The depth ramp has to survive a grey printer: each class is darker than the
// one before, by a step that can be seen.
func TestRampFallsInLightness(t *testing.T) {
	for n := 1; n <= mostClasses; n++ {
		var floors []float64
		for i := range n {
			floors = append(floors, float64(i+1))
		}
		s := shadesFor(floors, 100, 100)
		for class := 1; class <= len(s.to); class++ {
			a, b := math.Sqrt(lightness(s.colours[class-1])), math.Sqrt(lightness(s.colours[class]))
			assert.Greater(t, a-b, 0.03, "class %d of %d", class, len(s.to))
		}
	}
}
