package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// How a piece of 30 x 20 x 12 mm lies in a hole: as measured, on its 30 x 12 side, which stands 20 mm high, or on
// end, 30 mm; by arithmetic.
func TestHowPiecesLie(t *testing.T) {
	for _, c := range []struct {
		length, width, depth float64
		want                 Lying
	}{
		{30.5, 20.5, 12, Lying{How: "as measured", HighMM: 12}},
		{20.5, 30.5, 10, Lying{How: "as measured", HighMM: 12, OutMM: 2}},
		{30.5, 12.5, 22, Lying{How: "on its side", HighMM: 20, OutMM: -2}},
		{20.5, 12.5, 30, Lying{How: "on end", HighMM: 30}},
	} {
		pocket := with(rect(24, 24, c.length, c.width), func(p *job.Pocket) { p.For, p.Depth = "crab", mm(c.depth) })
		tray := pad(pocket)
		tray.Layers[0].Thickness = 2 * inch
		p, _ := Make(input(t, bench(tray, piece("crab", 1, 30, 20, 12)), "bench-router"))
		got := p.Trays[0].Pockets[0].Lies
		assert.InDeltaSlice(t, []float64{c.want.OutMM, 0.5, 0.5}, []float64{got.OutMM, got.PlayMM[0], got.PlayMM[1]}, 1e-9)
		got.OutMM, got.PlayMM = c.want.OutMM, [2]float64{}
		c.want.InMM = [2]float64{c.length, c.width}
		assert.Equal(t, c.want, got, "%v", c)
	}
}

// Where whole layers are cut, what lies more than 10 mm deep (judged) wants foam under it: a layer of 25.4 mm and a
// token of 3 mm leave 22.4, or 20 where 2.4 mm of headroom are asked for. A cutter ends where it is told to.
func TestWhatLiesDeepIsTold(t *testing.T) {
	told := func(machine string, high, headroom float64) (float64, string) {
		pocket := with(rect(24, 24, 31, 21), func(p *job.Pocket) { p.For = "token" })
		tray := pad(pocket)
		tray.Headroom = mm(headroom)
		p, found := Make(input(t, bench(tray, piece("token", 1, 30, 20, high)), machine))
		require.Len(t, p.Trays[0].Pockets, 1)
		for _, f := range found {
			if f.Rule == "lies-deep" {
				assert.Equal(t, finding.Note, f.Severity)
				return p.Trays[0].Pockets[0].Lies.PadMM, f.Message
			}
		}
		return p.Trays[0].Pockets[0].Lies.PadMM, ""
	}
	const lies = "what is in 1 pocket lies deep, for whole layers are cut, and there foam is missing: "
	for _, machine := range []string{"bench-laser", "by-hand", "bench-hotwire"} {
		pad, message := told(machine, 3, 0)
		assert.InDelta(t, 22.4, pad, 1e-9, machine)
		assert.Equal(t, lies+"22.4 mm under token", message, machine)
		pad, message = told(machine, 3, 2.4)
		assert.InDelta(t, 20, pad, 1e-9, machine)
		assert.Equal(t, lies+"20 mm under token", message, machine)
		pad, message = told(machine, 15.4, 0)
		assert.Zero(t, pad)
		assert.Empty(t, message, machine)
	}
	pad, message := told("bench-router", 3, 0)
	assert.Zero(t, pad)
	assert.Empty(t, message)
}

// What lies in a pocket is what is shared out to it, not what would go in: by arithmetic, for tokens of 12 mm in a layer
// of 25.4 mm, where two lie on each other with 1.4 mm above them, and one with 13.4 mm; 10.4 mm with 3 mm of headroom.
func TestWhatLiesDeepIsWhatIsPacked(t *testing.T) {
	for _, c := range []struct {
		count    int
		headroom float64
		packed   [2]int
		pads     [2]float64
		said     string
	}{
		{1, 0, [2]int{1, 0}, [2]float64{13.4, 0}, "what is in 1 pocket lies deep, for whole layers are cut, and there foam is missing: 13.4 mm under token"},
		{2, 0, [2]int{1, 1}, [2]float64{13.4, 13.4}, "what is in 2 pockets lies deep, for whole layers are cut, and there foam is missing: 13.4 mm under token"},
		{2, 3, [2]int{1, 1}, [2]float64{10.4, 10.4}, "what is in 2 pockets lies deep, for whole layers are cut, and there foam is missing: 10.4 mm under token"},
		{3, 0, [2]int{2, 1}, [2]float64{0, 13.4}, "what is in 1 pocket lies deep, for whole layers are cut, and there foam is missing: 13.4 mm under token"},
		{4, 0, [2]int{2, 2}, [2]float64{}, ""},
	} {
		tray := pad(with(rect(24, 24, 31, 21), func(p *job.Pocket) { p.For, p.Columns, p.PitchX = "token", 2, mm(50) }))
		tray.Headroom = mm(c.headroom)
		p, found := Make(input(t, bench(tray, piece("token", c.count, 30, 20, 12)), "by-hand"))
		pockets := p.Trays[0].Pockets
		require.Len(t, pockets, 2)
		assert.Equal(t, c.packed, [2]int{pockets[0].Packed, pockets[1].Packed}, "%+v", c)
		assert.InDeltaSlice(t, c.pads[:], []float64{pockets[0].Lies.PadMM, pockets[1].Lies.PadMM}, 1e-9, "%+v", c)
		said := ""
		for _, f := range found {
			if f.Rule == "lies-deep" {
				said = f.Message
			}
			assert.NotEqual(t, "headroom-too-small", f.Rule, "%+v", c)
		}
		assert.Equal(t, c.said, said)
	}
}

// An opening for fingers is called after the pockets that it goes into, and holds nothing; a hole of one's own
// without a piece is none.
func TestOpeningsAreCalledWhatTheyAre(t *testing.T) {
	crab := with(rect(24, 24, 30, 20), func(p *job.Pocket) { p.For, p.Depth, p.Columns, p.PitchX = "crab", mm(20), 2, mm(40) })
	open := with(rect(50, 28, 20, 11), func(p *job.Pocket) { p.Depth, p.Access = mm(15), job.GapAccess })
	twice := with(open, func(p *job.Pocket) { p.X, p.Columns, p.PitchX = mm(14), 2, mm(90) })
	p, _ := Make(input(t, bench(pad(crab, open, twice, rect(120, 60, 20, 20)), piece("crab", 2, 30, 20, 20)), "bench-router"))
	got := map[string]bool{}
	for _, k := range p.Trays[0].Pockets {
		got[k.Name] = k.Opening
	}
	assert.Equal(t, map[string]bool{
		"pocket 1 (crab) 1,1": false, "pocket 1 (crab) 2,1": false, "pocket 2 (opening beside crab)": true,
		"pocket 3 (opening beside crab) 1,1": true, "pocket 3 (opening) 2,1": true, "pocket 4": false,
	}, got)
}
