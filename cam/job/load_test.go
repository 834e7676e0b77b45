package job_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

func TestLoadEveryKey(t *testing.T) {
	j := mustLoad(t, contract())
	assert.Equal(t, "Tidewrack", j.Game)
	assert.Equal(t, units.Millimetre, j.Units)
	assert.Equal(t, "bench-router", j.Machine)
	assert.Equal(t, "shop-rules.yaml", j.ShopRules)

	at := func(line, column int) finding.Position {
		return finding.Position{File: "job.yaml", Line: line, Column: column}
	}
	assert.Equal(t, []job.Piece{
		{
			Position: finding.Position{File: "roster.csv", Line: 2, Column: 1}, ID: "kraken", Name: "The Kraken", Group: "beasts", Count: 1,
			Length: 58 * mm, Width: 44 * mm, Height: 61 * mm, WeightG: 38.5, Pose: job.Lying,
		},
		{
			Position: finding.Position{File: "roster.csv", Line: 3, Column: 1}, ID: "deckhand", Group: "crew", Count: 4,
			Length: 25 * mm, Width: 25 * mm, Height: 30 * mm, Shape: job.Round, Pose: job.Upright,
		},
	}, j.Roster)

	require.Len(t, j.Trays, 2)
	assert.Equal(t, job.Tray{
		Position: at(18, 5), ID: "stores", Label: "{game} stores",
		Length: 250 * mm, Width: 190 * mm, Corner: 8 * mm, Rounding: 8 * mm, Ease: mm,
		Layers: []job.Layer{{Position: at(20, 14), Foam: "pe-30", Thickness: 2 * inch}, {Position: at(20, 46), Foam: "pe-45", Thickness: inch / 4}},
		Wall:   6 * mm, Edge: 10 * mm, Fit: "snug", Halves: 2,
		Pockets: []job.Pocket{
			{
				Position: at(24, 9), For: "logbook", X: 12 * mm, Y: 12 * mm, Shape: job.SizeShape, Length: 74 * mm, Width: 105 * mm,
				Depth: 20 * mm, Columns: 1, Rows: 1, Notch: job.North | job.South, Fit: "snug",
			},
			{
				Position: at(25, 9), For: "dice", X: 100 * mm, Y: 12 * mm, Shape: job.SizeShape, Length: 66 * mm, Width: 34 * mm,
				Through: true, Columns: 1, Rows: 1, Relief: job.Dogbone, Fit: "snug",
			},
			{
				Position: at(26, 9), X: 12 * mm, Y: 130 * mm, Shape: job.RoundShape, Diameter: 25_750_000,
				Depth: 12 * mm, Columns: 6, Rows: 2, PitchX: 32 * mm, PitchY: 32 * mm, Fit: "snug",
			},
			{
				Position: at(27, 9), For: "kraken", X: 180 * mm, Y: 60 * mm, Shape: job.OutlineShape, OutlineFile: "kraken.dxf",
				Columns: 1, Rows: 1, Turn: 15, Fit: "snug",
			},
		},
	}, j.Trays[0])

	crew := j.Trays[1]
	assert.Equal(t, []job.Layer{{Position: at(12, 7), Foam: "pe-30", Thickness: inch}, {Position: at(13, 7), Foam: "pe-45", Thickness: inch / 4}}, crew.Layers)
	assert.Equal(t, []string{"deckhand", "beasts"}, crew.Holds)
	assert.Equal(t, 1, crew.Halves)
	assert.Equal(t, []job.Pocket{
		{Position: at(31, 9), For: "deckhand", X: 12 * mm, Y: 12 * mm, Columns: 1, Rows: 1, Fit: "easy", Tool: "flat-3"},
		{
			Position: at(32, 9), For: "kraken", X: 60 * mm, Y: 12 * mm, Columns: 1, Rows: 1, Fit: "snug",
			Notch: job.North | job.West, NotchWidth: 18 * mm, NotchReach: inch / 4,
		},
		{Position: at(33, 9), X: 120 * mm, Y: 12 * mm, Shape: job.SlotShape, Length: 2 * inch, Width: mm, Columns: 1, Rows: 1, Fit: "snug"},
	}, crew.Pockets)

	require.Len(t, j.Cases, 2)
	assert.Equal(t, job.Case{
		Position: at(35, 5), Name: "Gull Watch", Copies: 2, Stack: []string{"crew", "stores"}, StackPositions: []finding.Position{at(37, 13), at(37, 19)},
		Inside: job.Inside{Position: at(7, 11), Length: 250 * mm, Width: 190 * mm, Height: 5 * inch, Corner: 8 * mm, Ease: mm},
	}, j.Cases[0])
	assert.Equal(t, job.Inside{Position: at(38, 72), Length: 250 * mm, Width: 190 * mm, Height: 4 * inch, Corner: 8 * mm, Ease: mm}, j.Cases[1].Inside)
}

