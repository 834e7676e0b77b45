package proof

import "traywright/geometry"

// A beam that does not go through. With a plan every wall has to be cut to the
// underside. Without one, every path that cuts has: a beam cannot stop half way, and
// what it is to engrave it does with a mark's energy.

// shallow is the place where a beam goes least deep.
type shallow struct {
	found  bool
	mm     float64
	at     geometry.Point
	motion int
}

func (s *shallow) less(mm float64, at geometry.Point, motion int) {
	if !s.found || mm < s.mm {
		*s = shallow{true, mm, at, motion}
	}
}

// notThrough notes how deep the beam goes at a probe of a wall that is left standing
// by f, if it goes there.
func (d *run) notThrough(s *shallow, x *index, at geometry.Point, f float64) {
	if !d.beam || f <= d.tolerance {
		return
	}
	deepest, motion := 0.0, -1
	x.near(at, d.tolerance, func(w *sweep) bool {
		if depth := w.deepest(); depth > deepest && w.distance(at, 0)-w.radius <= d.tolerance {
			deepest, motion = depth, w.motion
		}
		return true
	})
	if motion >= 0 && deepest < d.throughMM()-toleranceMM {
		s.less(deepest, at, motion)
	}
}

func (d *run) tellNotThrough(s shallow, where string) {
	d.wrong(d.lineOf(s.motion), "not-through", "the "+d.light()+" goes %v deep at %v of %v, and the foam is %v thick", length(s.mm), s.at, where, length(d.throughMM())).
		hint("cut it in more passes, or make the program again with `traywright cut`")
}

// checkThrough looks for paths that a program without a plan leaves uncut: once for
// each of its operations.
func (d *run) checkThrough() {
	if d.setup.ThicknessMM <= 0 || d.setup.Recipe.MMPerPass <= 0 {
		return
	}
	first, lit, cuts := map[string]shallow{}, -1, false
	var ops []string
	for i, m := range d.result.Motions {
		if m.On && !m.Rapid && lit < 0 {
			lit = i
		}
		l := d.laid[i]
		if l.pass == 0 {
			continue
		}
		cuts = true
		if d.ours && m.Op == marksOp {
			d.wrong(m.Line, "mark-too-deep", "cuts %v deep in an operation that only marks", length(min(l.mm, d.throughMM()))).hint("lower S to the power of a mark")
		}
		width, _ := d.width(m.Tool)
		if l.inAll >= d.throughMM()-toleranceMM || m.flatLength() < 2*width {
			continue
		}
		s, known := first[m.Op]
		if s.less(l.inAll, l.at, i); !known {
			ops = append(ops, m.Op)
		}
		first[m.Op] = s
	}
	for _, op := range ops {
		d.tellNotThrough(first[op], "the path"+named(op))
	}
	if lit >= 0 && !cuts {
		d.strictly(d.lineOf(lit), "nothing-cut", "the beam nowhere gives the foam more energy than a mark").hint("raise S, if it is to cut")
	}
}

func named(op string) string {
	if op == "" {
		return ""
	}
	return " of " + op
}
