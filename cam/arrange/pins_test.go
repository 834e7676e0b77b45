package arrange

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// pinsOf are the pinned pockets of a tray.
func pinsOf(j *job.Job, tray string) (list []job.Pocket) {
	for _, t := range j.Trays {
		for _, p := range t.Pockets {
			if t.ID == tray && p.Pin && !isOpening(p) {
				list = append(list, p)
			}
		}
	}
	return list
}

// pinAt pins the n-th pocket of a tray of an arrangement, moved by so much.
func pinAt(j *job.Job, tray string, n int, change func(*job.Pocket)) *job.Job {
	j = copyOf(j)
	for i := range j.Trays {
		if j.Trays[i].ID == tray {
			j.Trays[i].Pockets[n].Pin = true
			change(&j.Trays[i].Pockets[n])
		}
	}
	return j
}

// pocketFor is the tray and the number of the first pocket for a piece.
func pocketFor(j *job.Job, piece string) (tray string, n int) {
	for _, t := range j.Trays {
		if n := slices.IndexFunc(t.Pockets, func(p job.Pocket) bool { return p.For == piece }); n >= 0 {
			return t.ID, n
		}
	}
	return "", 0
}

// A pocket that was moved stays there, all else moves around it, and its piece gets no second one; in a tray of the
// job and in one that was chosen, with another roster and afresh.
func TestPinsStay(t *testing.T) {
	j := watches()
	first := run(t, j).Job
	for _, c := range []struct {
		piece string // whose pocket is moved
		do    func(*job.Job)
	}{
		{"diver", func(*job.Job) {}},
		{"diver", func(j *job.Job) { j.Trays[1].Wall = 8 * mm }},
		{"diver", ofPiece("mate", func(p *job.Piece) { p.Height += 8 * mm })},
		{"buoy", func(*job.Job) {}},
		{"buoy", ofPiece("urchin", func(p *job.Piece) { p.Width += 2 * mm })},
		{"buoy", ofPiece("skate", func(p *job.Piece) { p.Count += 14; p.Height += 6 * mm })},
	} {
		tray, n := pocketFor(first, c.piece)
		placed := pinAt(first, tray, n, func(p *job.Pocket) {
			p.X, p.Y, p.Columns, p.Rows = 100*mm, 80*mm, 1, 1
			p.Turn = 30
		})
		want := pinsOf(placed, tray)
		changed := copyOf(j)
		c.do(changed)
		r := run(t, changed, func(in *Input) { in.Previous = placed })
		require.NotNil(t, r.Job, "%v", r.Findings)
		assert.Equal(t, want, pinsOf(r.Job, tray))
		p, found := planOf(t, r.Job)
		assert.False(t, found.Failed(), "%v", found)
		pinned := 0
		for _, one := range p.Trays {
			for _, k := range one.Pockets {
				if k.Pinned {
					pinned++
				}
			}
		}
		assert.Equal(t, 1, pinned)
		for _, piece := range changed.Roster {
			var ids []string
			for _, one := range r.Job.Trays {
				ids = append(ids, one.ID)
			}
			assert.Equal(t, piece.Count, placesFor(r.Job, ids, piece.ID), "%s", piece.ID)
		}
		again := run(t, changed, func(in *Input) { in.Previous = r.Job })
		assert.Equal(t, Write(r.Job, changed, "router"), Write(again.Job, changed, "router"))
	}
}

// A pin that no tray is left for is said, and so is one of a pocket that the job places itself.
func TestPinsElsewhere(t *testing.T) {
	j := watches()
	j.Trays[0].Pockets = []job.Pocket{fixedPocket("kraken", 20, 20, 86, 62)}
	first := run(t, j).Job
	require.NotNil(t, first)
	for i := range first.Trays[0].Pockets {
		first.Trays[0].Pockets[i].Position.Line = 10 + i
	}
	own := copyOf(first)
	own.Trays[0].Pockets[0].X += 5 * mm
	r := run(t, j, func(in *Input) { in.Previous, in.Touched = own, map[int]bool{10: true} })
	require.True(t, r.Findings.Failed())
	assert.Contains(t, r.Findings[0].Message, "tray stores: this pocket is not where job.yaml has it, which places it itself")

	gone := copyOf(j)
	gone.Cases[0].Name, gone.Cases[0].Inside.Height = "Lagoon", 6*inch
	r = run(t, gone, func(in *Input) { in.Previous = pinAt(first, "reef-tray-1", 0, func(*job.Pocket) {}) })
	require.True(t, r.Findings.Failed())
	assert.Contains(t, r.Findings[0].Message, "no case of job.yaml is to have this tray any more")

	// What is said to do, done.
	same := copyOf(j)
	same.Trays[0].Pockets = slices.Clone(j.Trays[0].Pockets)
	same.Trays[0].Pockets[0].X += 5 * mm
	assert.NotNil(t, run(t, same, func(in *Input) { in.Previous, in.Touched = own, map[int]bool{10: true} }).Job)
	out := copyOf(first)
	for i := range out.Trays {
		if out.Trays[i].ID == "reef-tray-1" {
			out.Trays[i].Pockets = out.Trays[i].Pockets[1:]
		}
	}
	r = run(t, gone, func(in *Input) { in.Previous = out })
	require.NotNil(t, r.Job, "%v", r.Findings)
}

