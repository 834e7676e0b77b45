package page

import (
	"bytes"
	"cmp"
	"fmt"
	"math"

	"traywright/cam/finding"
	"traywright/cam/proof"
	"traywright/geometry"
)

// FrameOptions is what the frames of a cut say beside what the dry run found.
type FrameOptions struct {
	PictureOptions
	KerfMM map[int]float64 // width removed by tool number; missing: the machine's tool's diameter
}

// mostFrames bounds a sequence.
const mostFrames = 1000

// Frames draws the cut as a sequence of n pictures of one size, 1 to 1000: the
// foam after equal parts of the way, with the tool where it is then. Each is
// handed to frame as PNG, numbered from 1; an error of frame ends the sequence
// and is returned. No frame shows foam cut deeper than the dry run left it.
func Frames(r proof.Result, n int, o FrameOptions, frame func(number int, png []byte) error) error {
	t, err := newTypesetter(nil)
	if err != nil {
		return err
	}
	m := newMovie(t, r, min(max(n, 1), mostFrames), o)
	for i := range m.count {
		m.advance(i)
		var b bytes.Buffer
		if err := encode(&b, m.draw(i).im, false); err != nil {
			return err
		}
		if err := frame(i+1, b.Bytes()); err != nil {
			return err
		}
	}
	return nil
}

// movie is a sequence in the making.
type movie struct {
	*sheet
	count int
	kerf  map[int]float64
	total float64 // way of all motions, mm

	final []float32 // depth of each pixel when all is done
	now   []float32 // what the tool has reached so far
	next  int       // motion
	way   float64   // done, mm
	seen  *foam
}

// frameW is the width of a frame's drawing, framePX the tallest it gets.
const (
	frameW  = 1280
	framePX = 960
)

func newMovie(t *typesetter, r proof.Result, n int, o FrameOptions) *movie {
	m := &movie{sheet: newSheet(t, r, o.PictureOptions), count: n, kerf: map[int]float64{}}
	for _, tool := range o.Machine.Tools {
		m.kerf[tool.Number] = tool.DiameterMM.Value
	}
	for number, kerf := range o.KerfMM {
		m.kerf[number] = kerf
	}
	for _, motion := range r.Motions {
		m.total += way(motion)
	}
	head := 2*marginPX + titleType.size + bodyType.lineHeight()
	scale := min(frameW/m.box.Width(), framePX/m.box.Height(), mostScale)
	m.v = view{box: m.box, scale: max(scale, 1e-4), x: marginPX + rulerPX, y: head}
	m.seen = newFoam(m.v)
	m.final, m.now = make([]float32, len(m.seen.class)), make([]float32, len(m.seen.class))
	m.measureFinal()
	return m
}

// way is the length of a motion, mm; 0 for one that cannot be believed.
func way(m proof.Motion) float64 {
	length := 0.0
	points := trace(m, 1)
	for i := 1; i < len(points); i++ {
		length += points[i].DistanceTo(points[i-1])
	}
	if dz := math.Abs(m.To.Z - m.From.Z); dz < farthestMM {
		length += dz
	}
	return length
}

// measureFinal looks up the deepest of a few places of every pixel; -1 where the
// field has none.
func (m *movie) measureFinal() {
	f := m.r.Field
	if !usable(f) {
		for i := range m.final {
			m.final[i], m.now[i] = -1, -1
		}
		return
	}
	k := sampling(m.v.scale, f.CellMM)
	columns := cells(m.box.Min.X-f.Origin.X, 1/m.v.scale, f.CellMM, m.seen.w, k, f.Columns)
	rows := cells(m.box.Max.Y-f.Origin.Y, -1/m.v.scale, f.CellMM, m.seen.h, k, f.Rows)
	for i := range m.final {
		m.final[i] = -1
		x, y := i%m.seen.w, i/m.seen.w
		for _, r := range rows[y*k : y*k+k] {
			for _, c := range columns[x*k : x*k+k] {
				if r >= 0 && c >= 0 {
					m.final[i] = max(m.final[i], f.DepthMM[r*f.Columns+c], 0)
				}
			}
		}
		m.now[i] = min(0, m.final[i])
	}
}

// advance cuts up to the end of frame i.
func (m *movie) advance(i int) {
	until := m.total * float64(i+1) / float64(m.count)
	for m.next < len(m.r.Motions) && (m.way < until || i == m.count-1) {
		motion := m.r.Motions[m.next]
		m.way += way(motion)
		m.next++
		if cutting(motion) {
			m.cut(motion)
		}
	}
	if i == m.count-1 {
		copy(m.now, m.final)
	}
}

