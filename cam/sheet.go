package cam

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"iter"
	"slices"
	"strings"
	"sync"

	"traywright/cam/finding"
	"traywright/cam/gcode"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/cam/safety"
	"traywright/cam/stock"
	"traywright/geometry"
	"traywright/profiles"
)

// sheetWork is one sheet of one tray on its way through the pipeline.
type sheetWork struct {
	tray    *plan.Tray // of a setup, all of its trays as one
	sheet   *plan.Sheet
	name    string          // path of its files, as far as they have it in common
	ending  string          // of its program's name, or of its drawing's
	drawn   bool            // the machine takes the drawing, and the program is for the proof alone
	k, of   int             // which of its sheet's programs it is, from 1, and of how many; 0 for the only one
	before  []proof.Earlier // the programs of its sheet before it
	parts   []part          // the programs that the sheet takes
	makes   []page.Part     // what is cut with its program: itself first, then the sheets that are one with it
	program process.Program
	stats   process.Stats
	whole   process.Stats // of all programs of the sheet
	swept   process.Stats // likewise, without where tools are changed and it parks
	body    []byte        // the program without its opening comments; none where there is no path
	run     proof.Result
	files   []sheetFile
	movedBy geometry.Point // of the DXF drawings against the program
	found   finding.List
	laidOn  *stock.Setup // nil for a sheet of the plan on a blank of its own
	offcut  *page.Offcut // of a test piece that has a place on one; nil for any other sheet
	coupon  bool         // cut to find out how far off foam and kerf are: no corners of them are tried
}

// cutSheets takes every sheet of the plan through the pipeline, two cores'
// worth at a time, and returns them in the order of cutting, each that is one with
// another as that. With stock that is for showing them alone, and the setups come from
// the sheets that they are laid on; there are none when one of the layers is refused.
func cutSheets(ctx context.Context, r Request, p *plan.Plan, l stock.Layout, o Options) (alone, list []*sheetWork, err error) {
	alone, err = cutEach(ctx, sheetsOf(p), r, onNoBed(p), o)
	if err != nil || p.Job.Stock == nil {
		return alone, alone, err
	}
	for _, w := range alone {
		if w.found.Failed() {
			return ofNoProgram(alone), nil, nil
		}
	}
	list, err = cutEach(ctx, works(p, l), r, p, o)
	return shownAlone(alone), list, err
}

// cutEach takes each sheet through the pipeline.
func cutEach(ctx context.Context, works []*sheetWork, r Request, p *plan.Plan, o Options) ([]*sheetWork, error) {
	if err := layEach(ctx, works, p); err != nil {
		return works, err
	}
	return cutLaid(ctx, works, r, p, o)
}

// proved is the plan on the machine as programs are tried on it.
func proved(p *plan.Plan) *plan.Plan {
	proving := *p
	proving.Machine = p.Machine.Proving()
	return &proving
}

// layEach makes the moves of each sheet.
func layEach(ctx context.Context, works []*sheetWork, p *plan.Plan) error {
	p = proved(p)
	return forEach(ctx, works, func(w *sheetWork) error { return w.lay(p) })
}

// cutLaid finishes sheets whose moves are made.
func cutLaid(ctx context.Context, works []*sheetWork, r Request, p *plan.Plan, o Options) ([]*sheetWork, error) {
	p = proved(p)
	works = eachTool(leastChanges(alike(works, p.Machine)))
	var done int
	var mu sync.Mutex
	return works, forEach(ctx, works, func(w *sheetWork) error {
		err := w.cut(r, p, o)
		mu.Lock()
		defer mu.Unlock()
		if done++; o.Progress != nil {
			o.Progress(done, len(works))
		}
		return err
	})
}

