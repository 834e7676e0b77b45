package geometry

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// Rays of all lengths are packed as they follow each other around, and by their middles where they
// are given in no order.
func TestTreeTakesTheCloserOrder(t *testing.T) {
	fan := againShapes(2*manyCurves, 3)["fan"].Contours()[0].appendTo(nil)
	require.True(t, slices.IsSorted(treeOf(fan).items), "around")
	rand.New(rand.NewPCG(1, 1)).Shuffle(len(fan), func(i, j int) { fan[i], fan[j] = fan[j], fan[i] })
	require.False(t, slices.IsSorted(treeOf(fan).items), "by their middles")
}
