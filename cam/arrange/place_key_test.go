package arrange

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
)

// An id and the number behind it are told apart: die at 115 mm is not die1 at 15 mm.
func TestPlaceKeysTellIDsFromPlaces(t *testing.T) {
	at := func(id string, x float64) job.Pocket { return job.Pocket{For: id, X: mmOf(x), Y: mmOf(20)} }
	assert.NotEqual(t, placeKey(at("die", 115)), placeKey(at("die1", 15)))
	assert.Equal(t, placeKey(at("die", 115)), placeKey(at("die", 115)))
}
