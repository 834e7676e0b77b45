package plan

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/profiles"
)

// engravedLabel is a text in single strokes.
func engravedLabel(text string, x, y, height float64) job.Label {
	return job.Label{Making: job.Making{X: mm(x), Y: mm(y)}, Text: text, Height: mm(height), Font: "strokes"}
}

// cutLabel is a text cut through.
func cutLabel(text string, x, y, height float64) job.Label {
	l := engravedLabel(text, x, y, height)
	l.Font, l.Make, l.Through = "go-bold", job.Cut, true
	return l
}

func emblem(x, y, size float64, make job.Make) job.Emblem {
	e := job.Emblem{Making: job.Making{X: mm(x), Y: mm(y), Make: make}, Picture: job.Picture{File: "frame.svg", Length: mm(size)}}
	e.Through = make == job.Cut
	return e
}

// cover is a sheet of 250 x 190 mm, 1/4 in of pe-45, with labels and emblems.
func cover(labels []job.Label, emblems ...job.Emblem) job.Tray {
	return job.Tray{
		ID: "cover", Label: "{game}", Length: mm(250), Width: mm(190), Layers: []job.Layer{layer("pe-45", inch/4)},
		Wall: mm(6), Edge: mm(10), Labels: labels, Emblems: emblems,
	}
}

func labels(list ...job.Label) []job.Label { return list }

func TestEngravedLabel(t *testing.T) {
	plan, found := make1(t, bench(cover(labels(engravedLabel("", 20, 30, 25)))))
	require.Empty(t, found)
	k := plan.Trays[0].Marks[0]
	assert.Equal(t, "Tidewrack", k.Text, "without a text it is the tray's label")
	assert.Equal(t, "label 1 (Tidewrack)", k.Name)
	assert.Equal(t, 25.0, k.HeightMM)
	assert.Equal(t, 3.175, k.WidthMM)
	sheet := plan.Trays[0].Sheets[0]
	assert.Len(t, sheet.Marks, len(k.Paths))
	assert.Equal(t, "flat-3", sheet.Marking.Tool.ID)
	assert.Equal(t, 1.5, sheet.Marking.DepthMM)
	// The T's stem stands on the base line and is as high as asked for.
	face, _ := lettering.Shipped("strokes")
	line, err := face.Set("T", lettering.Setting{HeightMM: 25})
	require.NoError(t, err)
	assert.InDelta(t, 30+line.Box.Max.Y, k.Box.Max.Y-3.175/2, 1)
	assert.InDelta(t, 30-3.175/2, k.Box.Min.Y, 0.5)
}

// Placeholders are filled in for the tray: its case, its id, the groups of its pieces.
func TestLabelNames(t *testing.T) {
	tray := cover(labels(engravedLabel("{group} {case}", 20, 30, 20)))
	tray.Pockets = []job.Pocket{rect(30, 80, 30, 30)}
	tray.Pockets[0].For = "crab"
	j := bench(tray, job.Piece{ID: "crab", Group: "beasts", Count: 1, Length: mm(25), Width: mm(25), Height: mm(5)})
	j.Cases = []job.Case{{Name: "Gull", Copies: 1, Stack: []string{"cover"}, Inside: job.Inside{Length: mm(250), Width: mm(190), Height: inch / 4}}}
	plan, found := make1(t, j)
	assert.False(t, found.Failed(), "%v", found)
	assert.Equal(t, "beasts Gull", plan.Trays[0].Marks[0].Text)

	j.Cases, j.Roster = nil, nil
	_, found = make1(t, j)
	f := only(t, found, "label-without-name")
	assert.Equal(t, finding.Error, f.Severity)
	assert.Contains(t, f.Message, "{group}, {case} in it, and no piece of the tray is in a group")
}

// Two trays of one case that read alike are a finding; an id makes a difference.
func TestLabelTwice(t *testing.T) {
	one, two, three := pad(), pad(), pad()
	one.ID, two.ID, three.ID = "crew-1", "crew-2", "crew-3"
	one.Label, two.Label, three.Label = "Gull crew", "GULL-CREW", "{tray}"
	j := bench(one)
	j.Trays = append(j.Trays, two, three)
	inside := job.Inside{Length: mm(120), Width: mm(80), Height: 15 * inch / 4}
	j.Cases = []job.Case{
		{Name: "Gull", Copies: 1, Stack: []string{"crew-1", "crew-2", "crew-3"}, Inside: inside},
	}
	_, found := make1(t, j)
	f := only(t, found, "label-twice")
	assert.Equal(t, finding.Warning, f.Severity)
	assert.Contains(t, f.Where, "tray crew-2")
	assert.Contains(t, f.Message, "like the tray crew-1 in case Gull")
}

