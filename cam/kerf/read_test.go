package kerf

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

const mm = units.Length(1_000_000)

func TestRead(t *testing.T) {
	for _, c := range []struct{ name, text string }{
		{"as the contract has it", head + "pe-30,25.4,bench-laser,x,20,20.35,19.6\n"},
		{"any order", "plug,hole,size,axis,machine,thickness,foam\n19.6,20.35,20,x,bench-laser,25.4,pe-30\n"},
		{"semicolons and decimal commas", "foam;thickness;machine;axis;size;hole;plug\npe-30;25,4;bench-laser;x;20;20,35;19,6\n"},
		{"tabs, a byte-order mark, line ends of two bytes", "\ufefffoam\tthickness\tmachine\taxis\tsize\thole\tplug\r\npe-30\t25.4\tbench-laser\tx\t20\t20.35\t19.6\r\n"},
		{"units of their own", head + "pe-30,1 in,bench-laser,X,2 cm,20.35 mm,19.60 mm\n"},
		{"capitals and spaces", " Foam , Thickness,MACHINE,axis,size,hole,plug\n PE-30 ,25.4,Bench-Laser, X ,20, 20.35,19.6\n"},
		{"comments and empty rows", "# a coupon\n\n" + head + "# second line\npe-30,25.4,bench-laser,x,20,20.35,19.6\n,,,,,,\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, found, err := Read("m.csv", []byte(c.text), units.Millimetre)
			require.NoError(t, err)
			assert.Empty(t, found)
			require.Len(t, r.Rows, 1)
			row := r.Rows[0]
			assert.Equal(t, Subject{Foam: "pe-30", Machine: "bench-laser", Thickness: 25_400_000}, row.Subject)
			assert.Equal(t, axisX, row.Axis)
			assert.Equal(t, []units.Length{20 * mm, 20_350_000, 19_600_000}, []units.Length{row.Size, row.Hole.Length, row.Plug.Length})
		})
	}
}

func TestReadOptionalColumns(t *testing.T) {
	text := "# units: in\n# date: 2026-03-01\n# note: lens cleaned\n# scale: X 0.997 Y 1, measured\n" +
		"foam,thickness,machine,axis,size,hole,plug,tool,face,feed,power,passes,stepdown,defocus,date,note,density\n" +
		"pe-30,1,bench-router,y,3/4,0.80,,flat-3,bottom,900 mm/min,45 %,2,8 mm,0.5,2026-03-02,square A1,31.5 kg/m3\n" +
		"pe-30,1,bench-router,y,1,,,,,,,,,,,,\n"
	r, found, err := Read("m.csv", []byte(text), units.Millimetre)
	require.NoError(t, err)
	assert.Empty(t, found)
	row := r.Rows[0]
	assert.Equal(t, Setting{FeedMMPerMin: 900, PowerPercent: 45, Passes: 2, StepdownMM: 8, DefocusMM: 0.5}, row.Setting)
	assert.Equal(t, []any{"flat-3", Bottom, "2026-03-02", "square A1", 31.5}, []any{row.Tool, row.Face, row.Date, row.Note, row.DensityKgM3})
	assert.Equal(t, units.Length(19_050_000), row.Size)
	assert.Equal(t, Measure{20_320_000, 254_000, finding.Position{File: "m.csv", Line: 6, Column: 28}}, row.Hole, "0.80 in, to a hundredth")
	assert.False(t, row.Plug.given())
	assert.Equal(t, "2026-03-01", r.Rows[1].Date)
	assert.Equal(t, "lens cleaned", r.Note)
	assert.Equal(t, [2]float64{0.997, 1}, r.InForce)
}

// Mass over volume (ISO 845), worked by hand: 6.0 g in 100 x 80 x 25 mm.
func TestDensityOfABlock(t *testing.T) {
	text := strings.TrimSpace(head) + ",block_length,block_width,block_height,block_mass\npe-30,25.4,bench-laser,x,20,20.35,19.6,100,80,25.0,6.0 g\n"
	r, _, err := Read("m.csv", []byte(text), units.Millimetre)
	require.NoError(t, err)
	assert.Equal(t, 30.0, r.Rows[0].DensityKgM3)

	blocks, _, found, err := ReadBlocks("b.csv", []byte("foam,length,width,height,mass\npe-30,100.0,80.0,25.0,6.0\n"), units.Millimetre)
	require.NoError(t, err)
	require.Empty(t, found)
	d := blocks[0].Density()
	assert.InDelta(t, 30, d.Value, 1e-12)
	// 0.1/6, 0.1/100, 0.1/80, 0.1/25: their squares' sum, over 12, times 1.96 and 30.
	assert.InDelta(t, 0.29220, d.HalfWidth, 1e-4)

	_, _, found, err = ReadBlocks("b.csv", []byte("foam,length,width,height,mass\npe-30,100,80,25,6000\n"), units.Millimetre)
	require.NoError(t, err)
	assert.Equal(t, "impossible-density", found[0].Rule)
}

