package geometry

import (
	"bufio"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

// corpusLine is one case for the check against GEOS: two regions and what this
// package makes of them. A contour is a list of [x, y, bulge].
type corpusLine struct {
	Case   int            `json:"case"`
	A      [][][3]float64 `json:"a"`
	B      [][][3]float64 `json:"b"`
	D      float64        `json:"d"`
	In     [][][3]float64 `json:"in"`
	Out    [][][3]float64 `json:"out"`
	Union  [][][3]float64 `json:"union"`
	Both   [][][3]float64 `json:"both"`
	Less   [][][3]float64 `json:"less"`
	Traits []string       `json:"traits"`
}

// TestGEOSCorpus writes 10,000 seeded cases with their results to the file named by
// TRAYWRIGHT_GEOS_OUT, for an outside program to check. Without it, it makes the
// first few hundred and only asks that they are valid.
func TestGEOSCorpus(t *testing.T) {
	name := os.Getenv("TRAYWRIGHT_GEOS_OUT")
	if name == "" {
		for i := range 300 {
			corpusCase(t, i)
		}
		return
	}
	f, err := os.Create(name)
	require.NoError(t, err)
	w := bufio.NewWriter(f)
	encoder := json.NewEncoder(w)
	for i := range 10_000 {
		require.NoError(t, encoder.Encode(corpusCase(t, i)))
	}
	require.NoError(t, w.Flush())
	require.NoError(t, f.Close())
}

func corpusCase(t *testing.T, i int) corpusLine {
	g := generator{rand.New(rand.NewPCG(uint64(i), 2007)), nil}
	a, b := g.region(t), g.region(t)
	d := []float64{0.25, 1, 1.5, g.in(0.01, 5)}[g.IntN(4)]
	line := corpusLine{Case: i, A: flat(a), B: flat(b), D: d, Traits: g.traits}
	result := func(r Region, err error) [][][3]float64 {
		require.NoError(t, err, "case %d", i)
		require.NoError(t, r.Validate(tol), "case %d", i)
		return flat(r)
	}
	line.In = result(Offset(a, -d, tol))
	line.Out = result(Offset(a, d, tol))
	line.Union = result(Union(tol, a, b))
	line.Both = result(intersection(a, b, tol))
	line.Less = result(Difference(a, b, tol))
	return line
}

func flat(r Region) [][][3]float64 {
	contours := [][][3]float64{}
	for _, c := range r.contours {
		var list [][3]float64
		for _, v := range c.vertices {
			list = append(list, [3]float64{v.X, v.Y, v.Bulge})
		}
		contours = append(contours, list)
	}
	return contours
}

// generator draws regions with arcs, islands, and contours that nearly touch.
type generator struct {
	*rand.Rand
	traits []string
}

func (g *generator) in(lo, hi float64) float64 { return lo + (hi-lo)*g.Float64() }

func (g *generator) point() Point { return Point{g.in(-15, 15), g.in(-15, 15)} }

// near is a distance of nothing, of less than the tolerance, or of a little more.
func (g *generator) near() float64 {
	size := []float64{0, 0, 1e-12, 1e-9, 4e-7, 3e-6, 1e-4, 0.01}[g.IntN(8)]
	if g.IntN(2) == 0 {
		return -size
	}
	return size
}

// region joins a few shapes, then cuts a few out, then puts an island into a hole.
func (g *generator) region(t *testing.T) Region {
	first := g.shape()
	regions := []Region{NewRegion(first)}
	for range g.IntN(4) {
		if g.IntN(3) == 0 {
			regions = append(regions, NewRegion(g.neighbour(first)))
		} else {
			regions = append(regions, NewRegion(g.shape()))
		}
	}
	r, err := Union(tol, regions...)
	require.NoError(t, err)
	for range g.IntN(3) {
		hole := g.shape()
		cut, err := Difference(r, NewRegion(hole), tol)
		require.NoError(t, err)
		if g.IntN(3) == 0 {
			island, err := Offset(NewRegion(hole), -g.in(0.5, 3), tol)
			require.NoError(t, err)
			cut, err = Union(tol, cut, island)
			require.NoError(t, err)
			g.traits = append(g.traits, "island")
		}
		if !cut.Empty() {
			r = cut
		}
	}
	return r
}

// neighbour is a disc or a box that touches the contour at a place of one of its
// segments, or nearly so, from inside or outside.
func (g *generator) neighbour(c Contour) Contour {
	segments := []Segment{}
	for s := range c.Segments() {
		segments = append(segments, s)
	}
	s := segments[g.IntN(len(segments))]
	t := g.Float64()
	at, out := s.At(t), right(s.Tangent(t))
	if g.IntN(3) == 0 {
		out = out.Scale(-1)
	}
	g.traits = append(g.traits, "near-tangent")
	r := g.in(0.5, 6)
	if g.IntN(2) == 0 {
		return Circle(at.Add(out.Scale(r+g.near())), r)
	}
	turn := math.Atan2(out.Y, out.X)
	b := Rectangle(box(g.near(), -g.in(0, r), r, 2*r), 0)
	return b.Transform(Rotate(turn, Point{})).Transform(Translate(at.X, at.Y))
}

func (g *generator) shape() Contour {
	p := g.point()
	turned := func(c Contour) Contour {
		if g.IntN(2) == 0 {
			return c
		}
		return c.Transform(Rotate(g.in(0, 7), p))
	}
	w, h := g.in(1, 16), g.in(1, 16)
	switch g.IntN(6) {
	case 0:
		return turned(Rectangle(box(p.X, p.Y, w, h), 0))
	case 1:
		return turned(Rectangle(box(p.X, p.Y, w, h), g.in(0.1, 5)))
	case 2:
		return Circle(p, g.in(0.5, 8))
	case 3:
		return Slot(p, g.point(), g.in(0.5, 8))
	case 4:
		return turned(Rectangle(box(math.Round(p.X), math.Round(p.Y), math.Ceil(w), math.Ceil(h)), float64(g.IntN(4))))
	default:
		return g.star(p)
	}
}

// star goes around p through points at random distances, joined by lines and arcs
// that bulge too little to cross each other.
func (g *generator) star(p Point) Contour {
	n := 3 + g.IntN(8)
	vertices := make([]Vertex, n)
	for i := range vertices {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + g.in(0, 0.6)) / float64(n))
		vertices[i].Point = p.Add(Point{cos, sin}.Scale(g.in(2, 9)))
		if n > 4 && g.IntN(2) == 0 {
			vertices[i].Bulge = g.in(-0.15, 0.15)
		}
	}
	c := Contour{vertices}
	if NewRegion(c).Validate(tol) != nil {
		return Circle(p, g.in(1, 5))
	}
	return c
}
