package gcode_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/gcode"
	"traywright/cam/process"
	"traywright/cam/proof/read"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// commands is a program without its comments.
func commands(text string) string {
	var b strings.Builder
	for line := range strings.SplitSeq(text, "\n") {
		if !strings.HasPrefix(line, "(") {
			b.WriteString(line + "\n")
		}
	}
	return b.String()
}

// Whatever the user's texts are, the commands are the same and every comment
// begins with a word of ours.
func FuzzUserText(f *testing.F) {
	for _, s := range []string{"", "a) G0 X999 (", "x\nM3 S1000\n", "MSG,hello", strings.Repeat("MSG, ", 60), "%", "; M5", "kräken \u2028 G1", "\x00\x1b[2J", "\xff\xfe", "(((", strings.Repeat("w", 600)} {
		f.Add(s)
	}
	plain := ""
	f.Fuzz(func(t *testing.T, s string) {
		p := program(profiles.Tool{Number: 1, Name: s, ID: s},
			process.Move{To: at(1, 2, 5)}, process.Move{Kind: process.Line, To: at(1, 2, -1), FeedMMPerMin: 100})
		p.Ops[0].Name = s
		h := gcode.Header{Job: s, Tray: s, Layer: s, Foam: s, Machine: s, Recipe: s, Notes: []string{s}, Cautions: []string{s, s}, Requires: []string{s}}
		text := write(t, p, h, router())
		if plain == "" {
			plain = commands(write(t, program(thin, p.Ops[0].Moves...), gcode.Header{}, router()))
		}
		require.Equal(t, plain, commands(text))
		trace := read.Program([]byte(text), read.Options{})
		require.Empty(t, trace.Findings)
		for _, c := range trace.Comments {
			key, _, ok := strings.Cut(c.Text, ": ")
			require.True(t, ok && strings.Trim(key, "abcdefghijklmnopqrstuvwxyzXYZ ") == "" || strings.HasPrefix(c.Text, "+ "), c.Text)
			require.False(t, strings.ContainsAny(c.Text, "()[]{};%!?~$"), c.Text)
		}
	})
}

func TestHeader(t *testing.T) {
	p := program(thin, process.Move{To: at(1, 2, 5)})
	p.BreakthroughMM = 0.5
	s := process.Stats{Min: at(-1.5875, -1.5875, -20.5), Max: at(251.5875, 101, 5), Passes: 4}
	h := gcode.Header{Job: "Tidewrack", Tray: "stores", Layer: "1 of 2", Foam: "pe-30", Machine: "Bench router",
		Recipe:  "pe-30 with thin: 1200 mm/min, 5 mm a pass. Starting value, measure your own; kräftig (fest)",
		Seconds: 754.6, LeastSeconds: 59, Cautions: []string{"dust"}, Requires: []string{"a second person in the room"}}
	assert.Equal(t, `(job: Tidewrack)
(tray: stores)
(layer: 1 of 2)
(foam: pe-30)
(thickness: 20 mm)
(breakthrough: 0.5 mm)
(machine: bench-router, Bench router)
(tool: T1 3.175 mm cutter)
(kerf: T1 3.175 mm)
(recipe: pe-30 with thin: 1200 mm/min, 5 mm a pass. Starting value, measure)
(+ your own, kraftig <fest>)
(passes: 4)
(z zero: top of the foam, positive up)
(X: -1.5875 to 251.5875 mm)
(Y: -1.5875 to 101 mm)
(Z: -20.5 to 5 mm)
(time: 12 min 35 s estimated, not less than 59 s at the feeds written)
(caution: dust)
(required: a second person in the room)
`, string(gcode.Opening(p, s, h, router())))
	h.Unit = units.Inch
	assert.Contains(t, string(gcode.Opening(p, s, h, router())), "mm)\n(in inches: thickness 0.787 in, X -1/16 to 9.905 in, Y -1/16 to 3.976 in, Z)\n(+ -0.807 to 0.197 in)\n(time: ")
}

