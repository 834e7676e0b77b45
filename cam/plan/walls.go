package plan

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/geometry"
	"traywright/profiles"
)

// Walls. The laps that clear a pocket leave finish_mm of foam on its wall, and at each level one
// lap more takes that. Where the recipe wants a wall without steps, that lap goes once instead,
// at full depth, when all levels are cleared. As it takes foam from the top down to the floor at
// once, that is so only where
//
//   - the cut is a pocket that is cleared: grooves and outlines fill the cutter, and have nothing
//     left on their walls; nor has a roughing, and what one leaves in corners is more than that, so
//     that such a pocket gets none;
//   - it is of one layer: in a block each has a kerf of its own;
//   - the cutter's edges are known to be as long as the lap is deep: a shank would rub;
//   - what the lap takes is no more than a pass of clearing does, step-over x kerf x step-down, nor
//     wider than a quarter of a cutter that is thick enough for it;
//   - no inside corner is so tight that the cutter goes into more than that with its front: see leastCorner;
//   - what it leaves beside the wall stands: see bends;
//   - the clearing laps come so near to all of its way that it never finds more beside it than in
//     a square corner: where a pocket is too narrow for them, or runs out to a point, the lap
//     would go through solid foam.

// inCorner is how much farther the foam that is left reaches in a square corner than on a wall.
const inCorner = math.Sqrt2

// leastOnceMM is how wide a cutter cuts at least that takes foam from top to bottom (judged, no source).
const leastOnceMM = 2

// nearMM is what rounding may add to that.
const nearMM = 0.01

// wallLap is why a lap along a wall cannot go once, and what would help.
type wallLap struct{ why, hint string }

// finishWall decides how the lap along a cut's wall goes.
func (c *Cut) finishWall(tol float64) error {
	c.WallOnceMM, c.wall = 0, wallLap{}
	if len(c.Passes) < 2 || c.Rough || c.Recipes[0].WallLap != profiles.LapOnce {
		return nil
	}
	r, deep := c.Recipes[0], c.Passes[len(c.Passes)-1].ToMM
	finish := math.Min(r.FinishMM.Value, c.SureMM[0]/2)
	beside := inCorner * finish
	most := min(r.Stepover.Value*c.KerfMM[0]*r.StepdownMM.Value/deep, c.KerfMM[0]/4)
	switch flute := c.Tool.FluteMM.Value; {
	case c.Along.Len() > 0:
		c.wall = wallLap{"the groove around its plug fills the cutter", "write `waste: clear` at the pocket to have it cleared"}
	case len(c.Recipes) > 1:
		c.wall = wallLap{"a block's layers have kerfs of their own", "write `cut: sheets`, or leave it"}
	case finish == 0:
		c.wall = wallLap{"its recipe leaves nothing on the wall for it", "write finish_mm in the recipe"}
	case flute == 0:
		c.wall = wallLap{"nobody has said how long the edges of " + c.Tool.ID + " are", "write flute_mm of the tool in its profile"}
	case c.KerfMM[0] < leastOnceMM:
		c.wall = wallLap{fmt.Sprintf("%s is too thin to take foam from top to bottom", c.Tool.ID), "name a thicker tool at the pocket (`tool:`), or leave it"}
	case c.Tool.BeyondFlute(deep):
		c.wall = wallLap{fmt.Sprintf("it would go %.1f mm deep, and the edges of %s are %g mm long", deep, c.Tool.ID, flute), "name a tool with longer edges at the pocket (`tool:`), or leave it"}
	case beside > most:
		c.wall = wallLap{fmt.Sprintf("%.1f mm deep it would take more at once than a pass of clearing, or than a quarter of its width", deep), fmt.Sprintf("write a finish_mm of at most %.2f in the recipe", math.Floor(100*most/inCorner)/100)}
	}
	if c.wall.why != "" {
		return nil
	}
	open, err := c.clearedBeside(finish, beside, tol)
	if err == nil && !open {
		c.wall = wallLap{"in places it is too narrow for the laps that would clear it before, or runs out to a point", "make it wider there, or name a smaller tool (`tool:`)"}
	}
	if err != nil || !open {
		return err
	}
	least := leastCorner(c.KerfMM[0]/2, finish, most)
	rounded, err := c.roundedBy(least, tol)
	if err == nil && rounded {
		c.WallOnceMM = beside + nearMM
	}
	if err == nil && !rounded {
		c.wall = wallLap{fmt.Sprintf("%.1f mm deep its front would take more at once in a corner than a pass of clearing", deep),
			fmt.Sprintf("round its corners with %.1f mm or more: with `corner` beside a `size`, with a larger `dowel`, in a drawing with arcs", math.Ceil(10*least)/10) + orLeave}
	}
	return err
}

