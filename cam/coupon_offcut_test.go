package cam_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
	"traywright/cam/kerf"
	"traywright/geometry"
	"traywright/profiles"
)

// manyTools is a machine with five cutters and any travel, as profiles of a person's own have it.
func manyTools(t *testing.T, c *profiles.Catalog, r *rand.Rand) *profiles.Catalog {
	t.Helper()
	m, ok := c.Machine("bench-router")
	require.True(t, ok)
	text := string(c.MachineFile(m, "any-router"))
	text = strings.Replace(text, "travel_mm: [400, 300, 80]", fmt.Sprintf("travel_mm: [%d, %d, 80]\n    scale_x: {value: %.4f, source: measured}\n    scale_y: {value: %.4f, source: measured}",
		260+r.IntN(700), 200+r.IntN(500), 0.98+0.04*r.Float64(), 0.98+0.04*r.Float64()), 1)
	if r.IntN(4) == 0 { // which stands by X0 Y0, and so moves with it
		text = strings.Replace(text, "    z_zero: top\n", "    z_zero: top\n    clamps: [{name: left, x_mm: -90, y_mm: 20, length_mm: 60, width_mm: 30, height_mm: 22}]\n", 1)
	}
	head, rest, ok := strings.Cut(text, "      - id: flat-6\n")
	require.True(t, ok)
	long, recipes, ok := strings.Cut(rest, "recipes:\n")
	require.True(t, ok)
	_, own, ok := strings.Cut(recipes, "    tool: flat-6\n")
	require.True(t, ok)
	for i, mm := range []string{"4.2", "5", "8"} {
		id := fmt.Sprintf("own-%d", i+1)
		tool := strings.Replace(strings.Replace(long, "number: 2", fmt.Sprint("number: ", i+3), 1), "diameter_mm: {value: 6,", "diameter_mm: {value: "+mm+",", 1)
		head += "      - id: " + id + "\n" + strings.Replace(tool, "shank_mm: 6", "shank_mm: "+mm, 1)
		recipes += "  - machine: any-router\n    tool: " + id + "\n" + strings.ReplaceAll(own, "kerf_mm: {value: 6,", "kerf_mm: {value: "+mm+",")
	}
	require.NoError(t, c.Add(fstest.MapFS{"own.yaml": {Data: []byte(head + "      - id: flat-6\n" + long + "recipes:\n" + recipes)}}))
	return c
}

// jobOfTools is a job with pockets of several tools in several foams.
func jobOfTools(r *rand.Rand) string {
	unit := []string{"mm", "in"}[r.IntN(2)]
	text := "machine: any-router\nunits: " + unit + "\ntrays:\n"
	for i := range 1 + r.IntN(2) {
		foam, thick := []string{"pe-30", "eva-90", "pe-45"}[r.IntN(3)], []string{"10 mm", "20 mm", "20 mm"}[r.IntN(3)]
		text += fmt.Sprintf("  - id: t%d\n    size: [180 mm, 120 mm]\n    layers: [{foam: %s, thickness: %s}]\n    pockets:\n", i, foam, thick)
		for k, tool := range r.Perm(5)[:1+r.IntN(4)] {
			text += fmt.Sprintf("      - {at: [%d mm, 20 mm], size: [24 mm, 40 mm], depth: 8 mm, tool: %s}\n", 14+40*k, []string{"flat-3", "flat-6", "own-1", "own-2", "own-3"}[tool])
		}
	}
	return text
}

var (
	movedTo  = regexp.MustCompile(`^G([0123]) `)
	saysWord = regexp.MustCompile(`([XYZIJ])(-?[\d.]+)`)
	saysKerf = regexp.MustCompile(`\(kerf: T\d+ ([\d.]+) (mm|in)\)`)
	saysZero = regexp.MustCompile(`X0 Y0 is ([^;)]+) from its left edge and ([^;)]+) from its front edge`)
	saysKeep = regexp.MustCompile(`Keep it at least (.+?) \(X\) and (.+?) \(Y\), and at most (.+?) \(X\) and (.+?) \(Y\), from`)
)

