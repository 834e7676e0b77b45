package cam_test

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/kerf"
	"traywright/cam/safety"
	"traywright/geometry/units"
)

// The loop: a coupon passes the dry run, and its table, filled in after
// hole = scale x size + kerf and plug = scale x size - kerf, gives the kerf and the scale.
func TestCouponIsCutMeasuredAndRead(t *testing.T) {
	r := demoRequest(t, "job.yaml")
	spec := kerf.CouponSpec{Foam: "pe-30", Thickness: 25_400_000}
	result, err := cam.Coupon(context.Background(), cam.CouponRequest{Spec: spec, Catalog: r.Catalog, Machine: "bench-router"}, cam.Options{})
	require.NoError(t, err)
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)

	for _, f := range result.Files {
		assert.True(t, cam.IsOurName(f.Path), f.Path)
	}
	program := []byte(textOf(t, result.Result, ".ngc"))
	machine, _ := r.Catalog.Machine("bench-router")
	tried, found := cam.Try(cam.Trial{Name: "coupon.ngc", Text: program, Machine: machine}, r.Catalog, nil)
	assert.False(t, found.Failed(), "%v", found)
	assert.True(t, tried.OK)
	assert.False(t, tried.Compared(), "with no job there is nothing to compare with")

	// The page asks for foam around the coupon to hold it by: common practice, no source.
	var x [2]float64
	for _, m := range regexp.MustCompile(`X(-?[0-9.]+)`).FindAllStringSubmatch(string(program), -1) {
		v, _ := strconv.ParseFloat(m[1], 64)
		x[0], x[1] = min(x[0], v), max(x[1], v)
	}
	room := regexp.MustCompile(`([0-9.]+) × [0-9.]+ mm`).FindStringSubmatch(textOf(t, result.Result, ".md"))
	require.NotNil(t, room)
	width, _ := strconv.ParseFloat(room[1], 64)
	assert.Greater(t, width, x[1]-x[0]+10)
	assert.Less(t, width, x[1]-x[0]+60) // a clamp and half a nut on each side, in steps of 5 mm

	const scaleX, scaleY, kerfMM = 1.002, 0.999, 6.1
	var filled strings.Builder
	for line := range strings.Lines(textOf(t, result.Result, ".csv")) {
		cells := strings.Split(line, ",")
		if len(cells) > 7 && cells[0] == "pe-30" {
			size, err := strconv.ParseFloat(cells[4], 64)
			require.NoError(t, err)
			scale := scaleX
			if cells[3] == "y" {
				scale = scaleY
			}
			cells[5], cells[6] = fmt.Sprintf("%.3f", scale*size+kerfMM), fmt.Sprintf("%.3f", scale*size-kerfMM)
		}
		filled.WriteString(strings.Join(cells, ","))
	}
	q := cam.KerfRequest{File: "coupon.csv", Text: []byte(filled.String()), Catalog: r.Catalog, Date: "2026-03-01", Save: true}
	read, err := cam.Kerf(q)
	require.NoError(t, err)
	require.Len(t, read.Fits, 1, "%v", read.Report.Findings)
	assert.InDelta(t, kerfMM, read.Fits[0].KerfMM.Value, 0.002)
	require.NotEmpty(t, read.Profiles)
	files, err := read.Folder(units.Millimetre)
	require.NoError(t, err)
	assert.Equal(t, "report.json", files[0].Path)
	assert.True(t, cam.Sealed(files[0].Data))
	assert.Equal(t, len(files)-1, len(regexp.MustCompile(`"kind": "png"`).FindAll(files[0].Data, -1)))

	for steps, rule := range map[int]string{0: "no-such-step", 1: "", 2: "no-such-step"} {
		q.Steps = []int{steps}
		chosen, err := cam.Kerf(q)
		require.NoError(t, err)
		assert.Equal(t, rule == "", len(chosen.Profiles) > 0, steps)
		assert.Equal(t, rule != "", chosen.Report.Findings.Failed(), steps)
	}
}

// A coupon burns like any job: what needs the owner's word needs it here.
func TestCouponPassesTheSameGate(t *testing.T) {
	r := demoRequest(t, "job.yaml")
	for machine, rule := range map[string]string{"bench-laser": "owners-word-needed", "no-such": "unknown-machine"} {
		result, err := cam.Coupon(context.Background(), cam.CouponRequest{Spec: kerf.CouponSpec{Foam: "pe-30", Thickness: 10_000_000},
			Catalog: r.Catalog, Machine: machine}, cam.Options{})
		require.NoError(t, err)
		assert.True(t, result.Report.Findings.Failed())
		assert.Empty(t, result.Files)
		assert.Equal(t, rule, result.Report.Findings[0].Rule)
	}
}

// A second run tells which programs are still good: those of the same moves, whatever their
// comments say.
func TestRunsAreCompared(t *testing.T) {
	if testing.Short() {
		t.Skip("the whole demo, cut several times: the run without the race detector does it")
	}
	r := demoRequest(t, "job.yaml")
	first, err := cam.Cut(context.Background(), r, cam.Options{})
	require.NoError(t, err)
	for _, d := range first.Report.DryRun { // its letters are gone over in two levels, the second from where foam is gone
		assert.Equal(t, d.Corners.Tried, d.Corners.Safe, d.Path)
	}
	const cover, lid = "cover/cover-1-pe-45-10mm.ngc", "lid/lid-1-pe-45-10mm.ngc"
	old := func(path string) []byte { return fileNamed(t, first, strings.ReplaceAll(path, lid, cover)) }
	same := cam.CompareRuns(first.Report.Files, old, first)
	require.NotEmpty(t, same.Same)
	assert.Empty(t, append(append(append(same.Reworded, same.Again...), same.New...), same.Gone...))

	more, err := safety.ReadRules("more.yaml", []byte("owner: Quayside workshop\nrequires: [a second person in the room]\n"))
	require.NoError(t, err)
	r.Rules = append(r.Rules, more)
	r.Job.Trays[1].Pockets[0].Y -= 1_000_000 // of stores, by a millimetre
	second, err := cam.Cut(context.Background(), r, cam.Options{})
	require.NoError(t, err)
	require.False(t, second.Report.Findings.Failed(), "%v", second.Report.Findings)
	before := slices.Clone(first.Report.Files)
	i := slices.IndexFunc(before, func(f cam.FileReport) bool { return f.Path == cover })
	before[i].Path = lid
	changes := cam.CompareRuns(before, old, second)
	assert.Empty(t, changes.Same)
	assert.Equal(t, []string{"stores/stores-1-pe-30-50mm-t1.ngc", "stores/stores-1-pe-30-50mm-t2.ngc", "stores/stores-1-pe-30-50mm-t3.ngc"}, changes.Again, "the pocket is roughed, and finished, and what comes after begins elsewhere")
	assert.Len(t, changes.Reworded, len(same.Same)-4)
	assert.Equal(t, []string{cover + ", which was " + lid}, changes.Renamed)
	assert.Empty(t, changes.New)
	assert.Empty(t, changes.Gone)
	none := cam.CompareRuns(before, func(string) []byte { return nil }, second)
	assert.Empty(t, none.Reworded, "an old program that is gone cannot be compared")
	assert.Len(t, none.Again, len(changes.Reworded)+3)
}
