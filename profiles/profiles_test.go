package profiles

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry/units"
)

func shippedCatalog(t require.TestingT) *Catalog {
	c, err := Shipped()
	require.NoError(t, err)
	return c
}

// What is laid over one catalog, and what is done with its rows, is in no other.
func TestShippedIsReadOnceAndIsEachTimeTheSame(t *testing.T) {
	c := shippedCatalog(t)
	require.NoError(t, c.Add(fstest.MapFS{"x.yaml": {Data: []byte(recipe("", "") + "scales:\n  - {machine: bench-router, scale_x: 1.01, scale_y: 0.99, source: mine}\n")}}))
	for _, r := range c.Recipes() {
		clear(r.Tested)
		clear(r.MeasuredIn)
	}
	for _, m := range c.Machines() {
		clear(m.Tools)
	}
	for _, f := range c.Foams() {
		clear(f.Fits)
	}
	fresh, err := readShipped()
	require.NoError(t, err)
	assert.Equal(t, fresh, shippedCatalog(t))
	assert.NotEqual(t, fresh, c)
}

func TestShippedHasWhatTheDocumentsName(t *testing.T) {
	c := shippedCatalog(t)
	for _, id := range []string{"pe-30", "pe-45", "xpe-33", "eva-90", "pu-30", "xps-32", "eps-20", "epp-30", "pvc-60", "cr-150", "melamine-10"} {
		_, ok := c.Foam(id)
		assert.True(t, ok, id)
	}
	for _, id := range []string{"bench-router", "bench-laser", "bench-knife", "bench-hotwire"} {
		_, ok := c.Machine(id)
		assert.True(t, ok, id)
	}
}

func TestBenchRouter(t *testing.T) {
	m, _ := shippedCatalog(t).Machine("bench-router")
	assert.Equal(t, []float64{400, 300, 80}, []float64{m.TravelMM[0].Value, m.TravelMM[1].Value, m.TravelMM[2].Value})
	require.Len(t, m.Tools, 2)
	assert.Equal(t, 3.175, m.Tools[0].DiameterMM.Value)
	assert.Equal(t, [2]float64{22, 27}, [2]float64{m.Tools[0].FluteMM.Value, m.Tools[0].Reach()})
	assert.Equal(t, 6.0, m.Tools[1].DiameterMM.Value)
	assert.Equal(t, [2]float64{52, 55}, [2]float64{m.Tools[1].FluteMM.Value, m.Tools[1].Reach()})
}

// A recipe exists wherever the table lets the router or the laser cut, and
// nowhere else.
func TestRecipesFollowTheSafetyTable(t *testing.T) {
	c := shippedCatalog(t)
	for _, m := range c.Machines() {
		if m.Process != Router && m.Process != Laser {
			continue
		}
		for _, f := range c.Foams() {
			for _, tool := range m.Tools {
				_, ok := c.Recipe(f.ID, m.ID, tool.ID)
				assert.Equal(t, c.Safety(f.Kind, m.Process).Answer != Refused, ok, "%s on %s with %s", f.ID, m.ID, tool.ID)
			}
		}
	}
}

// Within one kind a denser foam takes no deeper a step.
func TestStepdownFollowsDensityWithinAKind(t *testing.T) {
	c := shippedCatalog(t)
	for _, a := range c.Recipes() {
		for _, b := range c.Recipes() {
			fa, _ := c.Foam(a.Foam)
			fb, _ := c.Foam(b.Foam)
			if a.Machine == b.Machine && a.Tool == b.Tool && fa.Kind == fb.Kind && fa.DensityKgM3.Value < fb.DensityKgM3.Value {
				assert.GreaterOrEqual(t, a.StepdownMM.Value, b.StepdownMM.Value, "%s and %s", a.Foam, b.Foam)
			}
		}
	}
}

// folderOf is a folder of profiles with one file.
func folderOf(text string) fstest.MapFS { return fstest.MapFS{"x.yaml": {Data: []byte(text)}} }

// with is the shipped catalog with a file of the user's laid over it.
func with(t *testing.T, text string) (*Catalog, error) {
	t.Helper()
	c := shippedCatalog(t)
	return c, c.Add(folderOf(text))
}

