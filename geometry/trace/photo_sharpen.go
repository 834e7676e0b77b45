package trace

import (
	"math"
	"slices"

	"traywright/geometry"
)

// sharpenQuad goes over the sides of a quadrilateral in the picture itself.
func (g grid) sharpenQuad(q [4]geometry.Point) (_ [4]geometry.Point, edges [4][]geometry.Point, blur float64, ok bool) {
	reach := min(max(1.5*shortest(q)/cardWidthMM, 4), 14)
	for range 2 {
		var lines [4]side
		var widths []float64
		for k := range 4 {
			a, b := q[k], q[(k+1)%4]
			points, wide := g.across(a, b, reach)
			if lines[k], edges[k], ok = steadyLine(points); !ok {
				return q, edges, 0, false
			}
			widths = append(widths, wide...)
		}
		if q, ok = meetAll(lines); !ok {
			return q, edges, 0, false
		}
		slices.Sort(widths)
		blur = widths[len(widths)/2]
	}
	return q, edges, blur, true
}

// leastContrast is the least difference of a card from its paper that an edge is found
// by.
const leastContrast = 0.06

// across finds the edge at many places of the line from a to b, ink on its left, within
// reach pixels of it; and how wide the edge is at each.
func (g grid) across(a, b geometry.Point, reach float64) (points []geometry.Point, widths []float64) {
	length := a.DistanceTo(b)
	along := b.Sub(a).Scale(1 / length)
	n := int(length)
	const step = 0.25
	count := int(2*reach/step) + 1
	profile := make([]float64, count)
	for i := range n {
		u := cornerShare + (1-2*cornerShare)*(float64(i)+0.5)/float64(n)
		p := a.Add(along.Scale(u * length))
		for k := range profile {
			profile[k] = g.near(p.Add(along.Left().Scale(float64(k)*step - reach)))
		}
		at, width, ok := edgeIn(profile)
		if !ok {
			continue
		}
		points = append(points, p.Add(along.Left().Scale(at*step-reach)))
		widths = append(widths, width*step)
	}
	return points, widths
}

// edgeIn is where a profile rises through the middle between its ends, the
// crossing nearest to the middle of the profile, and how many steps lie between a
// tenth and nine tenths of the rise.
func edgeIn(profile []float64) (at, width float64, ok bool) {
	n := len(profile)
	end := max(n/6, 2)
	outside, inside := middleOf(profile[:end]), middleOf(profile[n-end:])
	rise := inside - outside
	if rise < leastContrast {
		return 0, 0, false
	}
	best := math.Inf(1)
	half := outside + rise/2
	for k := 1; k < n; k++ {
		if profile[k-1] < half && profile[k] >= half {
			x := float64(k-1) + (half-profile[k-1])/(profile[k]-profile[k-1])
			if d := math.Abs(x - float64(n-1)/2); d < best {
				best, at, ok = d, x, true
			}
		}
	}
	low, high := at, at
	for low > 0 && profile[int(low)] > outside+0.1*rise {
		low--
	}
	for high < float64(n-1) && profile[int(high)] < inside-0.1*rise {
		high++
	}
	return at, high - low, ok
}

func middleOf(v []float64) float64 {
	sorted := slices.Clone(v)
	slices.Sort(sorted)
	return sorted[len(sorted)/2]
}

// near is the value at a place in the picture, between pixels in proportion.
func (g grid) near(p geometry.Point) float64 {
	x, y := p.X-0.5, float64(g.h)-p.Y-0.5
	x, y = min(max(x, 0), float64(g.w-1)), min(max(y, 0), float64(g.h-1))
	i, j := int(x), int(y)
	u, v := x-float64(i), y-float64(j)
	k, l := min(i+1, g.w-1), min(j+1, g.h-1)
	at := func(i, j int) float64 { return float64(g.v[j*g.w+i]) }
	return (1-v)*((1-u)*at(i, j)+u*at(k, j)) + v*((1-u)*at(i, l)+u*at(k, l))
}
