package page

import (
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
	var list []PictureFile
	add := func(name string, number int, data []byte, err error) error {
		list = append(list, PictureFile{fmt.Sprintf("%s-%d.png", name, number), data})
		return err
	}
	for i, f := range fits {
		data, err := drawFit(f, unit)
		if err := add("fit", i+1, data, err); err != nil {
			return nil, err
		}
	}
	for i, c := range kerf.Curves(fits) {
		data, err := drawCurve(c, unit)
		if err := add("density", i+1, data, err); err != nil {
			return nil, err
		}
	}
	for i, l := range kerf.Ladders(fits) {
		data, err := drawLadder(l, unit)
		if err := add("ladder", i+1, data, err); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// per is how many mm the unit is, and its name.
func per(u units.Unit) float64 {
	if u == units.Inch {
		return 25.4
	}
	return 1
}

// withUnit is an estimate as a person reads it.
func withUnit(e kerf.Estimate, u units.Unit) string {
	if math.IsInf(e.HalfWidth, 0) {
		return fmt.Sprintf("%.3f %s, no interval", e.Value/per(u), u)
	}
	digits := e.Decimals(per(u))
	return fmt.Sprintf("%.*f ± %.*f %s", digits, e.Value/per(u), digits, e.HalfWidth/per(u), u)
}

// drawFit shows each axis in a column: above what was read less the square's
// size, so that a kerf is a height and a scale error a slope; below what the
// lines leave over.
func drawFit(f kerf.Fit, unit units.Unit) ([]byte, error) {
	p, err := newPlot(1130)
	if err != nil {
		return nil, err
	}
	p.text("Kerf and scale: "+f.Subject.Foam+", "+f.Thickness.Format(unit), 70, 64, 0, 34, true, ink)
	p.text(f.Subject.String(), 70, 102, 0, 21, false, softInk)
	both, left := newExtent(), newExtent()
	for _, a := range f.Axes {
		for _, q := range a.Points {
			both.add((q.ReadMM - q.SizeMM) / per(unit))
			left.add(q.ResidualMM/per(unit), -q.ResidualMM/per(unit))
		}
	}
	both.add(0)
	room := 1460.0
	width := room/float64(len(f.Axes)) - 110
	for i, a := range f.Axes {
		x := 150 + float64(i)*(width+130)
		drawAxis(p, a, unit, x, width, both, left)
	}
	y := 1054.0
	p.text("Kerf "+withUnit(f.KerfMM, unit)+fmt.Sprintf(" (95 %%, Student's t, %d readings)", f.Readings()), 70, y, 0, 26, true, ink)
	kerfLegend(p, f, y+40)
	return p.png()
}

// kerfLegend says what the marks are.
func kerfLegend(p *plot, f kerf.Fit, y float64) {
	c := chart{plot: p, x1: 1, y1: 1, width: 1, height: 1}
	x := 80.0
	say := func(part kerf.Part, hollow bool, text string) {
		c.left, c.top = x, y-8
		col := blue
		if part == kerf.PlugPart {
			col = orange
		}
		c.mark(0, 1, part, hollow, col)
		p.text(text, x+18, y, 0, 21, false, ink)
		w, _ := p.MeasureString(text)
		x += w + 60
	}
	if f.TopMM == nil {
		say(kerf.HolePart, false, "hole")
		say(kerf.PlugPart, false, "piece that came out")
	} else {
		say(kerf.HolePart, false, "hole, top")
		say(kerf.HolePart, true, "hole, bottom")
		say(kerf.PlugPart, false, "piece, top")
		say(kerf.PlugPart, true, "piece, bottom")
	}
	p.text("lines: size × scale ± kerf", x+10, y, 0, 21, false, softInk)
}

func drawAxis(p *plot, a kerf.AxisFit, unit units.Unit, left, width float64, both, rest extent) {
	sizes := newExtent()
	for _, q := range a.Points {
		sizes.add(q.SizeMM / per(unit))
	}
	sizes.add(0)
	c := chart{plot: p, left: left, top: 210, width: width, height: 420}
	c.x0, c.x1 = 0, sizes.high*1.06
	c.y0, c.y1 = both.padded(0.12)
	p.text("Along "+string(a.Axis), left, 160, 0, 26, true, ink)
	scale := fmt.Sprintf("scale %.5f", a.Scale.Value)
	if !math.IsInf(a.Scale.HalfWidth, 0) {
		scale += fmt.Sprintf(" ± %.5f", a.Scale.HalfWidth)
	}
	p.text(scale+", kerf "+withUnit(a.KerfMM, unit), left+width, 160, 1, 21, false, ink)
	c.axes(fmt.Sprintf("programmed size, %s", unit), fmt.Sprintf("read less programmed size, %s", unit), 6, 8)
	p.SetLineWidth(2)
	c.rule(c.left, c.py(0), c.left+width, c.py(0), softInk)
	kerfs := []kerf.Estimate{a.KerfMM}
	if a.TopMM != nil {
		kerfs = []kerf.Estimate{*a.TopMM, *a.BottomMM}
	}
	for _, k := range kerfs {
		k := k.Value / per(unit)
		c.line(func(x float64) float64 { return (a.Scale.Value-1)*x + k }, 0, c.x1, 2.5, blue)
		c.line(func(x float64) float64 { return (a.Scale.Value-1)*x - k }, 0, c.x1, 2.5, orange)
	}
	r := chart{plot: p, left: left, top: 760, width: width, height: 190, x0: c.x0, x1: c.x1}
	r.y0, r.y1 = rest.padded(0.25)
	r.axes(fmt.Sprintf("programmed size, %s", unit), fmt.Sprintf("off its line, %s", unit), 6, 4)
	p.SetLineWidth(2)
	r.rule(r.left, r.py(0), r.left+width, r.py(0), softInk)
	for _, q := range a.Points {
		col := blue
		if q.Part == kerf.PlugPart {
			col = orange
		}
		x, y := q.SizeMM/per(unit), (q.ReadMM-q.SizeMM)/per(unit)
		c.mark(x, y, q.Part, q.Face == kerf.Bottom, col)
		beside := x + (c.x1-c.x0)/90 // so that hole and piece do not hide each other
		if q.Part == kerf.HolePart {
			beside = x - (c.x1-c.x0)/90
		}
		r.mark(beside, q.ResidualMM/per(unit), q.Part, q.Face == kerf.Bottom, col)
		if q.Outlier {
			c.outlier(x, y, q.Line)
			r.outlier(beside, q.ResidualMM/per(unit), q.Line)
		}
	}
}

// outlier rings a reading that does not belong to the others.
func (c chart) outlier(x, y float64, line int) {
	c.SetColor(vermillion)
	c.SetLineWidth(3)
	c.DrawCircle(c.px(x), c.py(y), 17)
	c.Stroke()
	c.text(fmt.Sprintf("outlier, line %d", line), c.px(x)-24, c.py(y)+7, 1, 20, true, vermillion)
}
