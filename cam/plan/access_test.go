package plan

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// How fingers get at a crab of 30 x 20 x 20 mm, and what is noted. The numbers are those of check_access.go.
func TestWaysIn(t *testing.T) {
	crab := func(change func(*job.Pocket)) job.Pocket {
		return with(rect(24, 24, 31, 21), func(p *job.Pocket) { p.For, p.Depth = "crab", mm(20); change(p) })
	}
	open := func(x, length, depth float64) job.Pocket {
		return with(rect(x, 24, length, 21), func(p *job.Pocket) { p.Depth, p.Access = mm(depth), job.GapAccess })
	}
	tallPad := func(p job.Pocket) job.Tray { t := pad(p); t.Layers[0].Thickness = 4 * inch; return t }
	lifted := func(p *job.Pocket) { p.Depth, p.Access = mm(15), job.LiftAccess }
	for _, c := range []struct {
		name string
		tray job.Tray
		want string // of the first pocket
		told string // rules of what is told of it, of these
	}{
		{"deep as the piece", pad(crab(func(p *job.Pocket) {})), "none", "no-way-in"},
		{"none is wanted", pad(crab(func(p *job.Pocket) { p.Access = job.NoAccess })), "none", ""},
		{"a notch", pad(crab(func(p *job.Pocket) { p.Notch = job.North })), "notch", ""},
		{"a notch for no finger", pad(crab(func(p *job.Pocket) { p.Notch, p.NotchReach = job.North, mm(9) })), "none", "no-way-in"},
		{"a notch far above the piece", tallPad(crab(func(p *job.Pocket) { p.Notch, p.Depth = job.North, mm(70) })), "notch", ""},
		{"a notch too far above it", tallPad(crab(func(p *job.Pocket) { p.Notch, p.Depth = job.North, mm(70.1) })), "none", "no-way-in"},
		{"a gap beside it", pad(crab(func(p *job.Pocket) {}), open(54.5, 10.5, 10)), "gap", ""},
		{"a gap too narrow", pad(crab(func(p *job.Pocket) {}), open(54.5, 9, 10)), "none", "no-way-in"},
		{"a gap too shallow", pad(crab(func(p *job.Pocket) {}), open(54.5, 10.5, 4.9)), "none", "no-way-in"},
		{"a gap elsewhere", pad(crab(func(p *job.Pocket) {}), open(70, 10.5, 10)), "none", "no-way-in"},
		{"room in the pocket itself", pad(crab(func(p *job.Pocket) { p.Length = mm(40) })), "gap", ""},
		{"standing out", pad(crab(lifted)), "lift", ""},
		{"standing out unasked", pad(crab(func(p *job.Pocket) { p.Depth = mm(15) })), "lift", "piece-stands-proud"},
		{"standing out farther than asked", pad(crab(func(p *job.Pocket) { lifted(p); p.Proud = mm(4) })), "lift", "piece-stands-proud"},
		{"standing out too little", pad(crab(func(p *job.Pocket) { lifted(p); p.Depth = mm(17.1) })), "none", "does-not-stand-out"},
		{"to stand out, of a pocket of no said depth", pad(crab(func(p *job.Pocket) { p.Depth, p.Access = 0, job.LiftAccess })), "none", "does-not-stand-out"},
		{"standing out at the rim and between others", pad(with(crab(lifted), func(p *job.Pocket) {
			p.X, p.Y, p.Columns, p.Rows, p.PitchX, p.PitchY = mm(7), mm(7), 2, 2, mm(37), mm(27)
		})), "none", "no-way-in"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := bench(c.tray, piece("crab", 1, 30, 20, 20))
			p, found := Make(input(t, j, "bench-router"))
			assert.Equal(t, c.want, p.Trays[0].Pockets[0].Access)
			assert.Equal(t, c.told, toldOf(found, "no-way-in", "piece-stands-proud", "does-not-stand-out", "pockets-joined", "pockets-stepped"))
		})
	}
}