// What a hand did to the file is told line by line.
func TestTouched(t *testing.T) {
	j := demo(t)
	text := string(Write(run(t, j).Job, j, "router"))
	lines, ok := Touched([]byte(text))
	assert.True(t, ok)
	assert.Empty(t, lines)
	all := strings.Split(text, "\n")
	at := 0
	for i, line := range all {
		if strings.HasPrefix(line, "      - {for: deckhand") {
			at = i + 1
		}
	}
	require.Positive(t, at)
	with := func(change func(string) string) []byte {
		lines := strings.Split(text, "\n")
		lines[at-1] = change(lines[at-1])
		return []byte(strings.Join(lines, "\n"))
	}
	for name, c := range map[string]struct {
		text []byte
		want map[int]bool
		ok   bool
	}{
		"moved":           {with(func(s string) string { return strings.Replace(s, "at: [", "at: [1", 1) }), map[int]bool{at: true}, true},
		"moved, with \\r": {[]byte(strings.ReplaceAll(string(with(func(s string) string { return strings.Replace(s, "at: [", "at: [1", 1) })), "\n", "\r\n")), map[int]bool{at: true}, true},
		"taken out":       {[]byte(strings.Replace(text, all[at-1]+"\n", "", 1)), map[int]bool{}, true},
		"one more":        {with(func(s string) string { return "      - {at: [1, 2], round: 3}\n" + s }), map[int]bool{at: true}, true},
		"a remark":        {with(func(s string) string { return s + ", the tall ones" }), map[int]bool{}, true},
		"only pinned":     {with(func(s string) string { return strings.Replace(s, "} #", ", pin: true} #", 1) }), map[int]bool{}, true},
		"let go":          {with(func(s string) string { return strings.Replace(s, "} #", ", pin: false} #", 1) }), map[int]bool{}, true},
		"moved, let go": {with(func(s string) string {
			return strings.Replace(strings.Replace(s, "at: [", "at: [1", 1), "} #", ", pin: false} #", 1)
		}), map[int]bool{}, true},
		"a wall":          {[]byte(strings.Replace(text, "    wall: 6", "    wall: 5", 1)), nil, false},
		"a comment":       {[]byte(strings.Replace(text, "trays:\n", "trays:\n# mine\n", 1)), map[int]bool{}, true},
		"in the head":     {[]byte(strings.Replace(text, "\n\n", "\nmachine: mine\n\n", 1)), nil, false},
		"of another hand": {[]byte("game: Tidewrack\n\ntrays: []\n"), nil, false},
	} {
		t.Run(name, func(t *testing.T) {
			lines, ok := Touched(c.text)
			assert.Equal(t, c.ok, ok)
			assert.Equal(t, c.want, lines)
		})
	}
}

