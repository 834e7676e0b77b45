package cam

import (
	"bytes"
	"cmp"
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"traywright/cam/drawing"
	"traywright/cam/gcode"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry"
	"traywright/profiles"
)

// What is on which layer of a drawing, and which file it is in. Cutting lines and the
// sizes that the foam will have are never in one file: a machine would cut both. A
// drawing of cutting lines has the kerf of one tool taken off, so where two cut a sheet
// there are two of them, numbered in the order of cutting.

// cutting is a drawing of where a tool's centre or the beam runs. What reads it may go by
// its layers or by its paths: marks come first, then pockets, shallow to deep, as what
// overlaps a deeper one has to be cut before it, and within a layer as the program cuts
// them, what lies in an island before what is round it; the outline comes last.
func (l layers) cutting(paths []process.Drawn) drawing.Drawing {
	var d drawing.Drawing
	for _, path := range slices.SortedStableFunc(slices.Values(paths), shallowFirst) {
		layer := l.of(path)
		if !slices.Contains(d.Layers, layer) {
			d.Layers = append(d.Layers, layer)
		}
		d.Paths = append(d.Paths, closed(drawing.Path{Layer: layer.Name, Contour: path.Contour, Open: path.Path}))
		if len(path.Slit.Vertices()) == 0 {
			continue
		}
		if slit := inColour(slitLayer, l.bridged); !slices.Contains(d.Layers, slit) {
			d.Layers = append(d.Layers, slit)
		}
		d.Paths = append(d.Paths, drawing.Path{Layer: slitLayer, Open: path.Slit})
	}
	return d
}

// shallowFirst orders paths by their layers.
func shallowFirst(a, b process.Drawn) int {
	deep := func(d process.Drawn) float64 {
		switch {
		case d.Kind == process.Pocket && len(d.Path.Vertices()) > 0:
			return math.MaxFloat64 // what bridges hold, before what falls with it
		case d.DepthMM == 0:
			return math.Inf(1)
		}
		return toPrinted(d.DepthMM)
	}
	return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(deep(a), deep(b)))
}

// byLayer puts the paths of one layer together.
func byLayer(d drawing.Drawing) drawing.Drawing {
	at := map[string]int{}
	for i, l := range d.Layers {
		at[l.Name] = i
	}
	slices.SortStableFunc(d.Paths, func(a, b drawing.Path) int { return cmp.Compare(at[a.Layer], at[b.Layer]) })
	return d
}

// closed is a stroke that ends where it began as a closed one: some machines take an
// open path for a fault.
func closed(p drawing.Path) drawing.Path {
	v := p.Open.Vertices()
	if n := len(v); p.Contour.Len() == 0 && n > 2 && v[0].DistanceTo(v[n-1].Point) <= toleranceMM {
		p.Contour, p.Open = geometry.NewContour(v[:n-1]...), geometry.Path{}
	}
	return p
}

// turnable is a path with straight sides for the arcs that no machine turns, as a program has them.
func turnable(p drawing.Path) drawing.Path {
	straight := func(segments iter.Seq[geometry.Segment]) (list []geometry.Vertex, end geometry.Point) {
		for s := range segments {
			n := gcode.Straights(s)
			if n == 0 {
				list = append(list, geometry.Vertex{Point: s.A, Bulge: s.Bulge})
			}
			for i := range n {
				list = append(list, geometry.Vertex{Point: s.At(float64(i) / float64(n))})
			}
			end = s.B
		}
		return list, end
	}
	if p.Contour.Len() > 0 {
		list, _ := straight(p.Contour.Segments())
		p.Contour = geometry.NewContour(list...)
		return p
	}
	list, end := straight(p.Open.Segments())
	p.Open = geometry.NewPath(append(list, geometry.Vertex{Point: end})...)
	return p
}

// finished is a drawing of the sizes that the foam will have.
func (l layers) finished(edges []process.Finished) drawing.Drawing {
	d := drawing.Drawing{About: "These are the sizes that the foam will have: no path to cut along, for no kerf is taken off."}
	for _, e := range edges {
		layer := inColour(depthName(finishedLayer, e.DepthMM), l.finishedEdge)
		if !slices.Contains(d.Layers, layer) {
			d.Layers = append(d.Layers, layer)
		}
		d.Paths = append(d.Paths, drawing.Path{Layer: layer.Name, Contour: e.Contour})
	}
	return byLayer(d)
}

// toolRuns are a program's paths tool by tool, in the order of cutting.
func toolRuns(paths []process.Drawn) (runs [][]process.Drawn) {
	for _, p := range paths {
		if n := len(runs); n == 0 || runs[n-1][0].Tool.ID != p.Tool.ID {
			runs = append(runs, nil)
		}
		runs[len(runs)-1] = append(runs[len(runs)-1], p)
	}
	return runs
}