// A label that is cut through keeps its islands: what is cut has no hole in it,
// and its bridges and the foam between its letters are as wide as the foam holds.
func TestCutLabel(t *testing.T) {
	in := input(t, bench(cover(labels(cutLabel("Boa", 20, 60, 50)))), "bench-router")
	plan, found := Make(in)
	require.Empty(t, found)
	k := plan.Trays[0].Marks[0]
	assert.Positive(t, k.Bridges)
	sheet := plan.Trays[0].Sheets[0]
	assert.Empty(t, sheet.Marks)
	assert.GreaterOrEqual(t, len(sheet.Cuts), 3, "each letter by itself")
	foam := geometry.EmptyBox()
	for _, c := range sheet.Cuts {
		assert.True(t, c.Through)
		assert.Len(t, c.Shape.Contours(), 1, "no island")
		assert.Empty(t, c.Pockets)
		assert.Equal(t, k.Name, c.Name)
		foam = foam.Union(c.Shape.Bounds())
	}
	assert.InDelta(t, 0, foam.Min.Sub(k.Box.Min).Norm()+foam.Max.Sub(k.Box.Max).Norm(), 1)
	var contours []geometry.Contour
	for _, c := range sheet.Cuts {
		contours = append(contours, c.Shape.Contours()...)
	}
	foamLeast, _ := in.Catalog.Foam("pe-45")
	for _, g := range geometry.Gaps(contours, 10) {
		assert.GreaterOrEqual(t, g.Distance, foamLeast.LeastWallMM.Value-gapSlackMM, "%v", g)
	}
	assert.Less(t, plan.Trays[0].FoamG, make0(t, bench(cover(nil))).Trays[0].FoamG, "what is cut weighs nothing")
}

func make0(t testing.TB, j *job.Job) *Plan {
	t.Helper()
	plan, found := make1(t, j)
	require.False(t, found.Failed(), "%v", found)
	return plan
}

// A depth that ends inside a layer needs no bridges with a router, and is
// refused under a beam, which is told the boundary.
func TestCutToADepth(t *testing.T) {
	l := cutLabel("Bo", 20, 60, 50)
	l.Through, l.Depth = false, mm(3)
	plan := make0(t, bench(cover(labels(l))))
	cuts := plan.Trays[0].Sheets[0].Cuts
	require.Len(t, cuts, 2)
	assert.Zero(t, plan.Trays[0].Marks[0].Bridges)
	assert.Equal(t, 3.0, cuts[0].DepthMM)
	assert.False(t, cuts[0].Through)
	area := cuts[0].Shape.Area() + cuts[1].Shape.Area()
	whole := 250 * 190 * 6.35
	assert.InDelta(t, (whole-area*3)*45e-6, plan.Trays[0].FoamG, area*45e-6*0.03, "what is cut weighs nothing; the cutter leaves corners that the letters have")
	assert.Equal(t, 3+2, len(cuts[0].Shape.Contours())+len(cuts[1].Shape.Contours()), "the B's two islands stand, and the o's")

	_, found := Make(input(t, bench(cover(labels(l))), "bench-laser"))
	f := only(t, found, "depth-off-layer")
	assert.Contains(t, f.Hint, "make it 6.35 mm deep")

	l.Depth = mm(7)
	_, found = make1(t, bench(cover(labels(l))))
	assert.Equal(t, "error:mark-too-deep", rules(found))
}

