package stock

import (
	"fmt"
	"math"
	"slices"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
)

// place lays a part, its outline's lower-left corner at a place, a quarter turn
// counter-clockwise where it is turned.
func (s *Setup) place(p Part, at [2]float64, turned bool) {
	var turn geometry.Transform
	if turned {
		p.Turn = 90
		turn = geometry.Rotate(math.Pi/2, geometry.Point{})
	}
	corner := p.Sheet.Edge.Shape.Transform(turn).Bounds().Min
	p.to = turn.Then(geometry.Translate(at[0]-corner.X, at[1]-corner.Y))
	box := moved(geometry.Box{Max: geometry.Point{X: p.Tray.Length.MM(), Y: p.Tray.Width.MM()}}, p.to)
	p.AtMM = [2]float64{box.Min.X, box.Min.Y}
	s.Parts = append(s.Parts, p)
}

// moved is a box behind a transform by quarter turns.
func moved(b geometry.Box, t geometry.Transform) geometry.Box {
	low, high := b.Min.Transform(t), b.Max.Transform(t)
	return geometry.Box{
		Min: geometry.Point{X: math.Min(low.X, high.X), Y: math.Min(low.Y, high.Y)},
		Max: geometry.Point{X: math.Max(low.X, high.X), Y: math.Max(low.Y, high.Y)},
	}
}

// begin makes one work order of the parts: the shapes that the plan has decided for each of their
// sheets, moved to where they lie. Pockets count from the layer's own top. The result is the ways to rough them.
func (s *Setup) begin() *plan.Roughable {
	first := s.Parts[0].Sheet
	layer := first.Layers[0]
	layer.Top = 0
	sheet := plan.Sheet{Number: 1, Layers: []plan.Layer{layer}, Edge: first.Edge, Bridged: first.Bridged}
	low := geometry.Point{X: -s.ZeroMM[0], Y: -s.ZeroMM[1]}
	sheet.Foam = geometry.Box{Min: low, Max: low.Add(geometry.Point{X: s.SizeMM[0], Y: s.SizeMM[1]})}
	s.Tray = &plan.Tray{ID: s.Name, Copies: 1, Layers: sheet.Layers, Length: lengthOf(s.SizeMM[0]), Width: lengthOf(s.SizeMM[1])}
	var outline []geometry.Contour
	var roughings []plan.Roughing
	for _, p := range s.Parts {
		p.to = p.to.Then(geometry.Translate(-s.ZeroMM[0], -s.ZeroMM[1]))
		outline = append(outline, p.Sheet.Edge.Shape.Transform(p.to).Contours()...)
		s.add(&sheet, p)
		sheet.Edge.LeaveTight = sheet.Edge.LeaveTight || p.Sheet.Edge.LeaveTight
		if r := p.Sheet.Roughing; r.Tool.ID != "" {
			roughings = append(roughings, r)
		}
	}
	sheet.Edge.Shape = geometry.NewRegion(outline...)
	sheet.Edge.Design = sheet.Edge.Shape
	return &plan.Roughable{Times: 1, Ways: sheet.RoughedWays(roughings)}
}

// order completes the work order: all that the plan decides for a sheet is decided for its parts together.
func (s *Setup) order(l *layer, sheet plan.Sheet) error {
	if err := s.point(l, s.room, &sheet); err != nil {
		return fmt.Errorf("%s: %w", s.Name, err)
	}
	if err := sheet.Complete(l.Means, toleranceMM); err != nil {
		return fmt.Errorf("%s: %w", s.Name, err)
	}
	s.Tray.Sheets = []plan.Sheet{sheet}
	return nil
}

// toleranceMM is the distance under which two points of a shape are one.
const toleranceMM = 1e-6

func lengthOf(mm float64) units.Length {
	l, err := units.FromMM(mm)
	if err != nil {
		return 0 // of no sheet that pack has taken
	}
	return l
}

// Label names a part for a person: its tray, which layer of several, and which copy.
func (p Part) Label() string {
	text := p.Tray.ID
	if len(p.Tray.Layers) > 1 {
		text += fmt.Sprintf(" layer %d", p.Layer)
	}
	if p.Tray.Copies > 1 {
		text += fmt.Sprintf(" copy %d", p.Copy)
	}
	return text
}

// add takes one part's cuts, marks and pockets into the work order.
func (s *Setup) add(sheet *plan.Sheet, p Part) {
	pockets, cuts := len(s.Tray.Pockets), len(sheet.Cuts)
	for _, c := range p.Sheet.Cuts {
		c.Name += " of " + p.Label()
		c.Design, c.Shape, c.Along, c.Roughed = c.Design.Transform(p.to), c.Shape.Transform(p.to), c.Along.Transform(p.to), c.Roughed.Transform(p.to)
		c.Pockets = slices.Clone(c.Pockets)
		for i := range c.Pockets {
			c.Pockets[i] += pockets
		}
		c.Roughs += cuts
		sheet.Cuts = append(sheet.Cuts, c)
	}
	for _, k := range p.Tray.Pockets {
		k.Name += " of " + p.Label()
		k.Design, k.Box = k.Design.Transform(p.to), moved(k.Box, p.to)
		k.Depth -= p.Sheet.Layers[0].Top
		s.Tray.Pockets = append(s.Tray.Pockets, k)
	}
	for _, path := range p.Sheet.Marks {
		sheet.Marks = append(sheet.Marks, path.Transform(p.to))
	}
	if len(p.Sheet.Marks) > 0 {
		sheet.Marking = p.Sheet.Marking
	}
	for _, ear := range p.Tray.Ears {
		s.Tray.Ears = append(s.Tray.Ears, moved(ear, p.to))
	}
	s.marks(p)
	for _, note := range p.Sheet.Notes {
		if !slices.Contains(sheet.Notes, note) {
			sheet.Notes = append(sheet.Notes, note)
		}
	}
}

// marks takes over the labels and emblems that go into the part.
func (s *Setup) marks(p Part) {
	for _, k := range p.Tray.Marks {
		if p.Layer > 1 && (k.Make != job.Cut || k.Depth <= p.Sheet.Layers[0].Top) {
			continue
		}
		k.Design, k.Box = k.Design.Transform(p.to), moved(k.Box, p.to)
		paths := make([]geometry.Path, len(k.Paths))
		for i, path := range k.Paths {
			paths[i] = path.Transform(p.to)
		}
		k.Paths = paths
		s.Tray.Marks = append(s.Tray.Marks, k)
	}
}

// partsArea is what lies in trays, mm2.
func (s *Setup) partsArea() float64 {
	sum := 0.0
	for _, p := range s.Parts {
		sum += p.Sheet.Edge.Shape.Area()
	}
	return sum
}