// lay makes the sheet's moves, and the text that tells a machine of them.
func (w *sheetWork) lay(p *plan.Plan) error {
	var err error
	w.program, err = process.Make(*w.sheet, p.Machine, toleranceMM)
	if err != nil {
		why := finding.List{{Rule: "no-path", Message: err.Error(), Hint: "change the pocket or choose another tool; no program was written"}}
		errors.As(err, &why)
		why[0].Where = strings.TrimSuffix(w.where()+", "+why[0].Where, ", ")
		w.found = append(w.found, why[0])
		return nil
	}
	w.stats = gcode.Reach(w.program, process.Measure(w.program), w.sheet.On(p.Machine))
	w.whole, w.swept = w.stats, process.Measure(w.program)
	if p.Machine.Process.Traits().ByHand {
		w.body = w.lines()
		return nil
	}
	if err := w.divide(w.sheet.On(p.Machine)); err != nil {
		return fmt.Errorf("%s: %w", w.where(), err)
	}
	return nil
}

// cut finishes the sheet's program, tries it and draws it.
func (w *sheetWork) cut(r Request, p *plan.Plan, o Options) error {
	if len(w.body) == 0 {
		return nil
	}
	if p.Machine.Process.Traits().ByHand {
		w.run = w.planned()
		return w.draw(r, p, o)
	}
	w.found = append(w.found, straightDown(w.where(), straightsOf(w.program), *w.sheet, r.Unit)...)
	name, text := w.path(), w.write(r, p)
	if !w.drawn {
		w.files = append(w.files, sheetFile{File{name, text}, strings.Join(w.tools(), ", ")})
	}
	setup := w.setup(p.Machine)
	setup.Unit = r.Unit
	if !w.coupon {
		setup.Tolerances = w.tolerances(p.Machine)
	}
	w.run = proof.Run(name, text, setup, w.wanted(p.Machine))
	w.found = append(w.found, safety.CheckMinutes(w.run.Seconds, w.where(), r.Rules)...)
	w.found = append(w.found, w.dryRunFindings()...)
	if p.Machine.Process.Traits().Beam {
		w.found = append(w.found, safety.CheckLit(w.run.OnSeconds, w.where())...)
	}
	if !w.last() { // the drawings are of the whole sheet, which is told where they lie
		w.plotted(p, o)
		return nil
	}
	return w.draw(r, p, o)
}

// write prints the program: in front of its body what it says of itself, with the
// time that the proof's clock finds in that.
func (w *sheetWork) write(r Request, p *plan.Plan) []byte {
	h := w.header(r, p)
	h.MovesSeal, h.PlanSeal = proof.MovesSeal(w.body), w.planSeal(p.Machine)
	h.Seconds, h.LeastSeconds = proof.Time(w.body, p.Machine)
	return sealed(gcode.Opening(w.program, w.stats, h, w.sheet.On(p.Machine)), w.body, p.Machine)
}

// sealed puts a program together: its opening, which ends in the sum of all comments, and
// its body.
func sealed(opening, body []byte, m profiles.Machine) []byte {
	words := proof.WordsSeal(slices.Concat(opening, body))
	return slices.Concat(opening, gcode.WordsSeal(words, m), body)
}

// planSeal is the sum of what the program is held against.
func (w *sheetWork) planSeal(m profiles.Machine) string {
	return proof.PlanSeal(w.setup(m), w.wanted(m))
}

// sheetFile is one of a sheet's files, and the tool that it is for; "" for a picture.
type sheetFile struct {
	File
	tool string
}

// draw writes the sheet's drawings: DXF and SVG from the paths, the picture
// from what the dry run read back.
func (w *sheetWork) draw(r Request, p *plan.Plan, o Options) error {
	if o.pageOnly {
		w.plotted(p, o)
		return nil
	}
	if err := w.drawings(p, o); err != nil {
		return err
	}
	var picture bytes.Buffer
	if err := page.Picture(&picture, w.run, w.pictureOptions(r, p)); err != nil {
		return fmt.Errorf("%s: %w", w.where(), err)
	}
	w.files = append(w.files, sheetFile{File: Sign(File{w.name + ".png", picture.Bytes()})})
	if p.Machine.Process.Traits().ByHand {
		return w.template(r, p, o)
	}
	return nil
}

