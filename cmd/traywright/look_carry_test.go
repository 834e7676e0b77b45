package main

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

const carryJob = looseJob + `  - id: inches
    size: [8 in, 5 in]
    wall: 6
    edge: 10
    layers: [{foam: pe-30, thickness: 1 in}]
    pockets:
      - {for: urchin, at: [1 1/2 in, 2 in]} # an urchin
      - at: [4 in, 2 in] # on lines of its own
        size: [1 in, 15]
        turn: 30
`

// A pocket is carried into another tray as it stands, with its comment, in one step; `check` takes it,
// and one step back has it where it was. Where it would lie on something, nothing is written.
func TestAPocketIsCarriedIntoAnotherTray(t *testing.T) {
	path := inFolder(t, map[string]string{"job.yaml": carryJob, "roster.csv": looseRoster})
	feed, s := lookedAtFile(t, path)
	at := feed.planned.Job.Trays[0].Pockets[0].Position.String() // the crab
	place := feed.place(t.Context(), lookChange{At: at, Tray: "inches"})
	require.True(t, place.Done, "%v", place.Told)
	to := func(x, y float64) *[2]float64 { return &[2]float64{x - place.At[0], y - place.At[1]} }
	assert.False(t, posted(t, s, "/edit", lookChange{Sum: place.Sum, At: at, Tray: "inches", Move: to(40, 52)}).Done, "on the urchin")
	assert.Equal(t, carryJob, string(readText(path)))
	told := posted(t, s, "/edit", lookChange{Sum: place.Sum, At: at, Tray: "inches", Move: to(20, 12)})
	require.True(t, told.Done, "%v", told.Told)
	line := "      - {for: crab, at: [20, 20], depth: 22} # the crab\n"
	want := strings.Replace(carryJob, line, "", 1) + strings.Replace(line, "[20, 20]", "[20, 12]", 1)
	assert.Equal(t, want, string(readText(path)))
	assert.Equal(t, "crab", feed.planned.Trays[2].Pockets[2].For, "the last of its tray")
	code, _, talk := typed("check", path, "--quiet")
	require.Equal(t, exitDone, code, talk)
	require.True(t, posted(t, s, "/undo", struct{}{}).Done)
	assert.Equal(t, carryJob, string(readText(path)))
}

// What cannot be carried is told, and nothing is written.
func TestWhatIsNotCarriedIsTold(t *testing.T) {
	path := inFolder(t, map[string]string{"job.yaml": carryJob, "roster.csv": looseRoster})
	feed, s := lookedAtFile(t, path)
	crab, label := feed.planned.Job.Trays[0].Pockets[0].Position.String(), feed.planned.Job.Trays[0].Labels[0].Position.String()
	for says, c := range map[string]lookChange{
		"in this tray already": {At: crab, Tray: "crew"}, "no such tray": {At: crab, Tray: "none"}, "stay on their tray": {At: label, Tray: "spare"},
		"not written in the job's own file": {Tray: "spare"},
	} {
		assert.Contains(t, jsonText(t, feed.place(t.Context(), c).Told), says)
		c.Sum, c.Move = feed.texts.sum(), &[2]float64{-1000, 20}
		assert.Contains(t, jsonText(t, posted(t, s, "/edit", c).Told), says)
	}
	assert.Equal(t, carryJob, string(readText(path)))

	path = inFolder(t, map[string]string{"job.yaml": arrangedJob + "  - id: spare\n    size: [200, 120]\n    layers: [{foam: pe-30, thickness: 1 in}]\n    pockets:\n      - {for: keg, at: [20, 20]}\n", "roster.csv": looseRoster})
	code, _, talk := typed("arrange", path, "--quiet")
	require.Equal(t, exitDone, code, talk)
	feed, _ = lookedAtFile(t, path)
	placed := feed.planned.Trays[0].Pockets
	assert.Contains(t, jsonText(t, feed.place(t.Context(), lookChange{At: placed[len(placed)-1].Position.String(), Tray: "spare"}).Told), "`arrange` chose this pocket's tray")
}

