package page

import (
	"image/color"
	"math"
	"slices"
	"strconv"

	"traywright/geometry"
)

// drawing draws the foam and everything on it.
func (s *sheet) drawing() {
	c := s.c
	s.claims = newClaims(c.bounds())
	s.foam = c.paintField(s.v, s.r.Field, s.shades)
	s.used.loose = s.foam.findLoose(s.shades)
	s.used.through = slices.Contains(s.foam.class, through)
	var marks []int8
	if !s.byHand() {
		marks, s.used.over, s.used.under = differences(s.v, s.foam, s.r.Field, s.o.ThicknessMM, s.o.Wanted)
	}
	s.beams()
	c.edges(s.foam)
	c.patterns(s.foam, s.shades)
	c.paintDifferences(s.foam, marks)
	c.grid(s.v, s.o.Unit)
	s.offcuts()
	s.outline()
	s.bedEdge()
	s.rapids()
	c.rulers(s.v, s.o.Unit)
	s.zero()
	s.arrowRoom()
	s.starts()
	for _, at := range s.bridgesAt() {
		p := s.v.at(at)
		s.c.bridgeMark(p.X, p.Y)
		s.used.bridges = true
	}
	s.left()
	s.worst()
	s.plantFlags()
	s.parts()
	s.numbers()
}

// thinPX is the width under which a kerf drawn to scale would be lost; such a
// cut is drawn as a line as well.
const thinPX = 2.2

// beams draws a line along cuts whose kerf is too thin to be seen at this scale.
func (s *sheet) beams() {
	if kerf := s.widestKerf(); kerf == 0 || kerf*s.v.scale > thinPX {
		return
	}
	dc, n := s.c.dc, 0
	for _, m := range s.r.Motions {
		if cutting(m) {
			n += s.add(trace(m, s.v.scale))
		}
	}
	if n > 0 {
		s.c.stroke(pen{width: thinPX - 0.6, col: ink})
	}
	dc.ClearPath()
}

// add puts a chain of places into the current path; it returns how many lines
// of it are on the page.
func (s *sheet) add(points []geometry.Point) int {
	n := 0
	for i := 1; i < len(points); i++ {
		a, b := s.v.at(points[i-1]), s.v.at(points[i])
		if s.c.addLine(a.X, a.Y, b.X, b.Y) {
			n++
		}
	}
	return n
}

// outline draws the sheet's planned edge.
func (s *sheet) outline() {
	if s.o.Wanted == nil {
		return
	}
	for _, contour := range s.o.Wanted.Outline.Contours() {
		if s.add(outline(contour, s.v.scale)) > 0 {
			s.used.outline = true
		}
	}
	if s.used.outline {
		s.c.stroke(plannedPen)
	}
}

// bedEdge draws the clamps that reach into the drawing, and the bed's edge
// where the cut comes near it.
func (s *sheet) bedEdge() {
	m, z := s.o.Machine, s.o.ZeroMM
	on := s.v.on()
	for _, k := range m.Clamps {
		low := geometry.Point{X: k.XMM - z.X, Y: k.YMM - z.Y}
		box := boxOn(s.v, geometry.Box{Min: low, Max: low.Add(geometry.Point{X: k.LengthMM, Y: k.WidthMM})})
		if box = intersect(box, on); box.w > 0 && box.h > 0 {
			s.c.clampBox(box)
			s.used.clamps = true
		}
	}
}

func intersect(a, b rect) rect {
	x, y := math.Max(a.x, b.x), math.Max(a.y, b.y)
	return rect{x, y, math.Min(a.right(), b.right()) - x, math.Min(a.bottom(), b.bottom()) - y}
}

// rapids draws the way between cuts, on a light band so that it shows on dark
// foam as well.
func (s *sheet) rapids() {
	lines := s.addRapids()
	if lines == 0 {
		return
	}
	s.used.rapids = true
	line := rapidPen
	if lines > manyRapids {
		line.width = 1.5
	} else {
		s.c.stroke(haloPen)
		s.addRapids()
	}
	s.c.stroke(line)
	for _, m := range s.r.Motions {
		if m.Rapid && lines <= manyRapids && believable(m.From.Point) && believable(m.To.Point) {
			s.c.arrow(s.v.at(m.From.Point), s.v.at(m.To.Point))
		}
	}
}

// manyRapids is how many make the drawing a web; then they are drawn thin.
const manyRapids = 150

// addRapids puts the way between cuts into the current path.
func (s *sheet) addRapids() (lines int) {
	for _, m := range s.r.Motions {
		if m.Rapid && m.From.Point != m.To.Point {
			lines += s.add(trace(m, s.v.scale))
		}
	}
	return lines
}