// lowerLeft is what everything in a sheet's drawings is moved by, so that none of it
// lies below 0: the same for all, and a round number, so that it can be typed.
func lowerLeft(list []drawing.Drawing) geometry.Point {
	box := geometry.EmptyBox()
	for _, d := range list {
		box = box.Union(d.Bounds())
	}
	up := func(low float64) float64 { return math.Max(0, math.Ceil(-low*1e2-1e-6)/1e2) }
	return geometry.Point{X: up(box.Min.X), Y: up(box.Min.Y)}
}

// plotted are the sheet's drawings with the paths of their files, the cutting lines of each
// tool and then the finished foam in a file of its own; and of which tool each is, "" for that.
func (w *sheetWork) plotted(p *plan.Plan, o Options) (list []drawing.Drawing, names, tools []string) {
	l, runs := newLayers(p), toolRuns(w.program.Drawn)
	for k, run := range runs {
		d := l.cutting(run)
		name := w.name
		if len(runs) > 1 {
			name = fmt.Sprintf("%s-t%d", w.name, k+1)
		}
		d.About = fmt.Sprintf("Paths are in an order to cut them in, the kerf of %s taken off.", run[0].Tool.ID)
		list, names, tools = append(list, d), append(names, name), append(tools, run[0].Tool.ID)
	}
	if o.Finished || !p.Machine.Process.Traits().Beam {
		list, names, tools = append(list, l.finished(w.program.Finished)), append(names, w.name+finishedSuffix), append(tools, "")
	}
	w.movedBy = lowerLeft(list)
	return list, names, tools
}

// drawings writes the sheet's drawings, DXF and SVG.
func (w *sheetWork) drawings(p *plan.Plan, o Options) error {
	list, names, tools := w.plotted(p, o)
	around := geometry.EmptyBox()
	for _, d := range list {
		around = around.Union(d.Bounds())
	}
	for i, d := range list {
		d.Title, d.Notes, d.Around = w.title(), w.sheet.Notes, around
		if err := w.writeDrawing(d, w.movedBy, names[i], tools[i], o.DXF); err != nil {
			return fmt.Errorf("%s: %w", w.where(), err)
		}
	}
	return nil
}

// finishedSuffix tells the file of the finished foam.
const finishedSuffix = "-finished"

// writeDrawing writes one drawing, moved in DXF.
func (w *sheetWork) writeDrawing(d drawing.Drawing, by geometry.Point, name, tool string, version drawing.DXFVersion) error {
	d.Paths = slices.Clone(d.Paths)
	for i, path := range d.Paths {
		d.Paths[i] = turnable(path)
	}
	var dxf, svg bytes.Buffer
	if err := drawing.WriteSVG(&svg, d); err != nil {
		return err
	}
	if err := drawing.WriteDXF(&dxf, d.Moved(by), version); err != nil {
		return err
	}
	w.files = append(w.files, sheetFile{Sign(File{name + ".dxf", dxf.Bytes()}), tool}, sheetFile{Sign(File{name + ".svg", svg.Bytes()}), tool})
	return nil
}

// drawingsText says which drawing is for which tool, and where the program's X0 Y0 lies
// in them.
func (w *sheetWork) drawingsText(p *plan.Plan) page.Drawings {
	var t page.Drawings
	for _, f := range w.files {
		switch {
		case strings.HasSuffix(f.Path, finishedSuffix+".dxf"):
			t.Finished = f.Path
		case strings.HasSuffix(f.Path, ".dxf"):
			t.Cutting = append(t.Cutting, [2]string{f.Path, f.tool})
		}
	}
	if w.drawn && w.k > 0 { // each page has its own alone, and only the last one's work writes them
		t.Cutting = [][2]string{{w.path(), w.program.Ops[0].Tool.ID}}
	}
	t.MovedMM = [2]float64{w.movedBy.X, w.movedBy.Y}
	t.Load = w.load(p)
	return t
}

// load is the layers of the work's own drawing with how each is cut, where the machine
// takes that; none where it takes a program.
func (w *sheetWork) load(p *plan.Plan) []page.DrawnLayer {
	if !w.drawn {
		return nil
	}
	l := newLayers(p)
	var list []page.DrawnLayer
	for _, d := range slices.SortedStableFunc(slices.Values(w.program.Drawn), shallowFirst) {
		layer := l.of(d)
		if w.k > 0 && d.Tool.Number != w.program.Ops[0].Tool.Number || slices.ContainsFunc(list, func(have page.DrawnLayer) bool { return have.Name == layer.Name }) {
			continue
		}
		list = append(list, page.DrawnLayer{Name: layer.Name, Stroke: layer.Stroke, Index: layer.Index, Recipes: w.recipesOf(d), How: w.howDeep(d, p)})
	}
	return list
}

