package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// A tool is changed 20 mm beside the foam or farther (changeRoomMM: judged, no source).
func TestChangesOverFoamAtItsEdges(t *testing.T) {
	foam := geometry.Box{Max: geometry.Point{X: 200, Y: 100}}
	s := Sheet{Edge: Cut{Tool: profiles.Tool{ID: "flat", Number: 1}}}
	for _, c := range []struct {
		at   []float64
		over bool
	}{
		{[]float64{-19.9, 50, 5}, true}, {[]float64{-20.1, 50, 5}, false}, {[]float64{219.9, 50, 5}, true}, {[]float64{220.1, 50, 5}, false},
		{[]float64{100, -19.9, 5}, true}, {[]float64{100, -20.1, 5}, false}, {[]float64{100, 119.9, 5}, true}, {[]float64{100, 120.1, 5}, false},
		{[]float64{100, 50, 500}, true}, {[]float64{5, 150, 50}, false}, {nil, false},
	} {
		assert.Equal(t, c.over, s.ChangesOver(profiles.Controller{ToolChange: profiles.ByItself, ChangeAt: c.at}, foam), c.at)
	}
	assert.False(t, s.ChangesOver(profiles.Controller{ToolChange: profiles.ByHand, ChangeAt: []float64{100, 50, 5}}, foam), "one tool is not changed")
}

// As many dowels as one tray takes, 20 mm longer than the thickest that has that diameter (dowelGrip: judged, no
// source), up to the next half mm.
func TestDowelsOfAPlan(t *testing.T) {
	mm := func(x float64) units.Length { l, _ := units.FromMM(x); return l }
	tray := func(thick float64, dowels ...float64) Tray {
		made := Tray{Layers: []Layer{{Thickness: mm(thick)}, {Thickness: mm(6.35)}}, Pockets: []Pocket{{For: "keg"}}}
		for _, d := range dowels {
			made.Pockets = append(made.Pockets, Pocket{Dowel: mm(d)})
		}
		return made
	}
	p := &Plan{Job: &job.Job{Units: units.Millimetre}, Trays: []Tray{tray(25.4, 8, 8), tray(50.8, 8), tray(12.7, 6, 6, 6), tray(10)}}
	assert.Equal(t, []DowelNeed{{mm(6), mm(39.5), 3}, {mm(8), mm(77.5), 2}}, p.Dowels()) // 12.7 + 6.35 + 20 = 39.05; 50.8 + 6.35 + 20 = 77.15
	assert.Empty(t, (&Plan{Job: p.Job, Trays: p.Trays[3:]}).Dowels())
}

func TestPiecesInWords(t *testing.T) {
	assert.Equal(t, []string{"a piece that is", "2 pieces that are", "11 pieces that are"}, []string{pieces(1), pieces(2), pieces(11)})
}