// Neither a byte-order mark nor another line ending changes what is read, or
// where it stands.
func TestLoadOtherEncodings(t *testing.T) {
	want := mustLoad(t, contract())
	for _, change := range []func(string) string{
		func(s string) string { return "\ufeff" + s },
		func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
		func(s string) string { return strings.ReplaceAll(s, "\n", "\r") },
		func(s string) string { return s + "...\n" },
	} {
		text := change(contractJob)
		roster := strings.TrimSuffix(change(contractRoster), "...\n")
		assert.Equal(t, want, mustLoad(t, folder("job.yaml", text, "roster.csv", roster)))
	}
}

// One tray, one line for each thing that a test changes.
const smallTray = `trays:
  - id: a
    size: [100, 80]
    layers: [{foam: pe-30, thickness: 1 in}]
`

func TestLoadSmall(t *testing.T) {
	for _, c := range []struct {
		name, text string
		check      func(t *testing.T, j *job.Job)
	}{
		{"inches", "units: in\n" + strings.Replace(smallTray, "[100, 80]", "[4, 80 mm]", 1), func(t *testing.T, j *job.Job) {
			assert.Equal(t, [2]units.Length{4 * inch, 80 * mm}, [2]units.Length{j.Trays[0].Length, j.Trays[0].Width})
			assert.Equal(t, units.Inch, j.Units)
		}},
		{"units behind", strings.Replace(smallTray, "[100, 80]", "[4, 3]", 1) + "units: in\n", func(t *testing.T, j *job.Job) {
			assert.Equal(t, 4*inch, j.Trays[0].Length)
		}},
		{"size with corner and ease", smallTray + "    corner: 5\n    ease: 1\n", func(t *testing.T, j *job.Job) {
			assert.Equal(t, [2]units.Length{5 * mm, mm}, [2]units.Length{j.Trays[0].Corner, j.Trays[0].Ease})
		}},
		{"a tray's own corner and ease in a case", "case: {inside: [100, 80, 30], corner: 8, ease: 1}\ntray_defaults: {layers: [{foam: pe-30, thickness: 1 in}]}\ntrays: [{id: a, corner: 3}, {id: b, ease: 0}]\n", func(t *testing.T, j *job.Job) {
			assert.Equal(t, [2]units.Length{3 * mm, mm}, [2]units.Length{j.Trays[0].Corner, j.Trays[0].Ease})
			assert.Equal(t, [2]units.Length{8 * mm, 0}, [2]units.Length{j.Trays[1].Corner, j.Trays[1].Ease})
		}},
		{"a case's own corner", "case: {inside: [100, 80, 30], corner: 8, ease: 1}\ntrays: [{id: a, layers: [{foam: pe-30, thickness: 1 in}]}]\ncases: [{name: x, corner: 4, stack: [a]}]\n", func(t *testing.T, j *job.Job) {
			assert.Equal(t, [2]units.Length{4 * mm, mm}, [2]units.Length{j.Trays[0].Corner, j.Trays[0].Ease})
			assert.Equal(t, 30*mm, j.Cases[0].Inside.Height)
		}},
		{"pocket defaults", "tray_defaults: {relief: tbone, notch: sides, notch_reach: 4, tool: t1}\n" + smallTray +
			"    notch_width: 9\n    pockets:\n      - {at: [10, 10], size: [30, 20]}\n      - {at: [60, 10], round: 20, relief: none, notch: none, notch_reach: 5, tool: t2}\n",
			func(t *testing.T, j *job.Job) {
				p := j.Trays[0].Pockets
				assert.Equal(t, job.TBone, p[0].Relief)
				assert.Equal(t, job.North|job.South, p[0].Notch)
				assert.Equal(t, [2]units.Length{9 * mm, 4 * mm}, [2]units.Length{p[0].NotchWidth, p[0].NotchReach})
				assert.Equal(t, "t1", p[0].Tool)
				assert.Equal(t, job.NoRelief, p[1].Relief)
				assert.Zero(t, p[1].Notch)
				assert.Equal(t, 5*mm, p[1].NotchReach)
				assert.Equal(t, "t2", p[1].Tool)
			}},
		{"ends of a square and a disc", smallTray + "    notch: ends\n    pockets: [{at: [10, 10], size: [30, 30]}, {at: [50, 10], round: 30}]\n", func(t *testing.T, j *job.Job) {
			for _, p := range j.Trays[0].Pockets {
				assert.Equal(t, job.East|job.West, p.Notch)
			}
		}},
		{"an alias", "tray_defaults: {layers: &two [{foam: pe-30, thickness: 1 in}, {foam: pe-45, thickness: 6}]}\n" + strings.Replace(smallTray, "[{foam: pe-30, thickness: 1 in}]", "*two", 1), func(t *testing.T, j *job.Job) {
			require.Len(t, j.Trays[0].Layers, 2)
			assert.Equal(t, 1, j.Trays[0].Layers[1].Position.Line)
		}},
		{"a path with a dot", "shop_rules: ./rules/mine.yaml\n" + smallTray, func(t *testing.T, j *job.Job) {
			assert.Equal(t, "rules/mine.yaml", j.ShopRules)
		}},
		{"numbers as names", "game: 2048\nmachine: \"true\"\n" + smallTray + "    label: 7\n", func(t *testing.T, j *job.Job) {
			assert.Equal(t, "2048", j.Game)
			assert.Equal(t, "7", j.Trays[0].Label)
		}},
		{"a negative place", smallTray + "    pockets: [{at: [-1, -1/2 in], round: 20}]\n", func(t *testing.T, j *job.Job) {
			assert.Equal(t, [2]units.Length{-mm, -inch / 2}, [2]units.Length{j.Trays[0].Pockets[0].X, j.Trays[0].Pockets[0].Y})
		}},
		{"a text over two lines", "game: \"Tide\n  wrack\"\n" + smallTray, func(t *testing.T, j *job.Job) {
			assert.Equal(t, "Tide wrack", j.Game)
		}},
	} {
		t.Run(c.name, func(t *testing.T) { c.check(t, mustLoad(t, folder("job.yaml", c.text))) })
	}
}