// Times on both sides of a minute, and heights above the bed where zero lies there: the top of
// 20 mm of foam is at 20.
func TestHeaderOfABedZero(t *testing.T) {
	p := program(thin, process.Move{To: at(1, 2, 5)})
	p.SkinMM = 0.6
	m := router()
	m.ZZero, m.ScaleX, m.ScaleY = profiles.ZBed, profiles.Number{Value: 0.998}, profiles.Number{Value: 1}
	s := process.Stats{Min: at(-1, -1, -20.5), Max: at(2, 3, 5), Passes: 4}
	text := string(gcode.Opening(p, s, gcode.Header{}, m))
	assert.Contains(t, text, "(X: -1 to 2 mm)\n(Y: -1 to 3 mm)\n(Z: -0.5 to 25 mm)\n")
	assert.Contains(t, text, "(z zero: bed, positive up)\n")
	assert.Contains(t, text, "(skin: 0.6 mm left under the outline")
	assert.NotContains(t, text, "(plugs")
	assert.Contains(t, text, "(scale: X 0.998 Y 1, measured")
	for seconds, want := range map[float64]string{0: "0 s", 59.4: "59 s", 61: "1 min 01 s", 3601: "1 h 00 min"} {
		text := string(gcode.Opening(p, s, gcode.Header{Seconds: seconds, LeastSeconds: seconds}, m))
		assert.Contains(t, text, "(time: "+want+" estimated, not less than "+want+" at")
	}
}

func TestHeaderCountsPlugs(t *testing.T) {
	p := program(thin, process.Move{To: at(1, 2, 5)})
	p.Ops[0].PlugSkinMM = 0.6
	assert.Contains(t, string(gcode.Opening(p, process.Stats{}, gcode.Header{}, router())), "(plugs: 1 stands on 0.6 mm, to cut with a knife and lift out)")
	p.Ops = append(p.Ops, p.Ops[0])
	assert.Contains(t, string(gcode.Opening(p, process.Stats{}, gcode.Header{}, router())), "(plugs: 2 stand on 0.6 mm, to cut with a knife and lift out)")
}

// What nothing turns is moved, and no spindle started: a blade.
func TestABladeIsNotTurned(t *testing.T) {
	m := router()
	m.Process = profiles.Knife
	p := program(thin, process.Move{To: at(0, 0, 5)}, process.Move{Kind: process.Line, To: at(0, 0, -2), FeedMMPerMin: 100})
	p.Ops[0].RPM = 0
	text := write(t, p, gcode.Header{}, m)
	assert.Contains(t, text, "G1 Z-2.0000 F100")
	assert.NotContains(t, text, "M3")
}

// What cannot be printed is an error, and there is no half of it.
func TestBodyRefuses(t *testing.T) {
	line := func(m process.Move) process.Program { return program(thin, process.Move{To: at(0, 0, 5)}, m) }
	good := process.Move{Kind: process.Line, To: at(1, 1, 0), FeedMMPerMin: 100}
	none := router()
	none.Controller.ToolChange = "none"
	two := line(good)
	two.Ops = append(two.Ops, program(thick, process.Move{To: at(0, 0, 5)}).Ops...)
	slow := line(good)
	slow.Ops[0].RPM = 0
	faceted := router()
	faceted.Controller.Arcs = profiles.Chords
	for name, c := range map[string]struct {
		p process.Program
		m profiles.Machine
	}{
		"not a number":       {line(process.Move{Kind: process.Line, To: at(math.NaN(), 0, 0), FeedMMPerMin: 1}), router()},
		"infinite":           {line(process.Move{To: at(0, math.Inf(1), 0)}), router()},
		"too far":            {line(process.Move{To: at(0, 1.1e6, 0)}), router()},
		"no feed":            {line(process.Move{Kind: process.Line, To: at(1, 0, 0)}), router()},
		"feed rounds to 0":   {line(process.Move{Kind: process.Line, To: at(1, 0, 0), FeedMMPerMin: 1e-6}), router()},
		"negative feed":      {line(process.Move{Kind: process.Line, To: at(1, 0, 0), FeedMMPerMin: -1}), router()},
		"no speed":           {slow, router()},
		"crooked arc":        {line(process.Move{Kind: process.CW, To: at(10, 0, 0), Center: geometry.Point{X: 4}, FeedMMPerMin: 1}), router()},
		"no chord error":     {line(process.Move{Kind: process.CW, To: at(10, 0, 0), Center: geometry.Point{X: 5}, FeedMMPerMin: 1}), faceted},
		"second tool":        {two, none},
		"begins with a cut":  {program(thin, good), router()},
		"more than full":     {line(process.Move{Kind: process.Line, To: at(1, 0, 0), FeedMMPerMin: 1, PowerPercent: 101}), laser()},
		"power not a number": {line(process.Move{Kind: process.Line, To: at(1, 0, 0), FeedMMPerMin: 1, PowerPercent: math.NaN()}), laser()},
		"no power scale":     {line(process.Move{Kind: process.Line, To: at(1, 0, 0), FeedMMPerMin: 1, PowerPercent: 50}), profiles.Machine{Process: profiles.Laser, Controller: pc("none")}},
	} {
		body, err := gcode.Body(c.p, c.m)
		assert.Error(t, err, name)
		assert.Empty(t, body, name)
	}
}

