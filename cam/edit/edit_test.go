package edit_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/edit"
	"traywright/cam/finding"
	"traywright/geometry/units"
)

func at(line, column int) edit.Entry {
	return edit.Entry{At: finding.Position{File: "job.yaml", Line: line, Column: column}}
}

// One value changes in the way in which it stands there; comments, quotes, line endings and
// a byte-order mark stay.
func TestOneValueChanges(t *testing.T) {
	const quarter = 6_350_000
	mm := func(mm float64) units.Length { return units.Length(mm * 1e6) }
	for name, c := range map[string]struct {
		text string
		e    edit.Entry
		x, y units.Length
		want string
	}{
		"bare":           {"p:\n  - {at: [12, 10.5], size: [3, 4]} # keep\n", at(2, 5), mm(12.5), mm(10.5), "p:\n  - {at: [12.5, 10.5], size: [3, 4]} # keep\n"},
		"both":           {"p:\n  - {at: [12, 10.5]}\n", at(2, 5), mm(1), mm(-2), "p:\n  - {at: [1, -2]}\n"},
		"units":          {"p:\n  - {at: [ 12 mm ,  1.5cm ]}\n", at(2, 5), mm(13), mm(15.5), "p:\n  - {at: [ 13 mm ,  1.55cm ]}\n"},
		"fractions":      {"p:\n  - {at: [1 1/4 in, 2-1/8 in]}\n", at(2, 5), 5*quarter + quarter/4, 9 * quarter, "p:\n  - {at: [1 5/16 in, 2-1/4 in]}\n"},
		"a whole inch":   {"p:\n  - {at: [1/4 in, 3/4 in]}\n", at(2, 5), 4 * quarter, 2 * quarter, "p:\n  - {at: [1 in, 1/2 in]}\n"},
		"one letter":     {"p:\n  - {at: [1¼ in, ½ in]}\n", at(2, 5), 6 * quarter, 2 * quarter, "p:\n  - {at: [1 1/2 in, ½ in]}\n"},
		"quotes":         {"p:\n  - {at: ['2\"', \"3 mm\"]}\n", at(2, 5), 9 * quarter, mm(4), "p:\n  - {at: ['2.25\"', \"4 mm\"]}\n"},
		"lines":          {"p:\n  - for: x\n    at:\n      - 12 # x\n      - 10\n", at(2, 5), mm(13), mm(10), "p:\n  - for: x\n    at:\n      - 13 # x\n      - 10\n"},
		"other systems":  {"\xef\xbb\xbfp:\r\n  - {for: 海, at: [12, 10]}\r\n", at(2, 5), mm(12), mm(11), "\xef\xbb\xbfp:\r\n  - {for: 海, at: [12, 11]}\r\n"},
		"nothing":        {"p:\n  - {at: [12, 10]}\n", at(2, 5), mm(12), mm(10), "p:\n  - {at: [12, 10]}\n"},
		"its own alias?": {"p:\n  - {at: [12, 10], notch: &n e}\n  - {at: [1, 2], notch: *n}\n", at(3, 5), mm(3), mm(2), "p:\n  - {at: [12, 10], notch: &n e}\n  - {at: [3, 2], notch: *n}\n"},
	} {
		got, err := edit.Place([]byte(c.text), c.e, c.x, c.y)
		require.NoError(t, err, name)
		assert.Equal(t, c.want, string(got), name)
	}
	for name, c := range map[string]struct{ text, key, written, want string }{
		"a number":      {"p:\n  - {at: [1, 2], depth: 12} # d\n", "depth", "14", "p:\n  - {at: [1, 2], depth: 14} # d\n"},
		"its unit":      {"p:\n  - {at: [1, 2], depth: 1/2 in}\n", "depth", "3/4", "p:\n  - {at: [1, 2], depth: 3/4 in}\n"},
		"another unit":  {"p:\n  - {at: [1, 2], depth: 1/2 in}\n", "depth", "14 mm", "p:\n  - {at: [1, 2], depth: 14 mm}\n"},
		"a word":        {"p:\n  - {at: [1, 2], depth: 12}\n", "depth", "through", "p:\n  - {at: [1, 2], depth: through}\n"},
		"a new key":     {"p:\n  - {for: a, at: [1, 2]}\n", "turn", "15", "p:\n  - {for: a, turn: 15, at: [1, 2]}\n"},
		"a new line":    {"p:\n  - for: a\n    at: [1, 2]\n", "turn", "15", "p:\n  - for: a\n    turn: 15\n    at: [1, 2]\n"},
		"the first":     {"p:\n  - at: [1, 2]\n    for: a\n", "turn", "15", "p:\n  - turn: 15\n    at: [1, 2]\n    for: a\n"},
		"inches, a new": {"p:\n  - {at: [1, 2]}\n", "depth", `1/2"`, "p:\n  - {depth: '1/2\"', at: [1, 2]}\n"},
	} {
		got, err := edit.Set([]byte(c.text), at(2, 5), c.key, c.written, "at")
		require.NoError(t, err, name)
		assert.Equal(t, c.want, string(got), name)
	}
}

