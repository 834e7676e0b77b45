package job_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

const header = "id,count,length,width,height\n"

// withRoster is a job in a unit that names a roster.
func withRoster(unit string) string {
	return "units: " + unit + "\nroster: roster.csv\n" + smallTray
}

func TestRoster(t *testing.T) {
	piece := func(line int, p job.Piece) job.Piece {
		p.Position = finding.Position{File: "roster.csv", Line: line, Column: 1}
		return p
	}
	crab := job.Piece{ID: "crab", Count: 2, Length: 31_500_000, Width: 20 * mm, Height: 10 * mm}
	for _, c := range []struct {
		name, unit, roster string
		want               job.Piece
	}{
		{"needed columns", "mm", header + "crab,2,31.5,20,10\n", piece(2, crab)},
		{"no last line end", "mm", header + "crab,2,31.5,20,10", piece(2, crab)},
		{"line ends of two bytes", "mm", "id,count,length,width,height\r\ncrab,2,31.5,20,10\r\n", piece(2, crab)},
		{"byte-order mark", "mm", "\ufeff" + header + "crab,2,31.5,20,10\n", piece(2, crab)},
		{"semicolons and commas", "mm", "id;count;length;width;height\ncrab;2;31,5;20;10\n", piece(2, crab)},
		{"semicolons and points", "mm", "id;count;length;width;height\ncrab;2;31.5;20.0;10\n", piece(2, crab)},
		{"tabs", "mm", "id\tcount\tlength\twidth\theight\tname\ncrab\t2\t31,5\t20\t10\t\n", piece(2, crab)},
		{"any order, capitals, spaces", "mm", "Height, WIDTH ,length,count,id\n 10 ,20,31.5, 2 , crab\n", piece(2, crab)},
		{"comments and empty rows", "mm", "# a, b; c\n\n" + header + "#x\n,,,,\n\"# in quotes, as spreadsheets do\",,,,\ncrab,2,31.5,20,10\n", piece(7, crab)},
		{"a comment before semicolons", "mm", "# a, b\n\"# c, d\";;\nid;count;length;width;height\ncrab;2;31,5;20;10\n", piece(4, crab)},
		{"a spreadsheet's word for its separator", "mm", "sep=;\nid;count;length;width;height\ncrab;2;31,5;20;10\n", piece(3, crab)},
		{"the same in capitals", "mm", "SEP=,\n" + header + "crab,2,31.5,20,10\n", piece(3, crab)},
		{"inches", "in", header + "crab,2,31.5 mm,20mm,1 cm\n", piece(2, crab)},
		{"bare inches", "in", header + "crab,2,1 1/4,3/4,0.5\n", piece(2, job.Piece{ID: "crab", Count: 2, Length: inch + inch/4, Width: 3 * inch / 4, Height: inch / 2})},
		{"inch marks", "mm", header + "crab,2,1 1/4\",\"2\"\"\", 3/4\" \n", piece(2, job.Piece{ID: "crab", Count: 2, Length: inch + inch/4, Width: 2 * inch, Height: 3 * inch / 4})},
		{"quotes", "mm", "name," + header + "\"Crab, the \"\"Pincher\"\"\nof the quay\",crab,2,31.5,20,10\n", piece(2, job.Piece{
			ID: "crab", Name: `Crab, the "Pincher" of the quay`, Count: 2, Length: 31_500_000, Width: 20 * mm, Height: 10 * mm,
		})},
		{"an empty column", "mm", "id,count,,length,width,height,\ncrab,2,,31.5,20,10,\n", piece(2, crab)},
		{"a short row", "mm", "id,count,length,width,height,name,group\ncrab,2,31.5,20,10\n", piece(2, crab)},
		{"a pile stands as measured", "mm", "id,count,length,width,height,pile\ncrab,2,31.5,20,10,6\n", piece(2, job.Piece{
			ID: "crab", Count: 2, Length: 31_500_000, Width: 20 * mm, Height: 10 * mm, Pile: 6, Pose: job.Upright,
		})},
		{"or lies", "mm", "id,count,length,width,height,pile,pose\ncrab,2,31.5,20,10,6,lying\n", piece(2, job.Piece{
			ID: "crab", Count: 2, Length: 31_500_000, Width: 20 * mm, Height: 10 * mm, Pile: 6, Pose: job.Lying,
		})},
		{"everything", "mm", "id;name;group;count;length;width;height;weight_g;shape;pose\nkrone;Krone;stores;6;25,75;25,75;2,2;8,5;round;upright\n", piece(2, job.Piece{
			ID: "krone", Name: "Krone", Group: "stores", Count: 6, Length: 25_750_000, Width: 25_750_000, Height: 2_200_000,
			WeightG: 8.5, Shape: job.Round, Pose: job.Upright,
		})},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := mustLoad(t, folder("job.yaml", withRoster(c.unit), "roster.csv", c.roster))
			assert.Equal(t, []job.Piece{c.want}, j.Roster)
		})
	}
}

