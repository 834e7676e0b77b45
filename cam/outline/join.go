package outline

import (
	"fmt"
	"math"
	"slices"

	"traywright/geometry"
)

// chain is a run of lines and arcs with its place in the file. The bulge of
// the last vertex of an open one means nothing.
type chain struct {
	vertices []geometry.Vertex
	closed   bool
	line     int
}

// newChain makes lines and arcs of a piece. What is shorter than a point is
// left out; a piece whose ends meet is closed.
func newChain(p Piece, tol Tolerance) (chain, error) {
	c := chain{line: p.Line}
	var end geometry.Point
	for _, curve := range p.Curves {
		segments, err := segmentsOf(curve, tol.FitMM)
		if err != nil {
			return c, &Error{Line: p.Line, Message: err.Error(), Hint: "simplify the curve, or draw it with lines and arcs"}
		}
		for _, s := range segments {
			if s.Length() > samePointMM {
				c.vertices = append(c.vertices, geometry.Vertex{Point: s.A, Bulge: s.Bulge})
				end = s.B
			}
		}
	}
	if len(c.vertices) == 0 {
		return c, nil
	}
	if !c.onTheTable(end) {
		return c, &Error{Line: p.Line, Message: fmt.Sprintf("a coordinate is beyond %g mm", farthestMM), Hint: "check the drawing's units and scale"}
	}
	meets := end.DistanceTo(c.begin()) <= tol.GapMM && c.reach(end) > tol.GapMM
	c.closed = p.Closed || meets
	if !meets {
		c.vertices = append(c.vertices, geometry.Vertex{Point: end})
	}
	return c, nil
}

// farthestMM is more than any sheet of foam.
const farthestMM = 1e5

func (c chain) onTheTable(end geometry.Point) bool {
	for s := range geometry.NewPath(append(slices.Clip(c.vertices), geometry.Vertex{Point: end})...).Segments() {
		b := s.Bounds()
		if !(max(-b.Min.X, -b.Min.Y, b.Max.X, b.Max.Y) <= farthestMM) {
			return false
		}
	}
	return true
}

// reach is how far the chain, which goes on to end, gets from its beginning. It
// tells a loop from a piece that is no longer than the gap.
func (c chain) reach(end geometry.Point) float64 {
	r := 0.0
	for s := range geometry.NewPath(append(slices.Clip(c.vertices), geometry.Vertex{Point: end})...).Segments() {
		r = max(r, s.A.DistanceTo(c.begin()), s.At(0.5).DistanceTo(c.begin()))
	}
	return r
}

func (c chain) begin() geometry.Point { return c.vertices[0].Point }
func (c chain) end() geometry.Point   { return c.vertices[len(c.vertices)-1].Point }

// reverse is the chain travelled the other way.
func (c chain) reverse() chain {
	out := make([]geometry.Vertex, len(c.vertices))
	for i, v := range c.vertices {
		out[len(out)-1-i].Point = v.Point
		if i > 0 {
			out[len(out)-1-i].Bulge = -c.vertices[i-1].Bulge
		}
	}
	c.vertices = out
	return c
}

// join closes chains end to end. The closed ones stay as they are. The result
// is in the order of the chains that each loop begins with.
func join(chains []chain, gap float64) ([]chain, error) {
	ends := newEnds(chains, gap)
	used := make([]bool, len(chains))
	var loops []chain
	for i, c := range chains {
		if used[i] {
			continue
		}
		used[i] = true
		for !c.closed {
			next, err := ends.next(c, used)
			if err != nil {
				return nil, err
			}
			if next.chain < 0 {
				break
			}
			c.append(chains[next.chain], next.atEnd)
			used[next.chain] = true
			if c.end().DistanceTo(c.begin()) <= gap {
				c.close()
			}
		}
		if !c.closed {
			return nil, open(c, chains, used)
		}
		loops = append(loops, c)
	}
	return loops, nil
}

// append joins a chain behind c; flipped says that it is met at its end. The
// joint is where the new one begins.
func (c *chain) append(next chain, flipped bool) {
	if flipped {
		next = next.reverse()
	}
	last := len(c.vertices) - 1
	c.vertices = append(c.vertices[:last:last], next.vertices...)
}

// close drops the last vertex, which is the first again.
func (c *chain) close() {
	c.closed = true
	c.vertices = c.vertices[:len(c.vertices)-1]
}

// end of an open chain.
type end struct {
	at    geometry.Point
	chain int
	atEnd bool // the chain's last point, not its first
}

// ends finds the ends near a point, in a grid of cells as wide as the gap.
type ends struct {
	gap, cell float64
	cells     map[[2]int64][]end
}

func newEnds(chains []chain, gap float64) ends {
	e := ends{gap: gap, cell: max(gap, samePointMM), cells: map[[2]int64][]end{}}
	for i, c := range chains {
		if !c.closed {
			e.add(end{c.begin(), i, false})
			e.add(end{c.end(), i, true})
		}
	}
	return e
}

func (e ends) key(p geometry.Point) [2]int64 {
	return [2]int64{int64(math.Floor(p.X / e.cell)), int64(math.Floor(p.Y / e.cell))}
}

func (e ends) add(x end) {
	k := e.key(x.at)
	e.cells[k] = append(e.cells[k], x)
}

// near calls found for every end within the gap of p, in a fixed order.
func (e ends) near(p geometry.Point, found func(end)) {
	k := e.key(p)
	for dx := int64(-1); dx <= 1; dx++ {
		for dy := int64(-1); dy <= 1; dy++ {
			for _, x := range e.cells[[2]int64{k[0] + dx, k[1] + dy}] {
				if x.at.DistanceTo(p) <= e.gap {
					found(x)
				}
			}
		}
	}
}

// next is the one end of another chain that c's end meets; chain is -1 without
// one. An end that lies exactly there goes before those that are only near.
func (e ends) next(c chain, used []bool) (end, error) {
	var near, exact []end
	e.near(c.end(), func(x end) {
		switch {
		case used[x.chain]:
		case x.at.DistanceTo(c.end()) <= samePointMM:
			exact = append(exact, x)
		default:
			near = append(near, x)
		}
	})
	meeting := exact
	if len(exact) == 0 {
		meeting = near
	}
	switch len(meeting) {
	case 0:
		return end{chain: -1}, nil
	case 1:
		return meeting[0], nil
	}
	return end{}, &Error{Line: c.line, Message: fmt.Sprintf("%d lines meet%s", len(meeting)+1, place(c.end())),
		Hint: "an outline goes one way only: delete what is drawn twice or leads off"}
}

// open says where a chain does not close.
func open(c chain, chains []chain, used []bool) error {
	at := c.end()
	nearest := c.begin().DistanceTo(at)
	for i, other := range chains {
		if !used[i] && !other.closed {
			nearest = min(nearest, other.begin().DistanceTo(at), other.end().DistanceTo(at))
		}
	}
	return &Error{Line: c.line, Message: fmt.Sprintf("the outline does not close%s, the nearest other end is %.3g mm away", place(at), nearest),
		Hint: "join the ends in the drawing, or delete what is not an outline"}
}