// swings are where a program takes the middle of its tool, and where it does so in the foam, in its own numbers.
func swings(t *testing.T, program string) (all, cut geometry.Box) {
	t.Helper()
	all, cut = geometry.EmptyBox(), geometry.EmptyBox()
	at := map[string]float64{"Z": 5}
	for line := range strings.Lines(program) {
		m := movedTo.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		from, to := geometry.Point{X: at["X"], Y: at["Y"]}, map[string]float64{}
		for _, w := range saysWord.FindAllStringSubmatch(line, -1) {
			v, err := strconv.ParseFloat(w[2], 64)
			require.NoError(t, err)
			if to[w[1]] = v; w[1] < "I" || w[1] > "J" {
				at[w[1]] = v
			}
		}
		path := []geometry.Point{from, {X: at["X"], Y: at["Y"]}}
		if m[1] >= "2" { // as many points as show how far it swings
			middle := geometry.Point{X: from.X + to["I"], Y: from.Y + to["J"]}
			begin, end := math.Atan2(from.Y-middle.Y, from.X-middle.X), math.Atan2(at["Y"]-middle.Y, at["X"]-middle.X)
			turn := math.Mod(end-begin+4*math.Pi, 2*math.Pi)
			if m[1] == "2" {
				turn -= 2 * math.Pi
			}
			for k := range 200 {
				a := begin + turn*float64(k)/199
				path = append(path, geometry.Point{X: middle.X + math.Hypot(to["I"], to["J"])*math.Cos(a), Y: middle.Y + math.Hypot(to["I"], to["J"])*math.Sin(a)})
			}
		}
		for _, p := range path {
			b := geometry.Box{Min: p, Max: p}
			if all = all.Union(b); at["Z"] < 0 {
				cut = cut.Union(b)
			}
		}
	}
	return all, cut
}

func lengthMM(t *testing.T, text string) float64 {
	t.Helper()
	number, unit, ok := strings.Cut(text, " ")
	if strings.Count(text, " ") == 2 { // 1 1/4 in
		whole, rest, _ := strings.Cut(text, " ")
		n, err := strconv.ParseFloat(whole, 64)
		require.NoError(t, err)
		return 25.4*n + lengthMM(t, rest)
	}
	require.True(t, ok, text)
	over, under, part := strings.Cut(number, "/")
	v, err := strconv.ParseFloat(over, 64)
	require.NoError(t, err)
	if part {
		d, err := strconv.ParseFloat(under, 64)
		require.NoError(t, err)
		v /= d
	}
	if unit == "in" {
		return 25.4 * v
	}
	return v
}

// laidPiece is a piece as its program and page have it, on the foam, in true mm.
type laidPiece struct {
	name      string
	zero      geometry.Point
	goes, cut geometry.Box
	keep      []string // of X0 Y0, as the page has it: at least X and Y, at most X and Y
}

// laidPieces are those of an offcut, rebuilt from the files.
func laidPieces(t *testing.T, o kerf.TestOffcutReport, text map[string]string, m profiles.Machine) (list []laidPiece) {
	t.Helper()
	x, y := m.Scale()
	for _, place := range o.Pieces {
		program := strings.ReplaceAll(text[place.Path], ")\n(+ ", " ")
		require.NotEmpty(t, program, place.Path)
		k, z := saysKerf.FindStringSubmatch(program), saysZero.FindStringSubmatch(program)
		require.NotNil(t, k, program)
		require.NotNil(t, z, program)
		p := laidPiece{name: place.Path, zero: geometry.Point{X: lengthMM(t, z[1]), Y: lengthMM(t, z[2])}}
		assert.InDelta(t, place.XMM, p.zero.X, 0.02, "the header of %s", place.Path)
		assert.InDelta(t, place.YMM, p.zero.Y, 0.02, "the header of %s", place.Path)
		all, cut := swings(t, program)
		on := func(b geometry.Box, half float64) geometry.Box {
			return geometry.Box{Min: geometry.Point{X: p.zero.X + x*b.Min.X, Y: p.zero.Y + y*b.Min.Y}, Max: geometry.Point{X: p.zero.X + x*b.Max.X, Y: p.zero.Y + y*b.Max.Y}}.Grow(half)
		}
		p.goes, p.cut = on(all, 0), on(cut, lengthMM(t, k[1]+" "+k[2])/2)
		page := text[strings.TrimSuffix(place.Path, ".ngc")+".md"]
		assert.Contains(t, page, fmt.Sprintf("%s from the foam's left edge and %s from its front edge", z[1], z[2]))
		if keep := saysKeep.FindStringSubmatch(page); keep != nil {
			p.keep = keep[1:]
		}
		list = append(list, p)
	}
	return list
}

