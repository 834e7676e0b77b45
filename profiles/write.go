package profiles

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"traywright/profiles/strict"
)

// MachineFile is a profile file that holds a machine, its tools, its recipes and what
// was measured on it, under the name as, with the source of every number: read from a
// folder of its own it says just what the catalog says. The names of tools stay, because
// they are the machine's own.
func (c *Catalog) MachineFile(m Machine, as string) []byte {
	w := &profileText{}
	w.line(0, "# "+m.ID+" under the name "+as+". Change what is not so on your machine, and its source with it;")
	w.line(0, "# take away the recipes that you have no use for. Keep this file in a folder of your own.")
	w.line(0, "machines:")
	w.machine(m, as)
	var recipes []Recipe
	for _, r := range c.Recipes() {
		if r.Machine == m.ID {
			recipes = append(recipes, r)
		}
	}
	w.recipes(m, recipes, as)
	if len(m.ScaleReadings) > 0 {
		w.scales(as, nil, m.ScaleReadings)
	}
	return []byte(w.String())
}

// MeasuredRow is a recipe as a file of a `measured:` row, every number with a source of
// its own.
func MeasuredRow(r Recipe) []byte {
	w := &profileText{}
	w.line(0, "measured:")
	w.group(r.Machine, r)
	w.line(3, r.Foam+":")
	w.numbers(4, r.Numbers(), "")
	w.laps(4, r)
	w.tested(4, r.Tested)
	w.measuredIn(4, r.MeasuredIn)
	return []byte(w.String())
}

// ScalesRow is a machine's measured scale as a file of a `scales:` row: along either axis
// where it has one, and the readings that it rests on.
func ScalesRow(m Machine) []byte {
	w := &profileText{}
	w.scales(m.ID, slices.DeleteFunc(m.Numbers(), func(n Named) bool { return !strings.HasPrefix(n.Key, "scale_") }), m.ScaleReadings)
	return []byte(w.String())
}

// profileText writes rows as the readers of this package take them.
type profileText struct{ strings.Builder }

func (w *profileText) line(indent int, text string) {
	w.WriteString(strings.Repeat("  ", indent) + text + "\n")
}

// text writes a key whose value is words, unless there are none.
func (w *profileText) text(indent int, key, value string) {
	if value != "" {
		w.line(indent, key+": "+strict.Quote(value))
	}
}

// numbers writes the numbers that are given, each with its source where it is not the row's.
func (w *profileText) numbers(indent int, list []Named, source string) {
	for _, n := range list {
		w.line(indent, n.Key+": "+n.text(source))
	}
}

func (n Number) text(source string) string {
	if n.Source == source {
		return plain(n.Value)
	}
	return "{value: " + plain(n.Value) + ", source: " + strict.Quote(n.Source) + "}"
}

// plain is a number without an exponent, to its last digit.
func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func (w *profileText) machine(m Machine, as string) {
	w.line(1, "- id: "+as)
	w.text(2, "name", m.Name)
	w.line(2, "process: "+string(m.Process))
	w.text(2, "source", m.Source)
	if !m.Process.Traits().ByHand {
		w.moved(m)
	}
	w.line(2, "tools:")
	for _, t := range m.Tools {
		w.line(3, "- id: "+t.ID)
		w.text(4, "name", t.Name)
		w.line(4, fmt.Sprintf("number: %d", t.Number))
		w.numbers(4, t.Numbers(), m.Source)
		if t.Flutes > 0 {
			w.line(4, fmt.Sprintf("flutes: %d", t.Flutes))
		}
		w.text(4, "helix", string(t.Helix))
		w.text(4, "process", string(t.Process))
	}
	if len(m.Clamps) > 0 {
		w.line(2, "clamps:")
	}
	for _, c := range m.Clamps {
		w.line(3, fmt.Sprintf("- {name: %s, x_mm: %s, y_mm: %s, length_mm: %s, width_mm: %s, height_mm: %s}",
			strict.Quote(c.Name), plain(c.XMM), plain(c.YMM), plain(c.LengthMM), plain(c.WidthMM), plain(c.HeightMM)))
	}
	if text := m.DXFColours.text(); text != "" {
		w.line(2, "dxf_colours: "+text)
	}
	w.text(2, "notes", m.Notes)
}

// moved is what a machine has that moves its tool itself.
func (w *profileText) moved(m Machine) {
	var travel []string
	for _, n := range m.TravelMM {
		travel = append(travel, n.text(m.Source))
	}
	w.line(2, "travel_mm: ["+strings.Join(travel, ", ")+"]")
	w.numbers(2, numbers(m, machineNumbers), m.Source)
	w.line(2, "z_zero: "+string(m.ZZero))
	w.text(2, "z_counts", string(m.ZCounts))
	w.text(2, "a_counts", string(m.ACounts))
	w.controller(m.Controller)
}

// controller is the name of a shipped one, or which it is like and what differs.
func (w *profileText) controller(c Controller) {
	value := string(c.Class)
	if differs := c.Changed(); len(differs) > 0 {
		value = "{like: " + value
		for _, k := range differs {
			value += ", " + k.Key + ": " + k.Text
		}
		value += "}"
	}
	w.line(2, "controller: "+value)
}

// recipes writes a group for each tool.
func (w *profileText) recipes(m Machine, list []Recipe, as string) {
	if len(list) > 0 {
		w.line(0, "recipes:")
	}
	for _, t := range m.Tools {
		group := slices.DeleteFunc(slices.Clone(list), func(r Recipe) bool { return r.Tool != t.ID })
		if len(group) == 0 {
			continue
		}
		w.group(as, group[0])
		for _, r := range group {
			w.line(3, r.Foam+":")
			w.text(4, "source", r.Source)
			w.numbers(4, r.Numbers(), r.Source)
			w.laps(4, r)
			w.tested(4, r.Tested)
			w.measuredIn(4, r.MeasuredIn)
		}
	}
}

// group begins recipes of a tool, the first of which is r.
func (w *profileText) group(machine string, r Recipe) {
	w.line(1, "- machine: "+machine)
	w.line(2, "tool: "+r.Tool)
	w.text(2, "source", r.Source)
	w.line(2, "foams:")
}

// scales writes what was measured of a machine's scale, and the readings that it rests on.
func (w *profileText) scales(machine string, measured []Named, rests []ScaleReading) {
	w.line(0, "scales:")
	w.line(1, "- machine: "+machine)
	w.numbers(2, measured, "")
	if len(rests) > 0 {
		w.line(2, "rests_on:")
	}
	for _, r := range rests {
		w.line(3, fmt.Sprintf("- {coupon: %s, axis: %s, scale: %s, standard_error: %s, deviation_mm: %s, degrees_of_freedom: %s, lengths: %d}",
			strict.Quote(r.Coupon), r.Axis, plain(r.Scale), plain(r.StandardError), plain(r.DeviationMM), plain(r.DegreesOfFreedom), r.Lengths))
	}
}
