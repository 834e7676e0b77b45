package page

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry"
)

// operation is a run of motions with one name and one tool, as far as the
// program says so.
type operation struct {
	number   int // 1 first, as cut
	name     string
	called   string // by the roster's names; "" where no job is known
	tool     int
	start    geometry.Point // where it first cuts
	box      geometry.Box   // of its cutting motions
	depthMM  float64        // of the foam at its lowest motion, as far as a cutter itself goes; NaN not known
	beam     bool           // it has power, so its Z says nothing of its depth
	lowest   float64        // Z of that motion
	lowestAt geometry.Point
}

// operations are the parts of a program that cut, in order.
func operations(motions []proof.Motion, field proof.Field) []operation {
	var ops []operation
	var current *operation
	name, tool := "", -1
	for _, m := range motions {
		if m.Op != name || m.Tool != tool {
			current, name, tool = nil, m.Op, m.Tool
		}
		if !cutting(m) {
			continue
		}
		if current == nil {
			ops = append(ops, newOperation(len(ops)+1, m))
			current = &ops[len(ops)-1]
		}
		current.add(m)
	}
	for i := range ops {
		if usable(field) {
			ops[i].depthMM = depthAt(field, ops[i].lowestAt)
		}
		if o := &ops[i]; o.beam && o.name == plan.MarksName { // they do not go through, though the foam around them may fall out later
			o.depthMM = math.NaN()
		} else if !o.beam && o.lowest < 0 { // another cut may have gone deeper there
			o.depthMM = math.Min(o.depthMM, -o.lowest)
		}
	}
	return ops
}

// cutting reports whether a motion removes foam and can be drawn.
func cutting(m proof.Motion) bool {
	return m.On && !m.Rapid && believable(m.From.Point) && believable(m.To.Point)
}

func newOperation(number int, m proof.Motion) operation {
	return operation{
		number: number, name: strings.TrimPrefix(m.Op, "op: "), tool: m.Tool,
		start: m.From.Point, box: geometry.EmptyBox(), lowest: math.Inf(1), depthMM: math.NaN(),
	}
}

func (o *operation) add(m proof.Motion) {
	o.beam = o.beam || m.Power > 0
	for _, p := range trace(m, 1) {
		o.box = o.box.Union(geometry.Box{Min: p, Max: p})
	}
	if m.To.Z < o.lowest {
		o.lowest, o.lowestAt = m.To.Z, m.To.Point
	}
}

// depthAt is the depth of the field at a place; NaN outside it.
func depthAt(f proof.Field, p geometry.Point) float64 {
	x, y := math.Floor((p.X-f.Origin.X)/f.CellMM), math.Floor((p.Y-f.Origin.Y)/f.CellMM)
	if !(x >= 0 && y >= 0 && x < float64(f.Columns) && y < float64(f.Rows)) {
		return math.NaN()
	}
	return float64(f.DepthMM[int(y)*f.Columns+int(x)])
}

// name gives operations the plan's names, of which a program has no letters but ASCII, and the names that
// the roster of the job gives the pieces in their brackets.
func (s *sheet) name() {
	if s.o.Wanted != nil && s.o.Spell != nil {
		planned := map[string]string{}
		for _, c := range s.o.Wanted.Cuts {
			for _, name := range []string{c.Name, plan.RoughingOf + c.Name} {
				planned[s.o.Spell(name)] = name
			}
		}
		for i := range s.ops {
			s.ops[i].name = cmp.Or(planned[s.ops[i].name], s.ops[i].name)
		}
	}
	if s.o.Job == nil || s.o.Job.Job == nil {
		return
	}
	names := rosterNames(s.o.Job.Job.Roster, s.typesetter)
	for i := range s.ops {
		o := &s.ops[i]
		o.called = names(o.piece())
	}
}

// rosterNames puts what the roster calls its pieces in the place of their ids, which are listed with
// commas; in a picture an id stays where the letters lack some of its name.
func rosterNames(roster []job.Piece, t *typesetter) func(ids string) string {
	names := map[string]string{}
	for _, p := range roster {
		names[p.ID] = t.name(&plan.Pocket{Piece: p.Name, For: p.ID})
	}
	return func(ids string) string {
		list := strings.Split(ids, ", ")
		for i, id := range list {
			list[i] = cmp.Or(names[id], apart(id))
		}
		return strings.Join(list, ", ")
	}
}

// piece is what a person calls the operation: the piece that the pocket is for,
// where the name has it in brackets, without the pass or part it may end in.
func (o operation) piece() string {
	if o.called != "" {
		return o.called
	}
	_, rest, _ := strings.Cut(strings.NewReplacer("<", "(", ">", ")").Replace(o.name), "(")
	if name := strings.TrimSpace(rest[:max(0, strings.LastIndex(rest, ")"))]); name != "" { // a name may have brackets of its own
		if strings.HasPrefix(o.name, plan.RoughingOf) {
			name += ", roughed"
		}
		return name
	}
	return o.name
}

// group is operations that follow each other and are alike.
type group struct {
	first, last int // numbers
	piece       string
	tool        int
	depthMM     float64
}

// groups puts operations that follow each other and differ in nothing but their
// place into one line.
func groups(ops []operation) []group {
	var list []group
	for _, o := range ops {
		g := group{o.number, o.number, o.piece(), o.tool, math.Round(o.depthMM*1e4) / 1e4}
		if n := len(list); n > 0 && list[n-1].like(g) {
			list[n-1].last = o.number
			continue
		}
		list = append(list, g)
	}
	return list
}

func (g group) like(h group) bool {
	same := g.depthMM == h.depthMM || math.IsNaN(g.depthMM) && math.IsNaN(h.depthMM)
	return g.piece == h.piece && g.tool == h.tool && same
}

// flag is a finding, with those like it, and where on the sheet they are.
type flag struct {
	finding.Finding
	number int
	places []geometry.Point
}

// flags are all findings as a person reads them, errors first, those of one rule
// together. A place is the end of the motion of a finding's line, or of the last
// one before it.
func flags(r proof.Result, beside finding.List) []flag {
	kind := func(f finding.Finding) finding.Finding { return finding.Finding{Severity: f.Severity, Rule: f.Rule} }
	places := map[finding.Finding][]geometry.Point{}
	for _, f := range r.Findings {
		if at, known := placeOf(f.Line, r.Motions); known {
			places[kind(f)] = append(places[kind(f)], at)
		}
	}
	var list []flag
	for i, f := range slices.Concat(beside, r.Findings).Folded() {
		next := flag{Finding: f, number: i + 1}
		if f.Line > 0 {
			next.places = places[kind(f)]
		}
		list = append(list, next)
	}
	return list
}

// text is what a flag stands for, with the word for how bad it is and the line in front.
func (f flag) text() string {
	word := f.Severity.String()
	if f.Line > 0 {
		word += fmt.Sprintf(", line %d", f.Line)
	}
	return word + ": " + cmp.Or(f.Text(), f.Rule)
}

func placeOf(line int, motions []proof.Motion) (geometry.Point, bool) {
	i, _ := slices.BinarySearchFunc(motions, line+1, func(m proof.Motion, l int) int { return m.Line - l })
	for i--; i >= 0; i-- {
		if believable(motions[i].To.Point) {
			return motions[i].To.Point, true
		}
	}
	return geometry.Point{}, false
}
