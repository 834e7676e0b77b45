package page

import (
	"bytes"
	"io"

	"traywright/cam/stock"
	"traywright/geometry/lettering"
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
// their measures from the left and the front edge, the panels' names, and what is not needed hatched, with
// its name and size where it is to keep. All have one scale. The error is w's.
func Saw(w io.Writer, parted []stock.Parted, own *lettering.Face, u units.Unit) error {
	sheets, t, err := sawSheets(parted, own, u)
	if err != nil {
		return err
	}
	return saw(w, t, sheets, false)
}

// sawSheets are the sheets as they are drawn, their text laid out.
func sawSheets(parted []stock.Parted, own *lettering.Face, u units.Unit) ([]*sawSheet, *typesetter, error) {
	t, err := newTypesetter(lettersOf(own))
	if err != nil {
		return nil, nil, err
	}
	longest := 1.0
	for _, p := range parted {
		longest = max(longest, p.SizeMM[0], p.SizeMM[1])
	}
	var sheets []*sawSheet
	for _, p := range parted {
		s := &sawSheet{t: t, p: p, scale: (sawPX - sawLeftPX - marginPX) / longest, unit: u}
		s.lay()
		sheets = append(sheets, s)
	}
	return sheets, t, nil
}

// sawPages are the same pictures for paper, as many sheets on each as a page holds.
func sawPages(parted []stock.Parted, own *lettering.Face, u units.Unit) (pages [][]byte, err error) {
	const mostPX = 1.2 * sawPX // less than letter paper has beside its head and foot
	sheets, t, err := sawSheets(parted, own, u)
	if err != nil {
		return nil, err
	}
	for len(sheets) > 0 {
		n, high := 1, marginPX+sheets[0].high()
		for n < len(sheets) && high+sheets[n].high() <= mostPX {
			high += sheets[n].high()
			n++
		}
		var b bytes.Buffer
		if err := saw(&b, t, sheets[:n], true); err != nil {
			return nil, err
		}
		pages, sheets = append(pages, b.Bytes()), sheets[n:]
	}
	return pages, nil
}

func saw(w io.Writer, t *typesetter, sheets []*sawSheet, onPaper bool) error {
	high := float64(marginPX)
	for _, s := range sheets {
		high += s.high()
	}
	c := newCanvas(t, int(sawPX), int(high))
	defer done(c.im)
	y := float64(marginPX)
	for _, s := range sheets {
		s.draw(c, y)
		y += s.high()
	}
	return encode(w, c.im, onPaper)
}
