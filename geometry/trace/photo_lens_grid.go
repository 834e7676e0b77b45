package trace

import (
	"cmp"
	"image"
	"math"
	"slices"

	"traywright/geometry"
)

// A lens is measured once, by a photograph of a page of dots in rows and columns:
//
//  1. Each dot is a ring; its middle is known to a small part of a pixel.
//  2. From the dot nearest to the picture's middle each neighbour is where the step before says, and so
//     every dot has its column and row.
//  3. A place seen at r from the middle, in half diagonals, belongs at r (1 + k1 r² + k2 r⁴) (D. Brown, "Close-range
//     camera calibration", Photogrammetric Engineering 37, 1971: the radial terms): k1, k2 and the plane's
//     homography are the least squares of all dots together (C. F. Gauss's method, step by step). How large
//     the page was printed does not matter, nor whether it was stretched one way.

// Lens is how a lens bends lines.
type Lens struct {
	K1, K2 float64
	Noise  float64 // standard deviation of K1 that stands for what is not known of both, everywhere in the picture
	W, H   int     // of the photograph, in pixels
	Camera string  // that took it, and its zoom, by the photograph's own notes; "" where those do not say
	// What it rests on: so many dots, out to so much of the way to the picture's corner, which stray by so much (RMS).
	Dots           int
	Reach          float64
	ResidualPixels float64
}

// What a photograph of the grid has to be like (judged, no source).
const (
	leastDots    = 60
	leastReach   = 0.8
	dotsAlike    = 2.5  // times the middle area, or that part of it
	dotNear      = 0.3  // of a step, from where a neighbour should be
	strayShare   = 0.02 // of a step that dots stray, RMS
	mostUneven   = 0.004
	leastNoise   = 0.0004
	sharedNoise  = 2 // times the noise that dots of their own would have: paper that is not flat moves many at once
	lensPixels   = 8 << 20
	gridLevel    = 0.35
	mostGridDots = 4000
)

// MeasureLens measures the lens that took a photograph of the page of dots. Errors are *PictureError.
//
// Limits: only what is round about the picture's middle is measured; a picture that was cropped, or straightened by the
// camera, says something else than the next one.
func MeasureLens(img image.Image) (*Lens, error) {
	b := img.Bounds()
	light, shrunk := linearOf(img, lensPixels)
	if min(light.w, light.h) < 3*leastCardPixels {
		return nil, refuse("take a larger photograph", "the photograph has %d x %d pixels, too few to measure in", b.Dx(), b.Dy())
	}
	light.soften()
	found, err := light.findPaper()
	if err != nil {
		return nil, err
	}
	dots, err := dotsOf(found.difference(light))
	if err != nil {
		return nil, err
	}
	l, err := lensOf(dots, float64(light.w), float64(light.h))
	if err != nil {
		return nil, err
	}
	l.W, l.H, l.Camera, l.ResidualPixels = b.Dx(), b.Dy(), takenBy(img), l.ResidualPixels*float64(shrunk)
	return l, nil
}

// lensOf is the lens by the dots of a picture so wide and high.
func lensOf(dots []geometry.Point, w, h float64) (*Lens, error) {
	middle := geometry.Point{X: w / 2, Y: h / 2}
	for i, p := range dots {
		dots[i] = p.Sub(middle).Scale(1 / middle.Norm())
	}
	f := gridFit{grid: indexed(dots)}
	if len(f.grid) < leastDots {
		return nil, refuse("print the page of `traywright measure --sheet`, lay it flat, and photograph it from straight above so that it fills the picture",
			"only %d dots in rows and columns are found, and %d are needed", len(f.grid), leastDots)
	}
	l := &Lens{Dots: len(f.grid)}
	for _, d := range f.grid {
		l.Reach = max(l.Reach, d.at.Norm())
	}
	stray, ok := f.solve()
	uneven := f.uneven(stray)
	const flat = "lay it on a flat table under a sheet of glass, or glue it to a board; photograph it sharp, from straight above"
	switch {
	case l.Reach < leastReach:
		return nil, refuse("go nearer, so that dots are seen in the corners", "the dots reach only %.0f %% of the way to the picture's corners, and %.0f %% are needed", 100*l.Reach, 100*leastReach)
	case !ok || stray > strayShare*f.step():
		return nil, refuse(flat, "the dots stray by %.2f %% of their distance: the page is not flat, or not sharp", 100*stray/f.step())
	case uneven > mostUneven:
		return nil, refuse(flat, "the page is not flat: its dots are moved by more one way than across it, which may pass for a lens that moves the picture's corners by %.1f %%, and %.1f %% is allowed",
			100*lensSure*uneven, 100*lensSure*mostUneven)
	}
	l.K1, l.K2, l.ResidualPixels = f.h[8], f.h[9], stray*middle.Norm()
	l.Noise = max(math.Hypot(sharedNoise*f.noise(stray), uneven), leastNoise)
	return l, nil
}