// zero draws the program's zero.
func (s *sheet) zero() {
	p := s.v.at(geometry.Point{})
	if !s.within(p, 0) {
		return
	}
	s.used.zero = true
	s.c.zeroMark(p.X, p.Y, 14)
	s.claims.take(centred(p.X, p.Y, 48, 48))
	w := s.width("X0 Y0", smallType)
	at, ok := s.claims.place(s.v.on(), around(p.X, p.Y, w+12, 32, 20)[4:]...)
	if !ok {
		return
	}
	s.c.pill(at, paper, paper, 0)
	s.c.text(at.x+6, at.y+16+smallType.capHeight()/2, "X0 Y0", smallType, ink, 0)
}

// within reports whether a place of the page is in the drawing, margin inside.
func (s *sheet) within(p geometry.Point, margin float64) bool {
	on := s.v.on().inset(margin)
	return p.X >= on.x && p.X <= on.right() && p.Y >= on.y && p.Y <= on.bottom()
}

// starts marks where each operation begins to cut.
func (s *sheet) starts() {
	for _, op := range s.ops {
		p := s.v.at(op.start)
		if s.within(p, 0) {
			s.used.starts = true
			s.c.startMark(p.X, p.Y)
			s.claims.take(centred(p.X, p.Y, 2*startPX+4, 2*startPX+4))
		}
	}
}

// worst crosses the places that differ most from the plan.
func (s *sheet) worst() {
	if s.o.Wanted == nil {
		return
	}
	s.worstAt(s.r.WorstOvercutMM, s.r.WorstOvercutAt, "too much")
	s.worstAt(s.r.WorstUndercutMM, s.r.WorstUndercutAt, "too little")
}

func (s *sheet) worstAt(mm float64, at geometry.Point, what string) {
	p := s.v.at(at)
	if !(mm > differenceMM) || !s.within(p, 0) {
		return
	}
	s.used.crosses = true
	s.c.worstMark(p.X, p.Y)
	s.claims.take(centred(p.X, p.Y, 34, 34))
	s.tag(p, 22, fine(mm, s.o.Unit)+" "+what)
}

// tag writes a few words beside a place, where there is room.
func (s *sheet) tag(p geometry.Point, distance float64, text string) {
	w := s.width(text, smallType) + 20
	box, ok := s.claims.place(s.v.on(), around(p.X, p.Y, w, 34, distance)...)
	if !ok {
		return
	}
	s.c.fill(box, paper)
	s.c.frame(box, 2, ink)
	s.c.text(box.x+10, box.y+17+smallType.capHeight()/2, text, smallType, ink, 0)
}

// plantFlags puts the findings' flags at their places, where they do not cover
// each other; those of one place stand side by side or are left to the list.
func (s *sheet) plantFlags() {
	for _, f := range s.flags {
		last := geometry.Point{X: math.Inf(1)}
		for _, at := range f.places {
			if p := s.v.at(at); s.within(p, 0) && p.DistanceTo(last) > 2*flagW {
				s.plant(f, p)
				last = p
			}
		}
	}
}

func (s *sheet) plant(f flag, p geometry.Point) {
	foot := geometry.Point{X: math.Min(p.X, s.v.on().right()-flagW), Y: math.Max(p.Y, s.v.on().y+flagH+8)}
	for i := range 12 {
		at := foot.Add(geometry.Point{X: float64(i%4) * (flagW + 2), Y: -float64(i/4) * (flagH + 10)})
		if _, ok := s.claims.place(s.v.on(), rect{at.X, at.Y - flagH - 8, flagW, flagH}); ok {
			s.used.flags = true
			s.c.flagAt(at.X, at.Y, f)
			return
		}
	}
}

// mostNumbers is how many order numbers a drawing can have and be read.
const mostNumbers = 90

// everyNth is 1, or which part of the operations gets numbers when they are many.
func everyNth(n int) int {
	every := 1
	for n/every > mostNumbers {
		every *= 5
		if n/every > mostNumbers {
			every *= 2
		}
	}
	return every
}

// numbers writes the order of the operations: in the middle of what they cut,
// with the piece's name and the depth where there is room for it, beside their
// start where there is not. A number that fits nowhere is left to the list.
func (s *sheet) numbers() {
	var later []operation
	for _, op := range s.ops {
		if op.number%s.every != 0 && op.number != 1 {
			continue
		}
		if s.inMiddle(op) {
			s.used.numbers = true
		} else {
			later = append(later, op)
		}
	}
	for _, op := range later {
		if s.besideStart(op) {
			s.used.numbers = true
		}
	}
}