// fieldCellMM is the cell of the virtual foam. Walls are measured exactly,
// whatever the cell; it decides how small a flake left on a floor is seen, and
// how fine the picture is.
const fieldCellMM = 0.2

// setup is what the machine and the foam are, for the dry run.
func (w *sheetWork) setup(m profiles.Machine) proof.Setup {
	s := proof.Setup{Machine: w.sheet.On(m), KerfMM: map[int]float64{}, ThicknessMM: w.sheet.ThicknessMM(), CellMM: fieldCellMM, SpinUpSeconds: m.Controller.SpinUpS, Tool: w.sheet.Edge.Tool.Number, Before: w.before}
	for _, c := range w.sheet.CutOn(m) {
		s.KerfMM[c.Tool.Number] = max(s.KerfMM[c.Tool.Number], c.WidestMM())
		s.BreakthroughMM = max(s.BreakthroughMM, c.BelowMM)
		if c.Tool.Number != s.Tool {
			s.Tool = 0 // several, so the program has to say which
		}
		for _, recipe := range c.Recipes {
			s.TaperDegrees = max(s.TaperDegrees, recipe.TaperDegrees.Value)
		}
	}
	if w.k > 0 {
		s.Tool = w.program.Ops[0].Tool.Number
	}
	if len(w.sheet.Layers) > 1 {
		s.Layers = w.blockLayers()
	}
	return s
}

// blockLayers is a block's layers with the kerf that each tool has in each.
func (w *sheetWork) blockLayers() []proof.Layer {
	var layers []proof.Layer
	for i, l := range w.sheet.Layers {
		layer := proof.Layer{Name: l.Foam.ID, ThicknessMM: l.Thickness.MM(), KerfMM: map[int]float64{}}
		for _, c := range w.sheet.All() {
			layer.KerfMM[c.Tool.Number] = max(layer.KerfMM[c.Tool.Number], c.KerfMM[i])
		}
		layers = append(layers, layer)
	}
	return layers
}

// wanted is the planned foam that the program has to leave.
func (w *sheetWork) wanted(m profiles.Machine) *proof.Wanted {
	want := &proof.Wanted{Outline: w.sheet.Edge.Shape, OutlineDepthMM: w.sheet.Edge.DepthMM, MarkDepthMM: w.sheet.Marking.DepthMM,
		OutlineBridged: bridgesOf(w.sheet.Edge), Tabs: tabsOf(w.sheet.Edge), OutlineLimits: w.limits(w.sheet.Edge, m), MarkLimits: w.limits(w.sheet.Marking, m)}
	for i := range want.MarkLimits { // in one pass, which darkens the face
		want.MarkLimits[i].Passes = 0
		if m.MovesZ() {
			want.MarkLimits[i].FocusMM = []float64{0}
		}
	}
	for i, c := range w.sheet.Cuts {
		want.Cuts = append(want.Cuts, proof.WantedCut{Name: c.Name, Shape: c.Shape, DepthMM: c.DepthMM, Through: c.Through, Plug: c.Plug, Bridged: bridgesOf(c), Limits: w.limits(c, m), Seats: w.seats(i)})
	}
	for i := range want.MarkLimits { // straight in
		want.MarkLimits[i].RampDegrees = 0
	}
	want.Way = w.way(m)
	want.Marks, want.Slits = w.wantedMarks(), w.slits(m)
	if w.laidOn != nil {
		for i, box := range w.laidOn.Kept() {
			want.Offcuts = append(want.Offcuts, proof.Offcut{Box: box, Name: w.laidOn.Called[i]})
		}
	}
	unmarked(want, m)
	w.soFar(want)
	if w.coupon {
		want.Whole = "the coupon"
	}
	for _, r := range w.sheet.Edge.Recipes {
		want.LeadInMM = max(want.LeadInMM, r.LeadInMM.Value)
	}
	return want
}

