package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/proof"
	"traywright/geometry"
)

// operation is a run of motions with one name and one tool, as far as the
// program says so.
type operation struct {
	number   int // 1 first, as cut
	name     string
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
		if o := &ops[i]; !o.beam && o.lowest < 0 { // another cut may have gone deeper there
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

// piece is what a person calls the operation: the piece that the pocket is for,
// where the name has it in brackets, without the pass or part it may end in.
func (o operation) piece() string {
	_, rest, ok := strings.Cut(strings.NewReplacer("<", "(", ">", ")").Replace(o.name), "(")
	if name, _, closed := strings.Cut(rest, ")"); ok && closed && strings.TrimSpace(name) != "" {
		return strings.TrimSpace(name)
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
		g := group{o.number, o.number, o.piece(), o.tool, math.Round(o.depthMM*1000) / 1000}
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

// flag is a finding's place on the sheet.
type flag struct {
	number int
	at     geometry.Point
	known  bool
	text   string
	error  bool
}

// flags finds where each finding happens: at the end of the motion of its line,
// or of the last one before it.
func flags(r proof.Result) []flag {
	var list []flag
	for i, f := range r.Findings {
		place, known := placeOf(f.Line, r.Motions)
		list = append(list, flag{i + 1, place, known, findingText(f), f.Severity == finding.Error})
	}
	return list
}

// findingText is a finding with its line in front.
func findingText(f finding.Finding) string {
	line, text := fmt.Sprintf("line %d: ", f.Line), f.Text()
	if text == "" {
		text = f.Rule
	}
	if f.Line <= 0 {
		return text
	}
	return line + strings.TrimPrefix(text, line)
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
