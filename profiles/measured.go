package profiles

import (
	"fmt"

	"traywright/cam/finding"
	"traywright/profiles/strict"
)

// What was measured lies over what was believed: `measured:` has the form of
// `recipes:` and is laid over it, and `scales:` is laid over machines, in the
// same folder too. So a person's own rows stay as they were written, and a
// measurement can be taken back by removing its file.

// scale is what a machine makes of a programmed mm.
type scale struct {
	machine string
	x, y    Number
	rests   []ScaleReading
}

// ScaleReading is what one coupon said of a machine's scale along an axis.
type ScaleReading struct {
	Coupon           string  `json:"coupon"` // which one: of what it was cut, with what, and when
	Axis             string  `json:"axis"`   // x or y
	Scale            float64 `json:"scale"`  // what the machine makes of a programmed mm
	StandardError    float64 `json:"standard_error"`
	DeviationMM      float64 `json:"deviation_mm"` // of one reading from its line
	DegreesOfFreedom float64 `json:"degrees_of_freedom"`
	Lengths          int     `json:"lengths"` // how many were read
}

func readScaleReading(v strict.Value) ScaleReading {
	m := v.Map(readingKeys.Names()...)
	return ScaleReading{
		Coupon: m.Need("coupon").Text(), Axis: m.Need("axis").OneOf("x", "y"),
		Scale: m.Need("scale").Number(leastScale, mostScale), StandardError: m.Need("standard_error").Number(1e-7, 1),
		DeviationMM: m.Need("deviation_mm").Number(1e-5, 100), DegreesOfFreedom: m.Need("degrees_of_freedom").Number(1, 1e6),
		Lengths: int(m.Need("lengths").Number(1, 1e6)),
	}
}

func readScale(v strict.Value) scale {
	m := v.Map(scaleKeys.Names()...)
	source := m.Get("source").Text()
	s := scale{
		machine: m.Need("machine").Name(),
		x:       number(m.Get("scale_x"), source, leastScale, mostScale),
		y:       number(m.Get("scale_y"), source, leastScale, mostScale),
	}
	for _, r := range m.Get("rests_on").List() {
		s.rests = append(s.rests, readScaleReading(r))
	}
	if v.IsMap() && !m.Get("scale_x").Present() && !m.Get("scale_y").Present() && len(s.rests) == 0 {
		v.Fail("has neither scale_x nor scale_y", "write what was measured along either axis")
	}
	return s
}

// layScales lays measured scales over the machines; c.machines is a copy of its own.
func (c *Catalog) layScales(list []row[scale]) finding.List {
	var problems finding.List
	seen := map[string]finding.Position{}
	for _, r := range list {
		id := r.value.machine
		m, ok := c.machines[id]
		first, twice := seen[id]
		switch {
		case twice:
			problems = append(problems, fault(r.at, "twice", "the scale of "+id+" is there twice", fmt.Sprintf("the first is at %s:%d", first.File, first.Line)))
			continue
		case !ok && id != "":
			_, unknown := c.FindMachine(id, r.at.String())
			problems = append(problems, unknown...)
			continue
		}
		seen[id] = r.at
		if r.value.x.Source != "" {
			m.ScaleX = r.value.x
		}
		if r.value.y.Source != "" {
			m.ScaleY = r.value.y
		}
		if len(r.value.rests) > 0 {
			m.ScaleReadings = r.value.rests
		}
		c.machines[id] = m
	}
	return problems
}

// Scale is what the machine makes of a programmed mm along X and Y: 1 and 1
// where nobody has measured it. What shall be w mm long is programmed as w/scale.
func (m Machine) Scale() (x, y float64) { return scaleOr1(m.ScaleX), scaleOr1(m.ScaleY) }

func scaleOr1(n Number) float64 {
	if n.Value > 0 {
		return n.Value
	}
	return 1
}

// Runout is what a cutter's run-out adds to the width of its cut, at least and at
// most, mm. One flute, or one that nobody has counted, may come to lie on either side
// of the spindle's axis; of several, the one that lies outward cuts.
func (t Tool) Runout() (low, high float64) {
	if t.Flutes > 1 {
		return 0, t.RunoutMM.Value
	}
	return -t.RunoutMM.Value, t.RunoutMM.Value
}

// KerfOff is how far off the kerf may be, either way: the interval that was measured
// or, until then, what the recipe takes for it.
func (r Recipe) KerfOff() Number {
	if r.Measured() {
		return r.KerfIntervalMM
	}
	return r.KerfOffMM
}

// Measured reports whether the kerf was measured, with an interval.
func (r Recipe) Measured() bool { return r.KerfIntervalMM.Source != "" }
