package proof

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof/read"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Lengths, feeds and areas as a person in inches or in mm reads them: an inch is 25.4 mm.
func TestNumbersInAUnit(t *testing.T) {
	d := run{}
	say := func() string {
		return d.say("%v %v %v %v", length(12.7), feed(254), area(645.16), geometry.Point{X: 25.4, Y: -12.7})
	}
	assert.Equal(t, "12.7 mm 254 mm/min 645.16 mm2 X 25.4 Y -12.7", say())
	d.setup.Unit = units.Inch
	assert.Equal(t, "0.5 in 10 in/min 1 in2 X 1 in Y -0.5 in", say())
	assert.Equal(t, []string{"1.235", "2", "0", "-1.2", "100"}, []string{number(1.2346), number(2), number(-0.0001), number(-1.2), number(100)})
	assert.Equal(t, "12.7", d.word(12.7))
	d.trace.Codes = []read.Code{{Name: "G90"}, {Name: "G20"}, {Name: "G21"}}
	assert.Equal(t, "0.5", d.word(12.7), "the program counts in inches")
	for want, c := range map[string]profiles.Controller{"G4 P1.5": {}, "G4 P1500": {DwellUnit: profiles.DwellMS}, "G4 S1.5": {Class: profiles.Printer, DwellUnit: profiles.DwellMS}} {
		d.setup.Machine.Controller = c
		assert.Equal(t, want, d.waitWord(1.5))
	}
}

// By 45 degrees a beam reaches a mm farther aside for each mm above the underside, and no more is taken for any.
func TestLeanOfABeam(t *testing.T) {
	for degrees, want := range map[float64]float64{0: 0, -3: 0, 45: 1, 60: 1, 0.5: math.Tan(math.Pi / 360)} {
		d := run{beam: true, setup: Setup{TaperDegrees: degrees, ThicknessMM: 20}}
		assert.InDelta(t, want, d.lean(), 1e-12)
		assert.InDelta(t, want*20, d.flareMM(), 1e-12)
		d.beam = false
		assert.Zero(t, d.lean())
	}
}

// The thinnest wall of holes 20 mm wide: 5 mm between the first two, 4 mm from the third to the rim. What meets has none between.
func TestThinnestWallByHand(t *testing.T) {
	at := func(name string, x float64) hole {
		return hole{WantedCut: WantedCut{Name: name, Shape: geometry.NewRegion(geometry.Rectangle(geometry.Box{Min: geometry.Point{X: x, Y: 30}, Max: geometry.Point{X: x + 20, Y: 50}}, 0))}}
	}
	rim := geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 100, Y: 80}}, 0))
	for _, c := range []struct {
		holes []hole
		least float64
		names string
	}{
		{[]hole{at("a", 20), at("b", 45)}, 5, "between a and b"}, {[]hole{at("a", 20), at("b", 45), at("c", 76)}, 4, "between c and the outline"},
		{[]hole{at("a", 20), at("b", 40)}, 20, "between a and the outline"}, {nil, math.Inf(1), ""},
	} {
		least, names := thinnestWall(c.holes, rim)
		assert.InDelta(t, c.least, least, 1e-9)
		assert.Equal(t, c.names, names)
	}
	box := func(x, y float64) geometry.Box {
		return geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + 2, Y: y + 2}}
	}
	for _, c := range []struct{ x, y, want float64 }{{1, 1, 0}, {2, 0, 0}, {5, 6, 5}, {-5, -6, 5}, {0, 9, 7}, {-9, 0, 7}} {
		assert.Equal(t, c.want, boxesApart(box(0, 0), box(c.x, c.y)), "%+v", c)
		assert.Equal(t, c.want, boxesApart(box(c.x, c.y), box(0, 0)), "%+v", c)
	}
}
