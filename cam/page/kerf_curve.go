package page

import (
	"fmt"
	"math"

	"traywright/cam/kerf"
	"traywright/geometry/units"
)

// drawCurve shows kerf against density with its band.
func drawCurve(c *kerf.Curve, unit units.Unit) ([]byte, error) {
	p, err := newPlot(900)
	if err != nil {
		return nil, err
	}
	p.text("Kerf against density", 70, 64, 0, 34, true, ink)
	p.text(c.String(), 70, 102, 0, 21, false, softInk)
	least, greatest := c.Range()
	at := func(x float64) kerf.Estimate {
		e, _ := c.At(math.Min(math.Max(x, least), greatest), false)
		return kerf.Estimate{Value: e.Value / per(unit), HalfWidth: e.HalfWidth / per(unit)}
	}
	x, y := newExtent(), newExtent()
	x.add(least, greatest)
	for _, n := range c.Nodes {
		y.add((n.KerfMM.Value-n.KerfMM.HalfWidth)/per(unit), (n.KerfMM.Value+n.KerfMM.HalfWidth)/per(unit))
	}
	for i := range 101 {
		e := at(least + (greatest-least)*float64(i)/100)
		y.add(e.Value-e.HalfWidth, e.Value+e.HalfWidth)
	}
	h := chart{plot: p, left: 170, top: 190, width: 1360, height: 540}
	h.x0, h.x1 = x.padded(0.08)
	h.y0, h.y1 = y.padded(0.15)
	h.axes("apparent density, kg/m³", fmt.Sprintf("kerf, %s", unit), 10, 8)
	h.band(func(x float64) float64 { e := at(x); return e.Value - e.HalfWidth }, func(x float64) float64 { e := at(x); return e.Value + e.HalfWidth }, least, greatest, blue)
	h.line(func(x float64) float64 { return at(x).Value }, least, greatest, 3, blue)
	for _, n := range c.Nodes {
		k, w := n.KerfMM.Value/per(unit), n.KerfMM.HalfWidth/per(unit)
		h.bar(n.DensityKgM3, k-w, k+w, ink)
		h.mark(n.DensityKgM3, k, kerf.HolePart, !n.Weighed, blue)
		p.text(n.Foam, h.px(n.DensityKgM3), h.py(k+w)-14, 0.5, 21, true, ink)
	}
	p.text("Bars: 95 % interval of a measured kerf. Band: that of the curve between them. Hollow: density as named, not weighed.", 70, 840, 0, 21, false, ink)
	p.text("Nothing is drawn where nothing was measured. Another kind of foam has a curve of its own.", 70, 872, 0, 21, false, softInk)
	return p.png()
}

// drawLadder shows the kerf over one setting.
func drawLadder(l kerf.Ladder, unit units.Unit) ([]byte, error) {
	p, err := newPlot(900)
	if err != nil {
		return nil, err
	}
	p.text("Ladder of "+l.Rung, 70, 64, 0, 34, true, ink)
	p.text(fmt.Sprintf("%s, %s, on %s with %s", l.Foam, l.Thickness, l.Machine, l.Tool), 70, 102, 0, 21, false, softInk)
	x, y := newExtent(), newExtent()
	for _, s := range l.Steps {
		x.add(s.Value)
		y.add(s.KerfMM.Value/per(unit), (s.KerfMM.Value-s.KerfMM.HalfWidth)/per(unit), (s.KerfMM.Value+s.KerfMM.HalfWidth)/per(unit))
	}
	h := chart{plot: p, left: 170, top: 190, width: 1360, height: 540}
	h.x0, h.x1 = x.padded(0.1)
	h.y0, h.y1 = y.padded(0.15)
	name := l.Rung
	if l.Unit != "" {
		name += ", " + l.Unit
	}
	h.axes(name, fmt.Sprintf("kerf, %s", unit), 10, 8)
	p.SetColor(softInk)
	p.SetLineWidth(1.5)
	p.SetDash(8, 8)
	for _, s := range l.Steps {
		p.LineTo(h.px(s.Value), h.py(s.KerfMM.Value/per(unit)))
	}
	p.Stroke()
	p.SetDash()
	for _, s := range l.Steps {
		k, w := s.KerfMM.Value/per(unit), s.KerfMM.HalfWidth/per(unit)
		if !math.IsInf(w, 0) {
			h.bar(s.Value, k-w, k+w, ink)
		}
		h.mark(s.Value, k, kerf.HolePart, false, blue)
		p.text(fmt.Sprintf("%d: %s", s.Fit+1, withUnit(s.KerfMM, unit)), h.px(s.Value), h.top+h.height-14, 0.5, 20, false, ink)
	}
	foot := "Bars: 95 % interval. The dashed line only leads the eye. The number before a kerf is its step for --step."
	p.text(foot, 70, 840, 0, 21, false, ink)
	if known := l.Expected(); known != "" {
		p.text("Expected: "+known+".", 70, 872, 0, 21, false, softInk)
	}
	return p.png()
}