// A tray that two cases share is one tray, and the stack's sums are exact: pads
// 2, 1 and 1 in, each on a 1/4 in base, under a 1/4 in cover, fill 5 in (common
// practice, no source).
func TestStackOfFiveInches(t *testing.T) {
	j := mustLoad(t, folder("job.yaml", `case: {inside: [250, 190, 5 in]}
trays:
  - {id: cover, layers: [{foam: pe-45, thickness: 1/4 in}]}
  - {id: riders, layers: [{foam: pe-30, thickness: 1 in}, {foam: pe-45, thickness: 6.35}]}
  - {id: crew, layers: [{foam: pe-30, thickness: 25.4 mm}, {foam: pe-45, thickness: 1/4"}]}
  - {id: stores, layers: [{foam: pe-30, thickness: 2 in}, {foam: pe-45, thickness: 0.25 in}]}
cases: [{name: Gull Watch, stack: [cover, riders, crew, stores]}]
`))
	var sum units.Length
	for _, tray := range j.Trays {
		for _, l := range tray.Layers {
			sum += l.Thickness
		}
	}
	assert.Equal(t, j.Cases[0].Inside.Height, sum)
}

// No two trays share memory, though both take the same defaults.
func TestDefaultsAreCopied(t *testing.T) {
	j := mustLoad(t, folder("job.yaml", `case: {inside: [250, 190, 50]}
tray_defaults: {layers: [{foam: pe-30, thickness: 1 in}], holds: [x], pockets: [{at: [10, 10], round: 20}]}
trays: [{id: a}, {id: b}]
`))
	j.Trays[0].Layers[0].Foam, j.Trays[0].Holds[0], j.Trays[0].Pockets[0].For = "changed", "changed", "changed"
	assert.Equal(t, "pe-30", j.Trays[1].Layers[0].Foam)
	assert.Equal(t, "x", j.Trays[1].Holds[0])
	assert.Empty(t, j.Trays[1].Pockets[0].For)
}