// dotsOf are the middles of the dots of a picture.
func dotsOf(g grid) (dots []geometry.Point, err error) {
	rings, _, err := contours(g, gridLevel, true, smallestSpeck)
	if err != nil {
		return nil, errGrainy
	}
	rings = slices.DeleteFunc(rings, func(r ring) bool {
		b := boundsOf([]ring{r})
		return r.area() <= 0 || g.touches(r) || max(b.Width(), b.Height()) > 2*min(b.Width(), b.Height())
	})
	if len(rings) == 0 || len(rings) > mostGridDots {
		return nil, refuse("photograph the page of `traywright measure --sheet` so that it fills the picture", "%d things could be dots of the grid", len(rings))
	}
	areas := make([]float64, len(rings))
	for i, r := range rings {
		areas[i] = r.area()
	}
	usual := middleOf(areas)
	for i, r := range rings {
		if areas[i] < usual*dotsAlike && areas[i] > usual/dotsAlike {
			dots = append(dots, r.centroid())
		}
	}
	return dots, nil
}

// centroid is the middle of the area that a ring goes around.
func (r ring) centroid() (c geometry.Point) {
	sum := 0.0
	for i, a := range r {
		b := r[(i+1)%len(r)]
		w := a.Sub(r[0]).Cross(b.Sub(r[0]))
		c, sum = c.Add(a.Sub(r[0]).Add(b.Sub(r[0])).Scale(w/3)), sum+w
	}
	return r[0].Add(c.Scale(1 / sum))
}

// gridDot is a dot with its column and row, which count from one near the picture's middle.
type gridDot struct {
	at   geometry.Point
	x, y int
}

// nearest is the dot nearest to a place.
func nearest(dots []geometry.Point, p geometry.Point) (best int) {
	for i, q := range dots {
		if p.DistanceTo(q) < p.DistanceTo(dots[best]) {
			best = i
		}
	}
	return best
}

// visit is a dot on the way through the grid, and the steps from it to the next column and row.
type visit struct {
	gridDot
	dot  int
	u, v geometry.Point
}

// begin is the dot nearest to the picture's middle, and the steps to its neighbours.
func begin(dots []geometry.Point) visit {
	first := nearest(dots, geometry.Point{})
	around := slices.Clone(dots)
	slices.SortStableFunc(around, func(a, b geometry.Point) int {
		return cmp.Compare(a.DistanceTo(dots[first]), b.DistanceTo(dots[first]))
	})
	b := visit{gridDot: gridDot{at: dots[first]}, dot: first, u: around[1].Sub(dots[first])}
	for _, q := range around[2:5] {
		if w := q.Sub(dots[first]); math.Abs(b.u.Cross(w)) > math.Abs(b.u.Cross(b.v)) {
			b.v = w
		}
	}
	return b
}

// indexed gives each dot its column and row, as far as steps lead from one to the next.
func indexed(dots []geometry.Point) (list []gridDot) {
	if len(dots) < leastDots {
		return nil
	}
	first := begin(dots)
	taken := map[int]bool{first.dot: true}
	for queue := []visit{first}; len(queue) > 0; queue = queue[1:] {
		q := queue[0]
		list = append(list, q.gridDot)
		for _, way := range [4][2]int{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
			step := q.u.Scale(float64(way[0])).Add(q.v.Scale(float64(way[1])))
			next := nearest(dots, q.at.Add(step))
			if taken[next] || dots[next].DistanceTo(q.at.Add(step)) > dotNear*step.Norm() {
				continue
			}
			taken[next] = true
			to := visit{gridDot{dots[next], q.x + way[0], q.y + way[1]}, next, q.u, q.v}
			if moved := dots[next].Sub(q.at).Scale(float64(way[0] + way[1])); way[0] != 0 {
				to.u = moved
			} else {
				to.v = moved
			}
			queue = append(queue, to)
		}
	}
	return list
}
