package edit_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/edit"
	"traywright/cam/finding"
)

const mm = 1_000_000 // nanometres

func TestAPocketIsCarried(t *testing.T) {
	const two = "t:\n  - id: a # A\n    pockets: # of a\n      # first\n      - {for: x, at: [1, 2]} # the x\n      - at: [5 mm, '6']\n        # within\n        for: y\n  - id: b\n    wall: 6 # w\n"
	for name, c := range map[string]struct {
		text string
		e, b edit.Entry
		want string
		at   [2]int
	}{
		"a line":          {two, at(5, 9), at(9, 5), "t:\n  - id: a # A\n    pockets: # of a\n      # first\n      - at: [5 mm, '6']\n        # within\n        for: y\n  - id: b\n    wall: 6 # w\n    pockets:\n      - {for: x, at: [3, 4.5]} # the x\n", [2]int{11, 9}},
		"several lines":   {two, at(6, 9), at(9, 5), "t:\n  - id: a # A\n    pockets: # of a\n      # first\n      - {for: x, at: [1, 2]} # the x\n  - id: b\n    wall: 6 # w\n    pockets:\n      - at: [3 mm, '4.5']\n        # within\n        for: y\n", [2]int{9, 9}},
		"the only one":    {"t:\n  - id: a\n    pockets: # none\n    - {for: x, at: [1, 2]}\n  - id: b\n    pockets:\n      - {at: [3, 3]}\n", at(4, 7), at(5, 5), "t:\n  - id: a\n    pockets: [] # none\n  - id: b\n    pockets:\n      - {at: [3, 3]}\n      - {for: x, at: [3, 4.5]}\n", [2]int{7, 9}},
		"and back":        {"t:\n  - id: a\n    pockets: [ ] # none\n  - id: b\n    pockets:\n      - {at: [3, 3]}\n      - {for: x, at: [3, 4.5]}\n", at(7, 9), at(2, 5), "t:\n  - id: a\n    pockets: # none\n      - {for: x, at: [3, 4.5]}\n  - id: b\n    pockets:\n      - {at: [3, 3]}\n", [2]int{4, 9}},
		"onto an earlier": {"t:\n  - id: a\n    pockets:\n      - {at: [3, 3]}\n  - id: b\n    pockets:\n      - {for: x, at: [1, 2],\n         depth: 5}\n      - {at: [9, 9]}", at(7, 9), at(2, 5), "t:\n  - id: a\n    pockets:\n      - {at: [3, 3]}\n      - {for: x, at: [3, 4.5],\n         depth: 5}\n  - id: b\n    pockets:\n      - {at: [9, 9]}", [2]int{5, 9}},
	} {
		got, where, err := edit.Carry([]byte(c.text), c.e, c.b, 3*mm, 9*mm/2)
		require.NoError(t, err, name)
		assert.Equal(t, c.want, string(got), name)
		assert.Equal(t, c.at, [2]int{where.Line, where.Column}, name)
	}
	for name, text := range map[string]string{
		"in brackets": "t:\n  - id: a\n    pockets: [{at: [1, 2]}]\n  - id: b\n", "an anchor": "t:\n  - id: a\n    pockets:\n      - {at: &p [1, 2]}\n  - id: b\n    q: *p\n",
		"no place": "t:\n  - id: a\n    pockets:\n      - {for: x}\n  - id: b\n", "beside another": "t:\n  - id: a\n    pockets:\n    - - {at: [1, 2]}\n  - id: b\n",
	} {
		for line := 3; line < 5; line++ {
			for column := 7; column < 16; column++ {
				_, _, err := edit.Carry([]byte(text), at(line, column), at(5, 5), 3*mm, 4*mm)
				assert.Error(t, err, name)
			}
		}
	}
}

