package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// inFolder writes files into a folder of the test's own, and is the path of its job.
func inFolder(t testing.TB, files map[string]string) string {
	dir := t.TempDir()
	for name, text := range files {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	return filepath.Join(dir, "job.yaml")
}

const looseRoster = "id,name,group,count,length,width,height\nkeg,Powder keg,gull,3,20,20,20\ncrab,Crab,gull,1,34,28,20\nurchin,Urchin,gull,2,22,22,18\n"

const crewTray = `machine: bench-router
roster: roster.csv
trays:
  - id: crew
    size: [200, 120]
    wall: 6
    edge: 10
    layers: [{foam: pe-30, thickness: 1 in}]
`

const arrangedJob = crewTray + `    pockets:
      - {for: crab, at: [150, 10], size: [36, 30]}
    holds: [keg, urchin]
`

// changedLines are the lines of a text that are others than before; both have as many.
func changedLines(t *testing.T, before, after string) (list []string) {
	was, is := strings.Split(before, "\n"), strings.Split(after, "\n")
	require.Len(t, is, len(was), after)
	for i := range is {
		if is[i] != was[i] {
			list = append(list, is[i])
		}
	}
	return list
}

// What a hand moves of an arrangement is pinned in the same step, one step back takes both away,
// and what it lets go is no longer held by `arrange`.
func TestWhatAHandMovesIsPinned(t *testing.T) {
	path := inFolder(t, map[string]string{"job.yaml": arrangedJob, "roster.csv": looseRoster})
	arrangement := filepath.Join(filepath.Dir(path), "arrangement.yaml")
	code, _, talk := typed("arrange", path, "--quiet")
	require.Equal(t, exitDone, code, talk)
	feed, s := lookedAtFile(t, path)
	require.NotNil(t, feed.planned, "%v", feed.now.Findings)
	before := string(readText(arrangement))
	pockets := feed.planned.Trays[0].Pockets
	at := pockets[len(pockets)-1].Position.String()
	require.Contains(t, at, "arrangement.yaml:")
	room := feed.room(at)
	require.True(t, room.Done, "%v", room.Told)
	require.Len(t, room.Values, 1)
	assert.Equal(t, "pin", room.Values[0].Key)

	move := [2]float64{0, 0.5}
	for _, m := range [][2]float64{{0.5, 0}, {-0.5, 0}, {0, -0.5}} {
		if polygons(room.Allowed).Contains(geometry.Point{X: m[0], Y: m[1]}) {
			move = m
		}
	}
	told := posted(t, s, "/edit", lookChange{Sum: room.Sum, At: at, Move: &move})
	require.True(t, told.Done, "%v", told.Told)
	after := string(readText(arrangement))
	lines := changedLines(t, before, after)
	require.Len(t, lines, 1)
	assert.Contains(t, lines[0], ", pin: true")
	assert.Equal(t, arrangedJob, string(readText(path)), "the job stays")
	assert.True(t, feed.planned.Trays[0].Pockets[len(pockets)-1].Pinned)
	assert.True(t, strings.Contains(string(feed.page()), `["pinned",`), "the card says so")
	code, _, talk = typed("check", path, "--quiet")
	require.Equal(t, exitDone, code, talk)
	code, _, talk = typed("arrange", path, "--quiet")
	require.Equal(t, exitDone, code, talk)
	place := lines[0][strings.Index(lines[0], "at: ["):strings.Index(lines[0], "]")]
	assert.Regexp(t, strings.NewReplacer("[", `\[`, ".", `\.`).Replace(place)+`\].*pin: true`, string(readText(arrangement)), "it stays there")

	require.NoError(t, os.WriteFile(arrangement, []byte(after), 0o644))
	require.True(t, posted(t, s, "/undo", struct{}{}).Done)
	assert.Equal(t, before, string(readText(arrangement)), "place and pin are one step")
	require.True(t, posted(t, s, "/edit", lookChange{Sum: feed.room(at).Sum, At: at, Move: &move}).Done)
	require.True(t, posted(t, s, "/edit", lookChange{Sum: feed.room(at).Sum, At: at, Key: "pin", Value: "false"}).Done)
	assert.Contains(t, changedLines(t, before, string(readText(arrangement)))[0], ", pin: false")
	assert.False(t, feed.planned.Trays[0].Pockets[len(pockets)-1].Pinned)
	code, _, talk = typed("arrange", path, "--quiet")
	require.Equal(t, exitDone, code, talk)
	assert.NotContains(t, string(readText(arrangement)), "pin: true}", "what was let go may be moved again")
}

// What the job places itself is told where it stands in an arrangement, and a number of what
// `arrange` has placed is not set there.
func TestWhatAnArrangementDoesNotTake(t *testing.T) {
	path := inFolder(t, map[string]string{"job.yaml": arrangedJob, "roster.csv": looseRoster})
	code, _, talk := typed("arrange", path, "--quiet")
	require.Equal(t, exitDone, code, talk)
	feed, s := lookedAtFile(t, path)
	pockets := feed.planned.Trays[0].Pockets
	own, placed := pockets[0].Position.String(), pockets[len(pockets)-1].Position.String()
	assert.Contains(t, jsonText(t, feed.room(own).Told), "placed by job.yaml itself")
	sum := feed.texts.sum()
	assert.Contains(t, jsonText(t, posted(t, s, "/edit", lookChange{Sum: sum, At: placed, Key: "depth", Value: "5"})), "not changed here")
	assert.Contains(t, jsonText(t, posted(t, s, "/edit", lookChange{Sum: sum, Piece: "keg", Tray: "crew", Move: &[2]float64{-1000, 0}})), "name `keg` in the `holds`")
	assert.Equal(t, arrangedJob, string(readText(path)))
}

const looseJob = crewTray + `    pockets: # by hand
      - {for: crab, at: [20, 20], depth: 22} # the crab
      - {for: keg, at: [70, 20], depth: 22} # the first

    # labels come last
    labels:
      - {text: OIL, at: [20, 90], height: 14} # low
      - {text: TIL, at: [110, 90], height: 14}
  - id: spare
    size: [200, 120]
    wall: 6
    edge: 10
    layers: [{foam: pe-30, thickness: 1 in}]
`

// A piece that no tray holds is listed, and put where the program allows: a line more in the job,
// and no other. Beyond that, or for no piece, nothing is written.
func TestALoosePieceIsPutIntoATray(t *testing.T) {
	path := inFolder(t, map[string]string{"job.yaml": looseJob, "roster.csv": looseRoster})
	feed, s := lookedAtFile(t, path)
	assert.Equal(t, []lookLoose{{"keg", "Powder keg", 2, "roster.csv:2:1"}, {"urchin", "Urchin", 2, "roster.csv:4:1"}}, feed.now.Loose)
	for _, c := range []struct{ tray, line, before string }{
		{"crew", "      - {for: urchin, at: [70, 58]}\n", "\n    # labels come last\n"},
		{"spare", "    pockets:\n      - {for: urchin, at: [70, 58]}\n", ""},
	} {
		place := feed.place(t.Context(), lookChange{Piece: "urchin", Tray: c.tray})
		require.True(t, place.Done, "%v", place.Told)
		allowed := polygons(place.Allowed)
		require.False(t, allowed.Empty())
		assert.InDelta(t, place.At[0], place.Box[0], 1e-9)
		before := string(readText(path))
		move := [2]float64{70 - place.At[0], 20 - place.At[1]}
		if c.tray == "crew" {
			assert.False(t, posted(t, s, "/edit", lookChange{Sum: place.Sum, Piece: "urchin", Tray: c.tray, Move: &move}).Done, "on the keg")
			assert.Equal(t, before, string(readText(path)))
		}
		move[1] = 58 - place.At[1]
		told := posted(t, s, "/edit", lookChange{Sum: place.Sum, Piece: "urchin", Tray: c.tray, Move: &move})
		require.True(t, told.Done, "%v", told.Told)
		after := string(readText(path))
		assert.Equal(t, before, strings.Replace(after, c.line, "", 1))
		assert.Contains(t, after, c.line+c.before)
		code, _, talk := typed("check", path, "--quiet")
		require.Equal(t, exitDone, code, talk)
		require.True(t, posted(t, s, "/undo", struct{}{}).Done)
		assert.Equal(t, before, string(readText(path)))
	}
	sum := feed.texts.sum()
	for _, c := range []lookChange{{Piece: "nobody", Tray: "crew", Move: &[2]float64{}}, {Piece: "keg", Tray: "none", Move: &[2]float64{}}, {Piece: "keg", Tray: "crew"}} {
		c.Sum = sum
		assert.False(t, posted(t, s, "/edit", c).Done)
	}
	assert.Equal(t, looseJob, string(readText(path)))
}

// A label is moved as a pocket is: its place is one value, and it keeps off pockets and other labels.
func TestALabelIsMoved(t *testing.T) {
	path := inFolder(t, map[string]string{"job.yaml": looseJob, "roster.csv": looseRoster})
	feed, s := lookedAtFile(t, path)
	at := feed.planned.Trays[0].Marks[0].Position.String()
	room := feed.room(at)
	require.True(t, room.Done, "%v", room.Told)
	assert.Equal(t, []int{0}, room.Marks)
	assert.Empty(t, room.Pockets)
	assert.False(t, posted(t, s, "/edit", lookChange{Sum: room.Sum, At: at, Move: &[2]float64{0, -40}}).Done, "onto a pocket")
	assert.False(t, posted(t, s, "/edit", lookChange{Sum: room.Sum, At: at, Move: &[2]float64{60, 0}}).Done, "onto the other")
	assert.Equal(t, looseJob, string(readText(path)))
	require.True(t, posted(t, s, "/edit", lookChange{Sum: room.Sum, At: at, Move: &[2]float64{2.5, -1}}).Done)
	assert.Equal(t, []string{"      - {text: OIL, at: [22.5, 89], height: 14} # low"}, changedLines(t, looseJob, string(readText(path))))
	require.True(t, posted(t, s, "/edit", lookChange{Sum: feed.texts.sum(), At: at, Key: "height", Value: "12"}).Done)
	require.True(t, posted(t, s, "/edit", lookChange{Sum: feed.texts.sum(), At: at, Key: "turn", Value: "2"}).Done)
	assert.Equal(t, []string{"      - {text: OIL, turn: 2, at: [22.5, 89], height: 12} # low"}, changedLines(t, looseJob, string(readText(path))))
	code, _, talk := typed("check", path, "--quiet")
	require.Equal(t, exitDone, code, talk)

	before := string(readText(path))
	require.NoError(t, os.WriteFile(path, []byte(strings.Replace(before, "[22.5, 89]", "[195, 89]", 1)), 0o644))
	require.NoError(t, feed.again(t.Context()))
	require.Len(t, feed.now.Wrong, 1, "it is hatched where it lies")
	assert.InDelta(t, 195, feed.now.Wrong[0].Box[0], 3)
}
