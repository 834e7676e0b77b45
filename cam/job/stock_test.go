package job_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
)

const oneTray = "trays: [{id: a, size: [100, 80], layers: [{foam: pe-30, thickness: 1 in}]}]\n"

func loadStock(t *testing.T, text, rack string) (*job.Job, []string) {
	t.Helper()
	files := fstest.MapFS{"job.yaml": {Data: []byte(text)}, "rack.yaml": {Data: []byte(rack)}}
	j, found, err := job.Load(files, "job.yaml")
	if err != nil {
		return nil, []string{err.Error()}
	}
	var list []string
	for _, f := range found {
		list = append(list, f.Rule)
	}
	return j, list
}

// The rows are the same in the job and in a file of their own; bare numbers are the job's unit, in
// a file the file's own. Lengths by exactly 25.4 mm to the inch.
func TestStockIsRead(t *testing.T) {
	const rows = "{margin: 5, sheets: [{foam: pe-30, thickness: 1 in, size: [1000, 20 in], price: 14.5}, {name: Offcut A, foam: pe-30, thickness: 1 in, size: [420, 300], count: 2}]}"
	for name, c := range map[string]struct {
		text, rack string
		wide       int64 // of the first sheet's length, nm
		margin     int64
	}{
		"in the job":         {oneTray + "stock: " + rows + "\n", "", 1000e6, 5e6},
		"in a job in inches": {"units: in\n" + oneTray + "stock: " + rows + "\n", "", 25_400e6, 127e6},
		"in a file":          {"units: in\n" + oneTray + "stock: rack.yaml\n", rows, 1000e6, 5e6},
		"a file in inches":   {oneTray + "stock: rack.yaml\n", "{units: in, " + rows[1:], 25_400e6, 127e6},
	} {
		j, found := loadStock(t, c.text, c.rack)
		require.Empty(t, found, name)
		require.NotNil(t, j.Stock, name)
		require.Len(t, j.Stock.Sheets, 2, name)
		first, second := j.Stock.Sheets[0], j.Stock.Sheets[1]
		assert.EqualValues(t, c.wide, first.Length, name)
		assert.EqualValues(t, 508e6, first.Width, name)
		assert.EqualValues(t, 25.4e6, first.Thickness, name)
		assert.EqualValues(t, c.margin, j.Stock.Margin, name)
		assert.Equal(t, 14.5, first.Price, name)
		assert.False(t, first.AtHand(), name)
		assert.Equal(t, "Offcut A", second.Name, name)
		assert.Equal(t, 2, second.Count, name)
		assert.True(t, second.AtHand(), name)
	}
	j, _ := loadStock(t, oneTray, "")
	assert.Nil(t, j.Stock)
}

func TestStockThatIsWrong(t *testing.T) {
	const sheet = "{foam: pe-30, thickness: 1 in, size: [1000, 500]}"
	for text, want := range map[string]string{
		"stock: {margin: -1, sheets: [" + sheet + "]}":                               "size-too-small",
		"stock: {margin: 5}":                                                         "stock-without-sheets",
		"stock: {sheets: []}":                                                        "stock-without-sheets",
		"stock: {sheets: [{foam: pe-30, size: [10, 10]}]}":                           "stock-sheet-without",
		"stock: {sheets: [{foam: pe-30, thickness: 1 in}]}":                          "stock-sheet-without",
		"stock: {sheets: [{foam: pe-30, thickness: 1 in, size: [9, 9], count: 0}]}":  "count-too-small",
		"stock: {sheets: [{foam: pe-30, thickness: 1 in, size: [9, 9], price: -1}]}": "is not from 0",
		"stock: {sheets: [{foam: pe-30, thickness: 1 in, size: [-5, 500]}]}":         "size-too-small",
		"stock: {sheets: [{foam: pe-30, thickness: 0, size: [9, 9]}]}":               "size-too-small",
		"stock: {sheet: [" + sheet + "]}":                                            "did you mean sheets?",
		"stock: {sheets: [{foam: pe-30, thickness: 1 in, sise: [9, 9]}]}":            "did you mean size?",
		"stock: {units: in, sheets: [" + sheet + "]}":                                "units",
		"stock: no-rack.yaml":                                                        "there is no file no-rack.yaml",
		"stock: ../rack.yaml":                                                        "outside-folder",
		"stock: rack.yaml":                                                           "not a stock",
	} {
		_, found := loadStock(t, oneTray+text+"\n", "[1, 2]")
		require.NotEmpty(t, found, text)
		assert.Contains(t, found[0], want, text)
	}
}
