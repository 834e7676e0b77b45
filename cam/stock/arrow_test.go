package stock

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/geometry"
)

// By hand: where an offcut takes all of 300 x 200, an arrow of 10 x 20 whose groove of 3 stays 10 - 3/2 off the
// edge lies from 8.5, and the offcut begins behind its groove, at 8.5 + 10 + 1.5. Where it would be no offcut
// any more, there is none.
func TestAnOffcutGivesWayToTheArrow(t *testing.T) {
	s := Setup{SizeMM: [2]float64{300, 200}, MarginMM: 10, Offcuts: []Rect{{0, 0, 300, 200}}}
	r := room{kerf: 3, margin: 10}
	_, ok := s.spare(r, 3, 10, 20, nil)
	assert.False(t, ok)
	at, ok := s.offOffcuts(r, 3, 10, 20, nil)
	assert.True(t, ok)
	assert.Equal(t, geometry.Point{X: 8.5, Y: 8.5}, at)
	assert.Equal(t, []Rect{{20, 0, 280, 200}}, s.Offcuts)
	s = Setup{SizeMM: [2]float64{70, 220}, MarginMM: 10, Offcuts: []Rect{{0, 0, 70, 220}}}
	_, ok = s.offOffcuts(r, 3, 50, 150, nil)
	assert.False(t, ok)
	assert.Equal(t, []Rect{{0, 0, 70, 220}}, s.Offcuts)
}