// What stands out needs air: what the case has left above its uppermost tray.
func TestWhatStandsOutNeedsAir(t *testing.T) {
	for _, c := range []struct {
		height float64
		stack  []string
		told   string
	}{
		{31.75 + 5, []string{"pad"}, ""},
		{31.75 + 4.9, []string{"pad"}, "piece-stands-proud"},
		{2*31.75 + 5, []string{"top", "pad"}, "piece-stands-proud"},
		{2*31.75 + 5, []string{"pad", "top"}, ""},
	} {
		tray := pad(with(rect(24, 24, 31, 21), func(p *job.Pocket) { p.For, p.Depth, p.Access = "crab", mm(15), job.LiftAccess }))
		tray.ID = "pad"
		top := pad()
		top.ID = "top"
		j := bench(tray, piece("crab", 1, 30, 20, 20))
		j.Trays = append(j.Trays, top)
		j.Cases = []job.Case{{Name: "Reef", Copies: 1, Stack: c.stack, Inside: job.Inside{Length: tray.Length, Width: tray.Width, Height: mm(c.height)}}}
		_, found := Make(input(t, j, "bench-router"))
		assert.Equal(t, c.told, toldOf(found, "piece-stands-proud", "no-way-in"), "%v", c)
	}
}

// A pinned piece that stands 3 mm out is an error where the lid or the tray above presses on it by more than the 0.5 mm
// that foam gives, and a warning where it is free: no case, 2.5 mm of air, or a hole through the tray above, over all of the pocket. What the
// hint says, done, has neither.
func TestPinnedPiecesArePressedByNothing(t *testing.T) {
	const thick = 31.75 // a tray
	over := with(rect(20, 20, 60, 40), func(p *job.Pocket) { p.Through = true })
	beside := with(rect(26, 20, 60, 40), func(p *job.Pocket) { p.Through = true })
	for name, c := range map[string]struct {
		height float64
		stack  []string
		above  []job.Pocket
		pinned bool
		want   string
	}{
		"no case":                {want: "warning:piece-stands-proud", pinned: true},
		"air":                    {thick + 2.5, []string{"pad"}, nil, true, "warning:piece-stands-proud"},
		"less air":               {thick + 2.4, []string{"pad"}, nil, true, "error:piece-stands-proud"},
		"less air, not pinned":   {thick + 2.4, []string{"pad"}, nil, false, "warning:piece-stands-proud"},
		"under a tray":           {2*thick + 9, []string{"top", "pad"}, nil, true, "error:piece-stands-proud"},
		"under a hole":           {2*thick + 9, []string{"top", "pad"}, []job.Pocket{over}, true, "warning:piece-stands-proud"},
		"beside a hole's middle": {2*thick + 9, []string{"top", "pad"}, []job.Pocket{beside}, true, "error:piece-stands-proud"},
	} {
		pocket := with(rect(24, 24, 31, 21), func(p *job.Pocket) { p.For, p.Depth, p.Pin = "crab", mm(17), c.pinned })
		made := func() string {
			tray, top := pad(pocket), pad(c.above...)
			tray.ID, top.ID = "pad", "top"
			j := bench(tray, piece("crab", 1, 30, 20, 20))
			j.Trays = append(j.Trays, top)
			if c.stack != nil {
				j.Cases = []job.Case{{Name: "Reef", Copies: 1, Stack: c.stack, Inside: job.Inside{Length: tray.Length, Width: tray.Width, Height: mm(c.height)}}}
			}
			_, found := Make(input(t, j, "bench-router"))
			return rules(slices.DeleteFunc(found, func(f finding.Finding) bool { return f.Rule != "piece-stands-proud" }))
		}
		assert.Equal(t, c.want, made(), name)
		pocket.Depth += mm(3)
		assert.Empty(t, made(), name)
	}
}

// toldOf are the rules of a list that were found, in order.
func toldOf(found finding.List, rules ...string) string {
	var told []string
	for _, f := range found {
		for _, r := range rules {
			if f.Rule == r {
				told = append(told, r)
			}
		}
	}
	return strings.Join(told, " ")
}

