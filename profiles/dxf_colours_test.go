package profiles

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDXFColours(t *testing.T) {
	read := func(row string) (*Catalog, error) {
		return with(t, machine("  clamps:", "  dxf_colours: "+row+"\n  clamps:"))
	}
	c, err := read("{mark: 5, pocket: 1, outline: 7}")
	require.NoError(t, err)
	m, _ := c.Machine("mine")
	assert.Equal(t, DXFColours{Mark: 5, Pocket: 1, Outline: 7}, m.DXFColours)
	for row, want := range map[string]string{
		"{mark: 5, pocket: 5, outline: 7}":             "two of mark, pocket and outline have one colour",
		"{mark: 7, pocket: 5, outline: 7}":             "two of mark, pocket and outline have one colour",
		"{mark: 5, pocket: 7, outline: 7}":             "two of mark, pocket and outline have one colour",
		"{mark: 1, pocket: 1, outline: 7}":             "two of mark, pocket and outline have one colour",
		"{mark: 1, pocket: 5, outline: 1}":             "two of mark, pocket and outline have one colour",
		"{mark: 5, pocket: 1, outline: 1}":             "two of mark, pocket and outline have one colour",
		"{mark: 5, pocket: 1}":                         "outline is missing",
		"{mark: 0, pocket: 1, outline: 7}":             "give 1 or more",
		"{mark: 256, pocket: 1, outline: 7}":           "256 is more than 255",
		"{mark: 5, pocket: 1, outline: 7, letters: 3}": `has no key "letters"`,
	} {
		_, err := read(row)
		require.Error(t, err, row)
		assert.Contains(t, err.Error(), want, row)
	}
	ours := DXFColours{Mark: 1, Pocket: 2, Outline: 3, Finished: 4}
	assert.Equal(t, ours, DXFColours{}.Or(ours))
	assert.Equal(t, DXFColours{Mark: 9, Pocket: 2, Outline: 3, Finished: 4}, DXFColours{Mark: 9}.Or(ours))
}
