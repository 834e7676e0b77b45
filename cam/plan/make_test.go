package plan

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/geometry/lettering"
)

// Every check has a job that passes it and one that does not: a line each. The
// wanted text lists severity and rule of all that is found.
func TestFindings(t *testing.T) {
	die := piece("die", 1, 16, 16, 16)
	crab := piece("crab", 1, 30, 20, 20)
	urchin := piece("urchin", 1, 26, 26, 20)
	urchin.Shape = job.Round
	tall := func(p job.Tray, change func(*job.Tray)) job.Tray { change(&p); return p }
	for _, c := range []struct {
		name   string
		tray   job.Tray
		roster []job.Piece
		want   string
	}{
		{"plain", pad(rect(20, 20, 30, 20)), nil, ""},
		{"two at the wall", pad(rect(20, 20, 30, 20), rect(56, 20, 30, 20)), nil, ""},
		{"two nearer than the wall", pad(rect(20, 20, 30, 20), rect(55.9, 20, 30, 20)), nil, "error:wall-too-thin"},
		{"corner to corner 6 mm apart", pad(round(20, 20, 20), round(20+26/math.Sqrt2, 20+26/math.Sqrt2, 20)), nil, ""},
		{"corner to corner 5.9 mm apart", pad(round(20, 20, 20), round(20+25.9/math.Sqrt2, 20+25.9/math.Sqrt2, 20)), nil, "error:wall-too-thin"},
		{"wall below the foam's", tall(pad(rect(20, 20, 30, 20), rect(54, 20, 30, 20)), func(p *job.Tray) { p.Wall = mm(3) }), nil, "warning:wall-thin-for-foam"},
		{"at the edge", pad(rect(10, 10, 30, 20)), nil, ""},
		{"past the edge", pad(rect(9.9, 10, 30, 20)), nil, "error:edge-too-thin"},
		{"edge below the foam's", tall(pad(rect(6, 20, 30, 20)), func(p *job.Tray) { p.Edge = mm(5) }), nil, "warning:edge-thin-for-foam"},
		{"edge at a rounded corner", tall(pad(rect(12, 12, 30, 20)), func(p *job.Tray) { p.Corner = mm(38) }), nil, "error:edge-too-thin"},
		{"outside", pad(rect(100, 20, 30, 20)), nil, "error:pocket-outside-tray"},
		{"outside a rounded corner", tall(pad(rect(1, 1, 30, 20)), func(p *job.Tray) { p.Corner, p.Edge = mm(38), mm(0.5) }), nil, "error:pocket-outside-tray"},
		{"overlapping", pad(rect(20, 20, 30, 20), rect(40, 30, 30, 20)), nil, "note:pockets-joined"},
		{"overlapping at two depths", pad(rect(20, 20, 30, 20), with(rect(40, 30, 30, 20), depth(10))), nil, "note:pockets-stepped"},
		{"twice", pad(rect(20, 20, 30, 20), rect(20, 20, 30, 20)), nil, "error:pocket-twice note:pockets-joined"},
		{"through", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Through = true })), nil, ""},
		{"too deep", pad(with(rect(20, 20, 30, 20), depth(31.76))), nil, "error:pocket-too-deep"},
		{"thin floor", pad(with(rect(20, 20, 30, 20), depth(24))), nil, "warning:floor-too-thin"},
		{"hardly into the second layer", pad(with(rect(20, 20, 30, 20), depth(25.45))), nil, "error:hardly-a-cut"},
		{"into the second layer", pad(with(rect(20, 20, 30, 20), depth(25.5))), nil, ""},
		{"an island on a skin", pad(framed(24)...), nil, strings.Repeat("warning:floor-too-thin ", 4) + "error:island-on-skin" + strings.Repeat(" note:pockets-joined", 4)},
		{"an island that is cut out", pad(framed(25.4)...), nil, "error:island-loose" + strings.Repeat(" note:pockets-joined", 4)},
		{"an island on more", pad(framed(23)...), nil, "note:pockets-joined" + strings.Repeat(" note:pockets-joined", 3)},
		{"negative depth", pad(with(rect(20, 20, 30, 20), depth(-1))), nil, "error:pocket-without-depth"},
		{"no size", pad(rect(20, 20, 0, 20)), nil, "error:pocket-without-size"},
		{"corner over half", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Corner = mm(11) })), nil, "error:corner-too-large"},
		{"turn is no number", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Turn = math.NaN() })), nil, "error:bad-turn"},
		{"sharp corners", pad(with(rect(20, 20, 30, 20), sharp)), nil, "warning:round-corners"},
		{"sharp corners with relief", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Corner, p.Relief = 0, job.Dogbone })), nil, ""},
		{"corners with a T-bone", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Corner, p.Relief = 0, job.TBone })), nil, ""},
		{"slit for a thin cutter", pad(with(rect(20, 20, 30, 3.2), func(p *job.Pocket) { p.Corner = 0 })), nil, "warning:round-corners"},
		{"slit too narrow", pad(with(rect(20, 20, 30, 3), sharp)), nil, "error:pocket-too-narrow"},
		{"notch too narrow", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Notch, p.NotchWidth = job.North, mm(3) })), nil, "warning:notch-too-small error:pocket-too-narrow"},
		{"notch", pad(with(rect(20, 20, 30, 24), func(p *job.Pocket) { p.Notch = job.North | job.East })), nil, ""},
		{"notch into the edge", pad(with(rect(15, 20, 30, 24), func(p *job.Pocket) { p.Notch = job.West })), nil, "error:edge-too-thin"},
		{"notch wider than its side", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Notch, p.NotchWidth = job.West, mm(30) })), nil, "warning:notch-too-wide"},
		{"unknown tool", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Tool = "flat-9" })), nil, "error:unknown-tool"},
		{"named tool", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Tool, p.Corner = "flat-6", mm(3) })), nil, ""},
		{"named tool too thick", pad(with(rect(20, 20, 30, 5), func(p *job.Pocket) { p.Tool = "flat-6" })), nil, "error:pocket-too-narrow"},
		{"two tools for one", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Tool = "flat-3" }), with(rect(40, 30, 30, 20), func(p *job.Pocket) { p.Tool = "flat-6" })), nil, "error:two-tools note:pockets-joined"},
		{"outline file", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Shape, p.OutlineFile = job.OutlineShape, "kraken.dxf" })), nil, "error:outline-not-read"},
		{"grid", pad(with(round(20, 20, 12), grid(3, 2, 18, 18))), nil, ""},
		{"grid with thin walls", pad(with(round(20, 20, 12), grid(3, 2, 17, 17))), nil, "error:wall-too-thin"},
		{"grid without pitch", pad(with(round(20, 20, 12), grid(3, 2, 0, 17))), nil, "error:grid-without-pitch"},

		{"piece that fits", pad(with(rect(20, 20, 30, 20), for_("crab"))), []job.Piece{crab}, ""},
		{"piece turned by a quarter", pad(with(rect(20, 20, 20, 30), for_("crab"))), []job.Piece{crab}, ""},
		{"piece too large", pad(with(rect(20, 20, 28, 20), for_("crab"))), []job.Piece{crab}, "error:piece-too-large"},
		{"piece loose", pad(with(rect(20, 20, 34, 21), for_("crab"))), []job.Piece{crab}, "warning:pocket-loose"},
		{"piece proud", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.For, p.Depth = "crab", mm(18) })), []job.Piece{crab}, "warning:piece-stands-proud"},
		{"piece a little proud", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.For, p.Depth = "crab", crab.Height-mm(0.5) })), []job.Piece{crab}, "note:piece-just-proud"},
		{"headroom", tall(pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.For, p.Depth = "crab", crab.Height+mm(1) })), func(p *job.Tray) { p.Headroom = mm(1) }), []job.Piece{crab}, ""},
		{"too little headroom", tall(pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.For, p.Depth = "crab", crab.Height+mm(0.9) })), func(p *job.Tray) { p.Headroom = mm(1) }), []job.Piece{crab}, "warning:headroom-too-small"},
		{"piece pinched", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.For, p.Corner = "crab", 0 })), []job.Piece{crab}, "warning:round-corners"},
		{"piece with play enough for round corners", pad(with(rect(20, 20, 31.5, 21.5), func(p *job.Pocket) { p.For, p.Corner = "crab", 0 })), []job.Piece{crab}, ""},
		{"round piece in a square", pad(with(rect(20, 20, 26, 26), func(p *job.Pocket) { p.For, p.Corner = "urchin", 0 })), []job.Piece{urchin}, ""},
		{"square piece in a circle", pad(with(round(20, 20, 23), for_("die"))), []job.Piece{die}, ""},
		{"square piece in a circle too small", pad(with(round(20, 20, 21), for_("die"))), []job.Piece{die}, "error:piece-too-large"},
		{"piece in a slot", pad(with(rect(20, 20, 46, 21), func(p *job.Pocket) { p.For, p.Shape, p.Corner = "crab", job.SlotShape, 0 })), []job.Piece{crab}, ""},
		{"piece loose in a slot", pad(with(rect(20, 20, 50, 21), func(p *job.Pocket) { p.For, p.Shape, p.Corner = "crab", job.SlotShape, 0 })), []job.Piece{crab}, "warning:pocket-loose"},
		{"piece in a slot too short", pad(with(rect(20, 20, 32, 21), func(p *job.Pocket) { p.For, p.Shape, p.Corner = "crab", job.SlotShape, 0 })), []job.Piece{crab}, "error:piece-too-large"},
		{"one of two too large", pad(with(rect(20, 20, 28, 20), for_("crab"))), []job.Piece{counted(crab, 2)}, "error:piece-too-large warning:fewer-pockets-than-pieces"},
		{"no usable size", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.For, p.Corner = "crab", mm(11) })), []job.Piece{crab}, "error:corner-too-large"},
		{"eight dice in one", pad(with(rect(20, 20, 66, 34), func(p *job.Pocket) { p.For, p.Depth = "die", mm(16) })), []job.Piece{counted(die, 8)}, ""},
		{"nine dice in it", pad(with(rect(20, 20, 66, 34), func(p *job.Pocket) { p.For, p.Depth = "die", mm(16) })), []job.Piece{counted(die, 9)}, "warning:fewer-pockets-than-pieces"},
		{"more pockets", pad(with(rect(20, 20, 16, 16), func(p *job.Pocket) { p.For, p.Columns, p.PitchX = "die", 2, mm(30) })), []job.Piece{die}, "note:more-pockets-than-pieces"},
		{"no pocket", pad(rect(20, 20, 30, 20)), []job.Piece{crab}, "warning:piece-without-pocket"},
		{"misspelt piece", pad(with(rect(20, 20, 30, 20), for_("crap"))), []job.Piece{crab}, "warning:unknown-piece warning:piece-without-pocket"},
		{"misspelt piece without shape", pad(job.Pocket{For: "crap", X: mm(20), Y: mm(20)}), []job.Piece{crab}, "error:unknown-piece warning:piece-without-pocket"},
		{"shape from the piece", pad(job.Pocket{For: "crab", X: mm(20), Y: mm(20), Fit: "easy"}), []job.Piece{crab}, ""},
		{"unknown fit", pad(job.Pocket{For: "crab", X: mm(20), Y: mm(20), Fit: "baggy"}), []job.Piece{crab}, "error:unknown-fit"},
		{"misspelt fit beside a size", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Fit = "snugg" })), nil, "error:unknown-fit"},
		{"fit beside a size", pad(with(rect(20, 20, 30, 20), func(p *job.Pocket) { p.Fit = "easy" })), nil, ""},
		{"misspelt fit of a tray", tall(pad(rect(20, 20, 30, 20)), func(p *job.Tray) { p.Fit = "snugg" }), nil, "error:unknown-fit"},
		{"misspelt fit of a tray, told once", tall(pad(job.Pocket{For: "crab", X: mm(20), Y: mm(20)}), func(p *job.Tray) { p.Fit = "snugg" }), []job.Piece{crab}, "error:unknown-fit"},
		{"no shape at all", pad(job.Pocket{X: mm(20), Y: mm(20)}), nil, "error:pocket-without-shape"},
		{"two pieces in one hole", pad(with(rect(20, 20, 30, 20), for_("crab")), with(rect(49, 30, 20, 20), for_("die"))), []job.Piece{crab, die}, "warning:pockets-joined warning:pocket-loose"},

		{"unknown foam", tall(pad(), func(p *job.Tray) { p.Layers[1].Foam = "pe-46" }), nil, "error:unknown-foam"},
		{"no layers", tall(pad(), func(p *job.Tray) { p.Layers = nil }), nil, "error:tray-without-layers"},
		{"layer of no thickness", tall(pad(), func(p *job.Tray) { p.Layers[1].Thickness = 0 }), nil, "error:layer-without-thickness"},
		{"odd thickness", tall(pad(), func(p *job.Tray) { p.Layers[1].Thickness = mm(7) }), nil, "warning:thickness-not-stock"},
		{"no size of tray", tall(pad(), func(p *job.Tray) { p.Length = 0 }), nil, "error:tray-without-size"},
		{"negative ease", tall(pad(), func(p *job.Tray) { p.Ease = mm(-1) }), nil, "error:negative-ease"},
		{"rounded beyond half", tall(pad(), func(p *job.Tray) { p.Corner = mm(41) }), nil, "error:corner-too-large"},
		{"three parts", tall(pad(), func(p *job.Tray) { p.Halves = 3 }), nil, "error:bad-halves"},
		{"halves", tall(pad(rect(12, 20, 30, 20), rect(74, 20, 30, 20)), func(p *job.Tray) { p.Halves = 2 }), nil, ""},
		{"across the halves", tall(pad(rect(40, 20, 30, 20)), func(p *job.Tray) { p.Halves = 2 }), nil, "error:pocket-across-halves"},
		{"too near the cut", tall(pad(rect(21, 20, 30, 20)), func(p *job.Tray) { p.Halves = 2 }), nil, "error:edge-too-thin"},
		{"held, not placed", tall(pad(), func(p *job.Tray) { p.Holds = []string{"crab"} }), nil, "error:not-arranged"},
		{"thicker than the cutters", tall(pad(rect(20, 20, 30, 20)), func(p *job.Tray) {
			p.Cut = job.Block
			p.Layers = []job.Layer{layer("pe-30", 2*inch), layer("pe-30", inch)}
		}), nil, "error:tool-too-short error:tray-too-high warning:round-corners"},
		{"deep and narrow", tall(pad(rect(20, 20, 30, 5)), func(p *job.Tray) {
			p.Layers[0].Thickness = 2 * inch
		}), nil, "error:pocket-too-narrow"},
		{"as large as the machine", tall(pad(), func(p *job.Tray) { p.Length, p.Width = mm(400-2*3.175), mm(300-2*3.175) }), nil, ""},
		{"larger", tall(pad(), func(p *job.Tray) { p.Length, p.Width = mm(394), mm(200) }), nil, "error:tray-too-large"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, found := make1(t, bench(c.tray, c.roster...))
			assert.Equal(t, c.want, rules(found), "%v", found)
			for _, f := range found {
				assert.NotEmpty(t, f.Where)
				assert.NotContains(t, f.Message, "\n")
			}
		})
	}
}