func TestUnreadableRosters(t *testing.T) {
	const row = "crab,2,31.5,20,10\n"
	for _, c := range []struct{ roster, rule, where, message, hint string }{
		{"id,count,length,width,hieght\n" + row, "unknown-column", "1:23", `"hieght"`, "did you mean height?"},
		{"id,count,length,width,height,colour\n" + row, "unknown-column", "1:30", `"colour"`, "known are id, count"},
		{"id,count,length mm,width,height\n" + row, "unknown-column", "1:10", `"length mm"`, "did you mean length (mm)?"},
		{"id,count,length,width,Height_in_cm\n" + row, "unknown-column", "1:23", `"Height_in_cm"`, "did you mean height (cm)?"},
		{"id,count,length,width in,height\n" + row, "unknown-column", "1:17", `"width in"`, "did you mean width (in)?"},
		{"id,count,length,width,height,id\n" + row, "duplicate-column", "1:30", "second column id", "keep one"},
		{"id,count,length,width\n" + row, "missing-column", "1:1", "no column height", "needed are"},
		{"# x\n\nid,count,length,width\n" + row, "missing-column", "3:1", "no column height", "needed are"},
		{header + "crab,2,31.5,20\n", "missing-value", "2:1", "no height", "fill in"},
		{header + ",2,31.5,20,10\n", "missing-value", "2:1", "no id", "fill in"},
		{header + "Total,2,,20,10\n", "missing-value", "2:1", "no length", "a total is no piece: take its row out"},
		{header + "crab,2,31.5,20,10,7\n", "too-many-fields", "2:19", `"7"`, "in quotes"},
		{header + "crab,2,31,5,20,10\n", "too-many-fields", "2:16", `"10"`, "in quotes"},
		{header + row + "eel,2,1 furlong,20,10\n", "bad-length", "3:7", `length: "1 furlong" has an unknown unit`, "31 mm"},
		{header + "crab,2,31.5,NaN,10\n", "bad-length", "2:13", "width", "31 mm"},
		{header + "crab,2,31.5,20,1e308\n", "bad-length", "2:16", "height", "31 mm"},
		{header + "crab,2,\"31,5\",20,10\n", "bad-length", "2:8", "decimal point", "31 mm"},
		{header + "crab,two,31.5,20,10\n", "bad-number", "2:6", `count: "two"`, "whole number"},
		{header + "crab,1.5,31.5,20,10\n", "bad-number", "2:6", `count: "1.5"`, "whole number"},
		{"weight_g," + header + "heavy,crab,2,31.5,20,10\n", "bad-number", "2:1", `weight_g: "heavy"`, "12.5"},
		{"weight_g," + header + "inf,crab,2,31.5,20,10\n", "bad-number", "2:1", `weight_g: "inf"`, "12.5"},
		{"weight_g," + header + "1e6,crab,2,31.5,20,10\n", "bad-number", "2:1", `weight_g: "1e6"`, "12.5"},
		{"weight_g," + header + "100001,crab,2,31.5,20,10\n", "bad-number", "2:1", "100001 is not from 0 to 100000", "0 to 100000"},
		{"id;count;length;width;height\ncrab;2;31,5;20;10\neel;1;1.000;20;10\ncod;1;1.5;2,5;3\n", "mixed-decimals", "3:7", "as in lines 2 and 3", "one of the two"},
		{header + "\"crab,2,31.5,20,10\neel,1,2,3,4\n", "open-quote", "2:1", "never closed", "twice"},
		{header + "\"crab\" x,2,31.5,20,10\n", "text-after-quote", "2:8", "behind a field in quotes", "twice"},
		{header + "krebs\xe4,2,31.5,20,10\n", "encoding", "2:6", "0xe4 is not UTF-8", "UTF-8"},
		{"\xff\xfei\x00d\x00", "encoding", "1:1", "UTF-16", "UTF-8"},
		{"\xfe\xff\x00i\x00d", "encoding", "1:1", "UTF-16", "UTF-8"},
		{header + "crab\x1b,2,31.5,20,10\n", "encoding", "2:5", "U+001B", "UTF-8"},
		{header + strings.Repeat("x", 201) + ",2,31.5,20,10\n", "bad-text", "2:1", "201 characters", "short"},
		{header + strings.Repeat("crab,2,31.5,20,10\n", 300_000), "file-too-large", "1:1", "larger than 4 MiB", "grids"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			found, unread := complaints(t, folder("job.yaml", withRoster("mm"), "roster.csv", c.roster))
			assert.True(t, unread, "%v", found)
			require.Len(t, found, 1)
			wellFormed(t, found)
			f := found[0]
			assert.Equal(t, []string{c.rule, "roster.csv:" + c.where}, []string{f.Rule, f.Where}, f.Message)
			assert.Contains(t, f.Message, c.message)
			assert.Contains(t, f.Hint, c.hint)
		})
	}
}

