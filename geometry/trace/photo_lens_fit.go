package trace

import (
	"math"

	"traywright/geometry"
)

// A page that is not flat moves each dot towards the picture's middle or away from it as well, in proportion to its height. Paper
// bends one way at a time (it is developable: where it bends along one line it is straight along another), so what of that
// looks like a lens, the same all around, goes with as much that does not: terms of two and of four waves around the middle, and
// of the third order, are fitted beside k1 and k2, and their size is how far off those may be.

// gridFit is the homography from columns and rows to the straightened picture, in half diagonals, k1, k2, and the page's shape.
type gridFit struct {
	grid    []gridDot
	h       [unknowns]float64
	inverse [unknowns][unknowns]float64 // of the normal equations
}

const (
	unknowns = 20
	shapeAt  = 10 // the first of the page's shape

	cornersLift = 3 // times what is not alike all around may be (judged by pages that were bent by a seed, no source)
)

// shapes of a page at a place: two waves as r² and r⁴, four as r⁴, and the third order.
func shapes(p geometry.Point) [unknowns - shapeAt]float64 {
	x, y := p.X, p.Y
	r, two, twist := x*x+y*y, x*x-y*y, 2*x*y
	return [...]float64{two, twist, r * two, r * twist, two*two - twist*twist, 2 * two * twist, x * x * x, x * x * y, x * y * y, y * y * y}
}

// uneven is how far off, as a standard deviation of k1 that stands for both, the page's shape may make them: lengths along r
// change by 3 k1 r² + 5 k2 r⁴. Where all corners lift at once, more of it is alike all around. What the dots' own noise
// makes of a flat page is taken off.
func (f *gridFit) uneven(stray float64) float64 {
	size := func(k int) float64 {
		noise := stray / math.Sqrt2 * math.Sqrt(max(f.inverse[k][k], f.inverse[k+1][k+1], 0))
		return max(math.Hypot(f.h[k], f.h[k+1])-noise, 0)
	}
	return cornersLift * (size(shapeAt) + 5./3*(size(shapeAt+2)+size(shapeAt+4))) / lensSure
}

const gridScale = 10 // columns and rows to a unit, so that the equations are even

// residual is how far a dot is from its place, and how that changes with each unknown.
func (f *gridFit) residual(d gridDot) (off [2]float64, by [2][unknowns]float64) {
	x, y := float64(d.x)/gridScale, float64(d.y)/gridScale
	w := f.h[6]*x + f.h[7]*y + 1
	r := d.at.Dot(d.at)
	k := 1 + f.h[8]*r + f.h[9]*r*r
	page := shapes(d.at)
	for j, v := range page {
		k += f.h[shapeAt+j] * v
	}
	for axis, at := range [2]float64{d.at.X, d.at.Y} {
		to := (f.h[3*axis]*x + f.h[3*axis+1]*y + f.h[3*axis+2]) / w
		off[axis] = at*k - to
		by[axis][3*axis], by[axis][3*axis+1], by[axis][3*axis+2] = -x/w, -y/w, -1/w
		by[axis][6], by[axis][7] = to*x/w, to*y/w
		by[axis][8], by[axis][9] = at*r, at*r*r
		for j, v := range page {
			by[axis][shapeAt+j] = at * v
		}
	}
	return off, by
}

// solve finds the least squares, and how far the dots stray (RMS). What strays by four times that is left out.
func (f *gridFit) solve() (stray float64, ok bool) {
	f.start()
	for round := range 20 {
		m := normalEquations()
		sum, n := 0.0, 0
		for _, d := range f.grid {
			off, by := f.residual(d)
			distance := math.Hypot(off[0], off[1])
			if round > 8 && distance > 4*stray {
				continue
			}
			sum, n = sum+distance*distance, n+1
			for axis := range 2 {
				for r := range unknowns {
					for c := range unknowns {
						m[r][c] += by[axis][r] * by[axis][c]
					}
					m[r][unknowns] -= by[axis][r] * off[axis]
				}
			}
		}
		stray = math.Sqrt(sum / float64(max(n, 1)))
		if !eliminate(m) || n < leastDots {
			return stray, false
		}
		for k := range f.h {
			f.h[k] += m[k][unknowns]
			copy(f.inverse[k][:], m[k][unknowns+1:])
		}
	}
	return stray, !math.IsNaN(stray)
}

// normalEquations are of nothing yet, each with its right side and its row of the unit matrix, which becomes the inverse.
func normalEquations() [][]float64 {
	m := make([][]float64, unknowns)
	for r := range m {
		m[r] = make([]float64, 2*unknowns+1)
		m[r][unknowns+1+r] = 1
	}
	return m
}

// start is an affine plane through the first dot and those that it led to.
func (f *gridFit) start() {
	first := f.grid[0]
	f.h[2], f.h[5] = first.at.X, first.at.Y
	for _, d := range f.grid {
		switch {
		case d.x == 1 && d.y == 0:
			f.h[0], f.h[3] = gridScale*(d.at.X-first.at.X), gridScale*(d.at.Y-first.at.Y)
		case d.x == 0 && d.y == 1:
			f.h[1], f.h[4] = gridScale*(d.at.X-first.at.X), gridScale*(d.at.Y-first.at.Y)
		}
	}
}

// step is the distance of two dots in the picture's middle.
func (f *gridFit) step() float64 {
	return math.Sqrt(math.Abs(f.h[0]*f.h[4]-f.h[1]*f.h[3])) / gridScale
}

// noise is the standard deviation of k1 that stands for that of both: 3 k1 r² + 5 k2 r⁴ is what lengths along r change
// by.
func (f *gridFit) noise(stray float64) (worst float64) {
	for r := 0.1; r <= 1; r += 0.1 {
		a, b := 3*r*r, 5*r*r*r*r
		variance := a*a*f.inverse[8][8] + 2*a*b*f.inverse[8][9] + b*b*f.inverse[9][9]
		worst = max(worst, stray/math.Sqrt2*math.Sqrt(max(variance, 0))/a)
	}
	return worst
}