// Whatever is pinned, wherever it is, and whatever changes: pins stay as they are, or nothing is answered.
func TestPinsOfAnyRoster(t *testing.T) {
	kept := 0
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob(t)
		first := run(t, j, func(in *Input) { in.Try = 0 })
		if first.Job == nil {
			return
		}
		var spots [][2]int
		for i, one := range first.Job.Trays {
			own := 0
			if i < len(j.Trays) {
				own = len(j.Trays[i].Pockets)
			}
			for n := own; n < len(one.Pockets); n++ {
				spots = append(spots, [2]int{i, n})
			}
		}
		if len(spots) == 0 {
			return
		}
		at := rapid.SampledFrom(spots).Draw(t, "pocket")
		id := first.Job.Trays[at[0]].ID
		by := mmOf(float64(rapid.SampledFrom([]int{0, 0, -5, 5}).Draw(t, "by")) / 10)
		placed := pinAt(first.Job, id, at[1], func(p *job.Pocket) { p.X += by })
		changed := copyOf(j)
		p := &changed.Roster[rapid.IntRange(0, len(j.Roster)-1).Draw(t, "changed")]
		p.Count = max(1, p.Count+rapid.IntRange(-2, 2).Draw(t, "more"))
		p.Height += mmOf(float64(rapid.IntRange(-2, 4).Draw(t, "taller")))
		r := run(t, changed, func(in *Input) { in.Try, in.Previous = 0, placed })
		if r.Job == nil {
			require.True(t, r.Findings.Failed())
			return
		}
		kept++
		assert.Equal(t, pinsOf(placed, id), pinsOf(r.Job, id))
		again := run(t, changed, func(in *Input) { in.Try, in.Previous = 0, placed })
		assert.Equal(t, Write(r.Job, changed, "router"), Write(again.Job, changed, "router"))
	})
	assert.Positive(t, kept)
}

// A pocket that is too small for its piece is that piece's pocket, and an error, whoever placed it: it gets no second
// one that would hide that.
func TestATooSmallPocketCounts(t *testing.T) {
	j := bench(piece("deckhand", "g", 3, 25, 24, 20, job.Lying))
	one := tray("crew", "g")
	one.Pockets = []job.Pocket{fixedPocket("deckhand", 20, 20, 15, 15)}
	j.Trays = []job.Tray{one}
	r := run(t, j)
	require.NotNil(t, r.Job, "%v", r.Findings)
	assert.Equal(t, 3, placesFor(r.Job, []string{"crew"}, "deckhand"))
	_, found := planOf(t, r.Job)
	require.True(t, found.Failed())
	assert.Equal(t, "piece-too-large", found[0].Rule)
}

// A pocket for one flat piece, in a sheet that is cut through, stays for one when it is pinned or moved, and one for a
// pile for that; a person's own, of another size, is for as many as go in.
func TestAPinIsForWhatItWasMadeFor(t *testing.T) {
	for _, c := range []struct {
		pile   int
		change func(*job.Pocket)
		places int
	}{
		{0, func(*job.Pocket) {}, 3},
		{0, func(p *job.Pocket) { p.X += 30 * mm }, 3},
		{2, func(*job.Pocket) {}, 2},
		{0, func(p *job.Pocket) { p.Length += 2 * mm }, 1},
	} {
		j := bench(piece("card", "g", 3, 60, 40, 6, job.Upright))
		j.Machine, j.Roster[0].Pile = "bench-laser", c.pile
		j.Trays = []job.Tray{tray("crew", "g")}
		first := run(t, j).Job
		one := pinAt(first, "crew", 0, func(p *job.Pocket) {
			p.X, p.Y, p.Columns, p.Rows = 40*mm, 40*mm, 1, 1
			p.Position = finding.Position{File: FileName, Line: 9}
			c.change(p)
		})
		r := run(t, j, func(in *Input) { in.Previous = one })
		require.NotNil(t, r.Job, "%v", r.Findings)
		assert.Equal(t, pinsOf(one, "crew"), pinsOf(r.Job, "crew"))
		assert.Equal(t, c.places, placesFor(r.Job, []string{"crew"}, "card"), "%+v", c)
	}
}

// A piece that nothing holds is asked about by name, with what helps in a job that is arranged.
func TestAPieceThatNothingHolds(t *testing.T) {
	j := bench(piece("deckhand", "g", 3, 25, 24, 20, job.Lying), piece("diver", "g", 2, 25, 24, 20, job.Lying), piece("die", "bag", 2, 9, 9, 9, job.Lying), piece("coin", "bag", 2, 9, 9, 9, job.Lying))
	j.Trays = []job.Tray{tray("crew", "deckhand")}
	j.Trays[0].Habits.Access = job.NoAccess
	_, found := planOf(t, run(t, j).Job)
	require.Len(t, found, 2)
	assert.Equal(t, "name `diver` in the `holds` of a tray or a case, and arrange again", found[0].Hint)
	assert.Equal(t, "no piece of the group has a pocket in this job: die, coin", strings.TrimPrefix(found[1].Message, "group bag: "))
	assert.Equal(t, "nothing to do if another job carries them; else name `bag` in the `holds` of a tray or a case, and arrange again", found[1].Hint)
	j.Trays[0].Holds = []string{"deckhand", "diver", "bag"}
	_, found = planOf(t, run(t, j).Job)
	assert.Empty(t, found)
}
