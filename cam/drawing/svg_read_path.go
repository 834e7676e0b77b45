package drawing

import (
	"fmt"
	"math"

	"traywright/geometry"
)

// pathReader follows path data (SVG 1.1, section 8.3, from memory).
type pathReader struct {
	scanner
	pieces  []Piece
	at      geometry.Point // where the pen is
	begin   geometry.Point // of the subpath
	control geometry.Point // last control point of the curve before
	before  byte           // the command before, lower case
	failed  bool
}

// readPath reads the d attribute. Each subpath is a piece.
func readPath(a *attributes) []Piece {
	p := &pathReader{scanner: scanner{text: a.text("d")}}
	p.skipSpace()
	if p.more() && p.peek()|0x20 != 'm' {
		p.failed = true
	}
	for p.more() && !p.failed {
		command := p.peek()
		p.scanner.at++
		p.skipSpace()
		p.command(command)
	}
	if p.failed {
		a.fail(fmt.Sprintf("the path data cannot be read at character %d: %s", p.scanner.at+1, quote(p.text[min(p.scanner.at, len(p.text)):])), notSVG)
	}
	return p.pieces
}

// command runs a command with all its repetitions.
func (p *pathReader) command(letter byte) {
	relative, lower := letter >= 'a', letter|0x20
	if lower == 'z' {
		p.close()
		return
	}
	for {
		p.segment(lower, relative)
		if p.failed {
			return
		}
		p.before = lower
		if lower == 'm' {
			lower = 'l' // further pairs are lines
		}
		p.skipSeparator()
		if !p.startsNumber() {
			return
		}
	}
}

func (p *pathReader) segment(command byte, relative bool) {
	var from geometry.Point
	if relative {
		from = p.at
	}
	switch command {
	case 'm':
		p.at = p.point(from)
		p.begin = p.at
		p.pieces = append(p.pieces, Piece{})
	case 'l':
		p.lineTo(p.point(from))
	case 'h':
		p.lineTo(geometry.Point{X: from.X + p.value(), Y: p.at.Y})
	case 'v':
		p.lineTo(geometry.Point{X: p.at.X, Y: from.Y + p.value()})
	case 'c':
		c1 := p.point(from)
		p.cubic(c1, p.point(from), p.point(from))
	case 's':
		p.cubic(p.reflected('c', 's'), p.point(from), p.point(from))
	case 'q':
		p.quadratic(p.point(from), p.point(from))
	case 't':
		p.quadratic(p.reflected('q', 't'), p.point(from))
	case 'a':
		p.arc(from)
	default:
		p.scanner.at--
		p.failed = true
	}
}

// value is the next number. Behind a fault nothing more is read, so that the
// scanner stays where the fault is.
func (p *pathReader) value() float64 {
	if p.failed {
		return 0
	}
	p.skipSeparator()
	v, ok := p.number()
	p.failed = p.failed || !ok
	return v
}

func (p *pathReader) point(from geometry.Point) geometry.Point {
	x := p.value()
	return geometry.Point{X: from.X + x, Y: from.Y + p.value()}
}

// reflected is the first control point of a smooth curve: the last one's
// mirror image behind a curve of the same family, the pen's place otherwise.
func (p *pathReader) reflected(family ...byte) geometry.Point {
	if p.before == family[0] || p.before == family[1] {
		return p.at.Scale(2).Sub(p.control)
	}
	return p.at
}

// add appends a curve to the subpath; one that follows a Z begins a new one
// where the last began.
func (p *pathReader) add(c Curve, to geometry.Point) {
	if p.failed {
		return
	}
	if p.before == 'z' {
		p.pieces = append(p.pieces, Piece{})
		p.before = 0
	}
	last := &p.pieces[len(p.pieces)-1]
	last.Curves = append(last.Curves, c)
	p.at = to
}

func (p *pathReader) lineTo(to geometry.Point) {
	if to == p.at {
		return
	}
	p.add(segment{A: p.at, B: to}, to)
}

func (p *pathReader) cubic(c1, c2, to geometry.Point) {
	p.add(bezier{p.at, c1, c2, to}, to)
	p.control = c2
}

// quadratic writes a quadratic curve as the cubic that it is.
func (p *pathReader) quadratic(c, to geometry.Point) {
	c1 := p.at.Add(c.Sub(p.at).Scale(2.0 / 3))
	c2 := to.Add(c.Sub(to).Scale(2.0 / 3))
	p.add(bezier{p.at, c1, c2, to}, to)
	p.control = c
}

func (p *pathReader) close() {
	last := &p.pieces[len(p.pieces)-1]
	last.Closed = true
	p.at, p.before = p.begin, 'z'
	p.skipSeparator()
}

// arc reads an elliptical arc: radii, turn of the axes, the two flags, end.
func (p *pathReader) arc(from geometry.Point) {
	rx, ry, turn := math.Abs(p.value()), math.Abs(p.value()), p.value()
	large, sweep := p.arcFlag(), p.arcFlag()
	to := p.point(from)
	switch {
	case to == p.at: // an arc without length is left out
	case rx == 0 || ry == 0:
		p.lineTo(to)
	default:
		p.add(arcBetween(p.at, to, rx, ry, turn*math.Pi/180, large, sweep), to)
	}
}

func (p *pathReader) arcFlag() bool {
	if p.failed {
		return false
	}
	p.skipSeparator()
	set, ok := p.flag()
	p.failed = p.failed || !ok
	return set
}

// arcBetween finds the ellipse through two points with the given half axes
// (SVG 1.1, appendix F.6.5, from memory): in the frame where it is the unit
// circle, its centre is on the bisector of the chord. Axes that are too short
// grow until they reach.
func arcBetween(a, b geometry.Point, rx, ry, turn float64, large, sweep bool) Curve {
	sin, cos := math.Sincos(turn)
	unit := func(p geometry.Point) geometry.Point {
		return geometry.Point{X: (cos*p.X + sin*p.Y) / rx, Y: (cos*p.Y - sin*p.X) / ry}
	}
	half := unit(b.Sub(a)).Scale(0.5)
	length := half.Norm()
	if length > 1 {
		rx, ry = rx*length, ry*length
		half = half.Scale(1 / length)
		length = 1
	}
	height := math.Sqrt(math.Max(0, 1-length*length)) / length
	if large == sweep {
		height = -height
	}
	middle := half.Left().Scale(height) // from the chord's middle to the centre
	start, end := half.Scale(-1).Sub(middle), half.Sub(middle)
	back := func(p geometry.Point) geometry.Point {
		return geometry.Point{X: cos*p.X*rx - sin*p.Y*ry, Y: sin*p.X*rx + cos*p.Y*ry}
	}
	from := math.Atan2(start.Y, start.X)
	angle := math.Atan2(start.Cross(end), start.Dot(end))
	switch {
	case sweep && angle < 0:
		angle += 2 * math.Pi
	case !sweep && angle > 0:
		angle -= 2 * math.Pi
	}
	if rx == ry {
		return segment{A: a, B: b, Bulge: math.Tan(angle / 4)}
	}
	return arc{
		Center: a.Add(b).Scale(0.5).Add(back(middle)),
		U:      back(geometry.Point{X: 1}), V: back(geometry.Point{Y: 1}),
		From: from, To: from + angle,
	}
}