// A place to change tools or to park: what a sheet of 120 x 80 mm needs with 3.175 mm of kerf around half of it each way,
// of a machine that travels 400 x 300 x 80 mm and whose clearance of Z ends at the foam's top (arithmetic).
func TestPlacesAsideAtTheirEdges(t *testing.T) {
	tray := pad()
	tray.Layers = tray.Layers[:1]
	aside := func(change func(*profiles.Machine)) finding.List {
		in := input(t, bench(tray), "bench-router")
		for i, travel := range []float64{400, 300, 80} {
			in.Machine.TravelMM[i].Value = travel
		}
		in.Machine.ZZero, in.Machine.ScaleX.Value, in.Machine.ScaleY.Value = "top", 0, 0
		change(&in.Machine)
		_, found := Make(in)
		return found
	}
	half := 3.175 / 2
	for _, c := range []struct {
		at  []float64
		out bool
	}{
		{[]float64{-280 + half + 0.01, 0, 50}, false}, {[]float64{-280 + half - 0.01, 0, 50}, true},
		{[]float64{400 - half - 0.01, 0, 50}, false}, {[]float64{400 - half + 0.01, 0, 50}, true},
		{[]float64{0, -220 + half + 0.01, 50}, false}, {[]float64{0, -220 + half - 0.01, 50}, true},
		{[]float64{0, 300 - half - 0.01, 50}, false}, {[]float64{0, 300 - half + 0.01, 50}, true},
		{[]float64{0, 0, 80 - 25.4 - 0.01}, false}, {[]float64{0, 0, 80 - 25.4 + 0.01}, true}, {nil, false},
	} {
		found := aside(func(m *profiles.Machine) { m.Controller.ParkAt = c.at })
		assert.Equal(t, c.out, strings.Contains(rules(found), "error:aside-out-of-reach"), "%v %v", c.at, found)
	}
	far := []float64{0, 0, 60}
	assert.NotContains(t, rules(aside(func(m *profiles.Machine) { m.Controller.ParkAt, m.ZZero = far, profiles.ZBed })), "aside", "Z counts from the bed")
	assert.NotContains(t, rules(aside(func(m *profiles.Machine) { m.Controller.ParkAt, m.TravelMM[0].Value = []float64{900, 0, 0}, 100 })), "aside", "the tray is too large, and that is told")
	assert.NotContains(t, rules(aside(func(m *profiles.Machine) { m.Controller.ChangeAt, m.Controller.ToolChange = far, profiles.OwnFiles })), "aside", "nothing goes there")

	f := only(t, aside(func(m *profiles.Machine) {
		m.Controller.ChangeAt, m.Controller.ToolChange, m.ScaleX.Value, m.ScaleY.Value = []float64{500, 0, 60}, profiles.ByItself, 2, 0.5
	}), "aside-out-of-reach") // X ends at 61.6 / 2 - 400 and starts at -1.6 / 2 + 400; Y at 81.6 * 2 - 300 and -1.6 * 2 + 300
	assert.Equal(t, "machine bench-router", f.Where)
	assert.Contains(t, f.Hint, "x from -334 to 394, y from -131 to 291, z up to 53, 20 mm or more beside the foam, as change_at")
}

// Height is the foam's, the clearance above it and what a cut goes below it; or the way over what holds the foam.
func TestHeightAtItsEdges(t *testing.T) {
	for _, c := range []struct {
		high, clearance, below, clamp float64
		want                          string
	}{
		{30.4, 5, 0, 0, ""}, {30.3, 5, 0, 0, "with the clearance"}, {30.9, 5, 0.5, 0, ""}, {30.8, 5, 0.5, 0, "needs 30.9 mm of height with the clearance"},
		{31.1, 5, 0, 30, ""}, {30.9, 5, 0, 30, "with the way over its clamps"},
	} {
		in := input(t, bench(pad(rect(20, 20, 30, 10))), "bench-router")
		in.Machine.TravelMM[2].Value, in.Machine.ClearanceMM.Value, in.Machine.Clamps = c.high, c.clearance, nil
		in.Machine.ZeroMM.Value = 0
		if c.clamp > 0 {
			in.Machine.Clamps = []profiles.ClampZone{{HeightMM: c.clamp}}
		}
		recipe := in.Recipe
		in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
			r, ok := recipe(foam, tool)
			r.BreakthroughMM.Value = c.below
			return r, ok
		}
		_, found := Make(in)
		if c.want == "" {
			assert.NotContains(t, rules(found), "tray-too-high", "%+v", c)
			continue
		}
		assert.Contains(t, only(t, found, "tray-too-high").Message, c.want, "%+v", c)
	}
}