// What several share is told with its line, and so is what cannot be written: nothing is guessed.
func TestWhatIsSharedIsTold(t *testing.T) {
	for name, c := range map[string]struct{ text, line string }{
		"an entry with an anchor":  {"p:\n  - &a {at: [1, 2]}\nq: [*a]\n", "job.yaml:2"},
		"an anchor around it":      {"p: &a\n  - {at: [1, 2]}\nq: *a\n", "job.yaml:2"},
		"a place with an anchor":   {"p:\n  - {at: &a [1, 2]}\nq: *a\n", "job.yaml:2"},
		"a coordinate with one":    {"p:\n  - {at: [&a 1, 2]}\nq: *a\n", "job.yaml:2"},
		"a place that is an alias": {"a: &a [1, 2]\np:\n  - {at: *a}\n", "job.yaml:3"},
		"a coordinate that is one": {"a: &a 1\np:\n  - {at: [*a, 2]}\n", "job.yaml:3"},
		"no place":                 {"p:\n  - {for: a}\n", "job.yaml:2"},
		"no entry":                 {"p:\n - {at: [1, 2]}\n", "job.yaml:2"},
		"no lengths":               {"p:\n  - {at: [a, b]}\n", "job.yaml:2"},
		"no text":                  {"p: [", "job.yaml:2"},
	} {
		e := at(2, 5)
		if strings.HasPrefix(c.text, "a:") {
			e = at(3, 5)
		}
		if strings.Contains(c.text, "- &a") {
			e = at(2, 8)
		}
		_, err := edit.Place([]byte(c.text), e, 5_000_000, 6_000_000)
		var found finding.List
		require.ErrorAs(t, err, &found, name)
		assert.True(t, strings.HasPrefix(found[0].Where, c.line), "%s: %s", name, found[0].Where)
	}
	for _, hostile := range []string{"1, x: 2", "1}", "# 1", "1\n2", "&a 1", "*a", "!x", "'1", "{1}", ""} {
		_, err := edit.Set([]byte("p:\n  - {at: [1, 2], depth: 12}\n"), at(2, 5), "depth", hostile, "at")
		assert.Error(t, err, hostile)
	}
}

