package kerf

import (
	"fmt"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// measureNeeds are the columns that a table of measurements has to have.
var measureNeeds = []string{"foam", "thickness", "machine", "axis", "size", "hole", "plug"}

// column is one that a row may have and what is done with its cell.
type column struct {
	name string
	read func(r *reader, into *Reading, c job.Cell)
}

var measureColumns = []column{
	{"foam", func(r *reader, row *Reading, c job.Cell) { row.Foam = r.id(c, "foam") }},
	{"thickness", func(r *reader, row *Reading, c job.Cell) { row.Thickness = r.length(c, "thickness") }},
	{"machine", func(r *reader, row *Reading, c job.Cell) { row.Machine = r.id(c, "machine") }},
	{"axis", func(r *reader, row *Reading, c job.Cell) { row.Axis = Axis(r.word(c, "axis", "x", "y")) }},
	{"size", func(r *reader, row *Reading, c job.Cell) { row.Size = r.length(c, "size") }},
	{"hole", func(r *reader, row *Reading, c job.Cell) { row.Hole = r.measure(c, "hole") }},
	{"plug", func(r *reader, row *Reading, c job.Cell) { row.Plug = r.measure(c, "plug") }},
	{"tool", func(r *reader, row *Reading, c job.Cell) { row.Tool = r.id(c, "tool") }},
	{"face", func(r *reader, row *Reading, c job.Cell) { row.Face = Face(r.word(c, "face", "top", "bottom")) }},
	{"feed", func(r *reader, row *Reading, c job.Cell) {
		row.Setting.FeedMMPerMin = r.number(c, "feed", 1, 100000, "mm/min")
	}},
	{"power", func(r *reader, row *Reading, c job.Cell) {
		row.Setting.PowerPercent = r.number(c, "power", 0.1, 100, "%")
	}},
	{"current", func(r *reader, row *Reading, c job.Cell) {
		row.Setting.CurrentA = r.number(c, "current", 0.01, 50, "A")
	}},
	{"passes", func(r *reader, row *Reading, c job.Cell) { row.Setting.Passes = r.whole(c, "passes", 100) }},
	{"stepdown", func(r *reader, row *Reading, c job.Cell) { row.Setting.StepdownMM = r.length(c, "stepdown").MM() }},
	{"defocus", func(r *reader, row *Reading, c job.Cell) {
		row.Setting.DefocusMM = r.number(c, "defocus", 0, 100, "mm")
	}},
	{"date", func(r *reader, row *Reading, c job.Cell) { row.Date = r.date(c) }},
	{"note", func(r *reader, row *Reading, c job.Cell) { row.Note = r.text(c, "note") }},
	{"density", func(r *reader, row *Reading, c job.Cell) {
		row.DensityKgM3 = r.number(c, "density", leastDensity, mostDensity, "kg/m3")
	}},
}

// blockColumns give the density of the foam that a coupon was cut from.
var blockColumns = []string{"block_length", "block_width", "block_height", "block_mass"}

func columnNames(list []column) []string {
	var names []string
	for _, c := range list {
		names = append(names, c.name)
	}
	return append(names, blockColumns...)
}

// reading reads a row.
func (r *reader) reading(h header, cells []job.Cell) Reading {
	row := Reading{At: finding.Position{File: r.file, Line: cells[0].At.Line, Column: 1}, Date: r.rest["date"]}
	for _, c := range measureColumns {
		if cell, ok := h.cell(cells, c.name); ok {
			c.read(r, &row, cell)
		}
	}
	for _, name := range measureNeeds[:5] {
		if _, ok := h.cell(cells, name); !ok {
			r.log.CannotRead(row.At, "missing-value", "this row has no "+name, "fill in foam, thickness, machine, axis and size; hole and plug may stay empty")
		}
	}
	r.weighed(h, cells, &row)
	return row
}

// weighed takes the density from the block's size and mass.
func (r *reader) weighed(h header, cells []job.Cell, row *Reading) {
	var sides [3]Measure
	given := 0
	for i, name := range blockColumns[:3] {
		if c, ok := h.cell(cells, name); ok {
			sides[i] = r.measure(c, name)
			given++
		}
	}
	mass, ok := h.cell(cells, "block_mass")
	switch {
	case given == 0 && !ok:
		return
	case given < 3 || !ok:
		r.log.CannotRead(row.At, "missing-value", "a density takes all four of block_length, block_width, block_height and block_mass", "fill in all four, or none")
		return
	case row.DensityKgM3 != 0:
		r.log.CannotRead(row.At, "two-densities", "this row has a density and a block's size and mass", "keep one of the two")
		return
	}
	b := Block{Foam: row.Foam, At: row.At, Sides: sides, MassG: r.number(mass, "block_mass", 0.001, 1e6, "g"), MassStepG: massStep(mass.Text)}
	for _, s := range sides {
		if !s.given() || b.MassG == 0 {
			return
		}
	}
	row.DensityKgM3 = roundTo(b.Density().Value, 0.01)
	if d := row.DensityKgM3; d < leastDensity || d > mostDensity {
		r.log.CannotRead(mass.At, "out-of-range", fmt.Sprintf("the block's density comes to %.6g kg/m3, which is no foam's", d), "sizes in mm unless they say otherwise, the mass in g")
	}
}

// whole takes a cell as a whole number from 1.
func (r *reader) whole(c job.Cell, column string, most float64) int {
	n := r.number(c, column, 1, most, "")
	if n != float64(int(n)) {
		r.log.CannotRead(c.At, "bad-number", fmt.Sprintf("%s: %s is no whole number", column, finding.Quote(c.Text)), "write a whole number such as 2")
	}
	return int(n)
}

// massStep is what the last digit of a mass in g stands for.
func massStep(text string) float64 {
	m := written.FindStringSubmatch(text)
	if m == nil {
		return 0
	}
	step := stepOf("0."+m[1], units.Millimetre)
	return step.MM()
}
