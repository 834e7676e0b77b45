package lettering

import (
	_ "embed"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"traywright/geometry"
)

//go:embed strokes.txt
var strokesTable string

// gridCapital is the height of a capital letter on the grid of the table.
const gridCapital = 14

// strokeFace is the single-stroke alphabet.
type strokeFace map[rune]glyph

// alphabet reads the table, which is ours: a mistake in it is a bug, and the tests
// read it too.
func alphabet() strokeFace {
	face, err := readStrokes(strokesTable)
	if err != nil {
		panic(err)
	}
	return face
}

func readStrokes(table string) (strokeFace, error) {
	face := strokeFace{}
	for n, line := range strings.Split(table, "\n") {
		if line == "" || strings.HasPrefix(line, "--") {
			continue
		}
		if err := face.readLine(line); err != nil {
			return nil, fmt.Errorf("line %d, %q: %w", n+1, line, err)
		}
	}
	return face, nil
}

func (f strokeFace) readLine(line string) error {
	fields := strings.Fields(line)
	if len(fields) < 3 || utf8.RuneCountInString(fields[0]) != 1 {
		return fmt.Errorf("it needs a letter, two numbers and a path")
	}
	r, _ := utf8.DecodeRuneInString(fields[0])
	left, err := strconv.ParseFloat(fields[1], 64)
	if err != nil {
		return err
	}
	right, err := strconv.ParseFloat(fields[2], 64)
	if err != nil {
		return err
	}
	strokes, err := f.readPath(fields[3:])
	if err != nil {
		return err
	}
	if _, twice := f[r]; twice {
		return fmt.Errorf("the letter stands there twice")
	}
	g := glyph{strokes: shift(strokes, left, 0), left: left}
	g.advance = max(g.box().Max.X, left) + right
	f[r] = g
	return nil
}

// shift moves strokes.
func shift(strokes []geometry.Path, dx, dy float64) []geometry.Path {
	var moved []geometry.Path
	for _, p := range strokes {
		moved = append(moved, p.Transform(geometry.Translate(dx, dy)))
	}
	return moved
}

// box bounds the strokes of a glyph.
func (g glyph) box() geometry.Box {
	b := geometry.EmptyBox()
	for _, p := range g.strokes {
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
			g, ok := f[r]
			if !ok {
				return nil, fmt.Errorf("no letter %q further up", r)
			}
			strokes = append(strokes, g.bare()...)
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

// bare is the strokes of a glyph moved back to x = 0 of the table. The room on the left is what
// readLine put there.
func (g glyph) bare() []geometry.Path { return shift(g.strokes, -g.left, 0) }

func (f strokeFace) capital() float64 { return gridCapital }

func (f strokeFace) single() bool { return true }

func (f strokeFace) kern(left, right rune) float64 { return 0 }

func (f strokeFace) has(r rune) bool {
	_, err := f.glyph(r)
	return err == nil
}

func (f strokeFace) glyph(r rune) (glyph, error) {
	if g, ok := f[r]; ok {
		return g, nil
	}
	return glyph{}, &MissingError{Face: Strokes, Runes: []rune{r}}
}
