package arrange

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// ways are what the hints of an arrangement propose, each with how a person
// would do it. What it is about is the word in quotes or behind a name's kind.
var ways = []struct {
	says   *regexp.Regexp
	follow func(j *job.Job, found []string, length func(string) units.Length)
}{
	{regexp.MustCompile("a `wall` of (.*) makes room"), func(j *job.Job, w []string, length func(string) units.Length) {
		j.Trays[0].Wall = length(w[1])
	}},
	{regexp.MustCompile(`a tray (.*) longer holds them`), func(j *job.Job, w []string, length func(string) units.Length) {
		j.Trays[0].Length += length(w[1])
	}},
	{regexp.MustCompile(`(\d+|one) more trays? of the same size takes? what is left`), func(j *job.Job, w []string, _ func(string) units.Length) {
		n, err := strconv.Atoi(w[1])
		if err != nil {
			n = 1
		}
		for i := range n {
			more := j.Trays[0]
			more.ID, more.Pockets, more.Labels = "more-"+strconv.Itoa(i), nil, nil
			j.Trays = append(j.Trays, more)
		}
	}},
	{regexp.MustCompile(`make it (.*) higher inside`), func(j *job.Job, w []string, length func(string) units.Length) {
		j.Cases[0].Inside.Height += length(w[1])
	}},
	{regexp.MustCompile(`write one more case like it, without a stack`), func(j *job.Job, _ []string, _ func(string) units.Length) {
		more := j.Cases[0]
		more.Name = "More"
		j.Cases = append(j.Cases, more)
	}},
	{regexp.MustCompile(`an inside of (.*) x (.*) takes it`), func(j *job.Job, w []string, length func(string) units.Length) {
		j.Cases[0].Inside.Length, j.Cases[0].Inside.Width = length(w[1]), length(w[2])
	}},
	{regexp.MustCompile("the pose `any` in the roster lets it lie"), func(j *job.Job, _ []string, _ func(string) units.Length) {
		for i := range j.Roster {
			j.Roster[i].Pose = job.AnyPose
		}
	}},
	{regexp.MustCompile(`make its top layer of (.*), or hold the piece`), func(j *job.Job, w []string, length func(string) units.Length) {
		j.Trays[0].Layers[0].Thickness = length(w[1])
	}},
	{regexp.MustCompile(`glue its pad of two sheets, (.*) and (.*), or hold the piece`), func(j *job.Job, w []string, length func(string) units.Length) {
		all := j.Trays[0].Layers // a lone one is pad and floor
		j.Trays[0].Layers = append(twoOf(all[0], w, length), all[max(1, len(all)-1):]...)
	}},
	{regexp.MustCompile("write a tray of the case's size for it under `trays`, with more layers and `holds: \\[(.*)\\]`"), func(j *job.Job, w []string, _ func(string) units.Length) {
		deep := tray("deep", w[1])
		deep.Layers = append(slices.Repeat(layers(50*mm, 0)[:1], 6), deep.Layers...)
		deep.Length, deep.Width = j.Cases[0].Inside.Length, j.Cases[0].Inside.Width
		j.Trays = append(j.Trays, deep)
	}},
	{regexp.MustCompile(`make two sheets of its top layer, (.*) and (.*), or hold the piece`), func(j *job.Job, w []string, length func(string) units.Length) {
		j.Trays[0].Layers = append(twoOf(j.Trays[0].Layers[0], w, length), j.Trays[0].Layers[1:]...)
	}},
}

// twoOf are two sheets of a layer's foam, of the thicknesses that a hint names.
func twoOf(l job.Layer, w []string, length func(string) units.Length) []job.Layer {
	upper, lower := l, l
	upper.Thickness, lower.Thickness = length(w[1]), length(w[2])
	return []job.Layer{upper, lower}
}

// copyOf is a job that may be changed without changing another.
func copyOf(j *job.Job) *job.Job {
	c := *j
	c.Roster, c.Trays, c.Cases = slices.Clone(j.Roster), slices.Clone(j.Trays), slices.Clone(j.Cases)
	for i := range c.Trays {
		c.Trays[i].Layers, c.Trays[i].Pockets = slices.Clone(c.Trays[i].Layers), slices.Clone(c.Trays[i].Pockets)
	}
	return &c
}

// follow does what every part of an arrangement's only error proposes, each on
// its own, and wants that error gone. It returns which ways were gone.
func follow(t require.TestingT, j *job.Job, options func(*Input)) (gone []int) {
	r := run(t, j, options)
	var errors finding.List
	for _, f := range r.Findings {
		if f.Severity == finding.Error {
			errors = append(errors, f)
		}
	}
	if len(errors) != 1 {
		return nil
	}
	length := func(s string) units.Length {
		l, err := units.Parse(s, j.Units)
		require.NoError(t, err)
		return l
	}
	for _, part := range strings.Split(errors[0].Hint, "; ") {
		for i, w := range ways {
			found := w.says.FindStringSubmatch(part)
			if found == nil {
				continue
			}
			then := copyOf(j)
			w.follow(then, found, length)
			for _, f := range run(t, then, options).Findings {
				same := f.Rule == errors[0].Rule && strings.SplitAfter(f.Message, " needs ")[0] == strings.SplitAfter(errors[0].Message, " needs ")[0]
				assert.False(t, same, "%s\nfollowed by the words %q, and then:\n%s", errors[0], found[0], f)
			}
			gone = append(gone, i)
		}
	}
	return gone
}