// 500 random jobs, one pocket of each moved: read by another reader of YAML they differ in
// just that value, which is the length that was asked for, and every line but its own is as
// it was.
func TestRandomMovesChangeOneValue(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 1))
	write := []func(steps int) string{
		func(n int) string { return fmt.Sprintf("%g", float64(n)/2) },
		func(n int) string { return fmt.Sprintf("%g mm", float64(n)/2) },
		func(n int) string { return fmt.Sprintf("%.1f", float64(n)/2) },
		func(n int) string { return fmt.Sprintf("%g cm", float64(n)/20) },
		func(n int) string { return fmt.Sprintf("%d/16 in", n) },
		func(n int) string { return fmt.Sprintf("%d %d/16 in", n/16, n%16) },
		func(n int) string { return fmt.Sprintf("'%g\"'", float64(n)/16) },
		func(n int) string { return fmt.Sprintf("%g in", float64(n)/16) },
	}
	for range 500 {
		var text strings.Builder
		text.WriteString("# made up\nunits: mm\ntrays:\n  - id: one\n    pockets:\n")
		line, lines := 5, []edit.Entry{}
		for range 1 + r.IntN(6) {
			pair := write[r.IntN(len(write))](r.IntN(400)) + ", " + write[r.IntN(len(write))](r.IntN(400))
			lines = append(lines, at(line+1, 9))
			if r.IntN(2) == 0 {
				fmt.Fprintf(&text, "      - {for: a, at: [%s], size: [3, 4]}   # a comment\n", pair)
				line++
			} else {
				fmt.Fprintf(&text, "      - for: b\n        at: [%s]   # where\n        depth: through\n", pair)
				line += 3
			}
		}
		before := text.String()
		k := r.IntN(len(lines))
		steps, err := edit.Steps([]byte(before), lines[k])
		require.NoError(t, err)
		x, y := steps[0]*units.Length(r.IntN(400)), steps[1]*units.Length(r.IntN(400))
		after, err := edit.Place([]byte(before), lines[k], x, y)
		require.NoError(t, err, before)
		for i, was := range strings.Split(before, "\n") {
			if is := strings.Split(string(after), "\n")[i]; was != is {
				assert.Contains(t, is, "at: [", before)
				assert.Equal(t, was[strings.Index(was, "]"):], is[strings.Index(is, "]"):], "what stands behind it")
			}
		}
		was, is := pockets(t, before), pockets(t, string(after))
		for i := range was {
			if i == k {
				assert.Equal(t, [2]units.Length{x, y}, place(t, is[i]["at"]), "%s\n%s", before, after)
				is[i]["at"] = was[i]["at"]
			}
			assert.Equal(t, was[i], is[i])
		}
	}
}

func pockets(t *testing.T, text string) []map[string]any {
	var job struct {
		Trays []struct{ Pockets []map[string]any }
	}
	require.NoError(t, yaml.Unmarshal([]byte(text), &job))
	return job.Trays[0].Pockets
}

func place(t *testing.T, v any) (p [2]units.Length) {
	for i, one := range v.([]any) {
		l, err := units.Parse(fmt.Sprint(one), units.Millimetre)
		require.NoError(t, err)
		p[i] = l
	}
	return p
}

// A pocket more is a line more, as far in as the others, and no other byte changes; its entry
// begins where the answer says.
func TestAPocketIsAdded(t *testing.T) {
	const mm = 1_000_000
	for name, c := range map[string]struct {
		text string
		e    edit.Entry
		want string
		at   [2]int
	}{
		"behind others": {"t:\n  - id: a\n    pockets:\n      - {at: [1, 2]} # one\n\n    # then\n    wall: 6\n", at(2, 5), "t:\n  - id: a\n    pockets:\n      - {at: [1, 2]} # one\n      - {for: keg, at: [3, 4.5]}\n\n    # then\n    wall: 6\n", [2]int{5, 9}},
		"on many lines": {"t:\n  - id: a\n    pockets:\n    - for: x\n      at:\n      - 1\n      - 2\n    - {\n      at: [1, 2]\n      }\n  - id: b\n", at(2, 5), "t:\n  - id: a\n    pockets:\n    - for: x\n      at:\n      - 1\n      - 2\n    - {\n      at: [1, 2]\n      }\n    - {for: keg, at: [3, 4.5]}\n  - id: b\n", [2]int{11, 7}},
		"no line's end": {"t:\n  - id: a\n    pockets:\n      - {at: [1, 2]}", at(2, 5), "t:\n  - id: a\n    pockets:\n      - {at: [1, 2]}\n      - {for: keg, at: [3, 4.5]}\n", [2]int{5, 9}},
		"other systems": {"t:\r\n  - id: a\r\n    pockets:\r\n      - {at: [1, 2]}\r\n", at(2, 5), "t:\r\n  - id: a\r\n    pockets:\r\n      - {at: [1, 2]}\r\n      - {for: keg, at: [3, 4.5]}\r\n", [2]int{5, 9}},
		"the first":     {"t:\n  - id: a\n    wall: 6 # w\n  - id: b\n", at(2, 5), "t:\n  - id: a\n    wall: 6 # w\n    pockets:\n      - {for: keg, at: [3, 4.5]}\n  - id: b\n", [2]int{5, 9}},
		"inches, in mm": {"t:\n  - id: a\n    pockets:\n      - {at: [1, 2]}\n", edit.Entry{At: at(2, 5).At, Bare: units.Inch}, "t:\n  - id: a\n    pockets:\n      - {at: [1, 2]}\n      - {for: keg, at: [3 mm, 4.5 mm]}\n", [2]int{5, 9}},
	} {
		got, where, err := edit.Add([]byte(c.text), c.e, "keg", 3*mm, 9*mm/2)
		require.NoError(t, err, name)
		assert.Equal(t, c.want, string(got), name)
		assert.Equal(t, c.at, [2]int{where.Line, where.Column}, name)
	}
	for name, text := range map[string]string{
		"in brackets": "t:\n  - id: a\n    pockets: [{at: [1, 2]}]\n", "an anchor": "t:\n  - id: a\n    pockets: &p\n      - {at: [1, 2]}\nq: *p\n",
		"a tray in braces": "t:\n  - {id: a}\n",
	} {
		_, _, err := edit.Add([]byte(text), at(2, 5), "keg", 3*mm, 4*mm)
		assert.Error(t, err, name)
	}
	for _, id := range []string{"no", "1e3", "a: b", "x}", "海"} {
		_, _, err := edit.Add([]byte("t:\n  - id: a\n"), at(2, 5), id, mm, mm)
		assert.Error(t, err, id)
	}
}