// Through only the upper of two layers: the islands would come loose there.
func TestCutThroughTheTopLayer(t *testing.T) {
	tray := cover(labels(cutLabel("Bo", 20, 60, 50)))
	tray.Layers = []job.Layer{layer("pe-45", inch/4), layer("pe-45", inch/2)}
	tray.Labels[0].Through, tray.Labels[0].Depth = false, inch/4
	for _, machine := range []string{"bench-router", "bench-laser"} {
		plan, found := Make(input(t, bench(tray), machine))
		require.False(t, found.Failed(), "%v", found)
		assert.Positive(t, plan.Trays[0].Marks[0].Bridges)
		assert.NotEmpty(t, plan.Trays[0].Sheets[0].Cuts)
		assert.Empty(t, plan.Trays[0].Sheets[1].Cuts)
	}
}

// An emblem engraved all over is filled with laps, outlined has its edges only;
// cut through, its island hangs on bridges. Areas by hand: a frame of side s and
// half that inside has 3/4 s².
func TestEmblem(t *testing.T) {
	filled := make0(t, bench(cover(nil, emblem(40, 40, 60, job.Marked)))).Trays[0].Marks[0]
	outlined := make0(t, bench(cover(nil, emblem(40, 40, 60, job.Outlined)))).Trays[0].Marks[0]
	assert.InDelta(t, 2700, filled.Design.Area(), 1e-6)
	assert.Equal(t, geometry.Box{Min: geometry.Point{X: 40, Y: 40}, Max: geometry.Point{X: 100, Y: 100}}, filled.Box)
	assert.Len(t, outlined.Paths, 2)
	assert.Greater(t, len(filled.Paths), 4)
	length := 0.0
	for _, p := range filled.Paths {
		v := p.Vertices()
		assert.Equal(t, v[0].Point, v[len(v)-1].Point, "laps are closed")
		length += p.Length()
	}
	// Laps 0.6 of the cutter apart cover the shape.
	assert.InEpsilon(t, 2700/(0.6*3.175), length, 0.15)

	cut := make0(t, bench(cover(nil, emblem(40, 40, 60, job.Cut)))).Trays[0]
	assert.Equal(t, 2, cut.Marks[0].Bridges)
	// Two bridges of 4 mm across strokes of 15 mm; each of twelve corners loses r²(1-π/4).
	assert.InDelta(t, 2700-2*4*15-12*math.Pow(3.175/2, 2)*(1-math.Pi/4), cut.Marks[0].Design.Area(), 0.1)
	require.Len(t, cut.Sheets[0].Cuts, 2)
}

func TestEmblemTurnedIntoItsSize(t *testing.T) {
	e := emblem(40, 50, 60, job.Marked)
	e.Picture.Width, e.Turn = mm(40), 90
	k := make0(t, bench(cover(nil, e))).Trays[0].Marks[0]
	assert.InDelta(t, 40, k.Box.Min.X, 1e-9, "the size is 40 x 60 once turned")
	assert.InDelta(t, 60, k.Box.Min.Y, 1e-9, "the square of 40 lies in its middle")
	assert.InDelta(t, 40, k.Box.Width(), 1e-9)
}

// Halves take their labels with them.
func TestLabelsInHalves(t *testing.T) {
	tray := cover(labels(engravedLabel("I", 150, 30, 20), engravedLabel("I", 20, 30, 20)))
	tray.Halves = 2
	plan := make0(t, bench(tray))
	require.Len(t, plan.Trays, 2)
	for _, half := range plan.Trays {
		require.Len(t, half.Marks, 1)
		assert.Len(t, half.Sheets[0].Marks, len(half.Marks[0].Paths))
	}
	assert.InDelta(t, 130-105, plan.Trays[0].Marks[0].Box.Min.X-plan.Trays[1].Marks[0].Box.Min.X+20, 20.5)
	tray.Labels = labels(engravedLabel("TIDE", 110, 30, 20))
	_, found := make1(t, bench(tray))
	assert.Equal(t, "error:mark-across-halves", rules(found))
}

