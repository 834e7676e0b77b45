package plan

import (
	"cmp"
	"math"
	"slices"

	"traywright/geometry"
	"traywright/profiles"
)

// Roughing. The first tool that fits a pocket makes its corners and its whole wall, so that the
// fit is that tool's kerf. A larger one may take most of the foam out before, and leave on the
// wall what the finishing lap takes: where that makes the job's time shorter, with the changes
// of the tool counted, the plan has it so (rough_job.go).
//
//   - A pocket whose tool the job names is made by that tool alone, and so are blocks, whose
//     layers have kerfs of their own, and sheets whose tools are changed inside one program.
//   - Nor is a pocket roughed whose wall gets one lap at full depth (walls.go).
//   - None is looked for of a pocket of more than mostParts lines and arcs.
//   - One tool roughs a sheet.
//   - The times are estimates: swept area over width, step-over and feed, level by level.

// ChangeSeconds is what a change of the tool takes a person, Z and a check of zero included
// (judged, no source).
const ChangeSeconds = 180

const (
	leastSaved      = 60.0   // seconds that a roughing saves at least: the times are estimates (judged, no source)
	approachSeconds = 5.0    // to get to a roughing and back up (judged, no source)
	mostParts       = 20_000 // of a pocket that is roughed: looking for it takes most of the time that checking a job may take
	leastWidths     = 3.0    // a piece to rough is at least so many squares of the cutter's width
)

// RoughingOf begins the name of a roughing, before that of the cut it is for.
const RoughingOf = "roughing of "

// Roughing is what a larger tool takes out of the way on a sheet; the zero value is none.
type Roughing struct {
	Tool         profiles.Tool
	CutSeconds   float64 // of cutting alone that it saves, each time; an estimate
	SavedSeconds float64 // of the job's time, against the same job without it, changes of the tool counted; an estimate
}

// RoughedWays are the ways to make a sheet whose cuts have roughings by several tools: without, and with those of one tool.
// Parts that are laid on stock have each their own.
func (s Sheet) RoughedWays(parts []Roughing) []Sheet {
	ways := []Sheet{s.roughedBy(Roughing{})}
	for i, r := range parts {
		total := Roughing{Tool: r.Tool}
		for _, part := range parts {
			if part.Tool.Number == r.Tool.Number {
				total.CutSeconds += part.CutSeconds
			}
		}
		again := slices.ContainsFunc(parts[:i], func(p Roughing) bool { return p.Tool.Number == r.Tool.Number })
		if way := s.roughedBy(total); !again && way.roughsFirst(way.Turns) {
			ways = append(ways, way)
		}
	}
	return ways
}

// roughedBy is the sheet with the roughings of one tool alone.
func (s Sheet) roughedBy(r Roughing) Sheet {
	cuts, now, kept := s.Cuts, make([]int, len(s.Cuts)), []Cut(nil)
	for i, c := range cuts {
		if c.Rough && c.Tool.Number != r.Tool.Number {
			continue
		}
		now[i] = len(kept)
		c.After = nil
		kept = append(kept, c)
	}
	for i, c := range kept {
		if c.Rough {
			kept[i].Roughs = now[c.Roughs]
			kept[now[c.Roughs]].After = append(kept[now[c.Roughs]].After, i)
		}
	}
	for i, c := range kept {
		if !c.Roughed.Empty() && len(c.After) == 0 {
			kept[i].Roughed = geometry.Region{}
		}
	}
	s.Cuts, s.Roughing = kept, r
	s.takeTurns()
	return s
}

// ways are the ways to make a sheet: without roughing, and with that of each larger tool that is quicker at it, changes of
// the tool left aside. With stock it is the one that saves most, and the setups decide.
func (m *maker) ways(b *board, s slab, edge task, sheet Sheet) []Sheet {
	plain := sheet.roughedBy(Roughing{})
	list := []Sheet{plain}
	for _, tool := range m.Machine.Tools {
		with := plain
		with.Cuts = slices.Clone(plain.Cuts)
		r := Roughing{Tool: tool}
		for _, of := range m.roughings(b, s, &plain, tool) {
			r.CutSeconds += of.saved
			with.Cuts = append(with.Cuts, of.cuts...)
			with.Cuts[of.of].Roughed = of.taken
		}
		if with = with.roughedBy(r); r.CutSeconds > 0 && with.roughsFirst(with.Turns) {
			list = append(list, with)
		}
	}
	if m.Job.Stock != nil {
		list = []Sheet{slices.MaxFunc(list, func(a, b Sheet) int { return cmp.Compare(a.Roughing.CutSeconds, b.Roughing.CutSeconds) })}
	}
	for i := range list {
		m.saveChange(b, edge, &list[i])
	}
	return list
}

// tellRoughing warns of a roughing whose recipe has chips that are far off.
func (m *maker) tellRoughing(sheet Sheet) {
	if i := slices.IndexFunc(sheet.Cuts, func(c Cut) bool { return c.Rough }); i >= 0 {
		m.tellChips(choice{tool: sheet.Cuts[i].Tool, recipes: sheet.Cuts[i].Recipes})
	}
}

// Roughed is how many of the sheet's cuts a larger tool roughs.
func (s Sheet) Roughed() int {
	n := 0
	for _, c := range s.Cuts {
		if !c.Roughed.Empty() {
			n++
		}
	}
	return n
}