// foam is a row that reads, with a part of it replaced.
func foam(old, new string) string {
	row := "foams:\n- {id: x, name: a foam, kind: pe, source: s, density_kg_m3: 30, thicknesses: [1 in], least_wall_mm: 5," +
		" least_edge_mm: 5, fits: {tight: -1, snug: 0, easy: 1}, loose_mm: 2}\n"
	return strings.Replace(row, old, new, 1)
}

// recipe is a row that reads, with a part of it replaced.
func recipe(old, new string) string {
	row := "recipes:\n- machine: bench-router\n  tool: flat-3\n  source: cut in June\n  common: {kerf_mm: 3.3, feed_mm_per_min: 1500, plunge_mm_per_min: 300}\n" +
		"  foams:\n    pe-30: {stepdown_mm: 6, stepover: 0.5, rpm: 12000, finish_mm: 0, breakthrough_mm: 1, skin_mm: 1, ramp_degrees: 5}\n"
	return strings.Replace(row, old, new, 1)
}

func TestBadProfiles(t *testing.T) {
	_, err := with(t, foam("", ""))
	require.NoError(t, err)
	_, err = with(t, recipe("", ""))
	require.NoError(t, err)
	_, err = with(t, foam("tight: -1, snug: 0, easy: 1}", "tight: 0, snug: 0, easy: 0}"))
	require.NoError(t, err, "fits may be alike")
	for thickness, good := range map[string]bool{"0.4 mm": false, "0.5 mm": true, "500 mm": true, "501 mm": false} {
		_, err = with(t, foam("1 in", thickness))
		assert.Equal(t, good, err == nil, thickness)
	}
	cases := []struct{ name, text, want string }{
		{"unknown key", foam("least_edge_mm", "least_egde_mm"), `x.yaml:2:104: foams[1] has no key "least_egde_mm"` + "\nhint: did you mean least_edge_mm?"},
		{"missing key", foam("kind: pe, ", ""), "x.yaml:2:3: foams[1]: kind is missing"},
		{"unknown kind", foam("kind: pe", "kind: foamy"), "there is no kind \"foamy\""},
		{"no source", foam("source: s, ", ""), "foams[1].density_kg_m3: has no source"},
		{"empty source", foam("source: s", "source: ''"), "foams[1].source is an empty text"},
		{"source of one number", foam("least_wall_mm: 5", "least_wall_mm: {value: 5}"), "foams[1].least_wall_mm: source is missing"},
		{"not a number", foam("density_kg_m3: 30", "density_kg_m3: .nan"), `foams[1].density_kg_m3: ".nan" is no number`},
		{"infinite", foam("density_kg_m3: 30", "density_kg_m3: .inf"), `".inf" is no number`},
		{"exponent", foam("density_kg_m3: 30", "density_kg_m3: 1e308"), `"1e308" is no number`},
		{"absurd", foam("density_kg_m3: 30", "density_kg_m3: 30000"), "30000 is not from 2 to 600"},
		{"bad id", foam("id: x", "id: ../x"), "foams[1].id: \"../x\" is no id"},
		{"bad length", foam("[1 in]", "[1 ell]"), `unknown unit "ell"`},
		{"length without unit", foam("[1 in]", "[25]"), "thicknesses[1]: has no unit\nhint: write 25 mm, or 25 in"},
		{"size without unit", foam("kind: pe", "kind: pe, sizes: [[1000, 500 mm]]"), "sizes[1][1]: has no unit\nhint: write 1000 mm, or 1000 in"},
		{"size of three", foam("kind: pe", "kind: pe, sizes: [[1 m, 500 mm, 20 mm]]"), "sizes[1]: is not a length and a width\nhint: write [1000 mm, 500 mm]"},
		{"size of a hall", foam("kind: pe", "kind: pe, sizes: [[1000 mm, 500 in]]"), "500 in is not from 50 mm to 5000 mm"},
		{"fits out of order", foam("tight: -1", "tight: 3"), "do not grow from tight to snug to easy"},
		{"twice in one file", foam("", "") + strings.TrimPrefix(foam("", ""), "foams:\n"), "x.yaml:3:3: foam x is there twice\nhint: the first is at x.yaml:2"},
		{"another chemistry", foam("id: x", "id: pu-30"), "foam pu-30 is pe here and pu as it ships"},
		{"key twice", foam("kind: pe", "kind: pe, kind: pu"), `"kind" is here a second time; it is in line 2 already`},
		{"bad recipe key", recipe("stepdown_mm", "stepdwn_mm"), "x.yaml:7:13: recipes[1].foams.pe-30 has no key \"stepdwn_mm\"\nhint: did you mean stepdown_mm?"},
		{"unknown tool", recipe("flat-3", "drill"), "the machine has no tool drill"},
		{"unknown machine", recipe("bench-router", "bench-roter"), "recipe for pe-30 on bench-roter with flat-3: there is no machine \"bench-roter\"\nhint: did you mean bench-router?"},
		{"unknown foam", recipe("pe-30", "pe30"), "recipe for pe30 on bench-router with flat-3: there is no foam \"pe30\"\nhint: did you mean pe-30?"},
		{"incomplete recipe", recipe("rpm: 12000, ", ""), "x.yaml:7:12: recipe for pe-30 on bench-router with flat-3: rpm is missing"},
		{"too fast for the machine", recipe("1500", "9000"), "feed_mm_per_min of 9000 is more than the machine's 3000"},
		{"kerf of another cutter", recipe("kerf_mm: 3.3", "kerf_mm: 9"), "kerf_mm of 9 is not the work of a cutter of 3.175 mm"},
		{"nothing holds the tray", recipe("skin_mm: 1", "skin_mm: 0"), "neither skin_mm nor tabs hold the tray"},
		{"a laser that says knife", "machines: [{id: m, name: m, process: knife, power_w: 40}]", "a machine with power_w is a laser"},
		{"another process", machine("id: mine", "id: bench-knife"), "machine bench-knife is a router here and is known as a knife"},
		{"a beam's recipe on a router", recipe("stepdown_mm: 6", "stepdown_mm: 6, power_percent: 50"), "a recipe with power_percent is a laser's, and the machine says router"},
		{"a beam's focus on a router", recipe("stepdown_mm: 6", "stepdown_mm: 6, focus_step_mm: 5"), "a recipe with focus_step_mm is a laser's"},
		{"a beam's marks on a router", recipe("stepdown_mm: 6", "stepdown_mm: 6, mark_share: 0.1"), "a recipe with mark_share is a laser's"},
		{"anchor", foam("source: s", "source: &s s"), "here is an anchor or an alias, which is not read"},
		{"not YAML", "foams: [", "x.yaml:1:"},
		{"not UTF-8", "foams: \xff", "x.yaml:1:8: the byte 0xff is not UTF-8"},
		{"empty", "# nothing\n", "the file is empty"},
		{"two documents", foam("", "") + "---\n" + foam("", ""), "a second document begins here"},
		{"deep", strings.Repeat("[", 60), "this is nested more than 40 deep"},
	}
	for _, c := range cases {
		_, err := with(t, c.text)
		assert.ErrorContains(t, err, c.want, c.name)
	}
}

