package arrange

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
)

// watches is a job of two trays that say what they hold and a case whose trays are chosen.
func watches() *job.Job {
	j := bench(
		piece("kraken", "stores", 1, 84, 60, 20, job.Upright), piece("die", "stores", 8, 16, 16, 16, job.Upright), piece("coin", "stores", 12, 22, 22, 4, job.Upright),
		piece("deckhand", "gull", 9, 25, 24, 36, job.Lying), piece("diver", "gull", 6, 26, 24, 38, job.Lying), piece("mate", "gull", 2, 30, 22, 44, job.Lying),
		piece("skate", "reef", 7, 34, 22, 24, job.Upright), piece("urchin", "reef", 10, 22, 22, 18, job.Upright), piece("wreck", "reef", 1, 90, 48, 40, job.Upright), piece("buoy", "reef", 6, 20, 20, 46, job.Upright),
	)
	j.Trays = []job.Tray{tray("stores", "stores"), tray("gull", "gull")}
	j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(5 * inch), Holds: []string{"reef"}}}
	return j
}

// change is something that happens to a collection, and the pieces or trays that it is about.
type change struct {
	name, tray string // in which tray it is; "" where a case's trays are chosen
	do         func(*job.Job)
}

func ofPiece(id string, do func(*job.Piece)) func(*job.Job) {
	return func(j *job.Job) {
		do(&j.Roster[slices.IndexFunc(j.Roster, func(p job.Piece) bool { return p.ID == id })])
	}
}

// twentyChanges are those that happen from one game night to the next.
var twentyChanges = []change{
	{"a die 2 mm taller", "stores", ofPiece("die", func(p *job.Piece) { p.Height += 2 * mm })},
	{"a die 1 mm wider", "stores", ofPiece("die", func(p *job.Piece) { p.Width += mm })},
	{"one die more", "stores", ofPiece("die", func(p *job.Piece) { p.Count++ })},
	{"one die less", "stores", ofPiece("die", func(p *job.Piece) { p.Count-- })},
	{"coins 2 mm longer", "stores", ofPiece("coin", func(p *job.Piece) { p.Length += 2 * mm })},
	{"three coins less", "stores", ofPiece("coin", func(p *job.Piece) { p.Count -= 3 })},
	{"a kraken 12 mm longer", "stores", ofPiece("kraken", func(p *job.Piece) { p.Length += 12 * mm })},
	{"a thinner wall of stores", "stores", func(j *job.Job) { j.Trays[0].Wall = 5 * mm }},
	{"a thicker wall of stores", "stores", func(j *job.Job) { j.Trays[0].Wall = 9 * mm }},
	{"a deckhand 1 mm taller", "gull", ofPiece("deckhand", func(p *job.Piece) { p.Height += mm })},
	{"a deckhand 5 mm taller", "gull", ofPiece("deckhand", func(p *job.Piece) { p.Height += 5 * mm })},
	{"one deckhand more", "gull", ofPiece("deckhand", func(p *job.Piece) { p.Count++ })},
	{"one diver less", "gull", ofPiece("diver", func(p *job.Piece) { p.Count-- })},
	{"no mates", "gull", func(j *job.Job) { j.Roster = slices.Delete(slices.Clone(j.Roster), 5, 6) }},
	{"a wider edge of gull", "gull", func(j *job.Job) { j.Trays[1].Edge = 12 * mm }},
	{"a skate 3 mm taller", "", ofPiece("skate", func(p *job.Piece) { p.Height += 3 * mm })},
	{"a wreck 4 mm taller", "", ofPiece("wreck", func(p *job.Piece) { p.Height += 4 * mm })},
	{"an urchin 1 mm wider", "", ofPiece("urchin", func(p *job.Piece) { p.Width += mm })},
	{"two buoys more", "", ofPiece("buoy", func(p *job.Piece) { p.Count += 2 })},
	{"a new piece", "", func(j *job.Job) {
		j.Roster = append(slices.Clip(j.Roster), piece("limpet", "reef", 3, 12, 12, 9, job.Upright))
	}},
}

// When one thing changes, no pocket moves outside of its tray, and nothing is wrong with the rest. `go test -run
// TwentyChanges -v` prints how many move.
func TestTwentyChanges(t *testing.T) {
	j := watches()
	first := run(t, j)
	require.NotNil(t, first.Job, "%v", first.Findings)
	all := 0
	for _, c := range twentyChanges {
		changed := copyOf(j)
		c.do(changed)
		r := run(t, changed, func(in *Input) { in.Previous = first.Job })
		require.NotNil(t, r.Job, "%s: %v", c.name, r.Findings)
		_, found := planOf(t, r.Job)
		assert.False(t, found.Failed(), "%s: %v", c.name, found)
		for _, id := range r.Moved.Trays {
			assert.True(t, id == c.tray || c.tray == "" && strings.HasPrefix(id, "reef-"), "%s moves pockets of %s", c.name, id)
		}
		again := run(t, changed, func(in *Input) { in.Previous = r.Job })
		assert.Equal(t, Write(r.Job, changed, "router"), Write(again.Job, changed, "router"), c.name)
		assert.Zero(t, again.Moved.Changed, c.name)
		all += r.Moved.Pockets
		fresh := movedSince(first.Job, run(t, changed).Job)
		t.Logf("%-26s %2d of %d pockets move, in %v; %d if arranged afresh", c.name, r.Moved.Pockets, r.Moved.Of, r.Moved.Trays, fresh.Pockets)
	}
	t.Logf("%d in all", all)
}

// Pieces that are stood up where they are have not moved, and are told all the same: six of 20 x 20 x 20 mm that are 24 mm tall now.
func TestChangedWhereTheyAre(t *testing.T) {
	j := bench(piece("die", "g", 6, 20, 20, 20, job.Upright), piece("coin", "g", 4, 22, 22, 4, job.Upright))
	j.Trays = []job.Tray{tray("crew", "g")}
	j.Trays[0].Layers = layers(2*inch, inch/4)
	first := run(t, j)
	require.NotNil(t, first.Job, "%v", first.Findings)
	taller := copyOf(j)
	taller.Roster[0].Height = 24 * mm
	r := run(t, taller, func(in *Input) { in.Previous = first.Job })
	require.NotNil(t, r.Job, "%v", r.Findings)
	assert.Equal(t, Moved{Of: 10, Trays: []string{}, Changed: 6, ChangedIn: []string{"crew"}}, r.Moved)
}