// What is wrong with labels and emblems, and what to do about it.
func TestWrongMarks(t *testing.T) {
	arched, boxed, far := engravedLabel("TIDE", 120, 60, 20), engravedLabel("TIDE", 20, 60, 0), engravedLabel("TIDE", 12, 60, 20)
	arched.Arc, boxed.BoxLength, boxed.BoxWidth, far.Turn = mm(5), mm(40), mm(9), 90
	tool, twice, strokes := engravedLabel("I", 20, 60, 20), engravedLabel("O", 60, 60, 25), cutLabel("I", 20, 60, 20)
	tool.Tool, twice.Tool, strokes.Font = "flat-6", "flat-3", "strokes"
	other := engravedLabel("I", 20, 60, 20)
	other.Font = "stroeks"
	file := engravedLabel("I", 20, 60, 20)
	fine := engravedLabel("gogo", 20, 60, 6)
	fine.Font = "go"
	file.FontFile = "harbour.ttf"
	cases := []struct {
		name          string
		labels        []job.Label
		emblems       []job.Emblem
		rule          string
		message, hint string
	}{
		{"no such letter", labels(engravedLabel("crab ☃ 🦀", 20, 60, 20)), nil, "error:missing-letter", "'☃' (U+2603), '🦀' (U+1F980)", ""},
		{"right to left", labels(engravedLabel("שלום", 20, 60, 20)), nil, "error:label-direction", "", ""},
		{"an arc too tight", labels(arched), nil, "error:label-setting", "arc radius of 5 mm", ""},
		{"letters too small for the cutter", labels(engravedLabel("Tide", 20, 60, 8)), nil, "error:letter-too-fine", "by the tool flat-3", "mm high instead of 8 mm"},
		{"a box too small for the cutter", labels(boxed), nil, "error:letter-too-fine", "flat-3", "mm high instead of"},
		{"a cut letter too small", labels(cutLabel("Tide", 20, 60, 15)), nil, "error:letter-too-fine", "flat-3, which cuts 3.18 mm wide", "mm high instead of 15 mm"},
		{"leaves the tray", labels(engravedLabel("Tidewrack", 200, 60, 20)), nil, "error:mark-outside-tray", "beyond the right side", "make it smaller"},
		{"at the rim", labels(far), nil, "error:mark-outside-tray", "beyond the left side", "move it"},
		{"too near the rim", labels(engravedLabel("I", 20, 8, 20)), nil, "error:edge-too-thin", "less than the edge of 10 mm", "inward"},
		{"two tools", labels(tool, twice), nil, "error:two-tools", "flat-3", "one tool"},
		{"strokes cannot be cut", labels(strokes), nil, "error:strokes-have-no-area", "lines without a width", "go-bold"},
		{"a font that is none", labels(other), nil, "error:unknown-font", "stroeks", "did you mean strokes?"},
		{"a font that is not there", labels(file), nil, "error:font-not-read", "harbour.ttf", "job's folder"},
		{"on another label", labels(engravedLabel("H", 20, 60, 20), engravedLabel("H", 25, 60, 20)), nil, "error:mark-on-mark", "label 1 (H)", "move"},
		{"on an emblem", labels(engravedLabel("H", 45, 60, 20)), []job.Emblem{emblem(20, 40, 80, job.Marked)}, "error:mark-on-mark", "label 1 (H)", "move"},
		{"a small emblem", nil, []job.Emblem{emblem(20, 40, 10, job.Marked)}, "error:letter-too-fine", "a line too fine", "mm wide instead of 10 mm"},
		{"an emblem whose outline fills it", nil, []job.Emblem{emblem(20, 40, 26, job.Outlined)}, "warning:outline-fills-up", "leaves nothing standing inside", "make it larger"},
		{"a fine font", labels(fine), nil, "error:letter-too-fine", "flat-3, which cuts 3.18 mm wide", "mm high instead of 6 mm"},
		{"cut near each other", nil, []job.Emblem{emblem(20, 40, 60, job.Cut), emblem(83, 40, 60, job.Cut)}, "error:wall-too-thin", "leaves 3 mm of foam to emblem 1", "3 mm away"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, found := make1(t, bench(cover(c.labels, c.emblems...)))
			require.Equal(t, c.rule, rules(found), "%v", found)
			assert.Contains(t, found[0].Message, c.message)
			assert.Contains(t, found[0].Hint, c.hint)
		})
	}
}

func TestMarksAndPockets(t *testing.T) {
	on := func(l job.Label) string {
		tray := cover(labels(l))
		tray.Pockets = []job.Pocket{rect(20, 20, 60, 60)}
		tray.Pockets[0].Depth = mm(3)
		_, found := make1(t, bench(tray))
		return rules(found)
	}
	assert.Equal(t, "", on(engravedLabel("I", 90, 60, 20)))
	assert.Equal(t, "error:mark-on-pocket", on(engravedLabel("I", 30, 30, 20)), "wholly within it")
	assert.Equal(t, "error:mark-on-pocket", on(engravedLabel("I", 78, 60, 20)))
	assert.Equal(t, "error:wall-too-thin", on(engravedLabel("I", 84, 60, 20)))
	assert.Equal(t, "error:mark-on-pocket", on(cutLabel("I", 30, 30, 30)))
}

