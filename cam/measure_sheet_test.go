package cam_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

const sheetHead = "id,count,length (mm),width (mm),height (mm)\n"

func typedSheet(t testing.TB, rows string) cam.MeasureResult {
	r, err := cam.CheckSheet(cam.SheetRequest{File: "s.csv", Text: []byte(sheetHead + rows)})
	require.NoError(t, err)
	return r
}

// Sheets that are filled in right, each reading off by a fifth of a mm at most, are approved; one slip in one
// of three equal pieces is found where it is, and called what it is.
func TestSlipsOnATypedSheet(t *testing.T) {
	slips := map[string]func(size [3]float64) [3]float64{
		"swapped-columns": func(s [3]float64) [3]float64 { return [3]float64{s[0], s[2], s[1]} },
		"unit-meant":      func(s [3]float64) [3]float64 { return [3]float64{s[0], s[1] / 25.4, s[2]} },
		"outlier":         func(s [3]float64) [3]float64 { return [3]float64{s[0], s[1] + 5, s[2]} },
	}
	random := rand.New(rand.NewPCG(20, 4))
	for range 300 {
		size := [3]float64{60 + 40*random.Float64(), 30 + 20*random.Float64(), 12 + 10*random.Float64()}
		row := func(count string, slip func([3]float64) [3]float64) string {
			read := size
			for i := range read {
				read[i] += 0.4*random.Float64() - 0.2
			}
			read = slip(read)
			return fmt.Sprintf("p,%s,%.1f,%.2f,%.2f\n", count, read[0], read[1], read[2])
		}
		as := func(s [3]float64) [3]float64 { return s }
		good := typedSheet(t, row("3", as)+row("", as)+row("", as))
		require.Empty(t, good.Report.Findings)
		require.Len(t, good.Files, 1)
		for rule, slip := range slips {
			for line := range 3 {
				text := ""
				for i := range 3 {
					one := as
					if i == line {
						one = slip
					}
					text += row([]string{"3", "", ""}[i], one)
				}
				r := typedSheet(t, text)
				require.Len(t, r.Report.Findings, 1, "%s: %s%v", rule, text, r.Report.Findings)
				assert.Equal(t, rule, r.Report.Findings[0].Rule, text)
				assert.True(t, strings.HasPrefix(r.Report.Findings[0].Where, fmt.Sprintf("s.csv:%d:", line+2)), r.Report.Findings[0].Where)
				assert.Empty(t, r.Files)
			}
		}
	}
}

// Counts are the kind's, and said once.
func TestCountsOnATypedSheet(t *testing.T) {
	rule := func(rows string) string {
		for _, f := range typedSheet(t, rows).Report.Findings {
			if f.Severity == finding.Error {
				return f.Rule
			}
		}
		return ""
	}
	assert.Empty(t, rule("p,2,30,20,10\np,2,30,20,10\n"))
	assert.Equal(t, "counts-differ", rule("p,2,30,20,10\np,3,30,20,10\n"))
	assert.Equal(t, "count-too-small", rule("p,1,30,20,10\np,,30,20,10\n"))
	_, err := cam.CheckSheet(cam.SheetRequest{File: "s.csv", Text: []byte(sheetHead + "p,,30,20,10\n")})
	require.ErrorContains(t, err, "no count")
}

// Equal pieces may differ by 1 mm or by 4 % of the larger, whichever is more: the README's numbers.
func TestSizesOfEqualPieces(t *testing.T) {
	for sizes, alike := range map[[2]float64]bool{{20, 21}: true, {20, 21.1}: false, {10, 10.9}: true, {100, 104}: true, {100, 104.3}: false} {
		found := typedSheet(t, fmt.Sprintf("p,2,%g,9,7\np,,%g,9,7\n", sizes[0], sizes[1])).Report.Findings
		assert.Equal(t, alike, len(found) == 0, "%v: %v", sizes, found)
	}
}

// What is approved is a roster of the same pieces, in either unit.
func TestRosterOfATypedSheet(t *testing.T) {
	for _, u := range []units.Unit{units.Millimetre, units.Inch} {
		q := cam.SheetRequest{File: "s.csv", Unit: u, Text: []byte("id,name,count,length,width,height,weight_g,shape,pose\n" +
			"p,\"A, \"\"b\"\"\",3,31 mm,1 1/4 in,12.7 mm,8.5,rect,lying\np,,,30 mm,1 1/4 in,13 mm,9,,\nq,,1,1 in,1 in,10 mm,,round,upright\n")}
		r, err := cam.CheckSheet(q)
		require.NoError(t, err)
		require.Empty(t, r.Report.Findings)
		pieces, found, err := job.ReadRoster("r.csv", r.Files[0].Data, u)
		require.NoError(t, err)
		require.Empty(t, found)
		require.Len(t, pieces, 2)
		p := pieces[0]
		assert.Equal(t, []any{"p", `A, "b"`, 3, 31.0, 31.75, 13.0, 9.0, job.Rect, job.Lying}, []any{p.ID, p.Name, p.Count, p.Length.MM(), p.Width.MM(), p.Height.MM(), p.WeightG, p.Shape, p.Pose})
		assert.Equal(t, []any{"q", job.Round, job.Upright}, []any{pieces[1].ID, pieces[1].Shape, pieces[1].Pose})
	}
}