// Whatever the job, what a hint says holds when it is done to the letter.
func TestHintsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob(t)
		follow(t, j, func(in *Input) { in.Try, in.Unit = 0, j.Units })
	})
}

// Every way that a hint can name, at least once.
func TestEveryHintHolds(t *testing.T) {
	deckhands := func(n int) job.Piece { return piece("deckhand", "g", n, 25, 24, 36, job.Lying) }
	held := func(id string, change func(*job.Tray), roster ...job.Piece) *job.Job {
		j := bench(roster...)
		one := tray("crew", id)
		change(&one)
		j.Trays = []job.Tray{one}
		return j
	}
	cased := func(height units.Length, change func(*job.Case), roster ...job.Piece) *job.Job {
		j := bench(roster...)
		j.Cases = []job.Case{{Name: "Reef", Copies: 1, Inside: inside(height)}}
		change(&j.Cases[0])
		return j
	}
	none, same := func(*job.Case) {}, func(*job.Tray) {}
	for name, c := range map[string]struct {
		j    *job.Job
		want []int // of ways
	}{
		"a thinner wall": {held("g", func(t *job.Tray) { t.Wall, t.Length = 9*mm, 255*mm; t.Width = 215 * mm },
			piece("a", "g", 7, 25, 24, 60, job.Lying), piece("b", "g", 14, 25, 24, 60, job.Lying)), []int{0, 1, 2}},
		"a longer tray":      {held("g", same, deckhands(33)), []int{1, 2}},
		"several more trays": {held("g", same, deckhands(90)), []int{2}},
		"a longer tray in inches": {func() *job.Job {
			j := held("g", func(t *job.Tray) { t.Layers = layers(2*inch, inch/4) }, deckhands(33))
			j.Units = units.Inch
			return j
		}(), []int{1, 2}},
		"a thicker sheet":             {held("g", same, piece("a", "g", 1, 30, 30, 26, job.Upright)), []int{7}},
		"a sheet that is floor, too":  {held("g", func(t *job.Tray) { t.Layers = t.Layers[:1] }, piece("a", "g", 1, 30, 30, 24.5, job.Upright)), []int{7}},
		"two sheets":                  {held("g", same, piece("a", "g", 1, 30, 30, 70, job.Upright)), []int{8}},
		"two sheets, the pad has two": {held("g", func(t *job.Tray) { t.Layers = append(layers(inch, inch)[:1], t.Layers...) }, piece("a", "g", 1, 30, 30, 90, job.Upright)), []int{10}},
		"a higher case":               {cased(2*inch, none, deckhands(60)), []int{3}},
		"a higher case in mm sheets":  {cased(mmOf(33.3), none, deckhands(60)), []int{3}},
		"one more case":               {cased(2*inch, none, deckhands(20), piece("diver", "h", 20, 25, 24, 36, job.Lying)), []int{3, 4}},
		"a case of its own, too low":  {cased(2*inch, func(c *job.Case) { c.Holds = []string{"g", "h"} }, deckhands(20), piece("diver", "h", 20, 25, 24, 36, job.Lying)), []int{3}},
		"a larger case":               {cased(5*inch, none, piece("raft", "g", 1, 240, 40, 20, job.Upright)), []int{5}},
		"a larger case, round corner": {cased(5*inch, func(c *job.Case) { c.Inside.Corner = 60 * mm }, piece("raft", "g", 1, 229, 160, 20, job.Upright)), []int{5}},
		"another pose":                {cased(5*inch, func(c *job.Case) { c.Inside.Width = 60 * mm }, piece("raft", "g", 1, 100, 45, 20, job.Upright)), []int{5, 6}},
		"a tray of its own":           {cased(300*mm, none, piece("mast", "g", 1, 25, 24, 160, job.Upright)), []int{9}},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, c.want, follow(t, c.j, func(in *Input) { in.Unit = c.j.Units }))
		})
	}
}

// What no hint of the arranger can help with says so and names no way.
func TestHintsThatNameNoWay(t *testing.T) {
	j := bench(piece("a", "g", 1, 30, 30, 300, job.Upright))
	j.Trays = []job.Tray{tray("crew", "g")}
	assert.Equal(t, "hold the piece in a tray of more layers", run(t, j).Findings[0].Hint)

	j = bench(piece("raft", "g", 1, 600, 600, 20, job.Upright))
	j.Trays = []job.Tray{tray("crew", "g")}
	assert.Equal(t, "make the tray larger: none of this size takes the largest of them", run(t, j).Findings[0].Hint)
	j.Trays[0].Length, j.Trays[0].Width = 640*mm, 640*mm
	assert.NotNil(t, run(t, j).Job)
	j.Trays[0].Length, j.Trays[0].Width = 250*mm, 190*mm
	j.Cases = []job.Case{{Name: "Gull", Copies: 1, Inside: inside(2 * inch), Stack: []string{"crew"}, StackPositions: make([]finding.Position, 1)}}
	assert.Equal(t, "use a larger case: none of this size takes the largest of them", run(t, j).Findings[0].Hint)
}

