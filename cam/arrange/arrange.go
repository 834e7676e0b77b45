// Package arrange gives every piece of a roster a place: it makes pockets of
// pieces, lays them out in trays, and chooses trays for cases that have none,
// so that pads, bases and cover fill each case exactly.
//
// What it is asked for stands in the job: trays that hold pieces, and cases
// without a stack. What it answers is a job as well, with nothing left open.
package arrange

import (
	"context"
	"fmt"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Input is all that an arrangement is made from.
type Input struct {
	Job     *job.Job
	Catalog *profiles.Catalog
	Machine profiles.Machine
	Means   plan.Means // what the machine's process can do; nil for one without cutting paths, which cuts whole layers
	// Outlines, Pictures and Fonts are what the job's files hold, as for a plan:
	// pockets, labels and emblems that have their place keep it free.
	Outlines map[string]geometry.Region
	Pictures map[job.Picture]geometry.Region
	Fonts    map[string]*lettering.Face
	// Previous is an earlier arrangement of the job. What still fits of it
	// stays where it is; nil for none.
	Previous *job.Job
	// Touched are lines of the earlier arrangement whose pockets a hand has placed: they are pinned.
	Touched  map[int]bool
	Try      int    // orders tried at random for each tray, beside the plain ones
	Seed     uint64 // of the random orders: the same seed, the same answer
	Unit     units.Unit
	Progress func(done, total int) // from time to time; nil for none
	// Refuses is what speaks against a job, errors and others: `check`, as far as the
	// arranger is to keep to it when it chooses sheets and poses. nil for nothing.
	Refuses func(*job.Job) finding.List
	hinting bool // arranges in order to try a hint, and looks for no further ones
}

// Result is an arrangement. Job is nil where a finding is an error: then not
// every piece has a place, and the findings say which, and what would help.
type Result struct {
	Job       *job.Job
	Kinds     []Kind
	Trays     []Tray
	Moved     Moved // since the earlier arrangement
	Findings  finding.List
	Partial   Partial        // where Job is nil
	Stopped   bool           // the search was cut short; the arrangement is whole all the same
	unreached map[string]int // by tray: pockets for whose way in there was no room
}

// Kind is what was decided for one piece in one tray.
type Kind struct {
	Piece    string  `json:"piece"`
	Name     string  `json:"name"`
	Tray     string  `json:"tray"`
	Count    int     `json:"count"` // of pieces
	Pile     int     `json:"pile"`  // so many of them in each pocket
	Pose     string  `json:"pose"`
	Shape    string  `json:"shape"`
	LengthMM float64 `json:"length_mm"`
	WidthMM  float64 `json:"width_mm"`
	DepthMM  float64 `json:"depth_mm"`
	Access   string  `json:"access"` // how fingers get at it, as in a report; several of them with commas
	Why      string  `json:"why"`
}

// Tray is how well one tray, or the trays chosen for one case, are used.
type Tray struct {
	ID       string  `json:"id"`
	Case     string  `json:"case"` // that it was chosen for; "" where the job names the tray
	Pockets  int     `json:"pockets"`
	Blocks   int     `json:"blocks"`
	Used     float64 `json:"used"`      // part of the room inside the edge that pockets and walls take
	TraysMin int     `json:"trays_min"` // no arrangement of the same pockets has fewer trays of this size
	WeightG  float64 `json:"weight_g"`  // foam left and pieces
	Why      string  `json:"why"`       // it is where it is, where that is not for its weight; else ""
}

// Make arranges a job. When ctx ends, it looks no further for better places,
// finishes what it has, and says so.
func Make(ctx context.Context, in Input) Result {
	in.Job = turnPlaced(in)
	var taken finding.List
	in.Previous, taken = in.renamed()
	placed := pin(in)
	placed.found = append(placed.found, taken...)
	in.Job = placed.job
	m := placed.filled(ctx, nil, in.Previous != nil)
	if in.Previous != nil && len(m.short) > 0 {
		m = placed.filled(ctx, nil, false)
	}
	for bare := m.tooFull(); bare != nil; bare = m.tooFull() { // what found no place may find one where no way in takes room
		m = placed.filled(ctx, bare, false)
	}
	m.fillCases()
	if !m.found.Failed() {
		for _, tell := range m.gave {
			tell()
		}
		m.tellUnused()
		m.prove()
	}
	result := Result{Kinds: m.kinds, Trays: m.trays, Findings: m.found, Stopped: ctx.Err() != nil, unreached: m.unreached}
	if !m.found.Failed() {
		markChosen(m.out, m.source)
		result.Job, result.Moved = m.out, movedSince(in.Previous, m.out)
	} else {
		result.Partial = m.partial()
	}
	return result
}

// filled is a maker whose trays of the job are filled, some of them with no ways in. Settled says that each leaves to
// later trays what these had before.
func (p *pinning) filled(ctx context.Context, bare map[string]bool, settled bool) *maker {
	in := p.Input
	in.Job = p.job
	m := newMaker(ctx, in)
	m.found, m.pins, m.pinnedAs, m.source, m.bare, m.settled = slices.Clone(p.found), p.chosen, p.all, p.Input.Job, bare, settled
	m.readFixed()
	m.fillTrays()
	return m
}

// maker carries what every step looks things up in.
type maker struct {
	Input
	ctx       context.Context
	step      units.Length
	router    bool
	pieces    map[string]*job.Piece
	out       *job.Job
	fixed     map[string][]plan.Pocket // by tray, or half: pockets that the job places
	taken     map[string][]standing    // by tray, half or case: what is not free, notches, labels and emblems included
	feet      *feet
	holds     map[string]map[string]int   // by tray and piece: how many its pockets take
	pins      map[string][]job.Pocket     // of chosen trays
	pinnedAs  map[finding.Position]pinned // what of the earlier arrangement stays, by its line
	source    *job.Job                    // without the pins in its trays
	kinds     []Kind
	trays     []Tray
	found     finding.List
	done      int
	inches    bool                        // sheets that are sold in inches alone
	ownCover  bool                        // a case does not go under the cover of another
	asked     map[string]*finding.Finding // trays that were held against Refuses
	toldOf    map[string]bool             // sheets that cannot be cut
	lacking   finding.List                // sheets that the stock has none of, once it was looked for them
	looked    bool
	poses     map[posesKey]poses // in new trays
	gave      []func()           // say what is to be said of ways in that gave way, where all else is well
	unreached map[string]int     // by tray: pockets for whose way in there was no room
	short     []kind             // what the job's trays have no room for
	bare      map[string]bool    // trays without ways in that the arranger chooses
	settled   bool               // what a later tray had of a piece is left to it
}

func newMaker(ctx context.Context, in Input) *maker {
	out := *in.Job
	out.Trays, out.Cases = slices.Clone(in.Job.Trays), slices.Clone(in.Job.Cases)
	m := &maker{
		Input: in, ctx: ctx, step: plan.Step(in.Job.Units), router: in.Means != nil && !in.Means.WholeLayers(), out: &out,
		pieces: map[string]*job.Piece{}, fixed: map[string][]plan.Pocket{}, taken: map[string][]standing{}, feet: &feet{in.Outlines, map[footKey]*foot{}}, holds: map[string]map[string]int{},
		asked: map[string]*finding.Finding{}, toldOf: map[string]bool{}, poses: map[posesKey]poses{}, unreached: map[string]int{},
	}
	for i := range in.Job.Roster {
		m.pieces[in.Job.Roster[i].ID] = &in.Job.Roster[i]
	}
	return m
}

func (m *maker) finding(s finding.Severity, at finding.Position, rule, hint, format string, args ...any) finding.Finding {
	return finding.Finding{Severity: s, Rule: rule, Where: at.String(), Message: fmt.Sprintf(format, args...), Hint: hint}
}

func (m *maker) add(s finding.Severity, at finding.Position, rule, hint, format string, args ...any) {
	m.found = append(m.found, m.finding(s, at, rule, hint, format, args...))
}

// report adds a finding where there is one.
func (m *maker) report(wrong *finding.Finding) {
	if wrong != nil {
		m.found = append(m.found, *wrong)
	}
}

func (m *maker) length(l units.Length) string { return l.Format(m.Unit) }

// caseParts is how many parts of the work a case without a stack counts for: a
// tray is one, and each thickness that a case's pads could have is another.
const caseParts = 12

// advance says that the work is at a part of its whole.
func (m *maker) advance(to int) {
	if m.Progress == nil || to <= m.done {
		return
	}
	total := 0
	for _, t := range m.Job.Trays {
		if len(t.Holds) > 0 {
			total++
		}
	}
	for _, c := range m.Job.Cases {
		if len(c.Stack) == 0 {
			total += caseParts
		}
	}
	m.done = min(to, total)
	m.Progress(m.done, total)
}

// readFixed looks at the pockets that the job itself places: where they are,
// notches and all, and how many of their piece go in; and at labels and emblems.
func (m *maker) readFixed() {
	j := *m.Job
	j.Trays = slices.Clone(j.Trays)
	for i := range j.Trays {
		j.Trays[i].Holds = nil
	}
	j.Trays = append(j.Trays, m.pinnedTrays()...)
	p := m.planOf(&j)
	owner := map[string]string{}
	for _, t := range j.Trays {
		owner[t.ID], m.holds[t.ID] = t.ID, map[string]int{}
		if t.Halves == 2 {
			owner[t.ID+"-1"], owner[t.ID+"-2"] = t.ID, t.ID
		}
	}
	for _, t := range p.Trays {
		m.fixed[t.ID], m.taken[t.ID] = t.Pockets, takenIn(t)
		for _, k := range t.Pockets {
			if k.For != "" {
				m.holds[owner[t.ID]][k.For] += m.placesIn(k)
			}
		}
	}
}

// planOf is the plan of a job as far as it has places already.
func (m *maker) planOf(j *job.Job) *plan.Plan {
	p, _ := m.planFound(j)
	return p
}

// planFound is the plan of a job, and what it finds.
func (in Input) planFound(j *job.Job) (*plan.Plan, finding.List) {
	return plan.Make(plan.Input{
		Job: j, Catalog: in.Catalog, Machine: in.Machine, Means: in.Means, Outlines: in.Outlines, Pictures: in.Pictures, Fonts: in.Fonts,
		Recipe: func(foam, tool string) (profiles.Recipe, bool) { return in.Catalog.Recipe(foam, in.Machine.ID, tool) },
	})
}

// standing is what has its place already: its box, and its true outline.
type standing struct {
	box
	shape geometry.Region
}

func boxesOf(list []standing) (boxes []box) {
	for _, s := range list {
		boxes = append(boxes, s.box)
	}
	return boxes
}

// takenIn is all that has its place in a tray.
func takenIn(t plan.Tray) []standing {
	var taken []standing
	for _, k := range t.Pockets {
		taken = append(taken, standing{around(k.Design.Bounds()), k.Design})
	}
	for _, k := range t.Marks {
		taken = append(taken, standing{around(k.Box), geometry.NewRegion(geometry.Rectangle(k.Box, 0))})
	}
	return taken
}

// named are the pieces that names of pieces and groups stand for, in order,
// each once.
func (m *maker) named(names []string) []*job.Piece {
	var list []*job.Piece
	for _, name := range names {
		for i := range m.Job.Roster {
			p := &m.Job.Roster[i]
			if (p.ID == name || p.Group == name) && !slices.Contains(list, p) {
				list = append(list, p)
			}
		}
	}
	return list
}

// trayAt is where the tray of an id is in a list; -1 for nowhere.
func trayAt(list []job.Tray, id string) int {
	return slices.IndexFunc(list, func(t job.Tray) bool { return t.ID == id })
}

// caseAt is where the case of a name is in a list; -1 for nowhere.
func caseAt(list []job.Case, name string) int {
	return slices.IndexFunc(list, func(c job.Case) bool { return c.Name == name })
}