// Pockets carried at random, wherever the program allows, in mm and in fractions of an inch: by another reader of
// YAML every pocket has the values that it had but for its place, and `check` takes the job. All steps are taken back.
func TestRandomPocketsAreCarried(t *testing.T) {
	path := inFolder(t, map[string]string{"job.yaml": carryJob, "roster.csv": looseRoster})
	feed, s := lookedAtFile(t, path)
	r, done := rand.New(rand.NewPCG(21, 4)), 0
	for range *dragCount / 10 {
		trays := feed.planned.Job.Trays
		from, into := &trays[r.IntN(3)], &trays[r.IntN(3)]
		if len(from.Pockets) == 0 || from == into {
			continue
		}
		at := from.Pockets[r.IntN(len(from.Pockets))].Position.String()
		place := feed.place(t.Context(), lookChange{At: at, Tray: into.ID})
		require.True(t, place.Done, "%v\n%s", place.Told, readText(path))
		b := polygons(place.Allowed).Bounds()
		move := [2]float64{}
		for i, low := range [2]float64{b.Min.X, b.Min.Y} {
			move[i] = float64(int((place.At[i]+low+r.Float64()*[2]float64{b.Width(), b.Height()}[i])/place.Steps[i]))*place.Steps[i] - place.At[i]
		}
		before := readText(path)
		told := posted(t, s, "/edit", lookChange{Sum: place.Sum, At: at, Tray: into.ID, Move: &move})
		if !told.Done {
			require.False(t, polygons(place.Allowed).Contains(geometry.Point{X: move[0], Y: move[1]}), "%v\n%s", told.Told, before)
			require.Equal(t, string(before), string(readText(path)))
			continue
		}
		done++
		feed.stopTrying()
		require.Equal(t, valuesBut(t, before), valuesBut(t, readText(path)))
		code, _, talk := typed("check", path, "--quiet")
		require.Equal(t, exitDone, code, talk)
	}
	assert.Greater(t, done, *dragCount/40)
	for range len(feed.steps) {
		require.True(t, posted(t, s, "/undo", struct{}{}).Done)
	}
	assert.Equal(t, carryJob, string(readText(path)))
}

// valuesBut are how often each value stands in a text, but for places and the numbers of pockets.
func valuesBut(t *testing.T, text []byte) map[string]int {
	counts := map[string]int{}
	for path, value := range valuesIn(t, text) {
		key := path[strings.LastIndexByte(path, '.')+1:]
		if key != "at" && !strings.HasPrefix(key, "pockets") {
			counts[key+": "+value]++
		}
	}
	require.NotEmpty(t, counts)
	return counts
}

// A tray that has lost its last pocket says that it has none, and takes the next.
func TestATrayIsEmptiedAndFilled(t *testing.T) {
	job := strings.Replace(carryJob, "  - id: inches\n", "    pockets: # spare\n      - {for: keg, at: [70, 20], depth: 22}\n  - id: inches\n", 1)
	path := inFolder(t, map[string]string{"job.yaml": job, "roster.csv": looseRoster})
	feed, s := lookedAtFile(t, path)
	carry := func(from, into int) {
		at := feed.planned.Job.Trays[from].Pockets[0].Position.String()
		tray := feed.planned.Job.Trays[into].ID
		place := feed.place(t.Context(), lookChange{At: at, Tray: tray})
		require.True(t, place.Done, "%v", place.Told)
		told := posted(t, s, "/edit", lookChange{Sum: place.Sum, At: at, Tray: tray, Move: &[2]float64{120 - place.At[0], 60 - place.At[1]}})
		require.True(t, told.Done, "%v", told.Told)
		code, _, talk := typed("check", path, "--quiet")
		require.Equal(t, exitDone, code, talk)
	}
	carry(1, 0)
	assert.Contains(t, string(readText(path)), "    pockets: [] # spare\n  - id: inches\n")
	carry(0, 1)
	assert.Contains(t, string(readText(path)), "    pockets: # spare\n      - {for: crab, at: [120, 60], depth: 22} # the crab\n  - id: inches\n")
}
