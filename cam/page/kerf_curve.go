package page

import (
	"fmt"
	"math"

	"traywright/cam/kerf"
	"traywright/geometry/units"
)

// interval is an estimate in a unit, with its ends. One without an interval has none.
func interval(e kerf.Estimate, u units.Unit) (low, middle, high float64) {
	low, middle, high = (e.Value-e.HalfWidth)/u.MM(), e.Value/u.MM(), (e.Value+e.HalfWidth)/u.MM()
	if math.IsInf(e.HalfWidth, 0) {
		return middle, middle, middle
	}
	return low, middle, high
}

// kerf is a range of kerfs in words.
func (s extent) kerf(u units.Unit) string {
	return fmt.Sprintf("kerf %.3f to %.3f %s", s.low, s.high, u)
}

// wide is the chart of a page with one chart.
func (p plot) wide(x, y extent, xRoom float64) chart {
	h := chart{plot: p, left: 170, top: 190, width: 1360, height: 540}
	h.x0, h.x1 = x.padded(xRoom)
	h.y0, h.y1 = y.padded(0.15)
	return h
}

// drawCurve shows kerf against density with its band.
func drawCurve(t *typesetter, c *kerf.Curve, unit units.Unit) plot {
	least, greatest := c.Range()
	at := func(x float64) (low, middle, high float64) {
		e, _ := c.At(math.Min(math.Max(x, least), greatest), false)
		return interval(e, unit)
	}
	x, y, kerfs := newExtent(), newExtent(), newExtent()
	x.add(least, greatest)
	for _, n := range c.Nodes {
		low, k, high := interval(n.KerfMM, unit)
		y.add(low, high)
		kerfs.add(k)
	}
	for i := range 101 {
		low, _, high := at(least + (greatest-least)*float64(i)/100)
		y.add(low, high)
	}
	p := newPlot(t, 900, "Kerf against density", c.String(), kerfs.kerf(unit))
	h := p.wide(x, y, 0.08)
	h.band(func(x float64) float64 { low, _, _ := at(x); return low }, func(x float64) float64 { _, _, high := at(x); return high }, least, greatest, blue)
	h.axes("apparent density, kg/m³", fmt.Sprintf("kerf, %s", unit), 10, 8)
	h.curve(func(x float64) float64 { _, k, _ := at(x); return k }, least, greatest, pen{width: 3, col: blue})
	for _, n := range c.Nodes {
		low, k, high := interval(n.KerfMM, unit)
		h.bar(n.DensityKgM3, low, high)
		h.mark(n.DensityKgM3, k, kerf.HolePart, !n.Weighed)
		p.text(h.px(n.DensityKgM3), h.py(high)-14, n.Foam, strongType, ink, 0.5)
	}
	p.foot("Bars: 95 % interval of a measured kerf. Band: that of the curve between them. Hollow: density as named, not weighed.",
		"Nothing is drawn where nothing was measured. Another kind of foam has a curve of its own.")
	return p
}

// drawLadder shows the kerf over one setting.
func drawLadder(t *typesetter, l kerf.Ladder, unit units.Unit) plot {
	name, x, y, kerfs := l.Rung, newExtent(), newExtent(), newExtent()
	if l.Unit != "" {
		name += ", " + l.Unit
	}
	for _, s := range l.Steps {
		low, k, high := interval(s.KerfMM, unit)
		x.add(s.Value)
		y.add(low, k, high)
		kerfs.add(k)
	}
	p := newPlot(t, 900, "Ladder of "+l.Rung, fmt.Sprintf("%s, %s, on %s with %s", l.Foam, l.Thickness.Format(unit), l.Machine, l.Tool), kerfs.kerf(unit))
	h := p.wide(x, y, 0.1)
	h.axes(name, fmt.Sprintf("kerf, %s", unit), 10, 8)
	for _, s := range l.Steps {
		p.dc.LineTo(h.px(s.Value), h.py(s.KerfMM.Value/unit.MM()))
	}
	p.stroke(pen{width: 1.5, col: softInk, dash: []float64{8, 8}})
	for _, s := range l.Steps {
		low, k, high := interval(s.KerfMM, unit)
		if low < high {
			h.bar(s.Value, low, high)
		}
		h.mark(s.Value, k, kerf.HolePart, false)
		p.text(h.px(s.Value), h.top+h.height-14, fmt.Sprintf("%d: %s", s.Fit+1, s.KerfMM.In(unit)), smallType, ink, 0.5)
	}
	foot := []string{"Bars: 95 % interval. The dashed line only leads the eye. The number before a kerf is its step for --step."}
	if known := l.Expected(); known != "" {
		foot = append(foot, "Expected: "+known+".")
	}
	p.foot(foot...)
	return p
}
