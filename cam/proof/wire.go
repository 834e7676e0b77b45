package proof

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/proof/read"
	"traywright/geometry"
)

// An upright hot wire cuts all the foam's height wherever it is, also on a rapid and while it
// waits. It is followed as a beam that never goes dark, and besides: its way is one, it stands
// nowhere in the foam, passes through foam that stays on the planned slits alone, and leaves the
// tray in one piece.

// WantedSlit is a straight way through foam that stays, or through waste, that the plan cuts, in
// and out again, and that is glued.
type WantedSlit struct {
	From, To geometry.Point
	WidthMM  float64
	Name     string // of what it leads to
}

// Region is the foam that the slit takes.
func (s WantedSlit) Region() geometry.Region {
	way := s.To.Sub(s.From)
	if way.Norm() == 0 {
		return geometry.Region{}
	}
	side := way.Scale(s.WidthMM / 2 / way.Norm()).Left()
	return geometry.NewRegion(geometry.Polygon(s.From.Sub(side), s.To.Sub(side), s.To.Add(side), s.From.Add(side)))
}

func (s WantedSlit) segment() geometry.Segment { return geometry.Segment{A: s.From, B: s.To} }

// atSlit reports whether a wall's place lies in the mouth of a slit, where no wall is.
func (d *run) atSlit(p geometry.Point) bool {
	return slices.ContainsFunc(d.want.Slits, func(s WantedSlit) bool {
		on, _ := s.segment().Nearest(p)
		return on.DistanceTo(p) <= s.WidthMM/2+d.tolerance
	})
}

// onSlit reports whether a place of the wire's middle lies on a planned slit.
func (d *run) onSlit(p geometry.Point) bool {
	return slices.ContainsFunc(d.want.Slits, func(s WantedSlit) bool {
		on, _ := s.segment().Nearest(p)
		return on.DistanceTo(p) <= d.tolerance
	})
}

// light is what cuts all the height, in a word.
func (d *run) light() string {
	if d.wire {
		return "wire"
	}
	return "beam"
}

// checkWire judges where and how the wire moves and stands.
func (d *run) checkWire() {
	if !d.wire || len(d.result.Motions) == 0 {
		return
	}
	first, last := -1, -1 // steps
	for i, m := range d.result.Motions {
		if m.Rapid || m.flatLength() <= slackMM {
			continue
		}
		if last = d.stepOf[i]; first < 0 {
			first = last
		}
	}
	for i, m := range d.result.Motions {
		if m.Rapid && m.flatLength() > slackMM && d.stepOf[i] > first && d.stepOf[i] < last {
			d.strictly(m.Line, "wire-rapid", "a rapid of the hot wire, which cuts at any speed, or pushes the foam: it goes %v through whatever lies there", length(m.flatLength())).
				hint("go there on the way that is cut already, at the feed")
			break
		}
	}
	for i, s := range d.trace.Steps {
		stands := s.Action == read.Wait && s.Seconds > 0 || s.Action == read.Pause || s.Action == read.ToolChange
		if stands && i > first && i < last {
			d.strictly(s.Line, "wire-standing", "the hot wire stands still in the midst of its way, and melts the foam around it").hint("take the line out")
			break
		}
	}
	d.checkTurnsBack()
	d.checkLingers()
	d.checkWireLifted()
	if thick, limit := d.setup.ThicknessMM, d.setup.MaxDepthMM; limit > 0 && thick > limit+slackMM {
		d.wrong(d.result.Motions[0].Line, "depth-over-limit", "the wire cuts through %v of foam and the shop rules allow %v", length(thick), length(limit)).hint("cut thinner foam")
	}
}

// againBy is what is wrong with a motion that goes once more than planned over its way: a slit is
// gone in and out, all else once.
func (d *run) againBy(motion int) *complaint {
	m, planned := d.result.Motions[motion], 1
	if d.onSlit(m.middle()) {
		planned = 2
	}
	width, _ := d.width(m.Tool)
	if d.laid[motion].most <= planned || m.flatLength() < width {
		return nil
	}
	return &complaint{"wire-again", d.say("goes over this place %v times, and the plan goes %v: each time the wire melts it wider", number(float64(d.laid[motion].most)), number(float64(planned))), "take it out"}
}

// judgeWire holds the wire's way against the slits of the plan, and looks whether the tray is one.
func (d *run) judgeWire(x *index, cuts []hole) {
	if !d.wire {
		return
	}
	d.judgeEnds()
	d.judgeSlits(x)
	d.judgeThroughFoam(cuts)
	d.judgePieces(cuts)
	d.tellFalls(x, cuts)
}

// judgeSlits: every slit of the plan is cut all along.
func (d *run) judgeSlits(x *index) {
	for _, s := range d.want.Slits {
		var lacking miss
		for _, p := range placesOn(geometry.NewPath(geometry.Vertex{Point: s.From}, geometry.Vertex{Point: s.To})) {
			if f, motion := x.nearestMiddle(p, d.throughMM()-toleranceMM); f > d.tolerance {
				lacking.worse(f, p, motion)
			}
		}
		if lacking.by > 0 {
			d.wrong(d.lineOf(lacking.motion), "slit-missing", "the slit to %v is not cut at %v, and no wire comes into it else", s.Name, lacking.at).hint("make the program again with `traywright cut`")
		}
	}
}