// What is said of ways in that gave way holds, each part on its own: pieces have ways in then, or nobody asks for any.
func TestHintsOfWaysInHold(t *testing.T) {
	said := 0
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob(t)
		j.Defaults.Habits = job.Habits{}
		for i := range j.Trays {
			j.Trays[i].Habits = job.Habits{}
		}
		said += len(followWaysIn(t, j))
	})
	if said == 0 {
		t.Skip("none of these jobs was given such a hint")
	}
}

// A tray as much longer as takes its blocks once more took its pieces in other poses when they were arranged afresh, and
// eight of them had no way in again.
func TestHintOfALongerTrayIsTriedAfresh(t *testing.T) {
	round := func(p job.Piece) job.Piece { p.Shape = job.Round; return p }
	piled := func(p job.Piece, n int) job.Piece { p.Pile = n; return p }
	j := bench(
		piled(round(piece("p0", "g0", 2, 8.3, 8.3, 7.1, job.Upright)), 3), piece("p1", "g0", 7, 8.4, 32.4, 3.1, job.Upright),
		round(piece("p2", "g0", 5, 20.5, 20.5, 7.6, job.Lying)), piece("p3", "g0", 1, 8.5, 49.3, 11.8, job.Upright),
		piece("p4", "g1", 3, 23.2, 8.1, 17.2, job.AnyPose), piece("p5", "g1", 8, 74.5, 44, 3, job.AnyPose),
		piece("p6", "g1", 4, 14.8, 12.2, 7.7, job.Lying), piece("p7", "g1", 2, 8.9, 8.2, 3.9, job.AnyPose),
		round(piece("p8", "g2", 3, 16, 16, 8.7, job.Lying)), piece("p9", "g2", 3, 11.5, 60, 18.9, job.AnyPose),
		round(piece("p10", "g2", 3, 52.7, 52.7, 32.1, job.AnyPose)), piece("p11", "g2", 1, 8.5, 8.2, 6.2, job.Upright))
	j.Machine, j.Defaults.Wall, j.Defaults.Edge = "bench-laser", 0, 0
	one := tray("crew", "g0", "g1", "g2")
	one.Layers, one.Corner, one.Wall, one.Edge = layers(2*inch, inch/4), mmOf(5.5), 0, 0
	one.Pockets = []job.Pocket{{
		X: 60 * mm, Y: 70 * mm, Shape: job.SizeShape, Length: 35_123_456, Width: 20 * mm, Turn: 1, Columns: 1, Rows: 1, Notch: job.North, Corner: 2 * mm,
	}}
	j.Trays = []job.Tray{one}
	assert.Contains(t, strings.Join(followWaysIn(t, j), "; "), " longer, has room for all", "the hint is mended, not lost")
}

// followWaysIn does each part of what is said of ways in that gave way, and wants none to give way then. It returns
// what was done.
func followWaysIn(t require.TestingT, j *job.Job) (done []string) {
	plain := func(in *Input) { in.Try, in.Unit = 0, j.Units }
	gave := func(r Result) *finding.Finding {
		if i := slices.IndexFunc(r.Findings, func(f finding.Finding) bool { return f.Rule == "way-in-gave-way" }); i >= 0 {
			return &r.Findings[i]
		}
		return nil
	}
	told := gave(run(t, j, plain))
	if told == nil || len(j.Trays) == 0 {
		return nil
	}
	length := func(s string) units.Length {
		l, err := units.Parse(s, j.Units)
		require.NoError(t, err)
		return l
	}
	for says, follow := range map[string]func(*job.Tray, string){
		"a `wall` of (.*?), (or|has room)":        func(one *job.Tray, l string) { one.Wall = length(l) },
		"a tray (.*?) longer, has room for all":   func(one *job.Tray, l string) { one.Length += length(l) },
		"(write) `access: none` where pieces are": func(one *job.Tray, _ string) { one.Habits.Access = job.NoAccess },
	} {
		if found := regexp.MustCompile(says).FindStringSubmatch(told.Hint); found != nil {
			done = append(done, found[0])
			then := copyOf(j)
			follow(&then.Trays[0], found[1])
			r := run(t, then, plain)
			require.NotNil(t, r.Job, "%s %v", found[0], r.Findings)
			assert.Nil(t, gave(r), "%s: %s", told, found[0])
		}
	}
	return done
}

// In inches a length is printed so that it is no less when it is read back:
// 6 mm are 0.2362 in, and 0.236 in are 5.9944 mm.
func TestEnough(t *testing.T) {
	m := maker{Input: Input{Unit: units.Inch}}
	assert.Equal(t, "0.237 in", m.enough(6*mm))
	assert.Equal(t, "1/4 in", m.enough(inch/4))
	m.Unit = units.Millimetre
	assert.Equal(t, "5.999988 mm", m.enough(5_999_988))
}
