package lettering

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"traywright/geometry"
)

//go:embed strokes.txt
var strokesTable string

// gridCapital is the height of a capital letter on the grid of the table.
const gridCapital = 14

// strokeFace is the single-stroke alphabet.
type strokeFace struct {
	letters map[rune]glyph
	marks   map[rune]mark
	kerning map[[2]rune]float64
}

// mark is a combining mark: "over" or "under" the middle of a letter, or at its "foot".
type mark struct {
	where   string
	strokes []geometry.Path
}

// alphabet is the table, read once. It is ours: a mistake in it is a bug, and the tests
// read it too.
var alphabet = sync.OnceValue(func() strokeFace {
	face, err := readStrokes(strokesTable)
	if err != nil {
		panic(err)
	}
	return face
})

func readStrokes(table string) (strokeFace, error) {
	face := strokeFace{map[rune]glyph{}, map[rune]mark{}, map[[2]rune]float64{}}
	for n, line := range strings.Split(table, "\n") {
		if line == "" || strings.HasPrefix(line, "--") {
			continue
		}
		if err := face.readLine(line); err != nil {
			return face, fmt.Errorf("line %d, %q: %w", n+1, line, err)
		}
	}
	return face, nil
}

func (f strokeFace) readLine(line string) error {
	fields := strings.Fields(line)
	if len(fields) < 3 {
		return fmt.Errorf("it needs a letter, two numbers and a path")
	}
	switch fields[0] {
	case "mark":
		return f.readMark(fields)
	case "kern":
		return f.readKern(fields)
	default:
		return f.readLetter(fields)
	}
}

func (f strokeFace) readLetter(fields []string) error {
	r, size := utf8.DecodeRuneInString(fields[0])
	left, errLeft := strconv.ParseFloat(fields[1], 64)
	right, errRight := strconv.ParseFloat(fields[2], 64)
	if size != len(fields[0]) || errLeft != nil || errRight != nil {
		return fmt.Errorf("it needs one letter and two numbers")
	}
	if _, twice := f.letters[r]; twice {
		return fmt.Errorf("the letter stands there twice")
	}
	strokes, err := f.readPath(fields[3:])
	if err != nil {
		return err
	}
	g := glyph{strokes: shift(strokes, left, 0), left: left}
	g.advance = max(bounds(g.strokes).Max.X, left) + right
	f.letters[r] = g
	return nil
}

func (f strokeFace) readMark(fields []string) error {
	number, err := strconv.ParseUint(fields[1], 16, 32)
	if err != nil {
		return err
	}
	where := fields[2]
	if where != "over" && where != "under" && where != "foot" {
		return fmt.Errorf("a mark stands over, under or at the foot, not %q", where)
	}
	strokes, err := f.readPath(fields[3:])
	f.marks[rune(number)] = mark{where, strokes}
	return err
}

func (f strokeFace) readKern(fields []string) error {
	by, err := strconv.ParseFloat(fields[1], 64)
	for _, pair := range fields[2:] {
		p := []rune(pair)
		if len(p) != 2 {
			return fmt.Errorf("%q is no pair", pair)
		}
		f.kerning[[2]rune{p[0], p[1]}] = by
		f.kerning[[2]rune{p[1], p[0]}] = by
	}
	return err
}

// shift moves strokes.
func shift(strokes []geometry.Path, dx, dy float64) []geometry.Path {
	var moved []geometry.Path
	for _, p := range strokes {
		moved = append(moved, p.Transform(geometry.Translate(dx, dy)))
	}
	return moved
}

// bounds holds all strokes.
func bounds(strokes []geometry.Path) geometry.Box {
	b := geometry.EmptyBox()
	for _, p := range strokes {
		b = b.Union(p.Bounds())
	}
	return b
}

// readPath reads the fields of a path, strokes divided by ";".
func (f strokeFace) readPath(fields []string) ([]geometry.Path, error) {
	var strokes []geometry.Path
	var now []geometry.Vertex
	flush := func() {
		if len(now) > 0 {
			strokes = append(strokes, geometry.NewPath(now...))
		}
		now = nil
	}
	for _, field := range fields {
		switch {
		case field == ";":
			flush()
		case field[0] == '=' && len(field) > 1:
			r, _ := utf8.DecodeRuneInString(field[1:])
			g, ok := f.letters[r]
			if !ok {
				return nil, fmt.Errorf("no letter %q further up", r)
			}
			strokes = append(strokes, shift(g.strokes, -g.left, 0)...)
		default:
			next, err := readPoint(now, field)
			if err != nil {
				return nil, err
			}
			now = next
		}
	}
	flush()
	return strokes, nil
}