// Open cells hold no line: pu-30 and melamine-10 (see their profiles).
func TestMarksInOpenCells(t *testing.T) {
	tray := cover(labels(engravedLabel("I", 20, 60, 20)))
	tray.Layers = []job.Layer{layer("melamine-10", inch)}
	_, found := make1(t, bench(tray))
	assert.Equal(t, "warning:mark-in-open-cells", rules(found))
	tray.Labels[0] = cutLabel("I", 20, 60, 40)
	_, found = make1(t, bench(tray))
	assert.Empty(t, rules(found), "cut through it is no line")
}

// A tool of the machine that is fine enough is found, and one may be named.
func TestMarkingTool(t *testing.T) {
	in := input(t, bench(cover(labels(engravedLabel("Tide", 20, 60, 8)))), "bench-router")
	fine := profiles.Tool{ID: "fine", Number: 3, ReachMM: profiles.Number{Value: 8}, DiameterMM: profiles.Number{Value: 0.5}}
	in.Machine.Tools = append(in.Machine.Tools, fine)
	shippedRecipe := in.Recipe
	in.Recipe = func(foam, tool string) (profiles.Recipe, bool) {
		if tool != "fine" {
			return shippedRecipe(foam, tool)
		}
		r, ok := shippedRecipe(foam, "flat-3")
		r.KerfMM.Value, r.MarkDepthMM.Value, r.Tool = 0.5, 0.4, "fine"
		return r, ok
	}
	plan, found := Make(in)
	require.Empty(t, found)
	sheet := plan.Trays[0].Sheets[0]
	assert.Equal(t, "fine", sheet.Marking.Tool.ID)
	assert.Equal(t, 0.4, sheet.Marking.DepthMM)
	assert.Equal(t, "flat-3", sheet.Edge.Tool.ID)
}

// Whatever is planned without an error keeps the edge from the rim and the wall
// from every pocket, measured from the way of the tool and the width of its
// groove, or from the holes that are cut.
func TestMarksKeepTheirDistance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tray := cover(nil)
		tray.Edge, tray.Wall = mm(float64(rapid.IntRange(2, 12).Draw(t, "edge"))), mm(float64(rapid.IntRange(1, 9).Draw(t, "wall")))
		tray.Corner = mm(float64(rapid.IntRange(0, 30).Draw(t, "corner")))
		tray.Pockets = []job.Pocket{rect(float64(rapid.IntRange(15, 160).Draw(t, "x")), float64(rapid.IntRange(15, 100).Draw(t, "y")), 60, 60)}
		tray.Pockets[0].Depth = mm(3)
		text := rapid.StringMatching(`[A-Za-z0-9&]{1,6}`).Draw(t, "text")
		l := engravedLabel(text, float64(rapid.IntRange(5, 220).Draw(t, "lx")), float64(rapid.IntRange(5, 160).Draw(t, "ly")), float64(rapid.IntRange(18, 45).Draw(t, "height")))
		if rapid.Bool().Draw(t, "cut") {
			l = cutLabel(text, l.X.MM(), l.Y.MM(), l.Height.MM())
		}
		l.Turn = float64(rapid.IntRange(-180, 180).Draw(t, "turn"))
		l.Arc = mm(float64(rapid.SampledFrom([]int{0, 0, 60, -60}).Draw(t, "arc")))
		tray.Labels = labels(l)
		plan, found := Make(inputOf(bench(tray)))
		if found.Failed() {
			return
		}
		b := plan.Trays[0]
		pocket := b.Pockets[0].Design.Contours()[0]
		rim := geometry.Rectangle(geometry.Box{Max: geometry.Point{X: 250, Y: 190}}, tray.Corner.MM())
		for p := range placesOf(b) {
			wall, edge := tray.Wall.MM()-1e-3, tray.Edge.MM()-1e-3
			assert.GreaterOrEqual(t, distanceFrom(p.at, pocket)-p.reach, wall)
			assert.Zero(t, pocket.Winding(p.at))
			assert.GreaterOrEqual(t, distanceFrom(p.at, rim)-p.reach, edge)
			assert.NotZero(t, rim.Winding(p.at))
		}
	})
}