func TestWrongRosters(t *testing.T) {
	for _, c := range []struct{ roster, rule, where, message, hint string }{
		{"", "empty-roster", "1:1", "empty", "id,count"},
		{"# nothing\n\n", "empty-roster", "1:1", "empty", "id,count"},
		{header, "empty-roster", "1:1", "no pieces", "row"},
		{header + "crab,0,31.5,20,10\n", "count-too-small", "2:6", "count is 0", "1 or more"},
		{header + "crab,-3,31.5,20,10\n", "count-too-small", "2:6", "count is -3", "1 or more"},
		{header + "crab,2,0,20,10\n", "size-too-small", "2:8", "length is 0 mm", "above 0"},
		{header + "crab,2,1,-20,10\n", "size-too-small", "2:10", "width is -20 mm", "above 0"},
		{header + "crab,2,1,2,3\n\ncrab,1,1,2,3\n", "duplicate-id", "4:1", `"crab" is here a second time; it is in line 2`, "of its own"},
		{"weight_g," + header + "-1,crab,2,1,2,3\n", "weight-below-zero", "2:1", "-1", "0 or more"},
		{"shape," + header + "rond,crab,2,1,2,3\n", "unknown-word", "2:1", `"rond"`, "round"},
		{"pose," + header + "upside,crab,2,1,2,3\n", "unknown-word", "2:1", `"upside"`, "upright"},
	} {
		t.Run(c.rule, func(t *testing.T) {
			found, unread := complaints(t, folder("job.yaml", withRoster("mm"), "roster.csv", c.roster))
			assert.False(t, unread, "%v", found)
			require.Len(t, found, 1)
			wellFormed(t, found)
			f := found[0]
			assert.True(t, found.Failed())
			assert.Equal(t, []string{c.rule, "roster.csv:" + c.where}, []string{f.Rule, f.Where}, f.Message)
			assert.Contains(t, f.Message, c.message)
			assert.Contains(t, f.Hint, c.hint)
		})
	}
}

// A hand measures a round piece twice, and not the same.
func TestRoundPieceMeasuredTwice(t *testing.T) {
	j, found, err := job.Load(folder("job.yaml", withRoster("mm"), "roster.csv", "shape,"+header+"round,krone,2,25.7,25.8,2.2\n"), "job.yaml")
	require.NoError(t, err)
	assert.False(t, found.Failed())
	require.Len(t, found, 1)
	assert.Equal(t, "round-not-round", found[0].Rule)
	assert.Equal(t, [2]units.Length{25_800_000, 25_800_000}, [2]units.Length{j.Roster[0].Length, j.Roster[0].Width})
}

// The job's findings come before the roster's, as a person reads them.
func TestRosterFindingsBehindTheJobs(t *testing.T) {
	found, _ := complaints(t, folder("job.yaml", withRoster("mm")+"    wall: -1\n", "roster.csv", header+"crab,0,1,2,3\n"))
	require.Len(t, found, 2)
	assert.Equal(t, "job.yaml:7:11", found[0].Where)
	assert.Equal(t, "roster.csv:2:6", found[1].Where)
}

func TestRosterRows(t *testing.T) {
	rows := header + strings.Repeat("crab,2,1,2,3\n", 20_001)
	found, unread := complaints(t, folder("job.yaml", withRoster("mm"), "roster.csv", rows))
	assert.False(t, unread)
	assert.Len(t, found, 101)
	for _, f := range found {
		assert.Contains(t, []string{"too-many", "duplicate-id", "more-findings"}, f.Rule)
	}
}
