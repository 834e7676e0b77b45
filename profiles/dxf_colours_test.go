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
		"{mark: 5, pocket: 5, outline: 7}":                 "mark and pocket have one colour",
		"{mark: 7, pocket: 5, outline: 7}":                 "mark and outline have one colour",
		"{mark: 5, pocket: 7, outline: 7}":                 "pocket and outline have one colour",
		"{mark: 5, pocket: 1, outline: 7, bridged: 1}":     "pocket and bridged have one colour",
		"{mark: 5, pocket: 1, outline: 10}":                "pocket and outline have one colour",
		"{mark: 5, pocket: 1, outline: 7, depths: [2, 5]}": "mark and depth 2 of depths have one colour",
		"{mark: 5, pocket: 1, outline: 7, depths: [2, 2]}": "depth 1 of depths and depth 2 of depths have one colour",
		"{mark: 5, pocket: 1, outline: 7, bridged: 300}":   "300 is more than 255",
		"{mark: 5, pocket: 1, outline: 7, depths: 3}":      "a list",
		"{mark: 5, pocket: 1}":                             "outline is missing",
		"{mark: 0, pocket: 1, outline: 7}":                 "give 1 or more",
		"{mark: 256, pocket: 1, outline: 7}":               "256 is more than 255",
		"{mark: 5, pocket: 1, outline: 7, letters: 3}":     `has no key "letters"`,
	} {
		_, err := read(row)
		require.Error(t, err, row)
		assert.Contains(t, err.Error(), want, row)
	}
	c, err = read("{mark: 5, pocket: 1, depths: [2, 3], bridged: 6, outline: 7, finished: 1}")
	require.NoError(t, err)
	m, _ = c.Machine("mine")
	assert.Equal(t, DXFColours{Mark: 5, Pocket: 1, Depths: []int{2, 3}, Bridged: 6, Outline: 7, Finished: 1}, m.DXFColours)
	assert.Equal(t, []int{5, 1, 7, 6, 2, 3}, m.DXFColours.Given(), "finished has a drawing of its own")
}

// What a reader of DXF shows for a number: as ezdxf 0.18.1 has it (colors.aci2rgb, read there).
func TestColourOf(t *testing.T) {
	for index, want := range map[int]string{
		1: "#FF0000", 2: "#FFFF00", 3: "#00FF00", 4: "#00FFFF", 5: "#0000FF", 6: "#FF00FF", 8: "#808080", 9: "#C0C0C0", 10: "#FF0000", 11: "#FF7F7F", 12: "#A50000", 13: "#A55252",
		19: "#261313", 23: "#A56752", 29: "#261713", 30: "#FF7F00", 34: "#7F3F00", 40: "#FFBF00", 42: "#A57C00", 122: "#00A57C", 140: "#00BFFF", 163: "#5267A5", 233: "#A5527C", 245: "#7F3F4F", 248: "#260009",
		250: "#000000", 251: "#656565", 252: "#666666", 253: "#999999", 254: "#CCCCCC", 255: "#FFFFFF",
	} {
		assert.Equal(t, want, ColourOf(index), index)
	}
	assert.Equal(t, "#000000", ColourOf(7), "on a white ground")
}