// Where a key of a group stands, and nothing where it does not, or nobody can read the text.
func TestLinesOfKeys(t *testing.T) {
	const text = "# head\ntray_defaults:\n  wall: 6\n  edge: 10\ntrays:\n  - id: a\n    wall: 8\nwall: 4\n"
	for _, c := range []struct {
		group, key string
		want       int
	}{{"tray_defaults", "wall", 3}, {"tray_defaults", "edge", 4}, {"tray_defaults", "fit", 0}, {"trays", "wall", 0}, {"wall", "wall", 0}} {
		assert.Equal(t, c.want, edit.LineOf([]byte(text), c.group, c.key), "%+v", c)
	}
	assert.Zero(t, edit.LineOf([]byte("a: [\n"), "a", "b"))
}

// What cannot be changed alone, or not said so, is refused with the line where it stands.
func TestEditsThatAreRefused(t *testing.T) {
	for name, c := range map[string]struct{ text, key, written, before, says string }{
		"several values": {"p:\n  - {at: [1, 2], depth: [3, 4]}\n", "depth", "5", "at", "more than one value"},
		"no value":       {"p:\n  - {at: [1, 2]}\n", "depth", "[5", "at", "is no value"},
		"no such key":    {"p:\n  - {at: [1, 2]}\n", "depth", "5", "round", "there is no `round`"},
		"one key alone":  {"p:\n  - {at: [1, 2]}\n", "depth", "5", "", "to write `depth` before"},
		"on several":     {"p:\n  - at: [1, 2]\n    depth: |\n      5\n", "depth", "5", "at", "plainly on one line"},
	} {
		_, err := edit.Set([]byte(c.text), at(2, 5), c.key, c.written, c.before)
		assert.ErrorContains(t, err, c.says, name)
	}
	got, err := edit.Set([]byte("p:\n  - {for: a, at: [1, 2]}\n"), at(2, 5), "turn", "15", "")
	require.NoError(t, err)
	assert.Equal(t, "p:\n  - {for: a, turn: 15, at: [1, 2]}\n", string(got), "before its second")
	_, err = edit.Place([]byte("p:\n  - {at: [through, 2]}\n"), at(2, 5), 0, 0)
	assert.ErrorContains(t, err, "`at` is no pair of lengths")
	_, err = edit.Place([]byte("p:\n  - {at: [1 ft, 2]}\n"), at(2, 5), 1, 0)
	assert.ErrorContains(t, err, "`at`")
}