// around which an operation's label leaves its pocket clear.
const labelClearPX = 10

// inMiddle labels an operation inside its box, as near the middle as there is
// room, if that is where it cuts: an outline's middle belongs to the pockets.
// What does not fit is left away, the depth first, then the name.
func (s *sheet) inMiddle(op operation) bool {
	if s.surrounds(op) {
		return false
	}
	box := boxOn(s.v, op.box)
	number := strconv.Itoa(op.number)
	w, h := s.c.badgeSize(number)
	for lines := s.labelLines(op, box, h); ; lines = lines[:len(lines)-1] {
		wide, high := w, h+float64(len(lines))*smallType.lineHeight()
		for _, line := range lines {
			wide = math.Max(wide, s.width(line, smallType)+16)
		}
		places := upAndDown(box, wide, high)
		if len(lines) > 0 {
			places = slices.DeleteFunc(places, func(p rect) bool { return !s.even(p) })
		}
		if at, ok := s.claims.place(s.v.on(), places...); ok {
			s.c.badge(at.x+at.w/2, at.y+h/2, number)
			s.label(at.x+at.w/2, at.y+h, lines)
			return true
		}
		if len(lines) == 0 {
			return false
		}
	}
}

// even reports whether the foam under a box of the page has one shade: a label's
// patch must not paint over a wall, which would change the pocket's shape.
func (s *sheet) even(r rect) bool {
	const steps = 12
	shade := s.plainAt(r.x+r.w/2, r.y+r.h/2)
	for i := range steps + 1 {
		for k := range steps + 1 {
			if s.plainAt(r.x+r.w*float64(i)/steps, r.y+r.h*float64(k)/steps) != shade {
				return false
			}
		}
	}
	return true
}

// upAndDown are places for a box of w by h in the middle of another, then above
// and below the middle, as far as it reaches.
func upAndDown(in rect, w, h float64) []rect {
	x, y := in.x+in.w/2, in.y+in.h/2
	places := []rect{centred(x, y, w, h)}
	for d := 12.0; d <= (in.h-h)/2-labelClearPX/2 && len(places) < 40; d += 12 {
		places = append(places, centred(x, y+d, w, h), centred(x, y-d, w, h))
	}
	return places
}

// label writes lines under a badge, on a plain patch of the foam's own shade
// that keeps hatches and rapids off the letters.
func (s *sheet) label(x, y float64, lines []string) {
	back := s.plainAt(x, y)
	for _, line := range lines {
		s.c.pill(centred(x, y+smallType.lineHeight()/2, s.width(line, smallType)+14, smallType.lineHeight()-1), back, back, 0)
		s.c.text(x, y+smallType.size, line, smallType, lettersOn(back), 0.5)
		y += smallType.lineHeight()
	}
}

// plainAt is the shade of the foam at a place of the page.
func (s *sheet) plainAt(x, y float64) color.RGBA {
	u, v := int(x)-s.foam.x, int(y)-s.foam.y
	if u < 0 || v < 0 || u >= s.foam.w || v >= s.foam.h {
		return paper
	}
	return s.shades.colours[s.foam.class[v*s.foam.w+u]]
}

// labelLines are what fits under the number in a pocket: name and depth, or one
// of them.
func (s *sheet) labelLines(op operation, box rect, badge float64) []string {
	room := box.inset(labelClearPX)
	var lines []string
	for _, text := range []string{s.shorten(op.piece(), smallType, room.w), s.depthText(op.piece(), op.depthMM)} {
		high := badge + float64(len(lines)+1)*smallType.lineHeight()
		if text != "" && len([]rune(text)) >= 3 && high <= room.h && s.width(text, smallType) <= room.w {
			lines = append(lines, text)
		}
	}
	return lines
}

// surrounds reports whether an operation goes around others, as an outline does, its own program's or an earlier one's.
func (s *sheet) surrounds(op operation) bool {
	if box := boxOn(s.v, op.box); len(s.ops) == 1 && s.even(box.inset(min(box.w, box.h)/5)) {
		return false
	}
	return op.box.Width() > 0.7*s.box.Width() && op.box.Height() > 0.7*s.box.Height()
}

func (s *sheet) besideStart(op operation) bool {
	p := s.v.at(op.start)
	number := strconv.Itoa(op.number)
	w, h := s.c.badgeSize(number)
	places := append(around(p.X, p.Y, w, h, 14), around(p.X, p.Y, w, h, 34)...)
	at, ok := s.claims.place(s.v.on().inset(2), places...)
	if ok {
		s.c.badge(at.x+w/2, at.y+h/2, number)
	}
	return ok
}
