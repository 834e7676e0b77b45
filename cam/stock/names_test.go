package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
)

// The file of an offcut "a x" of foam pe would be called as that of an offcut "a" of foam x-pe, both
// of one thickness: the second to be cut up gets another name.
func TestNamesDoNotRunIntoFoams(t *testing.T) {
	for _, turned := range []bool{false, true} {
		l := layer{names: newNames(), atHand: map[string]bool{"a": true, "a-x": true}, free: map[int]int{0: 1, 1: 1}}
		rows := []job.StockSheet{{Name: "a x", Foam: "pe", Thickness: 12_700_000, Count: 1}, {Name: "a", Foam: "x-pe", Thickness: 12_700_000, Count: 1}}
		want := [2]string{"a-x", "a-2"}
		if turned {
			rows[0], rows[1] = rows[1], rows[0]
			want = [2]string{"a", "a-x-2"}
		}
		for i, row := range rows {
			assert.Equal(t, want[i], l.open(kind{row: i, sheet: row}, false))
		}
	}
}

// Kept rows whose names differ in small letters and capitals alone are kept apart: the first keeps its own.
func TestKeptRowsAreCalledApart(t *testing.T) {
	l := &layer{stock: &job.Stock{}, Layout: Layout{Left: []job.StockSheet{{Name: "x"}, {Name: "X"}, {}, {Name: "Rest 1"}, {Name: "rest 1"}, {Name: "y"}}}}
	l.rackNames()
	var names []string
	for _, s := range l.Left {
		names = append(names, s.Name)
	}
	assert.Equal(t, []string{"x", "X 2", "", "Rest 1", "rest 1 2", "y"}, names)
}