// cut presses the tool's disc along a motion into the pixels.
func (m *movie) cut(motion proof.Motion) {
	points := trace(motion, m.v.scale)
	whole, done := 0.0, 0.0
	for i := 1; i < len(points); i++ {
		whole += points[i].DistanceTo(points[i-1])
	}
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		d := a.DistanceTo(b)
		n := int(min(20000, math.Ceil(d*m.v.scale/0.7))) + 1
		for j := range n + 1 {
			share := float64(j) / float64(n)
			along := 1.0
			if whole > 0 {
				along = (done + d*share) / whole
			}
			z := motion.From.Z + (motion.To.Z-motion.From.Z)*along
			m.press(a.Add(b.Sub(a).Scale(share)), m.reach(z), m.kerf[motion.Tool]/2)
		}
		done += d
	}
}

// reach is how deep the tool's end is at a height; a beam has no end.
func (m *movie) reach(z float64) float32 {
	if m.o.Machine.Process.Traits().Upright {
		return float32(math.Inf(1))
	}
	return float32(-z)
}

// press lowers the pixels within radius mm of a place to a depth, as far as they
// are ever cut.
func (m *movie) press(at geometry.Point, depth float32, radius float64) {
	if !(depth > 0) {
		return
	}
	x, y := m.v.px(at.X)-float64(m.seen.x), m.v.py(at.Y)-float64(m.seen.y)
	r := math.Max(radius*m.v.scale, 0.7) + 0.5
	for v := max(0, int(y-r)); v <= min(m.seen.h-1, int(y+r)); v++ {
		for u := max(0, int(x-r)); u <= min(m.seen.w-1, int(x+r)); u++ {
			dx, dy := float64(u)+0.5-x, float64(v)+0.5-y
			if i := v*m.seen.w + u; dx*dx+dy*dy <= r*r {
				m.now[i] = max(m.now[i], min(depth, m.final[i]))
			}
		}
	}
}

// draw draws frame i.
func (m *movie) draw(i int) *canvas {
	on := m.v.on()
	m.c = newCanvas(m.typesetter, int(on.right())+marginPX, int(on.bottom())+rulerPX+marginPX)
	c := m.c
	for p := range m.seen.class {
		m.seen.class[p] = nothing
		if m.final[p] >= 0 {
			m.seen.class[p] = m.shades.class(m.now[p])
			c.set(m.seen, p%m.seen.w, p/m.seen.w, m.shades.colours[m.seen.class[p]])
		}
	}
	m.seen.findLoose(m.shades)
	c.edges(m.seen)
	c.patterns(m.seen, m.shades)
	c.grid(m.v, m.o.Unit)
	c.rulers(m.v, m.o.Unit)
	m.tool()
	m.progress(i, on)
	return c
}

// tool marks where the tool is: its width, and a cross.
func (m *movie) tool() {
	if m.next == 0 || m.next > len(m.r.Motions) || m.next == len(m.r.Motions) && m.way > 0 && len(m.r.Motions) > 1 {
		return
	}
	motion := m.r.Motions[m.next-1]
	p := m.v.at(motion.To.Point)
	if !believable(motion.To.Point) || !m.within(p, 0) {
		return
	}
	radius := math.Max(8, m.kerf[motion.Tool]/2*m.v.scale)
	m.c.disc(p.X, p.Y, radius, rust, ink, 3)
	m.c.cross(p.X, p.Y, radius*0.5, ink, 2)
}

// progress writes what is being cut, and a bar of the way done.
func (m *movie) progress(i int, on rect) {
	c := m.c
	c.heading(cmp.Or(m.o.Title, m.r.Path), finding.Duration(m.r.Seconds), on.right())
	text := fmt.Sprintf("%d of %d", i+1, m.count)
	if m.next > 0 && m.next < len(m.r.Motions) && m.r.Motions[m.next-1].Op != "" {
		text += ": " + m.r.Motions[m.next-1].Op
	}
	y := marginPX + titleType.size + bodyType.lineHeight()
	c.text(marginPX, y, m.shorten(text, bodyType, on.w-320), bodyType, softInk, 0)
	bar := rect{on.right() - 280, y - 20, 280, 20}
	share := float64(i+1) / float64(m.count)
	c.fill(rect{bar.x, bar.y, bar.w * share, bar.h}, softInk)
	c.frame(bar, 2, ink)
}