func TestTheSafetyTableIsNotTheUsersToChange(t *testing.T) {
	table, err := shipped.ReadFile("data/safety.yaml")
	require.NoError(t, err)
	_, err = with(t, string(table))
	assert.ErrorContains(t, err, "the safety table cannot be changed by profiles")
}

func TestAddReplacesByKey(t *testing.T) {
	c, err := with(t, recipe("", ""))
	require.NoError(t, err)
	r, ok := c.Recipe("pe-30", "bench-router", "flat-3")
	require.True(t, ok)
	assert.Equal(t, Number{3.3, "cut in June"}, r.KerfMM)
	assert.Equal(t, "cut in June", r.Source)
	assert.Equal(t, []string{"recipe for pe-30 on bench-router with flat-3 (x.yaml:7)"}, c.Replaced())
}

// After an error the catalog is as it was.
func TestAddIsAllOrNothing(t *testing.T) {
	c, err := with(t, foam("", "")+recipe("pe-30", "pe-31"))
	require.Error(t, err)
	_, there := c.Foam("x")
	assert.False(t, there)
	assert.Empty(t, c.Replaced())
}

func TestAddNeedsFiles(t *testing.T) {
	huge := fstest.MapFS{"a.yaml": {Data: bytes.Repeat([]byte("# nothing\n"), 1<<20)}}
	assert.ErrorContains(t, shippedCatalog(t).Add(huge), "the file is larger than 4 MiB")
	assert.Error(t, shippedCatalog(t).Add(fstest.MapFS{"a.yaml": {Mode: fs.ModeDir}}))
	assert.ErrorContains(t, shippedCatalog(t).Add(fstest.MapFS{"a.txt": {}}), "no .yaml file")
}

