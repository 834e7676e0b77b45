package kerf

import (
	"fmt"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

var weighColumns = []string{"foam", "length", "width", "height", "mass", "note"}

// ReadBlocks reads blocks to be weighed: a CSV of foam,length,width,height,mass
// in any order, lengths as Read has them, the mass in g; a note may follow. The
// unit is that of bare lengths, the error a finding.List.
func ReadBlocks(file string, data []byte, bare units.Unit) ([]Block, units.Unit, finding.List, error) {
	table, err := job.ReadTable(file, data)
	if err != nil {
		return nil, bare, nil, err
	}
	r := &reader{table: table, file: file, bare: bare, rest: map[string]string{}}
	r.readComments()
	var blocks []Block
	if h := r.readHeader(weighColumns, weighColumns[:5], "blocks"); h != nil {
		for _, row := range r.body(h) {
			blocks = append(blocks, r.block(h, row))
		}
	}
	if found, err := r.log.Result(); err != nil || found.Failed() {
		return nil, r.bare, found, err
	}
	for _, b := range blocks {
		if d := b.Density().Value; !(d >= leastDensity && d <= mostDensity) {
			r.log.Fail(b.At, "impossible-density", fmt.Sprintf("the density comes to %.6g kg/m3, which is no foam's", d), "sizes in mm unless they say otherwise, the mass in g")
		}
	}
	found, err := r.log.Result()
	return blocks, r.bare, found, err
}

// block reads a row.
func (r *reader) block(h header, cells []job.Cell) Block {
	b := Block{At: finding.Position{File: r.file, Line: cells[0].At.Line, Column: 1}}
	for _, name := range weighColumns[:5] {
		if _, ok := h.cell(cells, name); !ok {
			r.log.CannotRead(b.At, "missing-value", "this row has no "+name, "fill in foam, length, width, height and mass")
		}
	}
	if c, ok := h.cell(cells, "foam"); ok {
		b.Foam = r.id(c, "foam")
	}
	for i, name := range weighColumns[1:4] {
		if c, ok := h.cell(cells, name); ok {
			b.Sides[i] = r.measure(c, name)
		}
	}
	if c, ok := h.cell(cells, "mass"); ok {
		b.MassG, b.MassStepG = r.number(c, "mass", 0.001, 1e6, "g"), massStep(c.Text)
	}
	return b
}
