package page

import (
	"bytes"
	"errors"
	"fmt"
	"math"

	"traywright/cam/kerf"
	"traywright/geometry/units"
)

// PictureFile is a PNG and the name of its file.
type PictureFile struct {
	Name string
	Data []byte
}

// KerfPictures draws every fit with its residuals, kerf against density, and the
// ladders. An error is a fault of the program.
func KerfPictures(fits []kerf.Fit, unit units.Unit) ([]PictureFile, error) {
	t, err := newTypesetter(nil)
	if err != nil {
		return nil, err
	}
	var list []PictureFile
	add := func(name string, i int, p plot) {
		var b bytes.Buffer
		err = errors.Join(err, encode(&b, p.im, false))
		done(p.im)
		list = append(list, PictureFile{fmt.Sprintf("%s-%d.png", name, i+1), b.Bytes()})
	}
	for i, f := range fits {
		add("fit", i, drawFit(t, f, unit))
	}
	for i, c := range kerf.Curves(fits) {
		add("density", i, drawCurve(t, c, unit))
	}
	for i, l := range kerf.Ladders(fits) {
		add("ladder", i, drawLadder(t, l, unit))
	}
	return list, err
}

// drawFit shows each axis in a column: above what was read less the square's
// size, so that a kerf is a height and a scale error a slope; below what the
// lines leave over.
func drawFit(t *typesetter, f kerf.Fit, unit units.Unit) plot {
	p := newPlot(t, 1130, "Kerf and scale", f.In(unit), f.KerfMM.In(unit))
	both, left := newExtent(), newExtent()
	for _, a := range f.Axes {
		for _, q := range a.Points {
			both.add((q.ReadMM - q.SizeMM) / unit.MM())
			left.add(q.ResidualMM/unit.MM(), -q.ResidualMM/unit.MM())
		}
	}
	both.add(0)
	width := 1460/float64(len(f.Axes)) - 110
	for i, a := range f.Axes {
		p.drawAxis(a, unit, 150+float64(i)*(width+130), width, both, left)
	}
	p.kerfLegend(f, 1060)
	p.foot(fmt.Sprintf("Kerf %s: 95 %%, Student's t, %d readings. Lines: size × scale ± kerf.", f.KerfMM.In(unit), f.Readings()))
	return p
}

// kerfLegend says what the marks are.
func (p plot) kerfLegend(f kerf.Fit, y float64) {
	c := chart{plot: p, left: 80, top: y - smallType.capHeight()/2, x1: 1, y1: 1, width: 1, height: 1}
	say := func(part kerf.Part, hollow bool, text string) {
		c.mark(0, 1, part, hollow)
		p.text(c.left+20, y, text, smallType, ink, 0)
		c.left += p.typesetter.width(text, smallType) + 64
	}
	if f.TopMM == nil {
		say(kerf.HolePart, false, "hole")
		say(kerf.PlugPart, false, "piece that came out")
		return
	}
	say(kerf.HolePart, false, "hole, top")
	say(kerf.HolePart, true, "hole, bottom")
	say(kerf.PlugPart, false, "piece, top")
	say(kerf.PlugPart, true, "piece, bottom")
}

func (p plot) drawAxis(a kerf.AxisFit, unit units.Unit, left, width float64, both, rest extent) {
	sizes := newExtent()
	for _, q := range a.Points {
		sizes.add(q.SizeMM / unit.MM())
	}
	sizes.add(0)
	c := chart{plot: p, left: left, top: 246, width: width, height: 394, x1: sizes.high * 1.06}
	c.y0, c.y1 = both.padded(0.12)
	p.text(left, 184, "Along "+string(a.Axis), headingType, ink, 0)
	scale := fmt.Sprintf("scale %.5f", a.Scale.Value)
	if !math.IsInf(a.Scale.HalfWidth, 0) {
		scale += fmt.Sprintf(" ± %.5f", a.Scale.HalfWidth)
	}
	p.text(left+width, 184, scale+", kerf "+a.KerfMM.In(unit), smallType, ink, 1)
	size := fmt.Sprintf("programmed size, %s", unit)
	c.axes(size, fmt.Sprintf("read less programmed size, %s", unit), 6, 8)
	c.level(0)
	kerfs := []kerf.Estimate{a.KerfMM}
	if a.TopMM != nil {
		kerfs = []kerf.Estimate{*a.TopMM, *a.BottomMM}
	}
	for _, k := range kerfs {
		k := k.Value / unit.MM()
		c.curve(func(x float64) float64 { return (a.Scale.Value-1)*x + k }, 0, c.x1, pen{width: 2.5, col: partColour(kerf.HolePart)})
		c.curve(func(x float64) float64 { return (a.Scale.Value-1)*x - k }, 0, c.x1, pen{width: 2.5, col: partColour(kerf.PlugPart)})
	}
	r := chart{plot: p, left: left, top: 760, width: width, height: 190, x1: c.x1}
	r.y0, r.y1 = rest.padded(0.25)
	r.axes(size, fmt.Sprintf("off its line, %s", unit), 6, 6)
	r.level(0)
	for _, q := range a.Points {
		x, beside := q.SizeMM/unit.MM(), (c.x1-c.x0)/90 // so that hole and piece do not hide each other
		if q.Part == kerf.HolePart {
			beside = -beside
		}
		c.point(x, (q.ReadMM-q.SizeMM)/unit.MM(), q)
		r.point(x+beside, q.ResidualMM/unit.MM(), q)
	}
}

// point draws a reading, and rings one that does not belong to the others.
func (c chart) point(x, y float64, q kerf.Point) {
	c.mark(x, y, q.Part, q.Face == kerf.Bottom)
	if !q.Outlier {
		return
	}
	c.dc.DrawCircle(c.px(x), c.py(y), 17)
	c.stroke(pen{width: 3, col: ink})
	c.text(c.px(x)-24, c.py(y)+smallType.capHeight()/2, fmt.Sprintf("outlier, line %d", q.Line), strongType, ink, 1)
}
