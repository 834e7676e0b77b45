package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The zero values are a tray and a sheet of nothing.
func TestZeroValues(t *testing.T) {
	assert.Zero(t, Tray{}.Thickness())
	assert.Zero(t, Sheet{}.ThicknessMM())
	assert.InDelta(t, 31.75, Sheet{Layers: []Layer{{Thickness: inch}, {Thickness: inch / 4}}}.ThicknessMM(), 0)
}
