package cam

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/geometry"
	"traywright/profiles"
)

// heights is foam seen from above: how deep each cell is cut at its middle, mm. It reads a
// program of ours word by word and mills exactly: a cell is cut where its middle is within
// the tool of the path. Nothing of the dry run's is used.
type heights struct {
	x, y          float64 // lower-left
	columns, rows int
	thickness     float64
	cell          float64 // mm, from side to side
	deep          []float64
	watch         func(at geometry.Point, off, was, deep float64) // told of each cell that is about to become deeper, so far off the tool's way; nil for nobody
}

func newHeights(b geometry.Box, thickness, cell float64) heights {
	b = b.Grow(8)
	h := heights{x: b.Min.X, y: b.Min.Y, thickness: thickness, cell: cell}
	h.columns, h.rows = int(b.Width()/h.cell), int(b.Height()/h.cell)
	h.deep = make([]float64, h.columns*h.rows)
	return h
}

func (h heights) at(i int) (x, y float64) {
	return h.x + (float64(i%h.columns)+0.5)*h.cell, h.y + (float64(i/h.columns)+0.5)*h.cell
}

func (h heights) volume() float64 {
	sum := 0.0
	for _, d := range h.deep {
		sum += math.Min(d, h.thickness) * h.cell * h.cell
	}
	return sum
}

type spot struct{ x, y, z float64 }

var wordOf = regexp.MustCompile(`([A-Z])([-+]?[0-9.]+)`)

// mill runs a program whose Z is zero at the foam's top. A beam goes through where it has
// half of the program's greatest power or more; less only marks. A wire goes through wherever it
// is fed, and neither it nor a blade is switched on.
func (h heights) mill(t *testing.T, text string, radius float64, is profiles.Traits) {
	t.Helper()
	mostS := 0.0
	for _, w := range regexp.MustCompile(`(?m)^[^(;G]*\bS([0-9.]+)`).FindAllStringSubmatch(text, -1) {
		s, err := strconv.ParseFloat(w[1], 64)
		require.NoError(t, err)
		mostS = math.Max(mostS, s)
	}
	idle := is.Beam || is.Turning
	at, code, on, s := spot{z: 100}, 0, !idle, 0.0
	for line := range strings.Lines(text) {
		line, _, _ = strings.Cut(strings.TrimSpace(line), ";")
		if strings.HasPrefix(line, "(") || line == "" || strings.HasPrefix(line, "G4 ") {
			continue
		}
		to, middle, moves := at, geometry.Point{X: at.x, Y: at.y}, false
		for _, w := range wordOf.FindAllStringSubmatch(line, -1) {
			v, err := strconv.ParseFloat(w[2], 64)
			require.NoError(t, err, line)
			switch {
			case w[1] == "G" && v <= 3:
				code = int(v)
			case w[1] == "G":
				require.NotEqual(t, 20.0, v, "inches")
			case w[1] == "M" && (v == 3 || v == 5):
				on = v == 3 || !idle
			case w[1] == "S":
				s = v
			case w[1] == "X":
				to.x, moves = v, true
			case w[1] == "Y":
				to.y, moves = v, true
			case w[1] == "Z":
				to.z, moves = v, true
			case w[1] == "I":
				middle.X += v
			case w[1] == "J":
				middle.Y += v
			}
		}
		if moves && code > 0 && on && (!is.Beam || s >= mostS/2) {
			h.along(at, to, middle, code, radius, is.Upright)
		}
		at = to
	}
}

// along mills one move, an arc in chords that stray by a thousandth of a mm at most.
func (h heights) along(from, to spot, middle geometry.Point, code int, radius float64, upright bool) {
	parts := 1 + math.Floor(math.Hypot(to.x-from.x, to.y-from.y)/5)
	around, start, turn := 0.0, 0.0, 0.0
	if code > 1 {
		around, start = math.Hypot(from.x-middle.X, from.y-middle.Y), math.Atan2(from.y-middle.Y, from.x-middle.X)
		turn = math.Mod(math.Atan2(to.y-middle.Y, to.x-middle.X)-start+4*math.Pi, 2*math.Pi)
		if code == 2 {
			turn -= 2 * math.Pi
		}
		if math.Abs(turn) < 1e-9 || math.Abs(turn) > 2*math.Pi-1e-9 {
			turn = 2 * math.Pi * map[int]float64{2: -1, 3: 1}[code]
		}
		parts = math.Ceil(math.Abs(turn) / (2 * math.Acos(1-math.Min(0.001/around, 0.5))))
	}
	last := from
	for k := 1.0; k <= parts; k++ {
		u := k / parts
		next := spot{from.x + u*(to.x-from.x), from.y + u*(to.y-from.y), from.z + u*(to.z-from.z)}
		if code > 1 {
			sin, cos := math.Sincos(start + u*turn)
			next.x, next.y = middle.X+around*cos, middle.Y+around*sin
		}
		h.straight(last, next, radius, upright)
		last = next
	}
}

func (h heights) straight(a, b spot, radius float64, upright bool) {
	column := func(x float64) int { return int(math.Floor((x - h.x) / h.cell)) }
	row := func(y float64) int { return int(math.Floor((y - h.y) / h.cell)) }
	dx, dy := b.x-a.x, b.y-a.y
	square := dx*dx + dy*dy
	for r := max(0, row(math.Min(a.y, b.y)-radius)); r <= min(h.rows-1, row(math.Max(a.y, b.y)+radius)); r++ {
		for c := max(0, column(math.Min(a.x, b.x)-radius)); c <= min(h.columns-1, column(math.Max(a.x, b.x)+radius)); c++ {
			i := r*h.columns + c
			x, y := h.at(i)
			u := 0.0
			if square > 0 {
				u = math.Min(math.Max(((x-a.x)*dx+(y-a.y)*dy)/square, 0), 1)
			}
			off := math.Hypot(x-a.x-u*dx, y-a.y-u*dy)
			if off > radius {
				continue
			}
			deep := -(a.z + u*(b.z-a.z))
			if square == 0 {
				deep = -math.Min(a.z, b.z)
			}
			if upright {
				deep = h.thickness
			}
			if h.watch != nil && deep > h.deep[i] {
				h.watch(geometry.Point{X: x, Y: y}, off, h.deep[i], math.Min(deep, h.thickness))
			}
			h.deep[i] = math.Max(h.deep[i], deep)
		}
	}
}
