package gcode_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/gcode"
	"traywright/cam/process"
	"traywright/cam/proof/read"
	"traywright/geometry"
	"traywright/profiles"
)

var (
	thin  = profiles.Tool{ID: "thin", Number: 1, Name: "3.175 mm cutter", DiameterMM: profiles.Number{Value: 3.175}}
	thick = profiles.Tool{ID: "thick", Number: 2, Name: "6 mm cutter", DiameterMM: profiles.Number{Value: 6}}
)

// pc is the shipped controller of full RS-274, which changes tools so.
func pc(change string) profiles.Controller {
	c := profiles.Controllers()[0]
	c.ToolChange, c.ChangeAt = change, []float64{0, -60, 40}
	return c
}

func router() profiles.Machine {
	return profiles.Machine{ID: "bench-router", Process: profiles.Router, ZZero: profiles.ZTop,
		Controller: pc(profiles.ByHand), Tools: []profiles.Tool{thin, thick}}
}

func laser() profiles.Machine {
	m := profiles.Machine{ID: "bench-laser", Process: profiles.Laser, ZZero: profiles.ZBed,
		Controller: pc("none")}
	m.Controller.PowerScale, m.Controller.Air = 1000, []string{"M8", "M9"}
	m.TravelMM[2].Value = 40
	return m
}

func at(x, y, z float64) process.Point {
	return process.Point{Point: geometry.Point{X: x, Y: y}, Z: z}
}

// write prints a program and checks what holds of every one: printable ASCII,
// 256 characters a line, LF, an end.
func write(t require.TestingT, p process.Program, h gcode.Header, m profiles.Machine) string {
	body, err := gcode.Body(p, m)
	require.NoError(t, err)
	text := string(gcode.Opening(p, process.Stats{}, h, m)) + string(body)
	require.True(t, strings.HasSuffix(text, "M2\n"))
	for line := range strings.SplitSeq(text, "\n") {
		require.LessOrEqual(t, len(line), 256)
		for i := range len(line) {
			require.True(t, line[i] >= ' ' && line[i] < 0x7f, "line %q", line)
		}
	}
	return text
}

// program is one operation of the moves, above and in 20 mm of foam.
func program(tool profiles.Tool, moves ...process.Move) process.Program {
	return process.Program{ClearZ: 5, ThicknessMM: 20, Ops: []process.Op{{Name: "pocket 1", Tool: tool, RPM: 18000, KerfMM: 3.175, Moves: moves}}}
}

func TestRouterProgram(t *testing.T) {
	p := program(thin,
		process.Move{Kind: process.Rapid, To: at(10, 10, 5)},
		process.Move{Kind: process.Line, To: at(10, 10, -2), FeedMMPerMin: 300},
		process.Move{Kind: process.Line, To: at(20, 10, -2), FeedMMPerMin: 1200},
		process.Move{Kind: process.CCW, To: at(20, 20, -2), Center: geometry.Point{X: 20, Y: 15}, FeedMMPerMin: 1200},
		process.Move{Kind: process.Rapid, To: at(20, 20, 5)},
	)
	second := p.Ops[0]
	second.Name, second.Tool = "outline", thick
	p.Ops = append(p.Ops, second)
	text := write(t, p, gcode.Header{Job: "Tidewrack", Tray: "stores"}, router())
	_, body, _ := strings.Cut(text, "G21\n")
	assert.Equal(t, `G90
G17
G94
G40
G49
G80
G54
M5
G64 P0.01
G0 Z5.0000
(tool in the spindle: T1 3.175 mm cutter)
T1
(op: pocket 1)
S18000 M3
G4 P3
G0 X10.0000 Y10.0000
G1 Z-2.0000 F300
G1 X20.0000 F1200
G3 X20.0000 Y20.0000 I0.0000 J5.0000
G0 Z5.0000
M5
G0 Z40.0000
G0 X0.0000 Y-60.0000
(change the tool: switch the spindle off by its own switch where it has one)
(+ and wait until it stands still, put in T2 6 mm cutter, its)
(+ tip as far below the spindle as the last one's, then switch)
(+ on again what was switched off, set a dial to 18000 rpm,)
(+ and start)
T2
M0
G0 Z5.0000
(op: outline)
S18000 M3
G4 P3
G0 X10.0000 Y10.0000
G1 Z-2.0000 F300
G1 X20.0000 F1200
G3 X20.0000 Y20.0000 I0.0000 J5.0000
G0 Z5.0000
M5
M2
`, body)
	assert.Empty(t, read.Program([]byte(text), read.Options{}).Findings)
}

func TestLaserProgram(t *testing.T) {
	p := program(profiles.Tool{},
		process.Move{Kind: process.Rapid, To: at(10, 10, 0)},
		process.Move{Kind: process.Line, To: at(20, 10, 0), FeedMMPerMin: 900, PowerPercent: 45.5},
		process.Move{Kind: process.Line, To: at(20, 20, 0), FeedMMPerMin: 900, PowerPercent: 60},
		process.Move{Kind: process.Rapid, To: at(50, 10, -1)},
		process.Move{Kind: process.Line, To: at(60, 10, -1), FeedMMPerMin: 900, PowerPercent: 60},
		process.Move{Kind: process.Line, To: at(70, 10, -1), FeedMMPerMin: 900},
	)
	text := write(t, p, gcode.Header{}, laser())
	_, body, _ := strings.Cut(text, "G54\n")
	assert.Equal(t, `M5
G64 P0.01
M8
(op: pocket 1)
G0 Z20.0000
G0 X10.0000 Y10.0000
M3 S455
G1 X20.0000 F900
S600
G1 Y20.0000
M5
G0 X50.0000 Y10.0000
G0 Z19.0000
M3 S600
G1 X60.0000
M5
G1 X70.0000
M5
M9
M2
`, body)
	assert.Empty(t, read.Program([]byte(text), read.Options{}).Findings)
}

