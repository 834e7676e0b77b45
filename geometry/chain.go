package geometry

import (
	"cmp"
	"slices"
)

// Chain joins open paths end to end to closed contours. Two ends are joined if they
// are no more than gap mm apart, the nearest first, whichever way the paths
// run; where they do not meet exactly, the end of the one is moved to the start of
// the next. A path whose own ends are that near is closed. What does not close comes back in
// open, joined as far as it goes: the ends of each are the places to look at.
//
// A contour runs in the direction of its first path, in the order of the arguments;
// it may cross itself, which Validate tells. Paths of no length are dropped.
func Chain(gap float64, paths ...Path) (closed []Contour, open []Path) {
	c := chainer{gap: gap}
	for _, p := range paths {
		if p.Length() > 0 {
			c.paths = append(c.paths, p)
		}
	}
	c.match()
	used := make([]bool, len(c.paths))
	// Open chains first, from their loose ends; what is left is closed.
	var loose, rings [][]end
	for i := range c.paths {
		for _, e := range [2]end{{i, false}, {i, true}} {
			if !used[i] && !c.joined(e) {
				loose = append(loose, c.follow(e, used))
			}
		}
	}
	for i := range c.paths {
		if !used[i] {
			rings = append(rings, c.follow(end{i, false}, used))
		}
	}
	for _, chain := range loose {
		open = append(open, c.path(chain))
	}
	for _, chain := range rings {
		closed = append(closed, c.contour(chain))
	}
	return closed, open
}

// end is the first or the last point of a path.
type end struct {
	path int
	last bool
}

func (e end) other() end { return end{e.path, !e.last} }

type chainer struct {
	gap     float64
	paths   []Path
	partner map[end]end
}

func (c *chainer) joined(e end) bool {
	_, ok := c.partner[e]
	return ok
}

func (c *chainer) at(e end) Point {
	v := c.paths[e.path].vertices
	if e.last {
		return v[len(v)-1].Point
	}
	return v[0].Point
}

// match pairs ends, the nearest first; every end has one partner at most.
func (c *chainer) match() {
	type pair struct {
		a, b     int
		distance float64
	}
	ends := make([]end, 0, 2*len(c.paths))
	boxes := make([]Box, 0, 2*len(c.paths))
	for i := range c.paths {
		for _, e := range [2]end{{i, false}, {i, true}} {
			ends = append(ends, e)
			boxes = append(boxes, Box{c.at(e), c.at(e)})
		}
	}
	tree := newBoxTree(boxes)
	var pairs []pair
	for i, e := range ends {
		for j := range tree.overlapping(boxes[i].Grow(c.gap)) {
			d := boxes[i].Min.DistanceTo(boxes[j].Min)
			// Its own other end counts if the path goes somewhere in between.
			far := ends[j].path != e.path || c.paths[e.path].Length() > 2*c.gap && c.paths[e.path].closable()
			if j > i && d <= c.gap && far {
				pairs = append(pairs, pair{i, j, d})
			}
		}
	}
	slices.SortFunc(pairs, func(p, q pair) int {
		return cmp.Or(cmp.Compare(p.distance, q.distance), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	c.partner = map[end]end{}
	for _, p := range pairs {
		if a, b := ends[p.a], ends[p.b]; !c.joined(a) && !c.joined(b) {
			c.partner[a], c.partner[b] = b, a
		}
	}
}

// closable reports whether the path has the two segments that a contour needs.
func (p Path) closable() bool { return len(p.vertices) > 2 }

// follow lists the ends at which the paths of a chain are entered.
func (c *chainer) follow(start end, used []bool) []end {
	var chain []end
	for e := start; !used[e.path]; {
		used[e.path] = true
		chain = append(chain, e)
		next, ok := c.partner[e.other()]
		if !ok {
			break
		}
		e = next
	}
	return chain
}

// path joins a chain. Of two ends that meet, the start of the next path stays. It
// runs in the direction of the path that was given first.
func (c *chainer) path(chain []end) Path {
	var vertices []Vertex
	first := chain[0]
	for _, e := range chain {
		p := c.paths[e.path]
		if e.last {
			p = p.Reverse()
		}
		if len(vertices) > 0 {
			vertices = vertices[:len(vertices)-1]
		}
		vertices = append(vertices, p.vertices...)
		if e.path < first.path {
			first = e
		}
	}
	joined := Path{vertices}
	if first.last {
		return joined.Reverse()
	}
	return joined
}

func (c *chainer) contour(chain []end) Contour {
	v := c.path(chain).vertices
	return Contour{v[:len(v)-1]}
}

// Reverse is the same curve travelled from its other end.
func (p Path) Reverse() Path {
	n := len(p.vertices)
	vertices := make([]Vertex, n)
	for i := range vertices {
		vertices[i].Point = p.vertices[n-1-i].Point
		if i+1 < n {
			vertices[i].Bulge = 0 - p.vertices[n-2-i].Bulge
		}
	}
	return Path{vertices}
}
