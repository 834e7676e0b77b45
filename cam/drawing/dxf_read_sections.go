package drawing

import (
	"fmt"
	"strconv"
	"strings"

	"traywright/geometry"
)

// block is a named group of entities that INSERT places.
type block struct {
	base     geometry.Point
	entities []entity
}

// dxfFile is a DXF file by its parts.
type dxfFile struct {
	mmPerUnit float64
	hidden    map[string]bool // layers that are off or frozen
	blocks    map[string]block
	space     []entity // of the model space
}

// readDrawing takes the sections apart.
func readDrawing(groups []group) (*dxfFile, error) {
	d := &dxfFile{hidden: map[string]bool{}, blocks: map[string]block{}}
	section := ""
	var open string // name of the block being read
	for _, e := range entities(groups) {
		switch kind := e.kind(); {
		case kind == "SECTION":
			section = e.text(2)
			if section == "HEADER" {
				if err := d.readUnits(e); err != nil {
					return nil, err
				}
			}
		case kind == "ENDSEC":
			section = ""
		case section == "TABLES" && kind == "LAYER":
			d.readLayer(e)
		case section == "BLOCKS" && kind == "BLOCK":
			var err error
			if open, err = d.openBlock(e); err != nil {
				return nil, err
			}
		case section == "BLOCKS" && kind != "ENDBLK":
			b := d.blocks[open]
			b.entities = append(b.entities, e)
			d.blocks[open] = b
		case section == "ENTITIES" && e.text(67) != "1": // 67 = 1 is paper space
			d.space = append(d.space, e)
		}
	}
	if d.mmPerUnit == 0 {
		return nil, fault(0, "the drawing does not say its units: $INSUNITS is missing or 0",
			"set the drawing's units (1 inches, 4 millimetres) where it was drawn and export it again")
	}
	return d, nil
}

// millimetres in one unit of $INSUNITS: inch, foot, mm, cm, m.
var insUnitsMM = map[int]float64{1: 25.4, 2: 304.8, 4: 1, 5: 10, 6: 1000}

// readUnits looks for $INSUNITS in the header.
func (d *dxfFile) readUnits(header entity) error {
	for i, g := range header[:len(header)-1] {
		if g.code != 9 || g.value != "$INSUNITS" {
			continue
		}
		value := header[i+1]
		unit, err := strconv.Atoi(value.value)
		if err == nil && unit == 0 {
			return nil
		}
		d.mmPerUnit = insUnitsMM[unit]
		if d.mmPerUnit == 0 {
			return fault(value.line+1, "the drawing's units, $INSUNITS "+quote(value.value)+", are not known here",
				"draw in millimetres (4), centimetres (5), metres (6), inches (1) or feet (2)")
		}
	}
	return nil
}

// readLayer notes a layer that nobody sees: colour negative (off) or flag 1 (frozen).
func (d *dxfFile) readLayer(e entity) {
	flags, _ := strconv.Atoi(e.text(70))
	if strings.HasPrefix(e.text(62), "-") || flags&1 != 0 {
		d.hidden[layerKey(e.text(2))] = true
	}
}

// layerKey is a layer's or block's name as names are compared: without regard to case.
func layerKey(name string) string { return strings.ToUpper(name) }

func (d *dxfFile) openBlock(e entity) (string, error) {
	n := numbers{entity: e}
	name := layerKey(e.text(2))
	d.blocks[name] = block{base: n.point(10)}
	return name, n.err
}

const tooMuch = "keep the outline alone in the file, without blocks"

// Limits that stop a drawing of a few lines from standing for millions: a
// block may hold others, each many times.
const (
	deepestInsert = 16
	mostSteps     = 2_000_000 // entities looked at and blocks placed
)

// outlines are the pieces of the model space, in mm.
func (d *dxfFile) outlines(p pulse) ([]Piece, error) {
	c := collector{file: d, pulse: p}
	if err := c.collect(d.space, Affine{A: d.mmPerUnit, D: d.mmPerUnit}, 0); err != nil {
		return nil, err
	}
	return c.pieces, nil
}

// collector gathers the pieces of entities and of the blocks that they insert.
type collector struct {
	file   *dxfFile
	pieces []Piece
	steps  int
	pulse  pulse
}

func (c *collector) collect(entities []entity, m Affine, depth int) error {
	for i := 0; i < len(entities); i++ {
		e := entities[i]
		if err := c.step(e); err != nil {
			return err
		}
		if c.file.hidden[layerKey(e.text(8))] || e.text(60) == "1" { // 60 = 1 is invisible
			continue
		}
		var err error
		switch e.kind() {
		case "INSERT":
			err = c.insert(e, m, depth)
		case "POLYLINE":
			err = c.add(heavyPolyline(e, vertices(entities[i+1:])))(m)
		default:
			err = c.add(pieceOf(e))(m)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (c *collector) step(e entity) error {
	if c.steps++; c.steps > mostSteps {
		return fault(e.line(), fmt.Sprintf("the drawing and its blocks come to more than %d entities", mostSteps), tooMuch)
	}
	return c.pulse.stopped()
}

// vertices are the VERTEX entities that follow a POLYLINE.
func vertices(entities []entity) []entity {
	n := 0
	for n < len(entities) && entities[n].kind() == "VERTEX" {
		n++
	}
	return entities[:n]
}

// add takes a piece, or the reason why there is none.
func (c *collector) add(p Piece, err error) func(Affine) error {
	return func(m Affine) error {
		switch {
		case err != nil:
			return err
		case len(p.Curves) == 0:
			return nil
		case len(c.pieces) >= mostPieces:
			return fault(p.Line, fmt.Sprintf("the drawing has more than %d pieces", mostPieces), tooMuch)
		}
		c.pieces = append(c.pieces, p.mapped(m))
		return nil
	}
}

// insert places a block, or a grid of it.
func (c *collector) insert(e entity, m Affine, depth int) error {
	n := numbers{entity: e}
	b, known := c.file.blocks[layerKey(e.text(2))]
	places := n.insertPlaces(b.base)
	switch {
	case n.err != nil:
		return n.err
	case !known:
		return fault(e.line(), "block "+quote(e.text(2))+" is not in the drawing", notDXF)
	case depth >= deepestInsert:
		return fault(e.line(), "block "+quote(e.text(2))+" is inserted within itself, or too deeply", "explode the blocks and export again")
	}
	for _, place := range places {
		if err := c.step(e); err != nil {
			return err
		}
		if err := c.collect(b.entities, m.of(place), depth+1); err != nil {
			return err
		}
	}
	return nil
}
