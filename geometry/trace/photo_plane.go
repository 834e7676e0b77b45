package trace

import (
	"math"

	"traywright/geometry"
)

// homography maps the plane of the paper, in mm, to the picture, in pixels: row by
// row, (x, y, w) = H (X, Y, 1).
type homography [9]float64

func (h homography) apply(p geometry.Point) geometry.Point {
	w := h[6]*p.X + h[7]*p.Y + h[8]
	return geometry.Point{X: (h[0]*p.X + h[1]*p.Y + h[2]) / w, Y: (h[3]*p.X + h[4]*p.Y + h[5]) / w}
}

// scale is the pixels of a mm around p, the root of the areas' ratio.
func (h homography) scale(p geometry.Point) float64 {
	const d = 0.5
	o := h.apply(p)
	x, y := h.apply(p.Add(geometry.Point{X: d})).Sub(o), h.apply(p.Add(geometry.Point{Y: d})).Sub(o)
	return math.Sqrt(math.Abs(x.Cross(y))) / d
}

// homographyOf takes four points to four others, no three of either on a line.
func homographyOf(from, to [4]geometry.Point) (h homography, ok bool) {
	var m [][]float64
	for i := range 4 {
		p, q := from[i], to[i]
		m = append(m, []float64{p.X, p.Y, 1, 0, 0, 0, -q.X * p.X, -q.X * p.Y, q.X}, []float64{0, 0, 0, p.X, p.Y, 1, -q.Y * p.X, -q.Y * p.Y, q.Y})
	}
	if !eliminate(m) {
		return h, false
	}
	for i := range 8 {
		h[i] = m[i][8]
	}
	h[8] = 1
	return h, true
}

// eliminate solves as many equations as there are rows, by Gauss and Jordan, each pivot the largest of its column in
// proportion to its row. Each further column is a right side, and holds the answer to it afterwards.
func eliminate(m [][]float64) bool {
	n := len(m)
	for r := range m {
		largest := 0.0
		for _, v := range m[r][:n] {
			largest = max(largest, math.Abs(v))
		}
		if largest == 0 {
			return false
		}
		for c := range m[r] {
			m[r][c] /= largest
		}
	}
	for c := range n {
		p := c
		for r := c + 1; r < n; r++ {
			if math.Abs(m[r][c]) > math.Abs(m[p][c]) {
				p = r
			}
		}
		m[c], m[p] = m[p], m[c]
		if !(math.Abs(m[c][c]) >= 1e-13) {
			return false
		}
		for r := range n {
			k := m[r][c] / m[c][c]
			for j := c; r != c && j < len(m[r]); j++ {
				m[r][j] -= k * m[c][j]
			}
		}
	}
	for r := range n {
		for c := n; c < len(m[r]); c++ {
			m[r][c] /= m[r][r]
		}
	}
	return true
}

// camera is a pinhole with square pixels that looks through the middle of the
// picture: what every camera is, but for its lens's distortion.
type camera struct {
	focal  float64        // in pixels
	foot   geometry.Point // the place on the paper under the lens, in mm
	height float64        // of the lens above the paper in mm
	tilt   float64        // between the line of sight and the paper's normal, in radians
	misfit float64        // how far from a rectangle of the card's shape the view is: a share of a side
}

// view is the camera with a focal length that would see the plane as h does, whose
// pixels count from the middle of the picture. With K the camera's matrix, the
// columns of K⁻¹H are two unit vectors at right angles and the paper's origin, all
// by one factor (Z. Zhang, "A flexible new technique for camera calibration", IEEE
// Transactions on Pattern Analysis and Machine Intelligence 22, 2000); misfit is how far
// they are from that.
func view(h homography, focal float64) camera {
	a := vector{h[0] / focal, h[3] / focal, h[6]}
	b := vector{h[1] / focal, h[4] / focal, h[7]}
	t := vector{h[2] / focal, h[5] / focal, h[8]}
	aa, bb, ab := a.dot(a), b.dot(b), a.dot(b)
	c := camera{focal: focal, misfit: math.Hypot(aa-bb, 2*ab) / (aa + bb)}
	k := 1 / math.Sqrt((aa+bb)/2)
	a, b, t = a.times(k), b.times(k), t.times(k)
	n := a.cross(b)
	c.foot = geometry.Point{X: -a.dot(t), Y: -b.dot(t)}
	c.height = math.Abs(n.dot(t))
	c.tilt = math.Acos(min(math.Abs(n[2])/math.Sqrt(n.dot(n)), 1))
	return c
}

type vector [3]float64

func (v vector) dot(u vector) float64   { return v[0]*u[0] + v[1]*u[1] + v[2]*u[2] }
func (v vector) times(k float64) vector { return vector{v[0] * k, v[1] * k, v[2] * k} }
func (v vector) cross(u vector) vector {
	return vector{v[1]*u[2] - v[2]*u[1], v[2]*u[0] - v[0]*u[2], v[0]*u[1] - v[1]*u[0]}
}

// Focal lengths that are looked through, in widths of the picture: from a very wide
// lens to a long one.
const (
	shortestFocal = 0.3
	longestFocal  = 12
)

// bestView is the camera that fits the view best. Seen straight from above, every
// focal length fits equally well.
func bestView(h homography, width float64) camera {
	const steps = 60
	best := view(h, width)
	span := math.Log(longestFocal / shortestFocal)
	for i := range steps + 1 {
		if c := view(h, width*shortestFocal*math.Exp(span*float64(i)/steps)); c.misfit < best.misfit {
			best = c
		}
	}
	for step := span / steps; step > 1e-6; step /= 2 {
		for _, k := range []float64{math.Exp(step), math.Exp(-step)} {
			f := min(max(best.focal*k, width*shortestFocal), width*longestFocal)
			if c := view(h, f); c.misfit < best.misfit {
				best = c
			}
		}
	}
	return best
}

// viewFrom is the camera whose lens is at a height above the paper: the one of the
// shortest focal length, for a camera that leans much would be low again with a far longer one.
func viewFrom(h homography, width, height float64) camera {
	low := width * shortestFocal / 4
	high := low
	for high < width*longestFocal*4 && view(h, high).height < height {
		low, high = high, 1.1*high
	}
	for range 60 {
		middle := math.Sqrt(low * high)
		if view(h, middle).height < height {
			low = middle
		} else {
			high = middle
		}
	}
	return view(h, low)
}
