package kerf

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/interp"

	"traywright/geometry/units"
)

// Curve is kerf against density within one kind of foam, on one machine with
// one tool, at one thickness and one setting: nothing else may be compared.
type Curve struct {
	Kind, Machine, Tool string
	Thickness           units.Length
	Setting             Setting
	Nodes               []Node // by density, at least two

	middle interp.FritschButland
}

// Node is a measured point of a curve.
type Node struct {
	DensityKgM3 float64
	Weighed     bool // else it is the profile's nominal density
	KerfMM      Estimate
	Foam        string
}

// Curves are those that the fits make: at least two densities of one kind. Fits
// of one density are joined, each weighed by its interval.
func Curves(fits []Fit) []*Curve {
	var list []*Curve
	for _, f := range fits {
		if math.IsInf(f.KerfMM.HalfWidth, 1) || f.DOF == 0 {
			continue
		}
		i := slices.IndexFunc(list, func(c *Curve) bool {
			return c.Kind == f.Foam.Kind && c.Machine == f.Subject.Machine && c.Tool == f.Tool && c.Thickness == f.Thickness && c.Setting == f.Setting
		})
		if i < 0 {
			i = len(list)
			list = append(list, &Curve{Kind: f.Foam.Kind, Machine: f.Subject.Machine, Tool: f.Tool, Thickness: f.Thickness, Setting: f.Setting})
		}
		list[i].add(f)
	}
	list = slices.DeleteFunc(list, func(c *Curve) bool { return len(c.Nodes) < 2 })
	for _, c := range list {
		c.fit()
	}
	return list
}

func (c *Curve) add(f Fit) {
	n := Node{DensityKgM3: f.DensityKgM3, Weighed: true, KerfMM: f.KerfMM, Foam: f.Subject.Foam}
	if n.DensityKgM3 == 0 {
		n.DensityKgM3, n.Weighed = f.Foam.DensityKgM3.Value, false
	}
	for i := range c.Nodes {
		if old := &c.Nodes[i]; old.DensityKgM3 == n.DensityKgM3 {
			a, b := 1/square(math.Max(old.KerfMM.HalfWidth, 1e-9)), 1/square(math.Max(n.KerfMM.HalfWidth, 1e-9))
			old.KerfMM = Estimate{(a*old.KerfMM.Value + b*n.KerfMM.Value) / (a + b), 1 / math.Sqrt(a+b)}
			return
		}
	}
	c.Nodes = append(c.Nodes, n)
}

// fit lays the curve: a monotone piecewise cubic, F. N. Fritsch and J. Butland,
// "A method for constructing local monotone piecewise cubic interpolants", SIAM
// J. Sci. Stat. Comput. 5 (1984) 300-304, as gonum has it. It goes through every
// point, and between two points it stays between their kerfs: no wave that
// nobody measured.
func (c *Curve) fit() {
	slices.SortFunc(c.Nodes, func(a, b Node) int { return cmp.Compare(a.DensityKgM3, b.DensityKgM3) })
	x, y := make([]float64, len(c.Nodes)), make([]float64, len(c.Nodes))
	for i, n := range c.Nodes {
		x[i], y[i] = n.DensityKgM3, n.KerfMM.Value
	}
	// Two points or more, and no density twice: it has no other error.
	_ = c.middle.Fit(x, y)
}

// Range is the least and the greatest density that was measured.
func (c *Curve) Range() (least, greatest float64) {
	return c.Nodes[0].DensityKgM3, c.Nodes[len(c.Nodes)-1].DensityKgM3
}

// At is the kerf at a density in kg/m3. Its half-width is that of the two
// neighbours, in proportion, and as much more as the curve strays from the
// straight line between them, since both are sensible ways to go.
//
// Beyond the range there is none, unless beyond says otherwise; then the kerf is
// that of the nearest point, and its half-width grows by all that the end's
// slope, or a kerf that goes with one over the density (an energy balance of
// melting, derived to first order), would make of it, whichever is more. Of what
// is no foam's density there is none at all.
func (c *Curve) At(density float64, beyond bool) (kerfMM Estimate, ok bool) {
	if c.holds(density) {
		return c.between(density), true
	}
	if !beyond || !(density >= leastDensity && density <= mostDensity) {
		return Estimate{}, false
	}
	return c.past(density), true
}

// holds reports whether a density is within what was measured.
func (c *Curve) holds(density float64) bool {
	least, greatest := c.Range()
	return density >= least && density <= greatest
}

// between is the kerf at a density within the range.
func (c *Curve) between(density float64) Estimate {
	i, found := slices.BinarySearchFunc(c.Nodes, density, func(n Node, d float64) int { return cmp.Compare(n.DensityKgM3, d) })
	if found {
		return c.Nodes[i].KerfMM
	}
	a, b := c.Nodes[i-1], c.Nodes[i]
	share := (density - a.DensityKgM3) / (b.DensityKgM3 - a.DensityKgM3)
	mix := func(x, y float64) float64 { return x + share*(y-x) }
	value := c.middle.Predict(density)
	straight := mix(a.KerfMM.Value, b.KerfMM.Value)
	return Estimate{value, mix(a.KerfMM.HalfWidth, b.KerfMM.HalfWidth) + math.Abs(value-straight)}
}

// past is the kerf beyond an end.
func (c *Curve) past(density float64) Estimate {
	end := c.Nodes[0]
	if density > end.DensityKgM3 {
		end = c.Nodes[len(c.Nodes)-1]
	}
	slope := math.Abs(c.middle.PredictDerivative(end.DensityKgM3)) * math.Abs(density-end.DensityKgM3)
	melting := end.KerfMM.Value * math.Abs(end.DensityKgM3/density-1)
	return Estimate{end.KerfMM.Value, end.KerfMM.HalfWidth + math.Max(slope, melting)}
}

// String names the curve for a person.
func (c *Curve) String() string {
	text := fmt.Sprintf("%s foam, %s, on %s with %s", c.Kind, c.Thickness, c.Machine, c.Tool)
	if s := c.Setting.String(); s != "" {
		text += ", " + s
	}
	return text
}