// A file that is made to take the parser's time or stack ends at once, in one
// line. The parser alone would take minutes for the longest of these, or end
// the program.
func TestLoadHostile(t *testing.T) {
	keys := func(n int) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "k%d: 1\n", i)
		}
		return b.String()
	}
	const mib = 1 << 20
	for _, c := range []struct{ name, text, rule string }{
		{"keys", keys(50_000), "too-many-keys"},
		{"keys below a key", "a:\n" + strings.ReplaceAll(keys(1000), "k", " k"), "too-many-keys"},
		{"keys with dashes", strings.ReplaceAll(keys(1000), ": 1", ":\n- 1"), "too-many-keys"},
		{"keys in a flow list", "[" + strings.ReplaceAll(keys(1000), ": 1", ": 1") + "]", "too-many-keys"},
		{"one key", strings.Repeat("a: 1\n", 1000), "too-many-keys"},
		{"brackets", strings.Repeat("[", mib/4), "too-deep"},
		{"braces", strings.Repeat("{a: ", mib/16), "too-deep"},
		{"dashes", strings.Repeat("- ", mib/8), "too-deep"},
		{"indents", func() string {
			var b strings.Builder
			for i := range 100 {
				b.WriteString(strings.Repeat(" ", i) + "a:\n")
			}
			return b.String()
		}(), "too-deep"},
		{"questions", strings.Repeat("? ", mib/8), "syntax"},
		{"tags", strings.Repeat("!a ", mib/8), "syntax"},
		{"anchors", strings.Repeat("&a ", mib/8), "syntax"},
		{"documents", strings.Repeat("---\na: 1\n", mib/16), "syntax"},
		{"ends", "a: 1\n...\nb: 1\n", "syntax"},
		{"directive", "%YAML 1.2\n---\na: 1\n", "syntax"},
		{"merge", "a: &x {b: 1}\nc:\n  <<: *x\n", "syntax"},
		{"exploding aliases", exploding(9), "too-many-aliases"},
		{"a long chain of aliases", exploding(40), "too-many-aliases"},
		{"alias in itself", "trays: &a [*a]\n", "unknown-anchor"},
		{"one long line of quotes", strings.Repeat("'a' ", mib/8), "syntax"},
		{"too many signs", strings.Repeat("- a\n", mib), "too-many-values"},
		{"too large", "game: " + strings.Repeat("x", 4*mib), "file-too-large"},
		{"one long word", "game: " + strings.Repeat("x", 3*mib), "bad-text"},
	} {
		t.Run(c.name, func(t *testing.T) {
			found, unread := complaints(t, folder("job.yaml", c.text))
			assert.True(t, unread)
			require.Len(t, found, 1)
			assert.Equal(t, c.rule, found[0].Rule, found[0].String())
			wellFormed(t, found)
		})
	}
}