func TestUnreadable(t *testing.T) {
	const row = "pe-30,25.4,bench-laser,x,20,20.35,19.6\n"
	for _, c := range []struct{ text, rule, where string }{
		{"foam,thickness,machine,axis,size,hole\n", "missing-column", "1:1"},
		{"foam,thickness,machine,axis,size,hole,plug,plug\n" + row, "duplicate-column", "1:44"},
		{"foam,thickness,machine,axis,size,hole,plug,colour\n" + row, "unknown-column", "1:44"},
		{head + "pe-30,25.4,bench-laser,x,20,20.35,19.6,7\n", "too-many-fields", "2:40"},
		{head + ",25.4,bench-laser,x,20,20.35,19.6\n", "missing-value", "2:1"},
		{head + "pe-30,25.4,bench-laser,z,20,20.35,19.6\n", "unknown-word", "2:24"},
		{head + "pe-30,25.4,bench-laser,x,twenty,20.35,19.6\n", "bad-length", "2:26"},
		{head + "pe-30,25.4,bench-laser,x,20,NaN,19.6\n", "bad-length", "2:29"},
		{head + "pe-30,25.4,bench-laser,x,20,1e2,19.6\n", "bad-length", "2:29"},
		{head + "pe-30,25.4,bench-laser,x,20,20350,19.6\n", "out-of-range", "2:29"},
		{head + "pe 30,25.4,bench-laser,x,20,20.35,19.6\n", "bad-id", "2:1"},
		{"foam;thickness;machine;axis;size;hole;plug\npe-30;25,4;bench-laser;x;20;20.35;19,6\n", "mixed-decimals", "2:29"},
		{"# units: furlong\n" + head + row, "unknown-unit", "1:1"},
		{"# date: 1 March\n" + head + row, "bad-date", "1:1"},
		{"# scale: 0.997\n" + head + row, "bad-scale", "1:1"},
		{"# scale: X 7 Y 1\n" + head + row, "bad-scale", "1:1"},
		{strings.TrimSpace(head) + ",feed\n" + strings.TrimSpace(row) + ",fast\n", "bad-number", "2:40"},
		{strings.TrimSpace(head) + ",power\n" + strings.TrimSpace(row) + ",140\n", "out-of-range", "2:40"},
		{strings.TrimSpace(head) + ",passes\n" + strings.TrimSpace(row) + ",1.5\n", "bad-number", "2:40"},
		{strings.TrimSpace(head) + ",note\n" + strings.TrimSpace(row) + ",a\u202eb\n", "bad-text", "2:40"},
		{strings.TrimSpace(head) + ",block_mass\n" + strings.TrimSpace(row) + ",6\n", "missing-value", "2:1"},
		{head + "\"pe-30,25.4\n", "open-quote", "2:1"},
		{"\xff\xfea", "encoding", "1:1"},
	} {
		_, _, err := Read("m.csv", []byte(c.text), units.Millimetre)
		var read finding.List
		if assert.ErrorAs(t, err, &read, c.text) {
			f := read[0]
			assert.Equal(t, []string{c.rule, "m.csv:" + c.where}, []string{f.Rule, f.Where}, c.text)
			assert.NotEmpty(t, f.Message)
		}
	}
}

func TestBelowZero(t *testing.T) {
	_, found, err := Read("m.csv", []byte(head+"pe-30,25.4,bench-laser,x,-20,0,19.6\n"), units.Millimetre)
	require.NoError(t, err)
	require.Len(t, found, 2)
	assert.Equal(t, "not-above-zero", found[0].Rule)
	assert.Equal(t, "m.csv:2:30", found[1].Where)
}

func TestStepOf(t *testing.T) {
	for text, want := range map[string]units.Length{
		"20.35": 10_000, "20": mm, "20.350 mm": 1000, "0.8 in": 2_540_000, "3/4 in": 0, "2.0 cm": mm, ".5": 100_000,
	} {
		assert.Equal(t, want, stepOf(text, units.Millimetre), text)
	}
}