// What cannot be printed is told by its place: the first move is move 1.
func TestTheMoveThatIsWrongIsNamed(t *testing.T) {
	for wrong := 2; wrong <= 4; wrong++ {
		p := program(thin, process.Move{To: at(0, 0, 5)})
		for i := 2; i <= 5; i++ {
			feed := 100.0
			if i == wrong {
				feed = -1
			}
			p.Ops[0].Moves = append(p.Ops[0].Moves, process.Move{Kind: process.Line, To: at(float64(i), 0, 0), FeedMMPerMin: feed})
		}
		_, err := gcode.Body(p, router())
		assert.ErrorContains(t, err, fmt.Sprintf("move %d: ", wrong))
	}
}

// Numbers of tools: a controller of few words that is told of them knows a byte's worth, and
// no other has that bound.
func TestToolNumbersOfASmallController(t *testing.T) {
	for _, c := range profiles.Controllers() {
		if c.Class == profiles.Drawing {
			continue
		}
		for _, change := range []string{profiles.ByHand, "none"} {
			for _, number := range []int{1, 255, 256, 300} {
				m, tool := router(), thin
				m.Controller.Class, m.Controller.ToolChange, tool.Number = c.Class, change, number
				_, err := gcode.Body(program(tool, process.Move{To: at(0, 0, 5)}), m)
				assert.Equal(t, c.Class == profiles.Small && change == profiles.ByHand && number > 255, err != nil, "%s %s %d: %v", c.Class, change, number, err)
			}
		}
	}
}

// What a header tells of a cutter's length, also of one that hardly stands out.
func TestStickoutIsTold(t *testing.T) {
	for out, want := range map[float64]string{0: "", 0.5: "T1 0.5 mm", 1: "T1 1 mm", 22.5: "T1 22.5 mm"} {
		tool := thin
		tool.StickoutMM.Value = out
		text := write(t, program(tool, process.Move{To: at(0, 0, 5)}), gcode.Header{}, router())
		assert.Equal(t, out > 0, want != "" && strings.Contains(text, want+")"), "%v: %s", out, text)
	}
}

// The extents with the places beside the foam hold all that the program's text goes to, and are
// reached by it: the text read back is the judge.
func TestReachIsWhereTheTextGoes(t *testing.T) {
	first := program(thin, process.Move{To: at(10, 10, 5)}, process.Move{Kind: process.Line, To: at(30, 20, 5), FeedMMPerMin: 100})
	for _, park := range [][]float64{nil, {-30, 400, 90}, {300, -7, 6}, {15, 15, 1}, {40, 15, 5}} {
		for _, change := range [][]float64{{0, -60, 40}, {500, 70, 10}, {20, 12, 95}} {
			for _, by := range []string{profiles.ByHand, profiles.ByItself} {
				for _, two := range []bool{false, true} {
					m, p := router(), first
					m.Controller.ParkAt, m.Controller.ChangeAt, m.Controller.ToolChange = park, change, by
					if two {
						p.Ops = append(slices.Clone(p.Ops), program(thick, p.Ops[0].Moves...).Ops...)
					}
					low, high := at(math.Inf(1), math.Inf(1), 0), at(math.Inf(-1), math.Inf(-1), math.Inf(-1))
					for _, s := range read.Program([]byte(write(t, p, gcode.Header{}, m)), read.Options{}).Steps {
						if s.Named&read.AxisX != 0 {
							low.X, high.X = min(low.X, s.To.X), max(high.X, s.To.X)
						}
						if s.Named&read.AxisY != 0 {
							low.Y, high.Y = min(low.Y, s.To.Y), max(high.Y, s.To.Y)
						}
						if s.Named&read.AxisZ != 0 {
							high.Z = max(high.Z, s.To.Z)
						}
					}
					got := gcode.Reach(p, process.Measure(p), m)
					assert.Equal(t, [5]float64{low.X, low.Y, high.X, high.Y, high.Z}, [5]float64{got.Min.X, got.Min.Y, got.Max.X, got.Max.Y, got.Max.Z}, "park %v, change %v, %s, %v", park, change, by, two)
				}
			}
		}
	}
}