// Whatever pockets are carried from tray to tray: another reader of YAML finds each pocket's values as they were but
// for its place, all others where they were, and every comment is there.
func TestRandomPocketsAreCarried(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := drawnTrays(t)
		for range 5 {
			entries, trays := placesIn(t, text)
			if len(entries) == 0 {
				return
			}
			e := rapid.SampledFrom(entries).Draw(t, "entry")
			tray := rapid.SampledFrom(trays).Draw(t, "tray")
			before := readTrays(t, text)
			after, where, err := edit.Carry([]byte(text), edit.Entry{At: e}, edit.Entry{At: tray}, 3*mm, 4*mm)
			require.NoError(t, err, text)
			now := readTrays(t, string(after))
			require.Equal(t, marksIn(text), marksIn(string(after)))
			require.Equal(t, count(before), count(now))
			moved := strings.Split(string(after), "\n")[where.Line-1]
			require.Contains(t, moved[where.Column-1:], "at: [3, 4]", string(after))
			for i := range before {
				for _, p := range now[i] {
					if p["at"] != "[3 4]" {
						require.Contains(t, before[i], p)
					}
				}
			}
			text = strings.Replace(string(after), "at: [3, 4]", fmt.Sprintf("at: [%d, 7]", rapid.IntRange(10, 99).Draw(t, "x")), 1)
		}
	})
}

func drawnTrays(t *rapid.T) string {
	var b strings.Builder
	b.WriteString("trays:\n")
	for i := range rapid.IntRange(2, 4).Draw(t, "trays") {
		fmt.Fprintf(&b, "  - id: t%d # tray %[1]d\n", i)
		n := rapid.IntRange(0, 4).Draw(t, "pockets")
		deep := strings.Repeat(" ", rapid.IntRange(4, 8).Draw(t, "indent"))
		switch {
		case n > 0:
			b.WriteString("    pockets:\n")
		case rapid.Bool().Draw(t, "empty"):
			b.WriteString("    pockets: [] # none\n")
		}
		for k := range n {
			style := rapid.SampledFrom([]string{
				deep + "- {for: p%[1]d, at: [1, 2], depth: 5} # comment %[1]d\n",
				deep + "- at: [1, 2] # comment %[1]d\n" + deep + "  for: p%[1]d\n" + deep + "  # inside\n" + deep + "  depth: '7'\n",
				deep + "- {for: p%[1]d, at: [1, 2],\n" + deep + "     grid: [2, 3]}\n",
				deep + "# above\n" + deep + "- {at: [1, 2], for: \"p%[1]d\"}\n",
			}).Draw(t, "style")
			fmt.Fprintf(&b, style, 10*i+k)
		}
		b.WriteString(rapid.SampledFrom([]string{"", "    wall: 6\n", "\n    # last\n"}).Draw(t, "behind"))
	}
	return b.String()
}

// readTrays are the pockets of each tray as another reader has them.
func readTrays(t *rapid.T, text string) (trays [][]map[string]string) {
	var all struct {
		Trays []struct{ Pockets []map[string]any }
	}
	require.NoError(t, yaml.Unmarshal([]byte(text), &all), text)
	for _, tray := range all.Trays {
		var list []map[string]string
		for _, p := range tray.Pockets {
			values := map[string]string{}
			for key, v := range p {
				values[key] = fmt.Sprint(v)
			}
			list = append(list, values)
		}
		trays = append(trays, list)
	}
	return trays
}

func count(trays [][]map[string]string) (names []string) {
	for _, list := range trays {
		for _, p := range list {
			names = append(names, p["for"]+p["depth"]+p["grid"])
		}
	}
	slices.Sort(names)
	return names
}

// marksIn are a text's comments.
func marksIn(text string) (marks []string) {
	for line := range strings.Lines(text) {
		if _, comment, ok := strings.Cut(line, "#"); ok {
			marks = append(marks, strings.TrimSpace(comment))
		}
	}
	slices.Sort(marks)
	return marks
}

// placesIn are where pockets and trays begin.
func placesIn(_ *rapid.T, text string) (entries, trays []finding.Position) {
	for i, line := range strings.Split(text, "\n") {
		dash := strings.Index(line, "- ")
		switch {
		case strings.HasPrefix(line, "  - id:"):
			trays = append(trays, finding.Position{Line: i + 1, Column: 5})
		case dash >= 0 && strings.TrimSpace(line[:dash]) == "":
			entries = append(entries, finding.Position{Line: i + 1, Column: dash + 3})
		}
	}
	return entries, trays
}