// Rows of one id say one shape, pose and drawing, those that say any; and the roster has them.
func TestWordsOfATypedSheet(t *testing.T) {
	check := func(rows string) cam.MeasureResult {
		r, err := cam.CheckSheet(cam.SheetRequest{File: "s.csv", Text: []byte("id,count,length,width,height,shape,pose,outline\n" + rows)})
		require.NoError(t, err)
		return r
	}
	r := check("p,2,30,20,10,,,p.dxf\np,,30,20,10,rect,any,\nq,1,20,20,10,round,,\n")
	require.Empty(t, r.Report.Findings)
	pieces, _, err := job.ReadRoster("r.csv", r.Files[0].Data, units.Millimetre)
	require.NoError(t, err)
	assert.Equal(t, []string{"p.dxf", ""}, []string{pieces[0].Outline, pieces[1].Outline})
	for second, where := range map[string]string{"round,,": "s.csv:3:13", ",lying,": "s.csv:3:14", ",,q.dxf": "s.csv:3:15"} {
		r := check("p,2,20,20,10,rect,any,p.dxf\np,,20,20,10," + second + "\n")
		require.Len(t, r.Report.Findings, 1, second)
		assert.Equal(t, "rows-differ", r.Report.Findings[0].Rule)
		assert.Equal(t, where, r.Report.Findings[0].Where)
		assert.Empty(t, r.Files)
	}
}

// How often a kind is used and how many lie on each other are kept, where any row says so, and no column is made
// of what nobody says.
func TestOftenAndPileOfATypedSheet(t *testing.T) {
	r, err := cam.CheckSheet(cam.SheetRequest{File: "s.csv", Text: []byte("id,count,length,width,height,pose,often,pile\ncoin,30,25,25,2,upright,,10\ncoin,,25,25,2,,yes,\nhook,1,90,70,25,,no,\n")})
	require.NoError(t, err)
	require.Empty(t, r.Report.Findings)
	pieces, _, err := job.ReadRoster("r.csv", r.Files[0].Data, units.Millimetre)
	require.NoError(t, err)
	assert.Equal(t, []any{true, 10, false, 0}, []any{pieces[0].Often, pieces[0].Pile, pieces[1].Often, pieces[1].Pile})
	plain := typedSheet(t, "p,1,30,20,10\n")
	assert.NotRegexp(t, "often|pile|outline", string(plain.Files[0].Data))
}

// The sheets are the same bytes each time, and their table's heading is one that is read.
func TestMeasuringSheets(t *testing.T) {
	one, err := cam.MeasuringSheets(units.Inch)
	require.NoError(t, err)
	two, err := cam.MeasuringSheets(units.Inch)
	require.NoError(t, err)
	assert.Equal(t, one.Files, two.Files)
	for _, f := range one.Files[1:] {
		assert.True(t, bytes.HasPrefix(f.Data, []byte("%PDF-")), f.Path)
	}
	r, err := cam.CheckSheet(cam.SheetRequest{File: "s.csv", Text: append(one.Files[0].Data, "p,P,,1,1.25,1,0.5,,,\n"...)})
	require.NoError(t, err)
	require.Empty(t, r.Report.Findings)
	assert.InDelta(t, 31.75, r.Report.Kinds[0].LengthMM, 1e-9)
}

// Whatever is typed is read or refused with a place, and what is approved is a roster.
func FuzzTypedSheet(f *testing.F) {
	f.Add([]byte(sheetHead + "p,2,30,20,10\np,,30,20,10.1\n"))
	f.Add([]byte("id;name;count;length;width;height\np;\"a;b\";2;30,5;1 1/4 in;10\np;;;30,5;31;10\nq;;1;1;1;1\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := cam.CheckSheet(cam.SheetRequest{File: "s.csv", Text: data})
		if err != nil || len(r.Files) == 0 {
			return
		}
		_, found, err := job.ReadRoster("r.csv", r.Files[0].Data, units.Millimetre)
		require.NoError(t, err, "%s", r.Files[0].Data)
		require.False(t, found.Failed(), "%v", found)
	})
}

// Where bare numbers count as inches, a piece of more than half a foot each way is asked about, whoever means mm.
func TestPiecesThatAreHalfAFootEachWayAreAskedAbout(t *testing.T) {
	for row, asked := range map[string]bool{"12,9,14": true, "15,15,22": true, "6.1,6.1,6.1": true, "6,9,14": false, "12,9,5": false, "170 mm,170 mm,170 mm": false} {
		r, err := cam.CheckSheet(cam.SheetRequest{File: "s.csv", Unit: units.Inch, Text: []byte("id,count,length (in),width (in),height (in)\np,1," + row + "\n")})
		require.NoError(t, err)
		assert.Equal(t, asked, r.Report.Findings.Failed(), "%s: %v", row, r.Report.Findings)
	}
}