// Rounding to four decimals of a mm keeps the radii of an arc's ends within
// 0.00028 mm of each other, far below the 0.002 mm that a controller accepts
// (NISTIR 6556 3.5.3.2; the bound is 2 sqrt 2 times half a step: derived).
func TestPrintedArcsAreRound(t *testing.T) {
	r := rand.New(rand.NewPCG(6556, 2000))
	p := program(thin, process.Move{To: at(0, 0, 5)})
	from := at(0, 0, 5)
	for range 20000 {
		radius, angle, turn := 0.5+199.5*r.Float64(), 2*math.Pi*r.Float64(), 0.01+6*r.Float64()
		center := from.Sub(geometry.Point{X: radius * math.Cos(angle), Y: radius * math.Sin(angle)})
		to := process.Point{Point: center.Add(geometry.Point{X: radius * math.Cos(angle+turn), Y: radius * math.Sin(angle+turn)}), Z: 5}
		p.Ops[0].Moves = append(p.Ops[0].Moves, process.Move{Kind: process.CCW, To: to, Center: center, FeedMMPerMin: 100})
		from = to
	}
	trace := read.Program([]byte(write(t, p, gcode.Header{}, router())), read.Options{})
	require.Empty(t, trace.Findings)
	worst, arcs := 0.0, 0
	for _, s := range trace.Steps {
		if s.Action == read.ArcCCW {
			arcs++
			worst = max(worst, math.Abs(s.From.XY().DistanceTo(s.Center)-s.To.XY().DistanceTo(s.Center)))
		}
	}
	assert.Greater(t, arcs, 20000)
	assert.Less(t, worst, 0.00029)
	assert.Greater(t, worst, 0.0001, "the check looks at nothing")
}

// A controller without arcs gets chords: 2 acos(1 - e/r) each, so many for a
// whole turn (derived); e is 0.02 mm at the most.
func TestChords(t *testing.T) {
	for _, c := range []struct {
		error, radius float64
		count         int
	}{{0.01, 3, 39}, {0.01, 25, 112}, {0.05, 25, 79}, {1, 15, 61}} {
		m := router()
		m.Controller.Arcs, m.Controller.ChordMM = profiles.Chords, c.error
		p := program(thin, process.Move{To: at(c.radius, 0, 5)},
			process.Move{Kind: process.CW, To: at(c.radius, 0, 5), FeedMMPerMin: 100})
		text := write(t, p, gcode.Header{}, m)
		assert.Equal(t, c.count, strings.Count(text, "G1 "), fmt.Sprint(c))
		for _, s := range read.Program([]byte(text), read.Options{}).Steps {
			if s.Action == read.Straight {
				middle := s.From.XY().Add(s.To.XY()).Scale(0.5)
				assert.LessOrEqual(t, c.radius-middle.Norm(), c.error+1e-4)
			}
		}
	}
}

// Arcs that rounding would turn into something else: one that rounds to
// nothing is never a whole turn, a whole turn is never nothing.
func TestArcsThatRoundingCouldSpoil(t *testing.T) {
	half := geometry.Point{X: 5}
	for name, c := range map[string]struct {
		to     process.Point
		center geometry.Point
		turn   float64
	}{
		"too short to print": {at(1e-6, 1e-5, 5), half, 0},
		"a whole turn":       {at(0, 0, 5), half, -2 * math.Pi},
		"nearly a turn":      {at(2.5e-11, -1.6e-5, 5), half, -2 * math.Pi},
		"half a turn":        {at(10, 0, 5), half, -math.Pi},
		"nearly straight":    {at(0, 1, 5), geometry.Point{X: 90000, Y: 0.5}, 0},
		"no radius":          {at(0, 0, 5), geometry.Point{}, 0},
	} {
		p := program(thin, process.Move{To: at(0, 0, 5)}, process.Move{Kind: process.CW, To: c.to, Center: c.center, FeedMMPerMin: 100})
		trace := read.Program([]byte(write(t, p, gcode.Header{}, router())), read.Options{})
		require.Empty(t, trace.Findings, name)
		turn := 0.0
		for _, s := range trace.Steps {
			if s.Action == read.ArcCW {
				turn -= stepLength(s) / s.To.XY().DistanceTo(s.Center)
			}
		}
		assert.InDelta(t, c.turn, turn, 1e-4, name)
	}
}