func depth(d float64) func(*job.Pocket)    { return func(p *job.Pocket) { p.Depth = mm(d) } }
func sharp(p *job.Pocket)                  { p.Corner = 0 }
func for_(name string) func(*job.Pocket)   { return func(p *job.Pocket) { p.For = name } }
func counted(p job.Piece, n int) job.Piece { p.Count = n; return p }
func grid(columns, rows int, x, y float64) func(*job.Pocket) {
	return func(p *job.Pocket) {
		p.Columns, p.Rows, p.PitchX, p.PitchY = columns, rows, mm(x), mm(y)
	}
}

// A pocket with room for four pieces, of which there are two, holds two.
func TestPlayIsAroundThePiecesThereAre(t *testing.T) {
	_, found := Make(input(t, bench(pad(with(rect(20, 20, 70, 50), for_("crab"))), piece("crab", 2, 30, 20, 20)), "bench-router"))
	assert.Regexp(t, "of play around 2 of crab ", only(t, found, "pocket-loose").Message)
}

// The font that a job names for its pages goes on with the plan, which pages are drawn from: that one, and no label's.
func TestAPlanCarriesThePagesFont(t *testing.T) {
	in := input(t, bench(cover(nil)), "bench-router")
	in.Fonts = map[string]*lettering.Face{"pages.ttf": new(lettering.Face), "label.ttf": new(lettering.Face)}
	p, found := Make(in)
	require.False(t, found.Failed(), "%v", found)
	assert.Nil(t, p.Letters)
	in.Job.PageFont = "pages.ttf"
	p, _ = Make(in)
	assert.Same(t, in.Fonts["pages.ttf"], p.Letters)
}