// The text comes back from an independent reader within half a printed step.
func TestWriteReadRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coordinate := rapid.Float64Range(-500, 500)
		from := at(coordinate.Draw(t, "x"), coordinate.Draw(t, "y"), 5)
		moves := []process.Move{{Kind: process.Rapid, To: from}}
		for range rapid.IntRange(1, 20).Draw(t, "moves") {
			move := drawMove(t, from)
			moves = append(moves, move)
			from = move.To
		}
		p := program(thin, moves...)
		trace := read.Program([]byte(write(t, p, gcode.Header{}, router())), read.Options{})
		require.Empty(t, trace.Findings)
		samePlaces(t, moves, trace)
	})
}

// drawMove is a random move: a line, or an arc or helix of any radius and turn.
func drawMove(t *rapid.T, from process.Point) process.Move {
	kind := process.Kind(rapid.IntRange(0, 3).Draw(t, "kind"))
	z := rapid.Float64Range(-20, 5).Draw(t, "z")
	if kind <= process.Line {
		c := rapid.Float64Range(-500, 500)
		return process.Move{Kind: kind, To: at(c.Draw(t, "x"), c.Draw(t, "y"), z), FeedMMPerMin: 1000}
	}
	r := math.Exp(rapid.Float64Range(math.Log(1e-5), math.Log(2e4)).Draw(t, "log r"))
	start := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "start")
	least := 1e-8 / r // an arc shorter than a millionth of a mm is a whole turn
	sweep := rapid.OneOf(rapid.Float64Range(least, 2*math.Pi-least), rapid.Just(2*math.Pi), rapid.Just(math.Pi)).Draw(t, "sweep")
	center := from.Sub(geometry.Point{X: r * math.Cos(start), Y: r * math.Sin(start)})
	if kind == process.CW {
		sweep = -sweep
	}
	end := center.Add(geometry.Point{X: r * math.Cos(start+sweep), Y: r * math.Sin(start+sweep)})
	if math.Abs(sweep) == 2*math.Pi {
		end = from.Point
	}
	return process.Move{Kind: kind, To: process.Point{Point: end, Z: z}, Center: center, FeedMMPerMin: 1000}
}

// samePlaces holds the trace against the moves: it ends where they end, is as
// long as they are, and every step's end and middle lie on one of them.
func samePlaces(t *rapid.T, moves []process.Move, trace read.Trace) {
	want, got, from := 0.0, 0.0, moves[0].To
	short := 0.0 // what chords may be shorter than small arcs: least where 5 of them are a circle of 0.02 mm
	for _, move := range moves[1:] {
		want += length(from, move)
		if move.Kind > process.Line && (from.DistanceTo(move.Center) < 0.1 || length(from, move) < 0.1) {
			short += 0.012
		}
		from = move.To
	}
	var last read.Place
	for _, s := range trace.Steps {
		if !s.Action.Moves() {
			continue
		}
		if last = s.To; s.Unknown != 0 {
			continue
		}
		got += stepLength(s)
		if s.Action != read.Straight && s.Action != read.Traverse {
			radius := s.From.XY().DistanceTo(s.Center)
			require.GreaterOrEqual(t, min(radius, stepLength(s)), 0.1-1e-9, "an arc smaller than any machine turns")
		}
	}
	want += math.Abs(5 - from.Z) // the retract at the end
	require.InDelta(t, want, got, 1e-3*float64(len(moves))+1e-6*want+short)
	require.InDelta(t, from.X, last.X, 5.0001e-5)
	require.InDelta(t, from.Y, last.Y, 5.0001e-5)
}

func stepLength(s read.Step) float64 {
	kind := map[read.Action]process.Kind{read.Straight: process.Line, read.ArcCW: process.CW, read.ArcCCW: process.CCW}[s.Action]
	return length(at(s.From.X, s.From.Y, s.From.Z), process.Move{Kind: kind, To: at(s.To.X, s.To.Y, s.To.Z), Center: s.Center})
}

// length of a move; a rapid that changes height and plane goes one after the other.
func length(from process.Point, move process.Move) float64 {
	flat, rise := from.DistanceTo(move.To.Point), math.Abs(move.To.Z-from.Z)
	switch move.Kind {
	case process.Rapid:
		return flat + rise
	case process.Line:
		return math.Hypot(flat, rise)
	}
	a, b := from.Sub(move.Center), move.To.Sub(move.Center)
	sweep := math.Mod(math.Atan2(b.Y, b.X)-math.Atan2(a.Y, a.X)+4*math.Pi, 2*math.Pi)
	if move.Kind == process.CW {
		sweep = 2*math.Pi - sweep
	}
	if from.Point == move.To.Point {
		sweep = 2 * math.Pi
	}
	return math.Hypot(sweep*a.Norm(), rise)
}