// leastCorner is the radius of the tightest inside corner in which a cutter of radius r that takes so much off a wall has no
// more than most of its width in foam. Where its middle runs round a corner at radius p, it is in foam on an angle a off its
// outward side, with (p + r cos a)^2 + (r sin a)^2 = (p + r - finish)^2, and r (1 - cos a) wide.
func leastCorner(r, finish, most float64) float64 {
	return r + (2*r*finish-finish*finish)/(2*(most-finish))
}

// roundedBy reports whether no inside corner of a cut is tighter than a radius, whatever it is drawn of: the way of the
// cutter's middle, shrunk and grown again by what is left of it there, is what it was.
func (c *Cut) roundedBy(radius, tol float64) (bool, error) {
	way, err := geometry.Offset(c.Shape, -c.KerfMM[0]/2, tol)
	if err != nil {
		return false, err
	}
	tight, err := thinIn(way, radius-c.KerfMM[0]/2, nearMM/10, tol)
	return tight.Empty(), err
}

// thinIn is what of a region no disc of a radius comes to, nor within near mm of it.
func thinIn(r geometry.Region, radius, near, tol float64) (geometry.Region, error) {
	opened, err := geometry.Offset(r, -radius, tol)
	if err == nil {
		opened, err = geometry.Offset(opened, radius+near, tol)
	}
	if err != nil {
		return geometry.Region{}, err
	}
	return geometry.Difference(r, opened, tol)
}

// orLeave ends the hint of a reason that lies in a pocket's shape.
const orLeave = "; or leave it"

// finishWall decides how the lap along the wall of one of the sheet's cuts goes. Where one hint would only lead to the next,
// it says both; and what a roughing saved, for a pocket with one lap has none.
func (s *Sheet) finishWall(c *Cut, tol float64) error {
	err := c.finishWall(tol)
	if asked := c.WallOnceMM > 0 || c.wall.why != ""; err != nil || !asked {
		return err
	}
	if c.Plug {
		return s.clearedWall(c, tol)
	}
	inCorners, ok := strings.CutSuffix(c.wall.hint, orLeave)
	if c.WallOnceMM > 0 || ok {
		bends, err := s.bends(c, tol)
		switch {
		case err != nil:
			return err
		case bends && ok:
			c.wall.hint = inCorners + "; and make the foam beside it thicker, which would bend" + orLeave
		case bends:
			c.wall = wallLap{"foam beside it is so thin for its height that it bends", "make that foam thicker" + orLeave}
		}
	}
	if !c.Roughed.Empty() {
		c.tellRoughed(s.Roughing)
	}
	if c.wall.why != "" {
		c.WallOnceMM = 0
	}
	return nil
}

// tellRoughed adds to the reason of a cut that a larger tool roughs what is lost with the roughing. One that has no reason
// beside it, as in a sheet of several parts, is roughed because its wall was another's.
func (c *Cut) tellRoughed(r Roughing) {
	if c.wall.why == "" {
		c.wall = wallLap{"a larger tool roughs it, and leaves more in corners", "name its tool (`tool:`), and that one makes all of it" + orLeave}
	}
	c.wall.hint += fmt.Sprintf(". With one lap it is not roughed by %s any more", r.Tool.ID)
	if r.SavedSeconds >= leastSaved {
		c.wall.hint += fmt.Sprintf(", and the job takes about %.0f min longer, changes of tools counted, by estimate", r.SavedSeconds/60)
	}
}

// clearedWall adds to a plug's hint what keeps its wall from one lap when it is cleared instead.
func (s *Sheet) clearedWall(c *Cut, tol float64) error {
	cleared := *c
	cleared.Plug, cleared.Along = false, geometry.Contour{}
	for _, k := range c.Shape.Contours() {
		if k.Area() > 0 {
			cleared.Shape = geometry.NewRegion(k)
		}
	}
	cleared.Passes = slices.Clone(c.Passes)
	cleared.Passes[len(c.Passes)-1].ToMM = s.ThicknessMM() + c.Recipes[0].BreakthroughMM.Value
	err := s.finishWall(&cleared, tol)
	if cleared.wall.why != "" {
		c.wall.hint += ", and then: " + cleared.wall.hint
	}
	return err
}

