package dxf

import "traywright/geometry"

// r12 is the drawing for readers of AC1009. $INSUNITS is younger than that
// format (from memory); readers skip variables that they do not know, and
// those that know it learn the unit.
func r12(shapes []shape) []byte {
	var p pairs
	p.section("HEADER", func() { p.header("AC1009", bounds(shapes)) })
	p.section("TABLES", func() {
		p.table12("LTYPE", 1, func() { p.lineType12("CONTINUOUS") })
		layers := append([]string{"0"}, layersOf(shapes)...)
		p.table12("LAYER", len(layers), func() {
			for _, name := range layers {
				p.layer12(name)
			}
		})
	})
	p.section("ENTITIES", func() {
		for _, s := range shapes {
			p.polyline(s)
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

func (p *pairs) layer12(name string) {
	p.put(0, "LAYER")
	p.put(2, name)
	p.integer(70, 0)
	p.layerLook()
}

// polyline writes a POLYLINE entity with its vertices.
func (p *pairs) polyline(s shape) {
	p.put(0, "POLYLINE")
	p.put(8, s.layer)
	p.integer(66, 1) // vertices follow; old readers ask for it
	p.point(10, geometry.Point{})
	p.integer(70, s.flag())
	for _, v := range s.vertices {
		p.put(0, "VERTEX")
		p.put(8, s.layer)
		p.point(10, v.Point)
		p.bulge(v.Bulge)
	}
	p.put(0, "SEQEND")
	p.put(8, s.layer)
}
