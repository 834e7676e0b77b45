package process

import "traywright/geometry"

// orderPaths is the order and direction in which to draw open paths for a short
// way between them. Paths of no length are left out.
func orderPaths(home geometry.Point, paths []geometry.Path) []geometry.Path {
	var list []geometry.Path
	var middles []geometry.Point
	for _, p := range paths {
		if p.Length() > 0 {
			box := p.Bounds()
			list, middles = append(list, p), append(middles, box.Min.Add(box.Max).Scale(0.5))
		}
	}
	ordered := make([]geometry.Path, 0, len(list))
	for _, i := range tour(home, middles) {
		p, last := list[i], list[i].Vertices()
		if home.DistanceTo(last[len(last)-1].Point) < home.DistanceTo(last[0].Point)-tieMM {
			p = reversed(p)
		}
		vertices := p.Vertices()
		home = vertices[len(vertices)-1].Point
		ordered = append(ordered, p)
	}
	return ordered
}

func reversed(p geometry.Path) geometry.Path {
	from := p.Vertices()
	n := len(from)
	to := make([]geometry.Vertex, n)
	for i := range to {
		to[i].Point = from[n-1-i].Point
		if i < n-1 {
			to[i].Bulge = -from[n-2-i].Bulge
		}
	}
	return geometry.NewPath(to...)
}