// Every number that ships says where it is from, and every row has some.
func TestEveryNumberHasASource(t *testing.T) {
	c := shippedCatalog(t)
	var all []Named
	for _, f := range c.Foams() {
		require.NotEmpty(t, f.StockSource)
		require.NotEmpty(t, f.Thicknesses)
		all = append(all, f.Numbers()...)
	}
	for _, m := range c.Machines() {
		all = append(all, m.Numbers()...)
		for _, tool := range m.Tools {
			all = append(all, tool.Numbers()...)
		}
	}
	for _, r := range c.Recipes() {
		require.Contains(t, r.Source, "measure your own")
		if m, _ := c.Machine(r.Machine); m.Process != Hand { // a hand has depth and kerf alone
			require.GreaterOrEqual(t, len(r.Numbers()), 7)
		}
		all = append(all, r.Numbers()...)
	}
	require.Greater(t, len(all), 300)
	for _, n := range all {
		assert.NotEmpty(t, n.Source, n.Key)
		assert.False(t, math.IsNaN(n.Value) || math.IsInf(n.Value, 0), n.Key)
	}
	for _, v := range c.SafetyTable() {
		assert.NotEmpty(t, v.Source)
		assert.NotEmpty(t, v.Mark)
		assert.NotEmpty(t, v.Reason)
	}
}

// The trade's inch sizes are exact: 1/4 in is 6.35 mm (derived: 25.4 / 4).
func TestTradeThicknessesAreExact(t *testing.T) {
	f, _ := shippedCatalog(t).Foam("pe-30")
	for _, nm := range []units.Length{6_350_000, 12_700_000, 25_400_000, 50_800_000} {
		assert.Contains(t, f.Thicknesses, nm)
	}
	assert.True(t, slices.IsSorted(f.Thicknesses))
}

// Chip load is feed / (rpm x flutes): far more than 0.3 mm tears foam, far less
// than 0.02 mm rubs and heats it (common practice, no source).
func TestChipLoads(t *testing.T) {
	c := shippedCatalog(t)
	for _, r := range c.Recipes() {
		m, _ := c.Machine(r.Machine)
		if tool, _ := m.Tool(r.Tool); m.Process == Router {
			load := r.FeedMMPerMin.Value / r.RPM.Value / float64(tool.Flutes)
			assert.InDelta(t, 0.16, load, 0.14, keyOf(r).String())
		}
	}
}

// The chart's own corners, and half-way between them by hand; the range bears twice as much on
// either side.
func TestChipsOfTheChart(t *testing.T) {
	num := func(v float64) Number { return Number{v, "x"} }
	for _, c := range []struct{ d, deep, least, most float64 }{
		{3.175, 3.175, 2540. / 36000, 3556. / 36000}, {6.35, 6.35, 3556. / 36000, 5334. / 36000}, {2, 1, 2540. / 36000, 3556. / 36000},
		{9, 9, 3556. / 36000, 5334. / 36000}, {4.7625, 2, 3048. / 36000, 4445. / 36000}, {3.175, 6.35, 0.75 * 2540 / 36000, 0.75 * 3556 / 36000},
		{3.175, 9.525, 0.5 * 2540 / 36000, 0.5 * 3556 / 36000}, {6.35, 38, 0.5 * 3556 / 36000, 0.5 * 5334 / 36000},
	} {
		got := ChipsOf(Recipe{RPM: num(18000), FeedMMPerMin: num(3600), StepdownMM: num(c.deep)}, Tool{Flutes: 2, DiameterMM: num(c.d)})
		assert.InDeltaSlice(t, []float64{0.1, c.least, c.most}, []float64{got.MM, got.LeastMM, got.MostMM}, 1e-12, "%+v", c)
	}
	assert.Zero(t, ChipsOf(Recipe{FeedMMPerMin: num(3600), RPM: num(18000)}, Tool{DiameterMM: num(3)}))
	assert.Zero(t, ChipsOf(Recipe{FeedMMPerMin: num(3600), RPM: num(18000)}, Tool{Flutes: 1}))
	for mm, want := range map[float64][2]bool{0.49: {true, false}, 0.51: {}, 1.5: {}, 3.9: {}, 4.1: {false, true}} {
		c := Chips{MM: mm, LeastMM: 1, MostMM: 2}
		assert.Equal(t, want, [2]bool{c.Rub(), c.Tear()}, mm)
	}
}