// howDeep is what a hand tells a cutter of a path that the drawing does not: how deep, from
// the foam's top, and what becomes of what it goes round. A beam goes through.
func (w *sheetWork) howDeep(d process.Drawn, p *plan.Plan) string {
	if p.Machine.Process.Traits().Beam {
		return w.howFocused(d, p)
	}
	if p.Machine.Process.Traits().Blade {
		return w.howThrough(d, p)
	}
	length := func(mm float64) string { return page.Length(mm, p.Job.Units) }
	switch {
	case d.Kind == process.Mark:
		return fmt.Sprintf("engrave %s deep", length(w.sheet.Marking.DepthMM))
	case w.roundPlug(d):
		return fmt.Sprintf("cut %s deep, no deeper: a skin of %s holds each plug, or it is thrown", length(d.DepthMM), length(w.sheet.ThicknessMM()-d.DepthMM))
	case d.Kind == process.Pocket && d.DepthMM > 0:
		return fmt.Sprintf("cut %s deep, and clear all inside it", length(d.DepthMM))
	case d.Kind == process.Pocket:
		below := 0.0
		for _, c := range w.sheet.Cuts {
			below = max(below, c.BelowMM)
		}
		return fmt.Sprintf("cut through, %s deep, and clear all inside it first: a plug that comes loose is thrown", length(w.sheet.ThicknessMM()+below))
	}
	hold := w.sheet.Edge.Hold
	if hold.SkinMM > 0 {
		return fmt.Sprintf("cut %s deep, no deeper: a skin of %s holds the tray", length(w.sheet.Edge.DepthMM), length(hold.SkinMM))
	}
	return fmt.Sprintf("cut through, %s deep, and leave %d tabs, %s long and %s high, or the tray is thrown", length(w.sheet.Edge.DepthMM+w.sheet.Edge.BelowMM), hold.Tabs, length(hold.TabMM), length(hold.TabHighMM))
}

// howThrough is what a hand tells a blade of a path.
func (w *sheetWork) howThrough(d process.Drawn, p *plan.Plan) string {
	if d.Kind == process.Mark {
		return fmt.Sprintf("score it %s deep", page.Length(w.sheet.Marking.DepthMM, p.Job.Units))
	}
	return fmt.Sprintf("cut through, %s deep", page.Length(w.sheet.ThicknessMM()+w.sheet.Edge.BelowMM, p.Job.Units))
}

// howFocused is what a hand tells a beam of a path: where each of its passes is in focus, and
// how far one goes on past its start.
func (w *sheetWork) howFocused(d process.Drawn, p *plan.Plan) string {
	if d.Kind == process.Mark {
		return ""
	}
	length := func(mm float64) string { return page.Length(mm, p.Job.Units) }
	var list []string
	passes := w.sheet.Edge.Passes
	if n := len(passes); n > 1 && passes[1].FocusMM > 0 {
		text := fmt.Sprintf("focus pass 1 on the foam's top, and each after it %s lower", length(passes[1].FocusMM))
		if n > 2 {
			text += fmt.Sprintf(", pass %d %s below the top", n, length(passes[n-1].FocusMM))
		}
		if off := p.Machine.StandoffMM.Value; off > 0 {
			text += fmt.Sprintf(", which brings the nozzle to %s above the foam", length(off-passes[n-1].FocusMM))
		}
		list = append(list, text+": head down or bed up, in its own software, or by hand with the beam off, each pass then a run of its own. Where neither can be, set focus_step_mm to 0 in the recipe, and try its passes on a coupon")
	}
	if past := p.Machine.RunOnMM(w.sheet.Edge.Recipes[0].FeedMMPerMin.Value); past > 0 && len(d.Path.Vertices()) == 0 {
		list = append(list, fmt.Sprintf("let each path run %s past its start, where the software has such an overlap: the beam takes so long to have its power", length(max(past, w.sheet.Edge.KerfMM[0]))))
	}
	return strings.Join(list, ". And ")
}

// roundPlug reports whether a path goes round a plug.
func (w *sheetWork) roundPlug(d process.Drawn) bool {
	return d.Kind == process.Pocket && slices.ContainsFunc(w.sheet.Cuts, func(c plan.Cut) bool {
		return c.Plug && c.Tool.Number == d.Tool.Number && toPrinted(c.DepthMM) == toPrinted(d.DepthMM)
	})
}

// recipesOf are those that a path is cut with.
func (w *sheetWork) recipesOf(d process.Drawn) (list []profiles.Recipe) {
	switch d.Kind {
	case process.Mark:
		return w.sheet.Marking.Recipes
	case process.Outline:
		return w.sheet.Edge.Recipes
	}
	for _, c := range w.sheet.Cuts {
		if c.Tool.Number == d.Tool.Number && (d.DepthMM == 0 || toPrinted(c.DepthMM) == toPrinted(d.DepthMM)) {
			list = append(list, c.Recipes...)
		}
	}
	return list
}
