package drawing

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"traywright/geometry"
)

// handle names one object of a drawing; no two objects share one. 0 is none.
type handle uint64

func (h handle) String() string { return strings.ToUpper(strconv.FormatUint(uint64(h), 16)) }

// pairs gathers a drawing's text: pairs of lines, a group code and its value.
//
// Lines end in CR LF. The format comes from systems whose text files end lines
// so; every reader has to take that, while some old ones take nothing else.
type pairs struct {
	text bytes.Buffer
	last handle
}

func (p *pairs) put(code int, value string) {
	fmt.Fprintf(&p.text, "%d\r\n%s\r\n", code, value)
}

func (p *pairs) integer(code, value int) { p.put(code, strconv.Itoa(value)) }

// length writes mm.
func (p *pairs) length(code int, mm float64) { p.put(code, length(mm)) }

// bulge writes tan(angle/4) finely enough that the bow of an arc over a chord
// of a metre moves by less than a nanometre. A straight segment needs none.
func (p *pairs) bulge(b float64) {
	if text := decimal(b, 9); text != "0" {
		p.put(42, text)
	}
}

// point writes X, Y and Z 0 at group codes code, code+10 and code+20.
func (p *pairs) point(code int, at geometry.Point) {
	p.length(code, at.X)
	p.length(code+10, at.Y)
	p.length(code+20, 0)
}

// newHandle hands out the next free handle.
func (p *pairs) newHandle() handle {
	p.last++
	return p.last
}

// section writes a section around what content writes.
func (p *pairs) section(name string, content func()) {
	p.put(0, "SECTION")
	p.put(2, name)
	content()
	p.put(0, "ENDSEC")
}

// variable opens a variable of the HEADER section.
func (p *pairs) variable(name string) { p.put(9, name) }

// header writes the variables that both formats have.
func (p *pairs) header(version string, box geometry.Box) {
	p.variable("$ACADVER")
	p.put(1, version)
	p.variable("$EXTMIN")
	p.point(10, box.Min)
	p.variable("$EXTMAX")
	p.point(10, box.Max)
	p.variable("$INSUNITS")
	p.integer(70, 4) // millimetres
	p.variable("$MEASUREMENT")
	p.integer(70, 1) // metric
}

// solidLine is a line type without a pattern.
func (p *pairs) solidLine() {
	p.put(3, "")      // description
	p.integer(72, 65) // alignment: always 65, the letter A
	p.integer(73, 0)  // elements of the pattern
	p.length(40, 0)   // length of the pattern
}

// layerZero is the layer that every drawing has. No path is on it.
var layerZero = Layer{Name: "0", Index: 7}

// layerLook is a layer's colour and line type.
func (p *pairs) layerLook(index int) {
	p.integer(62, index)
	p.put(6, "CONTINUOUS")
}
