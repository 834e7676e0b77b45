package drawing

import "traywright/geometry"

// r12 is the drawing for readers of AC1009. $INSUNITS is younger than that
// format (from memory); readers skip variables that they do not know, and
// those that know it learn the unit.
func r12(d Drawing) []byte {
	var p pairs
	p.section("HEADER", func() { p.header("AC1009", d.Bounds()) })
	p.section("TABLES", func() {
		p.table12("LTYPE", 1, func() { p.lineType12("CONTINUOUS") })
		layers := append([]Layer{layerZero}, d.layersInUse()...)
		p.table12("LAYER", len(layers), func() {
			for _, l := range layers {
				p.layer12(l)
			}
		})
	})
	p.section("ENTITIES", func() {
		for _, l := range polylines(d) {
			p.polyline(l)
		}
	})
	p.put(0, "EOF")
	return p.text.Bytes()
}

func (p *pairs) table12(name string, entries int, content func()) {
	p.put(0, "TABLE")
	p.put(2, name)
	p.integer(70, entries)
	content()
	p.put(0, "ENDTAB")
}

func (p *pairs) lineType12(name string) {
	p.put(0, "LTYPE")
	p.put(2, name)
	p.integer(70, 0)
	p.solidLine()
}

func (p *pairs) layer12(l Layer) {
	p.put(0, "LAYER")
	p.put(2, l.Name)
	p.integer(70, 0)
	p.layerLook(l.Index)
}

// polyline writes a POLYLINE entity with its vertices.
func (p *pairs) polyline(l polyline) {
	p.put(0, "POLYLINE")
	p.put(8, l.layer)
	p.integer(62, l.colour)
	p.integer(66, 1) // vertices follow; old readers ask for it
	p.point(10, geometry.Point{})
	p.integer(70, l.flag())
	for _, v := range l.vertices {
		p.put(0, "VERTEX")
		p.put(8, l.layer)
		p.integer(62, l.colour)
		p.point(10, v.Point)
		p.bulge(v.Bulge)
	}
	p.put(0, "SEQEND")
	p.put(8, l.layer)
	p.integer(62, l.colour)
}