// spot is a place that a tool cuts, and how far beyond it.
type spot struct {
	at    geometry.Point
	reach float64
}

// placesOf are places on all that is engraved and cut of a tray's marks, every
// millimetre.
func placesOf(b Tray) func(func(spot) bool) {
	return func(yield func(spot) bool) {
		along := func(s geometry.Segment, reach float64) bool {
			n := math.Ceil(s.Length())
			for i := 0.0; i <= n; i++ {
				if !yield(spot{s.At(i / max(n, 1)), reach}) {
					return false
				}
			}
			return true
		}
		for _, k := range b.Marks {
			for _, p := range k.Paths {
				for s := range p.Segments() {
					if !along(s, k.WidthMM/2) {
						return
					}
				}
			}
		}
		for _, c := range b.Sheets[0].Cuts {
			if len(c.Pockets) > 0 {
				continue
			}
			for _, contour := range c.Shape.Contours() {
				for s := range contour.Segments() {
					if !along(s, 0) {
						return
					}
				}
			}
		}
	}
}

func distanceFrom(p geometry.Point, c geometry.Contour) float64 {
	least := math.Inf(1)
	for s := range c.Segments() {
		q, _ := s.Nearest(p)
		least = min(least, p.DistanceTo(q))
	}
	return least
}

// Texts from outside are text: whatever is in them, there is a mark or a finding.
func TestNastyLabels(t *testing.T) {
	for _, text := range []string{"(M3)", "%", "G0 Z-99", "M30;", "a\nb\x00", strings.Repeat("x", 10_000), "🦀", "{{case}}", "\u202eabc", "e\u0301"} {
		t.Run(fmt.Sprintf("%.12q", text), func(t *testing.T) {
			plan, found := make1(t, bench(cover(labels(engravedLabel(text, 20, 60, 20)))))
			for _, f := range found {
				assert.Less(t, len(f.Message), 600, f.Rule)
			}
			if !found.Failed() {
				require.Len(t, plan.Trays[0].Marks, 1)
			}
		})
	}
}

func inputOf(j *job.Job) Input {
	catalog, err := shipped()
	if err != nil {
		panic(err)
	}
	m, _ := catalog.Machine("bench-router")
	return Input{Job: j, Catalog: catalog, Machine: m, Means: meansOf(m), Recipe: recipesOf(catalog, m.ID), Pictures: frames(j)}
}

// Whatever a label says and however it is to be made, there is a plan or a
// finding, and a plan without an error has a mark that lies in its tray.
func FuzzLabel(f *testing.F) {
	f.Add("{game} {tray}", 20.0, 0.0, 0.0, 0.0, uint8(0))
	f.Add("Bo&g", 40.0, 60.0, 90.0, 0.0, uint8(1))
	f.Add("(M3)%\x00", 0.0, -30.0, 12.5, 50.0, uint8(2))
	f.Fuzz(func(t *testing.T, text string, height, arc, turn, box float64, make uint8) {
		if !(math.Abs(height)+math.Abs(arc)+math.Abs(turn)+math.Abs(box) < 1e4) || len(text) > 24 {
			return
		}
		l := engravedLabel(text, 60, 60, math.Abs(height))
		l.Arc, l.Turn, l.BoxLength, l.BoxWidth = mm(arc), turn, mm(math.Abs(box)), mm(math.Abs(box)/2)
		if l.BoxLength == 0 && l.Height == 0 {
			return
		}
		if l.Make = job.Make(make % 3); l.Make == job.Cut {
			l.Font, l.Through = "go-bold", true
		}
		plan, found := Make(inputOf(bench(cover(labels(l)))))
		if found.Failed() {
			return
		}
		k := plan.Trays[0].Marks[0]
		assert.True(t, k.Box.Min.X >= 10-1e-3 && k.Box.Min.Y >= 10-1e-3 && k.Box.Max.X <= 240+1e-3 && k.Box.Max.Y <= 180+1e-3, "%v", k.Box)
	})
}