// What `arrange` has tried already is no way out.
func TestHintsOfArrangedPockets(t *testing.T) {
	pocket := with(rect(24, 24, 31, 21), func(p *job.Pocket) { p.For, p.Depth, p.Asked = "crab", mm(20), "on its tray" })
	_, found := Make(input(t, bench(pad(pocket), piece("crab", 1, 30, 20, 20)), "bench-router"))
	at := slices.IndexFunc(found, func(f finding.Finding) bool { return f.Rule == "no-way-in" })
	require.GreaterOrEqual(t, at, 0, "%v", found)
	assert.NotContains(t, found[at].Hint, "`access: notch`")
	assert.Equal(t, "crab: no room was found for a way in, or the job asks for another one; where these are taken by their tops, write `access: none` on their pockets in arrangement.yaml: the others keep their ways in", found[at].Hint)

	pocket.Notch, pocket.NotchReach = job.North, mm(9)
	_, found = Make(input(t, bench(pad(pocket), piece("crab", 1, 30, 20, 20)), "bench-router"))
	at = slices.IndexFunc(found, func(f finding.Finding) bool { return f.Rule == "no-way-in" })
	require.GreaterOrEqual(t, at, 0, "%v", found)
	assert.Contains(t, found[at].Hint, "write `access: none`, in the place of a `notch`, on their pockets")
}

// A piece that is to stand out and does not is told of, with a depth that it does stand out of: to the letter, whatever
// the pocket and the unit; and with none where that is no way.
func TestWhatIsToStandOutIsTold(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		number := func(name string, low, high int) float64 { return float64(rapid.IntRange(low, high).Draw(r, name)) / 10 }
		pocket := with(rect(24, 24, 34, 24), func(p *job.Pocket) {
			p.For, p.Access, p.Proud = "crab", job.LiftAccess, mm(number("proud", 0, 90))
			if rapid.Bool().Draw(r, "said") {
				p.Depth = mm(number("depth", 120, 240))
			}
		})
		one := pad(pocket)
		one.Headroom = mm(number("headroom", 0, 20))
		j := bench(one, piece("crab", 1, 30, 20, number("height", 100, 250)))
		j.Units = rapid.SampledFrom([]units.Unit{units.Millimetre, units.Inch}).Draw(r, "unit")
		sunk := func() *finding.Finding {
			_, found := Make(input(t, j, "bench-router"))
			if at := slices.IndexFunc(found, func(f finding.Finding) bool { return f.Rule == "does-not-stand-out" }); at >= 0 {
				return &found[at]
			}
			return nil
		}
		told := sunk()
		if told == nil {
			return
		}
		said := regexp.MustCompile("write `depth: (.*?)`(?: and `proud: (.*?)`)?, and it stands out by (.*); or ask for another `access`").FindStringSubmatch(told.Hint)
		if said == nil { // where it would stand out upright, it lies on its side
			require.Greater(r, j.Roster[0].Height, j.Roster[0].Width, "%s", told)
			return
		}
		length := func(text string) units.Length {
			l, err := units.Parse(text, j.Units)
			require.NoError(r, err)
			return l
		}
		p := &j.Trays[0].Pockets[0]
		if p.Depth = length(said[1]); said[2] != "" {
			p.Proud = length(said[2])
		}
		made, found := Make(input(t, j, "bench-router"))
		assert.Empty(r, toldOf(found, "does-not-stand-out", "piece-stands-proud", "no-way-in", "headroom-too-small"), "%s\n%v", told, found)
		assert.Equal(r, "lift", made.Trays[0].Pockets[0].Access)
		assert.InDelta(r, length(said[3]).MM(), made.Trays[0].Pockets[0].Lies.OutMM, 0.16) // steps of what is typed
	})
	low := pad(with(rect(24, 24, 31, 21), func(p *job.Pocket) { p.For, p.Access = "crab", job.LiftAccess }))
	cased := job.Case{Name: "Reef", Copies: 1, Stack: []string{low.ID}, Inside: job.Inside{Length: low.Length, Width: low.Width, Height: mm(31.75 + 4.9)}}
	for name, c := range map[string]struct {
		machine string
		height  float64
		cases   []job.Case
	}{"too low": {"bench-router", 4, nil}, "whole layers": {"bench-laser", 20, nil}, "no air": {"bench-router", 20, []job.Case{cased}}} {
		j := bench(low, piece("crab", 1, 30, 20, c.height))
		j.Cases = c.cases
		_, found := Make(input(t, j, c.machine))
		at := slices.IndexFunc(found, func(f finding.Finding) bool { return f.Rule == "does-not-stand-out" })
		require.GreaterOrEqual(t, at, 0, "%s %v", name, found)
		assert.Equal(t, "ask for another `access`", found[at].Hint, name)
	}
}