// bends reports whether foam beside a cut is too thin to stand so high: up to another cut, by the deeper of the two, or to
// the rim; or an island in the cut, or a tongue of foam into it.
func (s *Sheet) bends(c *Cut, tol float64) (bool, error) {
	deep, foam := c.Passes[len(c.Passes)-1].ToMM, s.Layers[0].Foam
	walls := geometry.NewWalls(c.Shape)
	thinTo := func(other geometry.Region, deep float64) bool {
		return nearer(walls, other, StandsMM(foam, deep)-nearMM)
	}
	for i := range s.Cuts {
		if o := &s.Cuts[i]; o.Name != c.Name && !o.Rough && thinTo(o.Shape, math.Max(deep, o.DepthMM)) {
			return true, nil
		}
	}
	if thinTo(s.Edge.Shape, deep) {
		return true, nil
	}
	return c.tongues(s.Edge.Shape, StandsMM(foam, deep)/2-nearMM, tol)
}

// nearer reports whether a region's own walls come that near to others, mm.
func nearer(walls geometry.Walls, other geometry.Region, mm float64) bool {
	return slices.ContainsFunc(other.Contours(), func(k geometry.Contour) bool {
		d, _ := walls.Gap(k, mm)
		return d < mm
	})
}

// tongues reports whether foam in and between a cut's own walls is thinner than twice half. What is left of a corner of
// that foam is none: beside it no more of the wall is thin than its two sides, as long as half.
func (c *Cut) tongues(tray geometry.Region, half, tol float64) (bool, error) {
	if half <= 0 {
		return false, nil
	}
	for _, contour := range c.Shape.Contours() {
		if contour.Area() < 0 { // an island
			if core, err := geometry.Offset(geometry.NewRegion(contour.Reverse()), -half, tol); err != nil || core.Empty() {
				return true, err
			}
		}
	}
	foam, err := geometry.Difference(tray, c.Shape, tol)
	if err != nil {
		return false, err
	}
	thin, err := thinIn(foam, half, nearMM, tol)
	if err != nil {
		return false, err
	}
	beside, err := geometry.Offset(c.Shape, 2*nearMM, tol)
	if err != nil {
		return false, err
	}
	for _, part := range thin.Contours() {
		away, err := geometry.Difference(geometry.NewRegion(part), beside, tol)
		if part.Area() > 0 && (err != nil || (part.Area()-away.Area())/(2*nearMM) > mostTip*half) {
			return true, err
		}
	}
	return false, nil
}

// mostTip is how much of a cut's wall lies beside the tip of a corner of foam, at most, for what no disc of radius 1 comes
// to of it: 2 at a square one.
const mostTip = 2.5

// clearedBeside reports whether clearing laps so far from the wall's lap leave no more than so
// many mm of foam anywhere beside it.
func (c *Cut) clearedBeside(finish, beside, tol float64) (bool, error) {
	way, err := geometry.Offset(c.Shape, -c.KerfMM[0]/2, tol)
	if err != nil {
		return false, err
	}
	laps, err := geometry.Offset(way, -finish, tol)
	if err != nil || laps.Empty() {
		return false, err
	}
	near, err := geometry.Offset(laps, beside+nearMM, tol)
	if err != nil {
		return false, err
	}
	left, err := geometry.Difference(way, near, tol)
	return left.Empty(), err
}

// finishedOnce reports whether the lap along a cut's wall will go once, as the sheet is so far.
func (m *maker) finishedOnce(sheet *Sheet, c Cut) bool {
	sheet.layOut(&c, m.Means)
	return sheet.finishWall(&c, m.TolMM) == nil && c.WallOnceMM > 0
}

// tellWalls notes the pockets whose walls get a lap at each level though their recipe wants one.
func (m *maker) tellWalls(s slab, sheet Sheet) {
	names := map[wallLap][]string{}
	var order []wallLap
	for _, c := range sheet.Cuts {
		if c.wall.why == "" {
			continue
		}
		if names[c.wall] == nil {
			order = append(order, c.wall)
		}
		if !slices.Contains(names[c.wall], c.Name) {
			names[c.wall] = append(names[c.wall], c.Name)
		}
	}
	const most = 8
	for _, w := range order {
		list := names[w]
		if more := len(list) - most; more > 0 {
			list = append(list[:most], fmt.Sprintf("%d more", more))
		}
		m.log.note(s.at, "wall-lap-at-each-level", "walls get a lap at each level, though their recipe asks for one at full depth (wall_lap: once): "+w.why+": "+strings.Join(list, ", "), w.hint)
	}
}
