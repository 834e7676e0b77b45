package job_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// What a sheet really is goes to every layer of that foam and label, and to no other.
func TestMeasuredSheets(t *testing.T) {
	l := func(foam string, thick units.Length) job.Layer { return job.Layer{Foam: foam, Thickness: thick} }
	j := job.Job{Defaults: job.Tray{Layers: []job.Layer{l("pe-30", inch)}}, Trays: []job.Tray{
		{Layers: []job.Layer{l("pe-30", inch), l("pe-45", inch)}}, {Layers: []job.Layer{l("pe-30", inch), l("pe-30", 2*inch)}},
	}}
	assert.Equal(t, 2, j.Measure("pe-30", inch, 25*mm))
	assert.Equal(t, inch, j.Defaults.Layers[0].Real())
	assert.Equal(t, []units.Length{25 * mm, inch, 25 * mm, 2 * inch},
		[]units.Length{j.Trays[0].Layers[0].Real(), j.Trays[0].Layers[1].Real(), j.Trays[1].Layers[0].Real(), j.Trays[1].Layers[1].Real()})
	assert.Zero(t, j.Measure("pe-90", inch, mm))
}

// A job is open while pieces wait for a pocket, a pocket for its turn or a case for its stack.
func TestOpenJobs(t *testing.T) {
	stacked := job.Case{Stack: []string{"a"}}
	for _, c := range []struct {
		j    job.Job
		open bool
	}{
		{job.Job{}, false}, {job.Job{Trays: []job.Tray{{Pockets: make([]job.Pocket, 1)}}, Cases: []job.Case{stacked}}, false},
		{job.Job{Trays: []job.Tray{{}, {Holds: []string{"keg"}}}}, true}, {job.Job{Trays: []job.Tray{{Pockets: []job.Pocket{{}, {AnyTurn: true}}}}}, true}, {job.Job{Cases: []job.Case{stacked, {}}}, true},
	} {
		assert.Equal(t, c.open, c.j.Open(), "%+v", c.j)
	}
}

// One finger of 20 mm goes where it takes the least room: beside a short side that is wide enough, else beside a long one; a
// round side is as wide as 19 of its 20 parts.
func TestTheSideOfANotch(t *testing.T) {
	for _, c := range []struct {
		length, width float64
		round         bool
		want          job.Side
	}{
		{50, 30, false, job.East}, {50, 20, false, job.East}, {50, 19.9, false, job.North}, {30, 50, false, job.North}, {19.9, 50, false, job.East}, {20, 20, false, job.East},
		{19.9, 19.9, false, 0}, {20, 5, false, job.North}, {21.1, 21.1, true, job.East}, {21, 21, true, 0}, {50, 21, true, job.North}, {21, 50, true, job.East},
	} {
		of := func(x float64) units.Length { return units.Length(x * 1e6) }
		assert.Equal(t, c.want, job.NotchSide(of(c.length), of(c.width), c.round), "%+v", c)
	}
	h := job.Habits{Ends: true, Notch: job.South}
	assert.Equal(t, job.East|job.West|job.South, h.NotchOf(50*mm, 30*mm))
	assert.Equal(t, job.North|job.South, h.NotchOf(30*mm, 50*mm))
	assert.Equal(t, job.North|job.South, job.Habits{Sides: true}.NotchOf(50*mm, 30*mm))
}

func TestWordsOfLabels(t *testing.T) {
	assert.True(t, job.UsesName("{game} {case}", "case"))
	assert.False(t, job.UsesName("{game} case", "case"))
	assert.Equal(t, job.TextKey("Gull  watch "), job.TextKey("gull Watch"))
	assert.NotEqual(t, job.TextKey("Gull Watch"), job.TextKey("Gullwatch"))
}

// What was sealed comes out again; what was not says so.
func TestUnseal(t *testing.T) {
	head, body, ok := job.Unseal(job.Seal("# a\n# b\n", []byte("x: 1\ny: 2\n")))
	assert.Equal(t, []any{"# a\n# b\n", "x: 1\ny: 2\n", true}, []any{head, string(body), ok})
	_, _, ok = job.Unseal([]byte("# a\nx: 1\n"))
	assert.False(t, ok)
}

// A measuring sheet has a row for each piece that was measured of a kind; a roster has one for each kind.
func TestSheetsRepeatIDs(t *testing.T) {
	text := []byte("id,count,length,width,height,often\nkeg,3,30,20,10,yes\nkeg,,31,20,10,\n")
	pieces, found, err := job.ReadSheet("sheet.csv", text, units.Millimetre)
	require.NoError(t, err)
	assert.Empty(t, found)
	require.Len(t, pieces, 2)
	assert.Equal(t, []int{3, 30}, []int{pieces[0].Count, int(pieces[0].Length / mm)})
	assert.True(t, pieces[0].Often)
	_, _, err = job.ReadRoster("sheet.csv", text, units.Millimetre)
	assert.ErrorContains(t, err, "count")
}

