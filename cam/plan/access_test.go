package plan

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
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
		{"standing out too little", pad(crab(func(p *job.Pocket) { lifted(p); p.Depth = mm(17.1) })), "none", "no-way-in"},
		{"standing out at the rim and between others", pad(with(crab(lifted), func(p *job.Pocket) {
			p.X, p.Y, p.Columns, p.Rows, p.PitchX, p.PitchY = mm(7), mm(7), 2, 2, mm(37), mm(27)
		})), "none", "no-way-in"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := bench(c.tray, piece("crab", 1, 30, 20, 20))
			p, found := Make(input(t, j, "bench-router"))
			assert.Equal(t, c.want, p.Trays[0].Pockets[0].Access)
			assert.Equal(t, c.told, toldOf(found, "no-way-in", "piece-stands-proud", "pockets-joined", "pockets-stepped"))
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