// readPoint goes on to one more point.
func readPoint(now []geometry.Vertex, field string) ([]geometry.Vertex, error) {
	side := 0.0
	rest := strings.TrimLeft(field, "()")
	switch field[:len(field)-len(rest)] {
	case "(":
		side = 1
	case ")":
		side = -1
	case "":
	default:
		return nil, fmt.Errorf("%q begins with more than one bend", field)
	}
	degrees, place, explicit := strings.Cut(rest, ":")
	if !explicit {
		place = rest
	}
	xs, ys, _ := strings.Cut(place, ",")
	x, errX := strconv.ParseFloat(xs, 64)
	y, errY := strconv.ParseFloat(ys, 64)
	if errX != nil || errY != nil {
		return nil, fmt.Errorf("%q has no point", field)
	}
	to := geometry.Vertex{Point: geometry.Point{X: x, Y: y}}
	switch {
	case side == 0 && !explicit:
	case len(now) == 0:
		return nil, fmt.Errorf("%q bends from nowhere", field)
	case explicit:
		turn, err := strconv.ParseFloat(degrees, 64)
		if err != nil || side == 0 {
			return nil, fmt.Errorf("%q has no turn", field)
		}
		now[len(now)-1].Bulge = side * math.Tan(turn*math.Pi/180/4)
	default:
		now = quarter(now, to.Point, side)
	}
	return append(now, to), nil
}

// quarter bends the last vertex towards b along a quarter of an oval: two arcs that
// meet on the inner centre of the triangle of both ends and the corner where the
// tangents there cross. Their common tangent is parallel to the chord. A turn of a right
// angle on equal ways is one arc.
func quarter(now []geometry.Vertex, b geometry.Point, side float64) []geometry.Vertex {
	a := now[len(now)-1].Point
	corner := geometry.Point{X: b.X, Y: a.Y} // leaves level
	if d := b.Sub(a); d.X*d.Y*side < 0 {
		corner = geometry.Point{X: a.X, Y: b.Y} // leaves upright
	}
	p, q, r := corner.DistanceTo(a), corner.DistanceTo(b), a.DistanceTo(b)
	if math.Abs(p-q) < 1e-9 {
		now[len(now)-1].Bulge = side * math.Tan(math.Pi/8)
		return now
	}
	joint := a.Scale(q).Add(b.Scale(p)).Add(corner.Scale(r)).Scale(1 / (p + q + r))
	now[len(now)-1].Bulge = side * math.Tan(math.Atan2(q, p)/4)
	return append(now, geometry.Vertex{Point: joint, Bulge: side * math.Tan(math.Atan2(p, q)/4)})
}

func (f strokeFace) capital() float64 { return gridCapital }

func (f strokeFace) single() bool { return true }

// kern goes by the letters without their marks.
func (f strokeFace) kern(left, right rune) float64 {
	return f.kerning[[2]rune{base(left), base(right)}]
}

func base(r rune) rune {
	first, _ := utf8.DecodeRune(norm.NFD.AppendString(nil, string(r)))
	return first
}

func (f strokeFace) has(r rune) bool {
	_, err := f.glyph(r)
	return err == nil
}

// glyph is the letter of the table, or is put together from a letter and its marks.
func (f strokeFace) glyph(r rune) (glyph, error) {
	if g, ok := f.letters[r]; ok {
		return g, nil
	}
	parts := []rune(norm.NFD.String(string(r)))
	g, ok := f.letters[parts[0]]
	ok = ok && len(parts) > 1
	for i, p := range parts[1:] {
		m, known := f.marks[p]
		ok = ok && known
		if i == 0 && m.where == "over" {
			g = f.dotless(parts[0])
		}
		g = g.with(m)
	}
	if !ok {
		return glyph{}, &MissingError{Face: Strokes, Runes: []rune{r}, Hint: "use another face, or another spelling"}
	}
	return g, nil
}

// dotless is the letter as it stands under a mark.
func (f strokeFace) dotless(r rune) glyph {
	switch r {
	case 'i':
		r = 'ı'
	case 'j':
		r = 'ȷ'
	}
	return f.letters[r]
}

// leastRoom is what stays free beside a mark that is wider than its letter.
const leastRoom = 0.6

// with puts a mark on the letter.
func (g glyph) with(m mark) glyph {
	b := bounds(g.strokes)
	x, y := (b.Min.X+b.Max.X)/2, 0.0
	switch m.where {
	case "over":
		y = max(b.Max.Y, 0)
	case "foot":
		x = g.foot()
	}
	marked := glyph{strokes: append(shift(g.strokes, 0, 0), shift(m.strokes, x, y)...), left: g.left, advance: g.advance}
	b = bounds(marked.strokes)
	if short := leastRoom - b.Min.X; short > 0 {
		marked.strokes = shift(marked.strokes, short, 0)
		marked.left += short
		marked.advance += short
	}
	marked.advance = max(marked.advance, bounds(marked.strokes).Max.X+leastRoom)
	return marked
}

// foot is the rightmost vertex on the baseline.
func (g glyph) foot() float64 {
	x := math.Inf(-1)
	for _, p := range g.strokes {
		for _, v := range p.Vertices() {
			if math.Abs(v.Y) < 0.5 {
				x = max(x, v.X)
			}
		}
	}
	return x
}
