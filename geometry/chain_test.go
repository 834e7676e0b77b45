package geometry

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestChain(t *testing.T) {
	line := func(x1, y1, x2, y2 float64) Path {
		return NewPath(Vertex{Point{x1, y1}, 0}, Vertex{Point{x2, y2}, 0})
	}
	arc := NewPath(Vertex{Point{10, 0}, 1}, Vertex{Point{10, 4}, 0})
	for _, c := range []struct {
		name         string
		gap          float64
		paths        []Path
		closed, open int
		area         float64
	}{
		{"nothing", 1, nil, 0, 0, 0},
		{"a slot's half", 1e-6, []Path{line(0, 0, 10, 0), arc, line(0, 4, 10, 4), line(0, 4, 0, 0)}, 1, 0, 46.2831853},
		{"small gaps", 0.1, []Path{line(0, 0, 9.95, 0), arc, line(0, 4, 9.95, 4), line(0, 3.95, 0, 0)}, 1, 0, 46.2831853},
		{"too large a gap", 0.01, []Path{line(0, 0, 9.95, 0), arc, line(0, 4, 10, 4), line(0, 4, 0, 0)}, 0, 1, 0},
		{"two open lines", 0.1, []Path{line(0, 0, 1, 0), line(5, 5, 6, 6)}, 0, 2, 0},
		{"lines there and back", 0.1, []Path{line(0, 0, 1, 0), line(1, 0, 0, 0)}, 1, 0, 0},
		{"a path of its own", 0.1, []Path{NewPath(Vertex{Point{}, 1}, Vertex{Point{2, 0}, 1}, Vertex{Point{}, 0})}, 1, 0, 3.14159265},
		{"a short line", 0.1, []Path{line(0, 0, 0.05, 0)}, 0, 1, 0},
		{"a point", 0.1, []Path{line(1, 1, 1, 1), {}}, 0, 0, 0},
	} {
		closed, open := Chain(c.gap, c.paths...)
		assert.Len(t, closed, c.closed, c.name)
		assert.Len(t, open, c.open, c.name)
		for _, contour := range closed {
			assert.InDelta(t, c.area, contour.Area(), 0.6*c.gap*c.gap+10*c.gap, c.name)
		}
	}
}

func TestChainPutsAnythingTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Rectangle(box(0, 0, 40, 30), 5)
		var pieces []Path
		for s := range c.Segments() {
			p := NewPath(Vertex{s.A, s.Bulge}, Vertex{s.B, 0})
			if rapid.Bool().Draw(t, "turned") {
				p = p.Reverse()
			}
			pieces = append(pieces, p)
		}
		closed, open := Chain(1e-6, rapid.Permutation(pieces).Draw(t, "order")...)
		require.Empty(t, open)
		require.Len(t, closed, 1)
		area := closed[0].Area()
		if area < 0 {
			area = -area
		}
		assert.InDelta(t, c.Area(), area, 1e-9)
		assert.InDelta(t, c.Length(), closed[0].Length(), 1e-9)
	})
}
