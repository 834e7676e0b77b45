package trace

import (
	"traywright/geometry"
)

// validTolerance is the distance in pixels under which two points of a region are
// one.
const validTolerance = 1e-6

// exactTolerance is that by which they are still apart when the picture has been made as
// large as it is asked for: what overlaps by less than validTolerance may overlap by more then.
const exactTolerance = 1e-9

// regionOf turns rings into a region of lines and arcs, after putting them where place
// says, and within tol of there, but for the corners, which are made sharp again. Rings
// never touch; where two are so near that their lines and arcs do, they are followed
// more closely.
func regionOf(rings []ring, tol float64, place func(geometry.Point) geometry.Point) (geometry.Region, error) {
	for _, sharp := range []bool{true, false} {
		for t := tol; t > tol/5; t /= 2 {
			region, err := fitAll(rings, t, sharp, place)
			if err != nil {
				return geometry.Region{}, err
			}
			if region.Validate(validTolerance) == nil && region.Validate(exactTolerance) == nil {
				return region, nil
			}
		}
	}
	plain := make([]geometry.Contour, len(rings))
	for i, r := range rings {
		plain[i] = geometry.Polygon(r.placed(place)...)
	}
	region := geometry.NewRegion(plain...)
	return region, region.Validate(validTolerance)
}

func fitAll(rings []ring, tol float64, sharp bool, place func(geometry.Point) geometry.Point) (geometry.Region, error) {
	contours := make([]geometry.Contour, 0, len(rings))
	for _, r := range rings {
		c, err := fitRing(r, tol, sharp, place)
		if err != nil {
			return geometry.Region{}, err
		}
		contours = append(contours, c)
	}
	return geometry.NewRegion(contours...), nil
}

// fitRing fits one ring, corner to corner.
func fitRing(r ring, tol float64, sharp bool, place func(geometry.Point) geometry.Point) (geometry.Contour, error) {
	runs := []ring{append(append(ring(nil), r...), r[0])}
	if n := int(r.length() / stepPixels); sharp && n >= shortestRing {
		runs = r.resample(n).runs()
	}
	var vertices []geometry.Vertex
	for _, run := range runs {
		path, err := geometry.FitPoints(run.placed(place), tol)
		if err != nil {
			return geometry.Contour{}, err
		}
		v := path.Vertices()
		if len(v) > 0 {
			vertices = append(vertices, v[:len(v)-1]...)
		}
	}
	return geometry.NewContour(vertices...), nil
}

func (r ring) placed(place func(geometry.Point) geometry.Point) ring {
	out := make(ring, len(r))
	for i, p := range r {
		out[i] = place(p)
	}
	return out
}
