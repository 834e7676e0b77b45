package arrange

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/job"
)

// Whatever a person writes behind lines and between them, in the head, and whatever changes then: each remark is in the
// next arrangement once, beside its pocket where that is left, and all else is as without them; the one after that has
// the same bytes.
func TestRemarksStay(t *testing.T) {
	j := watches()
	first := run(t, j)
	text := string(Write(first.Job, j, "router"))
	afters := map[string]Result{"": first}
	sources := map[string]*job.Job{"": j}
	for _, c := range twentyChanges {
		changed := copyOf(j)
		c.do(changed)
		sources[c.name], afters[c.name] = changed, run(t, changed, func(in *Input) { in.Previous = first.Job })
	}
	var names []string
	for name := range afters {
		names = append(names, name)
	}
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(names).Draw(t, "change")
		lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
		var tokens []string
		for i := range rapid.IntRange(1, 6).Draw(t, "remarks") {
			token := fmt.Sprintf("my%dremark, 'quoted\" {a: [b", i)
			tokens = append(tokens, token)
			at := rapid.IntRange(0, len(lines)-1).Draw(t, "line")
			inHead := strings.HasPrefix(lines[at], "# ")
			switch way := rapid.IntRange(0, 2).Draw(t, "way"); {
			case way == 0 && !inHead && lines[at] != "" && strings.Contains(lines[at], " #"):
				lines[at] += ", " + token
			case way == 1 && !inHead && lines[at] != "" && !strings.Contains(lines[at], "remark, 'quoted"): // it would take that one's place
				content, _ := cutRemark(lines[at])
				lines[at] = content + " # " + token
			default:
				lines = append(lines[:at:at], append([]string{"# " + token}, lines[at:]...)...)
			}
		}
		edited := []byte(strings.Join(lines, "\n") + "\n")
		touched, ok := Touched(edited)
		require.True(t, ok, "%s", edited)
		require.Empty(t, touched)
		plain := Write(afters[name].Job, sources[name], "router")
		kept := WithRemarks(plain, edited)
		for _, token := range tokens {
			require.Equal(t, 1, strings.Count(string(kept), token), "%s in\n%s\nof\n%s", token, kept, edited)
		}
		assert.False(t, job.Edited(kept))
		assert.Equal(t, contentsOf(plain), contentsOf(kept))
		assert.Equal(t, string(kept), string(WithRemarks(plain, kept)))
		assert.Equal(t, len(Fingerprint(sources[name], "router")), len(MadeFrom(kept)))
	})
}

// contentsOf are the lines of an arrangement without remarks.
func contentsOf(text []byte) (list []string) {
	_, body, _ := parted(text)
	for _, l := range linesOf(body) {
		if l.content != "" {
			list = append(list, l.content)
		}
	}
	return list
}

// Where a remark goes: with its pocket, wherever that goes; behind the new words where only more was written; to its
// tray or the end where its pocket or tray is gone.
func TestWhereRemarksGo(t *testing.T) {
	j := watches()
	text := string(Write(run(t, j).Job, j, "router"))
	for _, c := range []struct {
		was, is string // a part of the text, and what a hand makes of it
		do      func(*job.Job)
		want    string
	}{
		{" # 9 x deckhand", " # 9 x deckhand, the tall ones", ofPiece("deckhand", func(p *job.Piece) { p.Count++ }), "deckhand, the tall ones\n"},
		{" # 9 x deckhand", " # mine", ofPiece("deckhand", func(p *job.Piece) { p.Length += 9 * mm }), "} # mine\n"},
		{" # kraken", " # kraken; wet", func(j *job.Job) { j.Roster = j.Roster[1:] }, "  # kraken: wet\n  - id: stores\n"},
		{"  - id: gull\n", "# for Ann\n  - id: gull\n", func(j *job.Job) { j.Trays[0].Wall = 9 * mm }, "# for Ann\n  - id: gull\n"},
		{"  - id: gull\n", "  - id: gull # for Ann\n", func(j *job.Job) { j.Trays[1].ID = "tern" }, "  # for Ann\n"},
		{"# top to bottom", "# top to bottom, as they lie", func(*job.Job) {}, "# top to bottom, as they lie\n"},
	} {
		require.Contains(t, text, c.was)
		changed := copyOf(j)
		c.do(changed)
		edited := []byte(strings.Replace(text, c.was, c.is, 1))
		again := run(t, changed, func(in *Input) { in.Previous = loadText(t, edited) })
		require.NotNil(t, again.Job, "%v", again.Findings)
		kept := string(WithRemarks(Write(again.Job, changed, "router"), edited))
		assert.Contains(t, kept, c.want, "%s", c.is)
	}
}

// loadText reads an arrangement of watches.
func loadText(t *testing.T, text []byte) *job.Job {
	roster := "id,group,count,length,width,height\n"
	for _, p := range watches().Roster {
		roster += fmt.Sprintf("%s,%s,%d,%g,%g,%g\n", p.ID, p.Group, p.Count, p.Length.MM(), p.Width.MM(), p.Height.MM())
	}
	back, found, err := job.Load(fstest.MapFS{FileName: {Data: text}, "roster.csv": {Data: []byte(roster)}}, FileName)
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	return back
}