// In a job in inches sizes are asked about that no foam tray has: a piece longer than 24 or thicker than 6, a case longer than 120 or
// higher than 30, and without cases a tray (judged, no source). In mm nothing is asked.
func TestUnitsThatWereMeant(t *testing.T) {
	text := func(unit, inside, size, cases string) string {
		return "game: g\nmachine: bench-router\nunits: " + unit + "\nroster: roster.csv\n" + inside + "trays:\n- {id: a, layers: [{foam: pe-30, thickness: 1 in}]" + size + "}\n" + cases
	}
	for _, c := range []struct {
		unit, piece, inside, size, cases string
		asked                            int
	}{
		{"in", "24,24,6", "", ", size: [120, 9]", "", 0}, {"in", "24.1,3,3", "", ", size: [9, 9]", "", 1}, {"in", "3,24.1,3", "", ", size: [9, 9]", "", 1}, {"in", "6.1,6.1,6.1", "", ", size: [9, 9]", "", 1},
		{"in", "9,6,9", "", ", size: [9, 9]", "", 0}, {"in", "3,3,3", "", ", size: [120.1, 9]", "", 1}, {"in", "3,3,3", "", ", size: [9, 120.1]", "", 1}, {"mm", "300,300,300", "", ", size: [500, 500]", "", 0},
		{"in", "3,3,3", "case: {inside: [120, 9, 30]}\n", "", "cases: [{name: c, stack: [a]}]\n", 0}, {"in", "3,3,3", "case: {inside: [9, 9, 30.1]}\n", "", "cases: [{name: c, stack: [a]}]\n", 1},
		{"in", "3,3,3", "case: {inside: [120.1, 9, 3]}\n", "", "cases: [{name: c, stack: [a]}]\n", 1},
	} {
		_, found, err := job.Load(folder("job.yaml", text(c.unit, c.inside, c.size, c.cases), "roster.csv", "id,count,length,width,height\nkeg,1,"+c.piece+"\n"), "job.yaml")
		require.NoError(t, err)
		asked := 0
		for _, f := range found {
			if f.Rule == "unit-meant" {
				asked++
			}
		}
		assert.Equal(t, c.asked, asked, "%+v %v", c, found)
	}
	_, found, _ := job.Load(folder("job.yaml", text("in", "", ", size: [9, 9]", ""), "roster.csv", "id,count,length,width,height\nkeg,1,25,1,1\nkraken,1,1,26,1\nbell,1,1,1,1\nrope,1,1,1,99\n"), "job.yaml")
	assert.Equal(t, "the piece keg is 25 in x 1 in x 1 in (and 2 more like it): are mm meant?", found[0].Message)
	_, found, _ = job.Load(folder("job.yaml", text("in", "", ", size: [9, 9]", ""), "roster.csv", "id,count,length,width,height\nkeg,1,25,1,1\n"), "job.yaml")
	assert.Equal(t, "the piece keg is 25 in x 1 in x 1 in: are mm meant?", found[0].Message)
}

// Dowels need a diameter and a word that asks for them; either may stand in the defaults, and is told once.
func TestDowelsOfAJob(t *testing.T) {
	for _, c := range []struct {
		job, defaults, tray string
		want                string
		dowel               units.Length
		ears                bool
	}{
		{"", "", "", "", 0, false}, {"", "", "registration: dowels, dowel: 8, ", "", 8 * mm, false}, {"", "dowel: 6, ", "registration: ears, ", "", 6 * mm, true}, {"", "registration: dowels, dowel: 6, ", "", "", 6 * mm, false},
		{"", "registration: dowels, dowel: 6, ", "registration: none, ", "", 0, false}, {"", "registration: dowels, ", "", "registration-without-dowel", 0, false}, {"", "", "registration: dowels, ", "registration-without-dowel", 0, false},
		{"", "dowel: 6, ", "", "dowel-without-registration", 0, false}, {"", "", "dowel: 6, ", "dowel-without-registration", 0, false},
	} {
		text := "game: g\nmachine: bench-router\ntray_defaults: {" + c.defaults + "headroom: 1.5, layers: [{foam: pe-30, thickness: 1 in, measured: 25, z_zero: bed}]}\ntrays:\n" +
			"- {id: a, " + c.tray + "size: [90, 90], pockets: [{at: [10, 10], size: [20, 20], pin: true, waste: plug}]}\n- {id: b, " + c.tray + "size: [90, 90], waste: clear, pockets: [{at: [10, 10], size: [20, 20], pin: false}]}\n"
		j, found, err := job.Load(folder("job.yaml", text), "job.yaml")
		require.NoError(t, err)
		told := ""
		for _, f := range found {
			told += f.Rule
		}
		if c.want != "" && c.tray != "" {
			c.want += c.want // of each tray
		}
		assert.Equal(t, c.want, told, "%+v", c)
		assert.Equal(t, []string{fmt.Sprint(c.dowel, c.ears)}, []string{fmt.Sprint(j.Trays[0].Dowel, j.Trays[0].Ears)}, "%+v", c)
		assert.Equal(t, []units.Length{1_500_000, 25 * mm}, []units.Length{j.Trays[0].Headroom, j.Trays[0].Layers[0].Real()})
		assert.Equal(t, "bed", j.Trays[0].Layers[0].ZZero)
		assert.Equal(t, []bool{true, false}, []bool{j.Trays[0].Pockets[0].Pin, j.Trays[1].Pockets[0].Pin})
		assert.Equal(t, []job.Waste{job.PlugWaste, job.ClearWaste}, []job.Waste{j.Trays[0].Pockets[0].Waste, j.Trays[1].Pockets[0].Waste})
	}
}

// A spreadsheet makes dates of numbers: told where a number stands, and taken as it is where a name does.
func TestDatesInARoster(t *testing.T) {
	for column, dated := range map[string]bool{"count": true, "weight_g": true, "pile": true, "name": false, "group": false} {
		row := map[string]string{"count": "3", "weight_g": "5", "pile": "2", "name": "n", "group": "g"}
		row[column] = "3-Aug"
		_, _, err := job.ReadRoster("r.csv", []byte("id,count,length,width,height,weight_g,pile,name,group\nkeg,"+row["count"]+",30,20,10,"+row["weight_g"]+","+row["pile"]+","+row["name"]+","+row["group"]+"\n"), units.Millimetre)
		if dated {
			assert.ErrorContains(t, err, column)
			assert.ErrorContains(t, err, "looks like a date")
		} else {
			assert.NoError(t, err, column)
		}
	}
}