// roughed is the roughing of one cut of a sheet.
type roughed struct {
	of    int             // the cut
	cuts  []Cut           // that a larger tool makes before
	taken geometry.Region // of the cut, surely
	saved float64         // seconds, without any change of tools
}

// roughings are those of a tool that are quicker than none.
func (m *maker) roughings(b *board, s slab, sheet *Sheet, tool profiles.Tool) []roughed {
	if m.wholeLayers() || m.Machine.DrawingsOnly() || len(sheet.Layers) > 1 || m.Machine.Controller.ToolChange != profiles.OwnFiles {
		return nil
	}
	recipes, no := m.recipes(task{layers: s.layers}, tool)
	if no != nil {
		return nil
	}
	var list []roughed
	for i, c := range sheet.Cuts {
		t := task{layers: s.layers, depthMM: c.DepthMM, through: c.Through}
		if len(c.Recipes) != 1 || len(c.Pockets) == 0 || c.Plug || c.Along.Len() > 0 || m.toolOf(b, c.Pockets) != "" ||
			recipes[0].KerfMM.Value <= c.Recipes[0].KerfMM.Value || m.reaches(t, tool, recipes) != nil || tool.BeyondFlute(t.deepest(recipes)) || m.finishedOnce(sheet, c) {
			continue
		}
		if r, ok := m.roughing(c, tool, recipes[0]); ok && r.saved > 0 {
			r.of = i
			for k := range r.cuts {
				r.cuts[k].Roughs = i
			}
			list = append(list, r)
		}
	}
	return list
}

// roughing is what a tool can take of a cut, as far from its wall as the finishing lap wants
// it, and at least so far that a wider kerf than it is taken for does not reach it.
func (m *maker) roughing(c Cut, tool profiles.Tool, recipe profiles.Recipe) (roughed, bool) {
	parts := 0
	for _, c := range c.Shape.Contours() {
		parts += c.Len()
	}
	if parts > mostParts {
		return roughed{}, false
	}
	kerf, sure := recipe.KerfMM.Value, sureKerfs([]profiles.Recipe{recipe}, tool)[0]
	_, wider := tool.Runout()
	away := max(c.Recipes[0].FinishMM.Value, recipe.FinishMM.Value, recipe.KerfOff().Value+wider)
	middle, err := geometry.Offset(c.Shape, -away-kerf/2, m.TolMM)
	if err != nil {
		return roughed{}, false
	}
	shape, err := geometry.Offset(middle, kerf/2, m.TolMM)
	if err != nil {
		return roughed{}, false
	}
	recipe.FinishMM.Value = 0
	r, area := roughed{}, 0.0
	var kept []geometry.Contour
	for _, piece := range shape.Pieces() {
		if piece.Area() < leastWidths*kerf*kerf {
			continue
		}
		r.cuts = append(r.cuts, Cut{
			Name: RoughingOf + c.Name, At: c.At, Rough: true, Design: piece, Shape: piece, DepthMM: c.DepthMM, Through: c.Through, Tool: tool, Recipes: []profiles.Recipe{recipe},
		})
		kept = append(kept, piece.Contours()...)
		area += piece.Area()
	}
	if len(kept) == 0 {
		return r, false
	}
	if r.taken, err = geometry.Offset(geometry.NewRegion(kept...), -(kerf-sure)/2, m.TolMM); err != nil || r.taken.Empty() {
		return r, false
	}
	left, err := m.leftBehind(c, r.taken)
	r.saved = m.sweepSeconds(c, c.Recipes[0], c.Shape.Area()-left) - m.sweepSeconds(c, recipe, area) -
		m.lapSeconds(c) - approachSeconds*float64(len(r.cuts))
	return r, err == nil
}

// leftBehind is the area of a cut, mm2, that neither the roughing nor the finishing lap takes.
func (m *maker) leftBehind(c Cut, taken geometry.Region) (float64, error) {
	inside, err := geometry.Offset(c.Shape, -c.Recipes[0].KerfMM.Value, m.TolMM)
	if err != nil || inside.Empty() {
		return 0, err
	}
	left, err := geometry.Difference(inside, taken, m.TolMM)
	return left.Area(), err
}

// levels is how often a recipe's tool goes over a cut.
func levels(c Cut, r profiles.Recipe) float64 { return math.Ceil(c.DepthMM / r.StepdownMM.Value) }

// feed is what it does so with, mm/min.
func (m *maker) feed(r profiles.Recipe) float64 {
	if most := m.Machine.MaxFeedMMPerMin.Value; most > 0 {
		return math.Min(r.FeedMMPerMin.Value, most)
	}
	return r.FeedMMPerMin.Value
}

// sweepSeconds is how long a recipe's tool takes to clear so many mm2 of a cut.
func (m *maker) sweepSeconds(c Cut, r profiles.Recipe, area float64) float64 {
	return 60 * levels(c, r) * area / (r.Stepover.Value * r.KerfMM.Value) / m.feed(r)
}

// lapSeconds is how long a cut's own tool takes to go along its walls.
func (m *maker) lapSeconds(c Cut) float64 {
	return 60 * levels(c, c.Recipes[0]) * c.Shape.Length() / m.feed(c.Recipes[0])
}