// What the catalog hands out is the caller's: changing it changes nothing here.
func TestRowsAreCopies(t *testing.T) {
	c := shippedCatalog(t)
	f, _ := c.Foam("pe-30")
	f.Fits["snug"] = Number{99, "mine"}
	f.Thicknesses[0] = 1
	m, _ := c.Machine("bench-router")
	m.Tools[0].Number = 9
	again, _ := c.Foam("pe-30")
	assert.NotEqual(t, 99.0, again.Fits["snug"].Value)
	assert.NotEqual(t, units.Length(1), again.Thicknesses[0])
}

func TestZeroCatalogRefuses(t *testing.T) {
	var c Catalog
	assert.Equal(t, Refused, c.Safety("pe", Knife).Answer)
	_, ok := c.Foam("pe-30")
	assert.False(t, ok)
}

func FuzzAdd(f *testing.F) {
	for _, name := range []string{"foams.yaml", "machines.yaml", "recipes.yaml"} {
		text, err := shipped.ReadFile("data/" + name)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		c := shippedCatalog(t)
		before := c.Foams()
		if c.Add(fstest.MapFS{"x.yaml": {Data: text}}) != nil {
			assert.Equal(t, before, c.Foams())
		}
	})
}

// Thicknesses are mm in JSON, as every length is, with no other key of theirs.
func TestFoamJSON(t *testing.T) {
	f, ok := shippedCatalog(t).Foam("pe-30")
	require.True(t, ok)
	text, err := json.Marshal(f)
	require.NoError(t, err)
	assert.Contains(t, string(text), `"thicknesses_mm":[6,6.35,10,12.7,`)
	assert.Contains(t, string(text), `"density_kg_m3":{"value":30,`)
	assert.NotContains(t, string(text), "_nm")
}

// What a foam is sold in: thinnest sheet first, each once, from 0.5 to 500 mm; largest area first,
// sides from 50 to 5000 mm, and every length with its unit.
func TestWhatAFoamIsSoldIn(t *testing.T) {
	c, err := with(t, foam("thicknesses: [1 in]", "thicknesses: [500 mm, 10 mm, 0.5 mm, 1 cm], sizes: [[50 mm, 5000 mm], [2 m, 1000 mm], [1000 mm, 300 mm], [600 mm, 600 mm]]"))
	require.NoError(t, err)
	f, _ := c.Foam("x")
	assert.Equal(t, []units.Length{500_000, 10_000_000, 500_000_000}, f.Thicknesses)
	assert.Equal(t, [][2]float64{{2000, 1000}, {600, 600}, {1000, 300}, {50, 5000}}, f.SizesMM())
	for row, want := range map[string]string{
		"thicknesses: [0.49 mm]":                           "0.49 mm is not from 0.5 mm to 500 mm",
		"thicknesses: [501 mm]":                            "501 mm is not from 0.5 mm to 500 mm",
		"thicknesses: [10]":                                "has no unit",
		"thicknesses: [1 in], sizes: [[49 mm, 100 mm]]":    "49 mm is not from 50 mm to 5000 mm",
		"thicknesses: [1 in], sizes: [[100 mm, 5001 mm]]":  "5001 mm is not from 50 mm to 5000 mm",
		"thicknesses: [1 in], sizes: [[100 mm]]":           "is not a length and a width",
		"thicknesses: [1 in], sizes: [[1 mm, 2 mm, 3 mm]]": "is not a length and a width",
		"thicknesses: [1 in], sizes: [[100, 200 mm]]":      "has no unit",
	} {
		_, err := with(t, foam("thicknesses: [1 in]", row))
		assert.ErrorContains(t, err, want, row)
	}
	assert.Equal(t, []string{"", "M8"}, []string{On(nil), On([]string{"M8", "M9"})})
	slow := Recipe{FeedMMPerMin: Number{Value: 0.5}, PowerPercent: Number{Value: 50}}
	assert.InDelta(t, 40*0.5*60/0.5, slow.PassJPerMM(Machine{PowerW: Number{Value: 40}}), 1e-9, "W by s/mm")
	slow.FeedMMPerMin.Value = 0
	assert.Zero(t, slow.PassJPerMM(Machine{PowerW: Number{Value: 40}}))
}