// judgeThroughFoam: the wire's middle is in foam that stays on a slit alone.
func (d *run) judgeThroughFoam(cuts []hole) {
	for i := range d.sweeps {
		s := &d.sweeps[i]
		n := math.Max(1, math.Ceil(s.length()/probeStepMM))
		for k := 0.0; k <= n; k++ {
			if at := s.at(k / n); d.inTray(at, cuts) && !d.onSlit(at) {
				d.wrong(d.lineOf(s.motion), "wire-through-foam", "the wire passes through foam that is to stay at %v, where no slit is planned", at).
					hint("come in and go out by the slits, or make the program again with `traywright cut`")
				return
			}
		}
	}
}

// leastPieceMM2 of foam is a piece; what is less is a crumb between two passes (judged, no source).
const leastPieceMM2 = 4

// judgePieces counts the pieces that the tray is left in: a second way out parts it.
func (d *run) judgePieces(cuts []hole) {
	planned := 0
	for _, c := range d.want.Outline.Contours() {
		if c.Area() > 0 {
			planned++
		}
	}
	for _, h := range cuts {
		for _, c := range h.Shape.Contours() {
			if c.Area() < 0 {
				planned++ // an island
			}
		}
	}
	if at, pieces := d.piecesOf(cuts); pieces > planned {
		d.wrong(d.lastLine(), "tray-in-pieces", "leaves %v pieces where the plan has %v: the smallest is at %v. A slit may have one end in a hole that is come to already, never both", number(float64(pieces)), number(float64(planned)), at).
			hint("take the slit out that parts it, or make the program again with `traywright cut`")
	}
}

// piecesOf counts the parts of the tray that hang together on the field, and finds the smallest.
func (d *run) piecesOf(cuts []hole) (smallest geometry.Point, pieces int) {
	f := &d.result.Field
	foam := make([]bool, len(f.DepthMM))
	limit := float32(d.throughMM() - toleranceMM)
	fillRegion(f, d.want.Outline, func(row, c0, c1 int) {
		for c := row*f.Columns + c0; c < row*f.Columns+c1; c++ {
			foam[c] = f.DepthMM[c] < limit
		}
	})
	for i := range cuts {
		fillRegion(f, cuts[i].Shape, func(row, c0, c1 int) {
			for c := row*f.Columns + c0; c < row*f.Columns+c1; c++ {
				foam[c] = false
			}
		})
	}
	least := math.MaxInt
	for cell := range foam {
		if n := f.flood(foam, cell); float64(n)*f.CellMM*f.CellMM >= leastPieceMM2 {
			if pieces++; n < least {
				least, smallest = n, f.center(cell%f.Columns, cell/f.Columns)
			}
		}
	}
	return smallest, pieces
}

// flood takes all cells out that hang together with one, and counts them.
func (f *Field) flood(in []bool, cell int) (count int) {
	stack := []int{cell}
	for len(stack) > 0 {
		at := stack[len(stack)-1]
		if stack = stack[:len(stack)-1]; !in[at] {
			continue
		}
		in[at] = false
		count++
		column := at % f.Columns
		if column > 0 {
			stack = append(stack, at-1)
		}
		if column < f.Columns-1 {
			stack = append(stack, at+1)
		}
		if at >= f.Columns {
			stack = append(stack, at-f.Columns)
		}
		if at+f.Columns < len(in) {
			stack = append(stack, at+f.Columns)
		}
	}
	return count
}

// Fall is what comes loose: at which line, and when.
type Fall struct {
	Name    string // of the cut; "" of the tray
	Part    int    // which of its contours, 1 first
	Line    int
	Seconds float64
}

// tellFalls says what falls loose, at which line and when.
func (d *run) tellFalls(x *index, cuts []hole) {
	depth := d.throughMM() - toleranceMM
	note := func(name string, r geometry.Region) {
		for i, c := range r.Contours() {
			if motion, free := d.freedBy(x, c, depth); free && c.Area() > 0 {
				d.result.Falls = append(d.result.Falls, Fall{name, i + 1, d.lineOf(motion), d.took[motion].to})
			}
		}
	}
	for i := range cuts {
		note(cuts[i].Name, cuts[i].Shape)
	}
	note("", d.want.Outline)
	list := d.result.Falls
	if len(list) == 0 {
		return
	}
	slices.SortStableFunc(list, func(a, b Fall) int { return cmp.Compare(a.Seconds, b.Seconds) })
	var words []string
	for _, f := range list {
		name := "the plug of " + f.Name
		if f.Name == "" {
			name = cmp.Or(d.want.Whole, "the tray")
		}
		words = append(words, fmt.Sprintf("%s at line %d after %s", name, f.Line, finding.Duration(f.Seconds)))
	}
	d.add(finding.Finding{Severity: finding.Note, Line: list[0].Line, Rule: "falls-loose", Message: "comes loose, in this order: " + strings.Join(words, "; ")}).
		hint("lift out nothing before the wire is off and back beside the sheet")
}
