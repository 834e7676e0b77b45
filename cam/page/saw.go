package page

import (
	"bytes"
	"fmt"
	"io"

	"traywright/cam/stock"
	"traywright/geometry/units"
)

// The picture for whoever parts sheets with a knife or a saw, of one width, with so much above and
// beside each sheet for its name and its measures.
const (
	sawPX      = float64(shortPX)
	sawAbovePX = 110.0
	sawLeftPX  = 150.0
)

// Saw draws each sheet that is parted before it goes on the machine, as PNG: the straight cuts with
// their measures from the left and the front edge, the panels' names, and what is not needed hatched.
// All have one scale. The error is w's.
func Saw(w io.Writer, parted []stock.Parted, u units.Unit) error {
	return saw(w, parted, sawScale(parted), u, false)
}

// sawScale is pixels a mm: the longest sheet is as wide as the picture, and the deepest no deeper.
func sawScale(parted []stock.Parted) float64 {
	longest := 1.0
	for _, p := range parted {
		longest = max(longest, p.SizeMM[0], p.SizeMM[1])
	}
	return (sawPX - sawLeftPX - marginPX) / longest
}

// sawHigh is how high a sheet is with its name.
func sawHigh(p stock.Parted, scale float64) float64 { return sawAbovePX + p.SizeMM[1]*scale + marginPX }

// sawPages are the same pictures for paper, as many sheets on each as a page holds.
func sawPages(parted []stock.Parted, u units.Unit) (pages [][]byte, err error) {
	const mostPX = 1.2 * sawPX // less than letter paper has beside its head and foot
	scale := sawScale(parted)
	for len(parted) > 0 {
		n, high := 1, marginPX+sawHigh(parted[0], scale)
		for n < len(parted) && high+sawHigh(parted[n], scale) <= mostPX {
			high += sawHigh(parted[n], scale)
			n++
		}
		var b bytes.Buffer
		if err := saw(&b, parted[:n], scale, u, true); err != nil {
			return nil, err
		}
		pages, parted = append(pages, b.Bytes()), parted[n:]
	}
	return pages, nil
}

func saw(w io.Writer, parted []stock.Parted, scale float64, u units.Unit, onPaper bool) error {
	t, err := newTypesetter()
	if err != nil {
		return err
	}
	high := float64(marginPX)
	for _, p := range parted {
		high += sawHigh(p, scale)
	}
	c := newCanvas(t, int(sawPX), int(high))
	defer done(c.im)
	y := float64(marginPX)
	for _, p := range parted {
		s := sawSheet{c, p, rect{sawLeftPX, y + sawAbovePX, p.SizeMM[0] * scale, p.SizeMM[1] * scale}, scale, u}
		s.draw()
		y = s.box.bottom() + marginPX
	}
	return encode(w, c.im, onPaper)
}

// sawSheet is one sheet on the picture.
type sawSheet struct {
	*canvas
	p     stock.Parted
	box   rect
	scale float64
	unit  units.Unit
}

func (s sawSheet) draw() {
	title := fmt.Sprintf("%s: %s of %s, %s thick", s.p.Sheet, size(s.p.SizeMM[0], s.p.SizeMM[1], s.unit), s.p.Foam, Length(s.p.Layer, s.unit))
	s.text(marginPX, s.box.y-sawAbovePX+titleType.size, s.shorten(title, titleType, sawPX-2*marginPX), titleType, ink, 0)
	s.fill(s.box, foamColour)
	s.hatch(s.box, 22, 2, -1, softInk) // what is no panel, wide enough to keep or not
	for _, p := range s.p.Panels {
		s.fill(rect{s.box.x + p.XMM*s.scale, s.box.bottom() - (p.YMM+p.WidthMM)*s.scale, p.LengthMM * s.scale, p.WidthMM * s.scale}, foamColour)
	}
	s.frame(s.box, 4, ink)
	s.cuts()
	for n, p := range s.p.Panels {
		x := s.box.x + (p.XMM+p.LengthMM/2)*s.scale
		y := s.box.bottom() - (p.YMM+p.WidthMM/2)*s.scale
		s.text(x, y, fmt.Sprintf("p%d", n+1), titleType, ink, 0.5)
		s.text(x, y+2*strongType.size, size(p.LengthMM, p.WidthMM, s.unit), strongType, ink, 0.5)
	}
}

// cuts are the lines that panels end at, each with its measure: what is behind them stays in one piece. The
// measures of a strip stand at its left edge.
func (s sawSheet) cuts() {
	cut := pen{width: 4, col: ink, dash: []float64{18, 10}}
	for _, at := range s.p.CutsMM() {
		x := s.box.x + at*s.scale
		s.line(x, s.box.y-18, x, s.box.bottom(), cut)
		s.text(x, s.box.y-26, Length(at, s.unit), strongType, ink, 0.5)
	}
	for n, strip := range s.p.Strips() {
		left, right := s.box.x+strip.XMM*s.scale, s.box.x+(strip.XMM+strip.LengthMM)*s.scale
		for _, at := range strip.CutsMM {
			y := s.box.bottom() - at*s.scale
			if n == 0 {
				s.line(left-18, y, right, y, cut)
				s.text(left-26, y+strongType.capHeight()/2, Length(at, s.unit), strongType, ink, 1)
				continue
			}
			s.line(left, y, right, y, cut)
			s.text(left+14, y+14+strongType.capHeight(), Length(at, s.unit), strongType, ink, 0)
		}
	}
}