// Arcs smaller than 0.1 mm are straight moves, whatever the controller: from and to the same
// places, and never further from the arc than 0.0015 mm (README says 0.002; a printed step aside).
func TestSmallArcsAreStraight(t *testing.T) {
	for _, class := range profiles.Controllers() {
		if class.Class == profiles.Drawing {
			continue
		}
		m := router()
		m.Controller, m.RapidMMPerMin = class, profiles.Number{Value: 3000}
		step := math.Pow(0.1, float64(class.Decimals))
		for _, r := range []float64{0.004, 0.025, 0.0785, 0.0999, 0.5, 1.9875} {
			for _, turn := range []float64{0.03 / r, math.Pi / 2, math.Pi, 2 * math.Pi} {
				if r >= 0.1 && r*turn >= 0.1 || turn > 2*math.Pi {
					continue
				}
				end := at(10+r*math.Cos(turn), 10+r*math.Sin(turn), -1)
				p := program(thin, process.Move{To: at(10+r, 10, 5)}, process.Move{Kind: process.Line, To: at(10+r, 10, -1), FeedMMPerMin: 300},
					process.Move{Kind: process.CCW, To: end, Center: geometry.Point{X: 10, Y: 10}, FeedMMPerMin: 900})
				var last read.Place
				for _, s := range read.Program([]byte(text(t, p, gcode.Header{}, m)), read.Options{}).Steps {
					require.NotContains(t, []read.Action{read.ArcCW, read.ArcCCW}, s.Action, "%s, r %v, turn %v", class.Class, r, turn)
					if s.Action == read.Straight {
						last = s.To
						middle := s.From.XY().Add(s.To.XY()).Scale(0.5).DistanceTo(geometry.Point{X: 10, Y: 10})
						assert.InDelta(t, r, middle, max(0.0015, class.ChordMM)+step, "%s, r %v, turn %v", class.Class, r, turn)
					}
				}
				assert.InDelta(t, 0, last.XY().DistanceTo(end.Point), step, "%s, r %v, turn %v", class.Class, r, turn)
			}
		}
	}
}

func TestSameBytesEveryTime(t *testing.T) {
	p := program(thin, process.Move{To: at(1, 2, 5)}, process.Move{Kind: process.Line, To: at(-1e-9, 2, 0), FeedMMPerMin: 100})
	text := write(t, p, gcode.Header{Job: "a"}, router())
	assert.Equal(t, text, write(t, p, gcode.Header{Job: "a"}, router()))
	assert.NotContains(t, text, "-0.0000")
}

// A laser's program says how its head stands at Z0 and what S is all of its power; where nobody has
// said how high that is, it says so. No other program speaks of either.
func TestHeaderOfABeam(t *testing.T) {
	power := 40.0
	opening := func(m profiles.Machine) string {
		p := process.Program{Ops: []process.Op{{Moves: []process.Move{{}, {Kind: process.Line, PowerPercent: power}}}}}
		return string(gcode.Opening(p, process.Stats{}, gcode.Header{}, m))
	}
	laser := profiles.Machine{ID: "l", Process: profiles.Laser, StandoffMM: profiles.Number{Value: 7.5}, Controller: profiles.Controller{Comments: "brackets", LongestLine: 250, PowerScale: 255}}
	assert.Contains(t, opening(laser), "(focus: at Z0 the nozzle stands 7.5 mm above the foam, in focus on its top)\n(full power: S255, as the controller's own setting has to be)\n")
	laser.StandoffMM.Value = 0
	assert.Contains(t, opening(laser), "(focus: at Z0 the beam is in focus on the foam's top, never the nozzle on the)\n(+ foam: it stands at your lens's focus height above it, measure it)\n")
	power = 0 // an air cut
	assert.NotContains(t, opening(laser), "full power")
	router := laser
	router.Process = profiles.Router
	assert.NotRegexp(t, "focus|full power", opening(router))
}
