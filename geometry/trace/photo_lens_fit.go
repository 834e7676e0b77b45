package trace

import "math"

// gridFit is the homography from columns and rows to the straightened picture, in half diagonals, and k1, k2.
type gridFit struct {
	grid    []gridDot
	h       [10]float64
	inverse [10][10]float64 // of the normal equations
}

const gridScale = 10 // columns and rows to a unit, so that the equations are even

// residual is how far a dot is from its place, and how that changes with each unknown.
func (f *gridFit) residual(d gridDot) (off [2]float64, by [2][10]float64) {
	x, y := float64(d.x)/gridScale, float64(d.y)/gridScale
	w := f.h[6]*x + f.h[7]*y + 1
	r := d.at.Dot(d.at)
	k := 1 + f.h[8]*r + f.h[9]*r*r
	for axis, at := range [2]float64{d.at.X, d.at.Y} {
		to := (f.h[3*axis]*x + f.h[3*axis+1]*y + f.h[3*axis+2]) / w
		off[axis] = at*k - to
		by[axis][3*axis], by[axis][3*axis+1], by[axis][3*axis+2] = -x/w, -y/w, -1/w
		by[axis][6], by[axis][7] = to*x/w, to*y/w
		by[axis][8], by[axis][9] = at*r, at*r*r
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
				for r := range 10 {
					for c := range 10 {
						m[r][c] += by[axis][r] * by[axis][c]
					}
					m[r][10] -= by[axis][r] * off[axis]
				}
			}
		}
		stray = math.Sqrt(sum / float64(max(n, 1)))
		if !eliminate(m) || n < leastDots {
			return stray, false
		}
		for k := range f.h {
			f.h[k] += m[k][10]
			copy(f.inverse[k][:], m[k][11:])
		}
	}
	return stray, !math.IsNaN(stray)
}

// normalEquations are ten of nothing yet, each with its right side and its row of the unit matrix, which becomes the inverse.
func normalEquations() [][]float64 {
	m := make([][]float64, 10)
	for r := range m {
		m[r] = make([]float64, 21)
		m[r][11+r] = 1
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
