package page

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/geometry/units"
)

func TestRulerDivisions(t *testing.T) {
	for _, c := range []struct {
		scale        float64
		unit         units.Unit
		mark, number float64 // mm
		texts        [4]string
	}{
		{scale: 6, mark: 1, number: 20, texts: [4]string{"0", "20", "40", "60"}},
		{scale: 9, mark: 1, number: 10, texts: [4]string{"0", "10", "20", "30"}},
		{scale: 3, mark: 5, number: 50, texts: [4]string{"0", "50", "100", "150"}},
		{scale: 40, mark: 1, number: 5, texts: [4]string{"0", "5", "10", "15"}},
		{scale: 0.5, mark: 10, number: 200, texts: [4]string{"0", "200", "400", "600"}},
		{scale: 6, unit: units.Inch, mark: 25.4 / 16, number: 25.4, texts: [4]string{"0", "1", "2", "3"}},
		{scale: 9, unit: units.Inch, mark: 25.4 / 16, number: 12.7, texts: [4]string{"0", "1/2", "1", "1 1/2"}},
		{scale: 1, unit: units.Inch, mark: 25.4 / 4, number: 127, texts: [4]string{"0", "5", "10", "15"}},
	} {
		r := newRuler(c.scale, c.unit)
		assert.InDelta(t, c.mark, r.stepMM(), 1e-9, "marks at scale %g", c.scale)
		assert.InDelta(t, c.number, r.stepMM()*float64(r.number), 1e-9, "numbers at scale %g", c.scale)
		for i, want := range c.texts {
			assert.Equal(t, want, r.text(i*r.number))
		}
	}
}

func TestRulerTextOfNegativePlaces(t *testing.T) {
	r := newRuler(9, units.Inch)
	assert.Equal(t, "-1/2", r.text(-8))
	assert.Equal(t, "-1 1/2", r.text(-24))
	assert.Equal(t, "-3", r.text(-48))
}

func TestRulerIsReadableAtAnyScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		scale := rapid.Float64Range(1e-4, 200).Draw(t, "scale")
		unit := rapid.SampledFrom([]units.Unit{units.Millimetre, units.Inch}).Draw(t, "unit")
		r := newRuler(scale, unit)
		if r.stepMM()*scale < markPX {
			t.Fatalf("marks are %g px apart", r.stepMM()*scale)
		}
		if px := r.stepMM() * scale * float64(r.number); px < numberPX {
			t.Fatalf("numbers are %g px apart", px)
		}
		if r.number%r.middle != 0 {
			t.Fatalf("%d marks to a number, %d to a longer one", r.number, r.middle)
		}
	})
}
