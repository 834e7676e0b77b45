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
}

func readScale(v strict.Value) scale {
	m := v.Map("machine", "source", "scale_x", "scale_y")
	source := m.Get("source").Text()
	s := scale{
		machine: m.Need("machine").Name(),
		x:       number(m.Get("scale_x"), source, leastScale, mostScale),
		y:       number(m.Get("scale_y"), source, leastScale, mostScale),
	}
	if v.IsMap() && !m.Get("scale_x").Present() && !m.Get("scale_y").Present() {
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

// Measured reports whether the kerf was measured, with an interval.
func (r Recipe) Measured() bool { return r.KerfIntervalMM.Source != "" }