func exploding(levels int) string {
	var b strings.Builder
	b.WriteString("x0: &x0 [y, y, y, y, y, y, y, y, y]\n")
	for i := 1; i < levels; i++ {
		fmt.Fprintf(&b, "x%d: &x%d [%s*x%d]\n", i, i, strings.Repeat(fmt.Sprintf("*x%d, ", i-1), 8), i-1)
	}
	return b.String()
}

func TestLoadManyPockets(t *testing.T) {
	text := smallTray + "    pockets:\n" + strings.Repeat("      - {at: [20, 20], round: 0.1, grid: [100, 100], pitch: [0.2, 0.2]}\n", 2)
	assert.Len(t, mustLoad(t, folder("job.yaml", text)).Trays[0].Pockets, 2)

	for name, text := range map[string]string{
		"three grids":         text + "      - {at: [20, 20], round: 0.1}\n",
		"a million":           smallTray + "    pockets: [{at: [20, 20], round: 0.1, grid: [1000, 1000], pitch: [0.2, 0.2]}]\n",
		"a million's million": smallTray + "    pockets: [{at: [20, 20], round: 0.1, grid: [1000000, 1000000], pitch: [0.2, 0.2]}]\n",
		"by defaults":         "case: {inside: [100, 80, 30]}\ntray_defaults: {pockets: [{at: [20, 20], round: 1, grid: [100, 90], pitch: [2, 2]}], layers: [{foam: pe-30, thickness: 1 in}]}\ntrays: [{id: a}, {id: b}, {id: c}]\n",
	} {
		found, unread := complaints(t, folder("job.yaml", text))
		assert.False(t, unread, name)
		if assert.Len(t, found, 1, name) {
			assert.Equal(t, "too-many-pockets", found[0].Rule)
			assert.Contains(t, found[0].Message, "more than 20000")
		}
	}
}

// What is wrong a thousand times is shown a page long.
func TestLoadShowsAPage(t *testing.T) {
	found, unread := complaints(t, folder("job.yaml", smallTray+"    pockets:\n"+strings.Repeat("      - {att: 1}\n", 1000)))
	assert.True(t, unread)
	require.Len(t, found, 21)
	assert.Equal(t, "job.yaml:6:10", found[0].Where)
	assert.Equal(t, "980 more findings are not shown", found[20].Message)

	found, unread = complaints(t, folder("job.yaml", smallTray+"    pockets:\n"+strings.Repeat("      - {at: [1, 1], round: -1}\n", 1000)))
	assert.False(t, unread)
	require.Len(t, found, 101)
	assert.True(t, found.Failed())
	wellFormed(t, found)
}

func TestLoadFiles(t *testing.T) {
	found, unread := complaints(t, folder("other.yaml", smallTray))
	assert.True(t, unread)
	assert.Equal(t, "missing-file", found[0].Rule)

	found, unread = complaints(t, fstest.MapFS{"job.yaml/x": &fstest.MapFile{}})
	assert.True(t, unread)
	assert.Equal(t, "unreadable-file", found[0].Rule)
}

func BenchmarkLoad(b *testing.B) {
	for _, n := range []int{1250, 2500, 5000, 10_000} {
		var text strings.Builder
		text.WriteString(smallTray + "    pockets:\n")
		for i := range n {
			fmt.Fprintf(&text, "      - {for: logbook, at: [%d, 12], size: [74, 105 mm], depth: 20, notch: ends}\n", i)
		}
		fsys := folder("job.yaml", text.String())
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				mustLoad(b, fsys)
			}
		})
	}
}