// Whatever the bytes, a table is read or refused with a place, and what was read
// can be analysed, described and drawn without a fault.
func FuzzRead(f *testing.F) {
	f.Add([]byte(plain().table(nil)))
	f.Add([]byte(head + "pe-30,25.4,bench-laser,x,20,20.35,19.6\npe-30,25.4,bench-laser,x,40,40.35,39.6\n"))
	f.Add([]byte("# units: in\nfoam;thickness;machine;axis;size;hole;plug;face;feed\npe-30;1;bench-laser;x;0,8;0,82;;top;900\n"))
	f.Add([]byte("foam\tthickness\tmachine\taxis\tsize\thole\tplug\tblock_length\tblock_width\tblock_height\tblock_mass\npe-30\t1 in\tbench-laser\tx\t20\t20\t19\t100\t80\t25\t6\n"))
	known := catalog(f)
	f.Add([]byte(pocketHead + "pe-30,25.4,bench-router,flat-3,x,74,74.1\npe-30,25.4,bench-router,flat-3,y,60,60.1\npe-30,25.4,bench-router,flat-3,y,50,\npe-30,25.4,bench-router,flat-3,x,51.5,51.6\npe-30,25.4,bench-router,flat-3,x,51.5,51.5\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if r, found, err := ReadPockets("m.csv", data, units.Millimetre); err == nil {
			report := Describe("m.csv", nil, nil, found)
			checks, _ := CheckPockets(r, known, nil)
			for _, p := range checks {
				report.Checks = append(report.Checks, p.Describe())
			}
			_, err = finding.JSON(report)
			require.NoError(t, err)
		}
		r, found, err := Read("m.csv", data, units.Millimetre)
		if err != nil {
			var read finding.List
			require.True(t, errors.As(err, &read))
			require.NotEmpty(t, read)
			for _, f := range read {
				require.Contains(t, f.Where, "m.csv")
			}
			return
		}
		fits, more := Analyse(r, known, nil)
		found = append(append(found, more...), Advice("m.csv", Ladders(fits))...)
		_, err = finding.JSON(Describe("m.csv", fits, Scales(fits, nil, ""), append(found, JudgeScales("m.csv", Scales(fits, nil, ""))...)))
		require.NoError(t, err)
		if !found.Failed() {
			_, _ = Profiles(fits, Scales(fits, nil, ""), "")
		}
	})
}

// The least and the most of every column that is a number, and what is beyond: another unit or a
// lost decimal mark. Common practice, no source.
func TestColumnsBeyondAnyCouponAreRefused(t *testing.T) {
	for column, values := range map[string][4]string{ // beyond, least, most, beyond
		"feed":     {"0.9", "1", "100000", "100001"},
		"power":    {"0.05", "0.1", "100", "100.1"},
		"passes":   {"0", "1", "100", "101"},
		"defocus":  {"-0.1", "0", "100", "100.1"},
		"density":  {"1.9", "2", "600", "601"},
		"stepdown": {"0", "0.001", "2000", "2000.1"},
		"size":     {"0", "0.1", "2000", "2000.1"},
	} {
		for i, v := range values {
			header, row := strings.TrimSpace(head)+","+column, "pe-30,25.4,bench-laser,x,20,20.35,19.6,"+v
			if column == "size" {
				header, row = strings.TrimSpace(head), "pe-30,25.4,bench-laser,x,"+v+",,"
			}
			_, found, err := Read("m.csv", []byte(header+"\n"+row+"\n"), units.Millimetre)
			assert.Equal(t, i == 0 || i == 3, err != nil || found.Failed(), "%s %s: %v %v", column, v, found, err)
		}
	}
	for mass, told := range map[string]string{"0.0005": "0.0005 is not from 0.001", "1000000": "", "1000001": "is not from 0.001 to 1e+06"} {
		_, _, found, err := ReadBlocks("b.csv", []byte("foam,length,width,height,mass\npe-30,1500,1500,1500,"+mass+"\n"), units.Millimetre)
		assert.Equal(t, told != "", strings.Contains(fmt.Sprint(found, err), "is not from"), "%s: %v %v", mass, found, err)
		text := strings.TrimSpace(head) + ",block_length,block_width,block_height,block_mass\npe-30,25.4,bench-laser,x,20,20.35,19.6,1500,1500,1500," + mass + "\n"
		_, found, err = Read("m.csv", []byte(text), units.Millimetre)
		assert.Equal(t, told != "", strings.Contains(fmt.Sprint(found, err), "is not from"), "%s: %v %v", mass, found, err)
	}
	// Densities by hand: 100 x 100 x 100 mm is a thousandth of a m3, so g are kg/m3.
	for grams, wrong := range map[string]bool{"1.9": true, "2": false, "600": false, "601": true} {
		_, _, found, err := ReadBlocks("b.csv", []byte("foam,length,width,height,mass\npe-30,100,100,100,"+grams+"\n"), units.Millimetre)
		assert.Equal(t, wrong, found.Failed(), "%s: %v %v", grams, found, err)
	}
}

// Which axis has which kerf: told where they differ by more than their intervals.
func TestAxesThatDifferAreNamed(t *testing.T) {
	f := &Fit{DOF: 4, Axes: []AxisFit{{Axis: axisX, KerfMM: Estimate{Value: 0.3, HalfWidth: 0.01}}, {Axis: axisY, KerfMM: Estimate{Value: 0.5, HalfWidth: 0.01}}}}
	if !axesDiffer(f.Axes) {
		t.Fatal("0.2 mm apart, to a hundredth")
	}
	j := judgement{}
	j.joint(f)
	require.Len(t, j.found, 1)
	assert.Contains(t, j.found[0].Message, "0.300 mm along x and 0.500 mm along y")
}