// What a tray of 120 x 80 mm that is too large for its travel is told to do, with 3.175 mm of tool around it:
// 126.35 x 86.35 mm, or halves of 66.35 mm.
func TestTooLargeAtItsEdges(t *testing.T) {
	for _, c := range []struct {
		x, y   float64
		halves int
		chosen bool
		want   string // "" where it is not too large
	}{
		{126.36, 86.36, 0, false, ""},
		{126.34, 86.36, 0, false, "cut it as two with `halves: 2`"}, {86.36, 86.36, 0, false, "cut it as two with `halves: 2`"},
		{86.34, 86.34, 0, false, "make it smaller"}, {66.4, 86.3, 0, false, "make it smaller"},
		{126.34, 86.36, 0, true, "a smaller case"}, {86.36, 126.36, 0, false, "other way round"}, {86.36, 126.34, 0, false, "cut it as two"},
		{25.2, 90, 0, false, "look first whether its unit"}, {25.3, 90, 0, false, "use a larger machine, or make it"},
		{86.36, 86.36, 2, false, ""}, {130, 17.2, 0, false, "look first whether its unit"}, {130, 17.3, 0, false, "use a larger machine, or make it"},
	} {
		tray := pad()
		tray.Halves, tray.Chosen = c.halves, c.chosen
		in := input(t, bench(tray), "bench-router")
		in.Machine.TravelMM[0].Value, in.Machine.TravelMM[1].Value = c.x, c.y
		_, found := Make(in)
		if c.want == "" {
			assert.NotContains(t, rules(found), "tray-too-large", "%+v", c)
			continue
		}
		f := only(t, found, "tray-too-large")
		assert.Contains(t, f.Message, "needs 126.35 mm x 86.35 mm with the tool around it")
		assert.Contains(t, f.Hint, c.want, "%+v", c)
	}
}

// Tools that are changed inside a program stand out equally far, to 0.05 mm (equalMM: judged, no source).
func TestChangedToolsStandOutEqually(t *testing.T) {
	for _, c := range []struct {
		first, other float64
		change, want string
	}{
		{30, 30.04, profiles.ByHand, ""}, {30, 30.06, profiles.ByHand, "stand out 30 mm and 30.06 mm"}, {30.06, 30, profiles.ByItself, "stand out 30.06 mm and 30 mm"},
		{30.04, 30, profiles.ByItself, ""}, {0, 30, profiles.ByHand, "nobody has said"}, {30, 0, profiles.ByHand, "nobody has said"}, {30, 40, profiles.OwnFiles, ""},
	} {
		m := newMaker(Input{Job: &job.Job{}, Machine: profiles.Machine{ID: "mill", Controller: profiles.Controller{ToolChange: c.change, ChangeAt: []float64{50, 50, 10}}}})
		b := &board{Tray: Tray{Outline: geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 100, Y: 100}}, 0)}}
		tool := func(n int, out float64) profiles.Tool {
			return profiles.Tool{ID: "t", Number: n, StickoutMM: profiles.Number{Value: out}}
		}
		m.checkChanges(b, slab{}, Sheet{Cuts: []Cut{{Tool: tool(2, c.other)}}, Edge: Cut{Tool: tool(1, c.first)}})
		found := m.log.list()
		if c.change != profiles.OwnFiles {
			assert.Contains(t, only(t, found, "change-over-foam").Message, "at X 50 mm, Y 50 mm, over the foam or less than 20 mm beside it")
		}
		if c.want == "" {
			assert.NotContains(t, rules(found), "tool-lengths", "%+v", c)
			continue
		}
		assert.Contains(t, only(t, found, "tool-lengths").Message, c.want)
	}
}

// One block has one Z0; a beam is in focus on the foam's top.
func TestZerosOfLayers(t *testing.T) {
	for _, c := range []struct {
		zeros   []profiles.ZZero
		process profiles.Process
		want    string
	}{
		{[]profiles.ZZero{"", "bed", "", "bed"}, profiles.Router, ""}, {[]profiles.ZZero{"bed", "", "top"}, profiles.Router, "error:two-zeros"},
		{[]profiles.ZZero{"top", "bed"}, profiles.Router, "error:two-zeros"}, {[]profiles.ZZero{"top", ""}, profiles.Laser, ""}, {[]profiles.ZZero{"", "bed"}, profiles.Laser, "error:beam-zero-on-bed"},
	} {
		m := newMaker(Input{Job: &job.Job{}, Machine: profiles.Machine{ID: "m", Process: c.process}})
		s, last := Sheet{}, profiles.ZZero("machine's")
		for _, z := range c.zeros {
			s.Layers = append(s.Layers, Layer{ZZero: z})
			if z != "" {
				last = z
			}
		}
		m.checkZero(slab{layers: s.Layers})
		assert.Equal(t, c.want, rules(m.log.list()), "%+v", c)
		assert.Equal(t, last, s.On(profiles.Machine{ZZero: "machine's"}).ZZero)
	}
}
