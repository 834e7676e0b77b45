package page

import (
	"image/color"
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry/units"
)

// What a pixel of foam shows. Classes from 1 to deepestClass are depths.
const (
	untouched    uint8 = 0
	deepestClass uint8 = uint8(len(shadesOfDepth))
	through      uint8 = 253 // cut right through the foam
	loose        uint8 = 254 // a piece that nothing holds any more
	nothing      uint8 = 255 // outside what the dry run knows
)

// depthStepMM is how fine depths are told apart: what is nearer to the foam's
// top is not cut, what is nearer to its underside is cut through.
const depthStepMM = 0.02

// deepestMM bounds what is believed of a depth.
const deepestMM = 1e5

// shades gives every depth its class and its colour. The colour follows from the
// depth and the scale alone, and pictures of one job have one scale: the same
// depth looks the same on all of them. Foam that is cut through has the colour of
// its thickness, and a hatch.
type shades struct {
	scaleMM   float64 // the depth that is darkest
	throughMM float64 // from which foam is cut through; infinite when its thickness is not known
	table     []uint8 // class by depth, in steps
	stepMM    float64
	colours   [256]color.RGBA
}

// newShades are the shades of foam of a thickness, 0 for one that is not known.
func newShades(scaleMM, thicknessMM float64) *shades {
	s := &shades{scaleMM: scaleMM, throughMM: math.Inf(1)}
	if !(scaleMM > depthStepMM && scaleMM < deepestMM) {
		s.scaleMM = 1
	}
	s.stepMM = math.Max(depthStepMM, s.scaleMM/20000)
	s.table = make([]uint8, int(s.scaleMM/s.stepMM)+2)
	for i := range s.table {
		share := float64(i) * s.stepMM / s.scaleMM
		s.table[i] = uint8(1 + min(share*float64(deepestClass), float64(deepestClass-1)))
	}
	copy(s.colours[1:], shadesOfDepth[:])
	s.colours[untouched], s.colours[loose], s.colours[nothing] = foamColour, paper, paper
	if thicknessMM > 0 {
		s.throughMM = thicknessMM - depthStepMM
		s.colours[through] = s.colours[s.depthClass(thicknessMM)]
	}
	return s
}

// class of a depth. NaN and what stands above the foam count as untouched.
func (s *shades) class(depth float32) uint8 {
	switch d := float64(depth); {
	case !(d >= depthStepMM/2):
		return untouched
	case d >= s.throughMM:
		return through
	default:
		return s.depthClass(d)
	}
}

func (s *shades) depthClass(mm float64) uint8 {
	return s.table[int(min(mm/s.stepMM+0.5, float64(len(s.table)-1)))]
}

// colour of a depth.
func (s *shades) colour(mm float64) color.RGBA { return s.colours[s.class(float32(mm))] }

// wall reports whether foam of two classes meets in a wall.
func wall(a, b uint8) bool { return a != b && a != nothing && b != nothing }

// jobScale is the depth that is darkest on every picture of a job: the thickness
// of its thickest tray, or of its thickest sheet; 0 for a job without any.
func jobScale(p *plan.Plan) float64 {
	scale := 0.0
	for _, t := range p.Trays {
		scale = math.Max(scale, t.Thickness().MM())
		for _, s := range t.Sheets {
			scale = math.Max(scale, s.ThicknessMM())
		}
	}
	return math.Min(scale, deepestMM)
}

// mostDepths is how many depths a legend names.
const mostDepths = 7

// named are the depths that a legend names: of those that are one to a hundredth of a
// millimetre, one, rising; of more than a legend has room for, the deepest and others
// evenly between.
func named(depths []float64) []float64 {
	var list []float64
	hundredths := func(d float64) float64 { return math.Round(d * 100) }
	for _, d := range depths {
		if hundredths(d) > 0 && d < deepestMM {
			list = append(list, d)
		}
	}
	slices.Sort(list)
	list = slices.CompactFunc(list, func(a, b float64) bool { return hundredths(a) == hundredths(b) })
	if len(list) <= mostDepths {
		return list
	}
	var some []float64
	for i := range mostDepths {
		some = append(some, list[(i+1)*len(list)/mostDepths-1])
	}
	return some
}

// The height of the legend's scale with its numbers, and the most of its width.
const (
	gaugePX     = 74
	mostGaugePX = 1200
)

// depthLegend is the scale of all depths, whose it is, and the depths of this
// picture by name, with whatever else is shown of the foam.
func (t *typesetter) depthLegend(width float64, s *shades, whose string, depths []float64, more []sample, u units.Unit) []panelRow {
	rows := []panelRow{{gaugePX, func(c *canvas, x, y float64) { c.gauge(rect{x, y + 6, min(width, mostGaugePX), swatchH}, s, u) }}}
	rows = append(rows, t.paragraph(width, "0 to "+Length(s.scaleMM, u)+whose, smallType, 2)...)
	rows[len(rows)-1].h += 10
	samples := []sample{{func(c *canvas, box rect) { c.swatch(box, foamColour) }, "top, not cut"}}
	for _, d := range named(depths) {
		samples = append(samples, sample{func(c *canvas, box rect) { c.swatch(box, s.colours[s.depthClass(d)]) }, Length(d, u)})
	}
	return append(rows, t.legend(width, append(samples, more...))...)
}

// gauge is the ramp from the foam's top on the left to the darkest depth, with a
// ruler below.
func (c *canvas) gauge(box rect, s *shades, u units.Unit) {
	p := pixels(box)
	for x := p.Min.X; x < p.Max.X; x++ {
		depth := (float64(x-p.Min.X) + 0.5) / box.w * s.scaleMM
		c.fill(rect{float64(x), box.y, 1, box.h}, s.colours[s.depthClass(depth)])
	}
	c.frame(box, 1, softInk)
	r := newRuler(box.w/s.scaleMM, u)
	_, last := r.between(0, s.scaleMM)
	for i := 0; i <= last; i++ {
		if t := r.at(i); t.number {
			x := math.Floor(box.x+float64(i)*r.stepMM()*box.w/s.scaleMM) + 0.5
			c.line(x, box.bottom(), x, box.bottom()+8, pen{width: 1, col: ink})
			w := c.width(r.text(i), smallType)
			c.text(min(max(x, box.x+w/2), box.right()-w/2), box.bottom()+10+smallType.size, r.text(i), smallType, ink, 0.5)
		}
	}
}

// throughSwatch is a legend's piece of foam that is cut through.
func throughSwatch(s *shades) sample {
	return sample{func(c *canvas, box rect) {
		col := s.colours[through]
		c.fill(box, col)
		c.hatch(box, throughStep, throughWidth, 1, linesOn(col))
		c.frame(box, 1, softInk)
	}, "cut through"}
}