// offcutHolds holds the pieces of an offcut against each other, the foam and the machine.
func offcutHolds(t *testing.T, o kerf.TestOffcutReport, list []laidPiece, m profiles.Machine) {
	t.Helper()
	const clamp, between, rounding = 15, 10, 0.02
	x, y := m.Scale()
	for i, p := range list {
		assert.True(t, p.cut.Min.X >= clamp && p.cut.Min.Y >= clamp && p.cut.Max.X <= o.SizeMM[0]-clamp && p.cut.Max.Y <= o.SizeMM[1]-clamp, "%s cuts %v of foam of %v", p.name, p.cut, o.SizeMM)
		for _, other := range list[:i] {
			apart := math.Max(math.Max(p.cut.Min.X-other.cut.Max.X, other.cut.Min.X-p.cut.Max.X), math.Max(p.cut.Min.Y-other.cut.Max.Y, other.cut.Min.Y-p.cut.Max.Y))
			assert.GreaterOrEqual(t, apart, between-rounding, "%s over %s", p.name, other.name)
		}
		require.Len(t, p.keep, 4, p.name)
		as := geometry.Point{X: x, Y: y} // as any sheet's: by the machine's own mm
		if len(list) > 1 {
			assert.LessOrEqual(t, o.SizeMM[0], x*m.TravelMM[0].Value)
			assert.LessOrEqual(t, o.SizeMM[1], y*m.TravelMM[1].Value)
			as = geometry.Point{X: 1, Y: 1}
		}
		for _, at := range [2]geometry.Point{{X: lengthMM(t, p.keep[0]), Y: lengthMM(t, p.keep[1])}, {X: lengthMM(t, p.keep[2]), Y: lengthMM(t, p.keep[3])}} {
			foam := geometry.Point{X: as.X * at.X, Y: as.Y * at.Y}.Sub(p.zero) // its corner, from the end of the travel
			for _, q := range list {
				low, high := q.goes.Min.Add(foam), q.goes.Max.Add(foam)
				assert.True(t, low.X >= -rounding && low.Y >= -rounding && high.X <= x*m.TravelMM[0].Value+rounding && high.Y <= y*m.TravelMM[1].Value+rounding,
					"%s out of reach where X0 Y0 of %s is at %v: %v to %v", q.name, p.name, at, low, high)
			}
		}
	}
}

// Whatever a job needs: rebuilt from the programs, the pieces of an offcut lie apart and inside it, each where its
// header and its page say, and the machine comes to all of them from wherever the page lets X0 Y0 be.
func TestPiecesOfAnOffcutLieApart(t *testing.T) {
	t.Parallel()
	offcuts, several := 0, 0
	for seed := range uint64(12) {
		r := rand.New(rand.NewPCG(seed, 20))
		c := manyTools(t, catalog(t), r)
		m, _ := c.Machine("any-router")
		text := jobOfTools(r)
		j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
		require.NoError(t, err)
		require.False(t, found.Failed(), "%v", found)
		result, err := cam.CouponOfJob(context.Background(), cam.Request{Job: j, Catalog: c, Unit: j.Units}, kerf.CouponSpec{Units: j.Units}, cam.Options{})
		require.NoError(t, err)
		if result.Report.Findings.Failed() || len(result.More) == 0 { // too large for the machine, or one piece
			continue
		}
		files := map[string]string{}
		for _, f := range result.Files {
			files[f.Path] = string(f.Data)
		}
		pieces := 0
		for _, o := range result.Report.Coupon.Offcuts {
			list := laidPieces(t, o, files, m)
			offcutHolds(t, o, list, m)
			pieces += len(list)
			offcuts++
			if len(list) > 1 {
				assert.Empty(t, m.Clamps)
				several++
			}
		}
		assert.Equal(t, 1+len(result.More), pieces, text)
	}
	t.Logf("%d offcuts, %d of them with several pieces", offcuts, several)
	assert.Positive(t, several)
}