// way is where the program goes, in true mm.
func (w *sheetWork) way(m profiles.Machine) iter.Seq[proof.Motion] {
	on := w.sheet.On(m)
	return func(yield func(proof.Motion) bool) {
		for from, move := range w.program.Ways(on) {
			way := proof.Motion{From: proof.Point(from), To: proof.Point(move.To), Rapid: move.Kind == process.Rapid, Arc: move.Kind == process.CW || move.Kind == process.CCW, CCW: move.Kind == process.CCW,
				Center: move.Center, Feed: move.FeedMMPerMin, On: move.PowerPercent > 0, Power: on.Controller.Written(move.PowerPercent), WaitS: move.WaitS}
			if !yield(way) {
				return
			}
		}
	}
}

func tabsOf(c plan.Cut) proof.Tabs {
	return proof.Tabs{Count: c.Hold.Tabs, WidthMM: c.Hold.TabMM, HighMM: c.Hold.TabHighMM}
}

func bridgesOf(c plan.Cut) proof.Bridges {
	return proof.Bridges{At: c.Hold.Bridges, WidthMM: c.Hold.BridgeMM, Left: c.Left}
}

// wantedMarks is what is engraved: never nil, for all of it is known.
func (w *sheetWork) wantedMarks() []proof.WantedMark {
	list := []proof.WantedMark{}
	for _, p := range w.sheet.Marks {
		list = append(list, proof.WantedMark{Path: p, WidthMM: w.sheet.Marking.KerfMM[0]})
	}
	return list
}

// dryRunFindings are the dry run's findings as the job's.
func (w *sheetWork) dryRunFindings() finding.List {
	list := slices.Clone(w.run.Findings)
	if !w.run.OK && !list.Failed() {
		list = append(list, finding.Finding{
			Rule: "dry-run", Where: w.where(),
			Message: fmt.Sprintf("the dry run leaves foam that differs from the plan: %.3f mm too much cut at %s, %.3f mm too little at %s",
				w.run.WorstOvercutMM, place(w.run.WorstOvercutAt), w.run.WorstUndercutMM, place(w.run.WorstUndercutAt)),
			Hint: "this is a fault of the program, not of your job; please report it with the job file",
		})
	}
	return list
}

func place(p geometry.Point) string { return fmt.Sprintf("X%.2f Y%.2f", p.X, p.Y) }

// foams names the foams of the sheet, top to bottom.
func (w *sheetWork) foams() string {
	var names []string
	for _, l := range w.sheet.Layers {
		if len(names) == 0 || names[len(names)-1] != l.Foam.ID {
			names = append(names, l.Foam.ID)
		}
	}
	return strings.Join(names, " + ")
}

// kerf is the width that the outline's tool removes.
func (w *sheetWork) kerf() profiles.Number {
	if recipes := w.sheet.Edge.Recipes; len(recipes) > 0 {
		return recipes[0].KerfMM
	}
	return profiles.Number{}
}

// uses is what the sheet puts under the machine.
func (w *sheetWork) uses(m profiles.Machine) []safety.Use {
	var list []safety.Use
	for _, l := range w.sheet.Layers {
		for _, c := range w.sheet.All() {
			u := safety.Use{Foam: l.Foam, Machine: m.With(c.Tool), Block: len(w.sheet.Layers) > 1, DepthMM: w.sheet.ThicknessMM(), Where: w.where()}
			list = addUse(list, u)
		}
	}
	return list
}

// zTop is the height of the foam's top in the program's own Z.
func (w *sheetWork) zTop(m profiles.Machine) float64 {
	if w.sheet.On(m).ZZero == profiles.ZBed {
		return w.sheet.ThicknessMM()
	}
	return 0
}
