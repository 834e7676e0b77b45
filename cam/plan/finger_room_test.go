package plan

import (
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// followFinger is a pocket after what a hint says of its notches has been written, each in the place of its own; false
// where the hint names nothing to write.
func followFinger(t require.TestingT, hint string, p job.Pocket, u units.Unit) (job.Pocket, bool) {
	length := func(key string, at int) units.Length {
		found := regexp.MustCompile(key).FindStringSubmatch(hint)
		if found == nil {
			return 0
		}
		l, err := units.Parse(found[at], u)
		require.NoError(t, err, hint)
		return l
	}
	if side := regexp.MustCompile("`notch: (.)`").FindStringSubmatch(hint); side != nil {
		p.Notch = map[string]job.Side{"n": job.North, "e": job.East, "s": job.South, "w": job.West}[side[1]]
	}
	wide := length("`notch_width: (.*?)`", 1)
	if wide == 0 {
		return p, false
	}
	p.NotchWidth, p.NotchReach = wide, length("`notch_reach: (.*?)`", 1)
	if x := length(`pitch: \[(.*?), (.*?)\]`, 1); x != 0 {
		p.PitchX, p.PitchY = x, length(`pitch: \[(.*?), (.*?)\]`, 2)
	}
	return p, true
}

// A grid of 12 x 25 mm pockets 17 mm apart has no room for a finger at its long sides: 12 + 10 of the notch + 6 of wall
// are 28 mm, in a tray of 120 mm with an edge of 10 mm; and of four so wide apart the last would leave the tray: 4 x 12 + 3 x 16 + 10.
func TestFingersInAGrid(t *testing.T) {
	hint := func(columns int, pitch float64) string {
		p := with(rect(20, 20, 12, 25), func(p *job.Pocket) {
			p.Columns, p.PitchX, p.Notch, p.NotchReach = columns, mm(pitch), job.East, mm(4)
		})
		_, found := make1(t, bench(pad(p)))
		return only(t, slices.DeleteFunc(found, func(f finding.Finding) bool { return f.Rule != "notch-too-small" }), "notch-too-small").Hint
	}
	assert.Equal(t, "write `notch_width: 20 mm` and `notch_reach: 10 mm`", hint(3, 28))
	assert.Equal(t, "write `notch_width: 20 mm` and `notch_reach: 10 mm`, and `pitch: [28 mm, 0 mm]` for its grid", hint(3, 22))
	assert.Equal(t, "there is no room for a finger beside it: move it away from what is next to it, or take the notch out where the piece can be taken by its top", hint(4, 22))
}

// What is said of notches, written as it stands, lets a finger in and brings up nothing new.
func TestHintsOfNotchesHold(t *testing.T) {
	followed, pitched := 0, 0
	rapid.Check(t, func(r *rapid.T) {
		u := rapid.SampledFrom([]units.Unit{units.Millimetre, units.Inch}).Draw(r, "unit")
		between := func(low, high int, what string) float64 { return float64(rapid.IntRange(low, high).Draw(r, what)) }
		entry := func(name string) job.Pocket {
			p := rect(between(10, 60, name+" x"), between(10, 40, name+" y"), between(10, 30, name+" length"), between(10, 30, name+" width"))
			p.Columns, p.Rows = rapid.IntRange(1, 3).Draw(r, name+" columns"), rapid.IntRange(1, 2).Draw(r, name+" rows")
			p.PitchX, p.PitchY = p.Length+mm(between(6, 20, name+" apart")), p.Width+mm(between(6, 20, name+" above"))
			p.Notch = job.Side(rapid.IntRange(1, 15).Draw(r, name+" sides"))
			p.NotchWidth, p.NotchReach = mm(between(0, 10, name+" notch")), mm(between(0, 6, name+" reach"))
			p.Turn = rapid.SampledFrom([]float64{0, 0, 90, 30}).Draw(r, name+" turn")
			return p
		}
		tray := pad(entry("one"), rect(130, 80, 30, 20))
		tray.Length, tray.Width = mm(200), mm(150)
		told := func() (finding.List, *finding.Finding) {
			j := bench(tray)
			j.Units = u
			_, found := Make(input(t, j, "bench-router"))
			i := slices.IndexFunc(found, func(f finding.Finding) bool { return f.Rule == "notch-too-small" })
			if i < 0 {
				return found, nil
			}
			return found, &found[i]
		}
		before, said := told()
		if said == nil {
			return
		}
		then, ok := followFinger(r, said.Hint, tray.Pockets[0], u)
		if !ok {
			return
		}
		if followed++; then.PitchX != tray.Pockets[0].PitchX || then.PitchY != tray.Pockets[0].PitchY {
			pitched++
		}
		tray.Pockets[0] = then
		after, again := told()
		require.Nil(r, again, "%s", said)
		for _, f := range after {
			was := slices.ContainsFunc(before, func(g finding.Finding) bool { return g.Rule == f.Rule })
			require.True(r, was, "%s\nfollowed, and then:\n%s", said, f)
		}
	})
	assert.Positive(t, followed)
	assert.Positive(t, pitched)
}
