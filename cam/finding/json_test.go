package finding_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
)

type sheet struct {
	Name   string              `json:"name"`
	Sizes  []float64           `json:"sizes"`
	Pairs  [2][]int            `json:"pairs"`
	Inner  []struct{ A []int } `json:"inner"`
	Map    map[string][]int    `json:"map"`
	Later  *sheet              `json:"later,omitempty"`
	Found  finding.List        `json:"found"`
	hidden []int
}

// No list is ever null, however deep and whoever forgot to fill it.
func TestJSONHasNoNull(t *testing.T) {
	for _, v := range []any{
		sheet{}, &sheet{Later: &sheet{}}, []sheet{{Inner: make([]struct{ A []int }, 2)}},
		map[string]sheet{"a": {Map: map[string][]int{"b": nil}}}, []int(nil), map[string]int(nil), nil,
	} {
		text, err := finding.JSON(v)
		require.NoError(t, err)
		assert.NotContains(t, string(text), "null")
		assert.Equal(t, byte('\n'), text[len(text)-1])
	}
}

func TestJSONChangesNothingElse(t *testing.T) {
	s := sheet{Name: "Łódź <&> 日", Sizes: []float64{1.5}, hidden: []int{1}}
	text, err := finding.JSON(s)
	require.NoError(t, err)
	assert.Contains(t, string(text), "\"name\": \"Łódź <&> 日\",\n  \"sizes\": [\n    1.5\n  ]")
	assert.Equal(t, []int{1}, s.hidden)
	_, err = finding.JSON(func() {})
	assert.Error(t, err)
}
