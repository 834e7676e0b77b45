package trace

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// The worked example of A. Greensted, "Otsu Thresholding", The Lab Book Pages, 2010 (from
// memory; its numbers follow from the histogram by hand): 36 pixels of six levels, the
// largest between-class variance 2.6287 and the least within-class variance 0.4909
// where the levels 0, 1 and 2 are background.
func TestOtsuWorkedExample(t *testing.T) {
	counts := make([]int, 256)
	copy(counts, []int{8, 7, 2, 6, 9, 4})
	got := otsu(counts)
	assert.Greater(t, got.level, 2.0)
	assert.Less(t, got.level, 3.0)
	within := (1 - got.separability) * variance(counts)
	assert.InDelta(t, 0.4909, within, 5e-5)
	assert.InDelta(t, 2.6287, got.separability*variance(counts), 5e-5)
}

// By the definition: of all thresholds the one with the least variance within the two
// classes (equation 12 of the paper makes that the largest between them).
func TestOtsuAgainstItsDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		counts := make([]int, 256)
		for range rapid.IntRange(1, 40).Draw(t, "levels") {
			counts[rapid.IntRange(0, 255).Draw(t, "level")] += rapid.IntRange(1, 1000).Draw(t, "count")
		}
		got := otsu(counts)
		at := int(math.Floor(got.level))
		best := math.Inf(1)
		for k := range 255 {
			best = min(best, withinClass(counts, k))
		}
		if have := withinClass(counts, at); have > best*(1+1e-9)+1e-9 {
			t.Fatalf("threshold %g has the within-class variance %g, the least is %g", got.level, have, best)
		}
	})
}

// withinClass is the variance within the classes 0..k and the rest, weighed by their sizes.
func withinClass(counts []int, k int) float64 {
	sum, total := 0.0, 0.0
	for _, part := range [][2]int{{0, k + 1}, {k + 1, 256}} {
		n, first, second := 0.0, 0.0, 0.0
		for i := part[0]; i < part[1]; i++ {
			c := float64(counts[i])
			n, first, second = n+c, first+c*float64(i), second+c*float64(i)*float64(i)
		}
		if n > 0 {
			sum += second - first*first/n
		}
		total += n
	}
	return sum / total
}

// A ramp has no two tones: its η is 0.75, from the variances of uniform distributions,
// (1/12 - 1/48) / (1/12).
func TestOtsuOfARamp(t *testing.T) {
	counts := make([]int, 256)
	for i := range counts {
		counts[i] = 10
	}
	got := otsu(counts)
	assert.InDelta(t, 0.75, got.separability, 1e-4)
	assert.InDelta(t, 127.5, got.level, 1)
	assert.Less(t, got.separability, clearSeparability)
}

func TestOtsuOfTwoTonesLiesBetween(t *testing.T) {
	for _, c := range []struct{ dark, light int }{{0, 255}, {30, 230}, {100, 104}} {
		t.Run(fmt.Sprint(c), func(t *testing.T) {
			counts := make([]int, 256)
			counts[c.dark], counts[c.light] = 700, 300
			got := otsu(counts)
			assert.InDelta(t, float64(c.dark+c.light)/2, got.level, 0.51)
			assert.InDelta(t, 1, got.separability, 1e-12)
		})
	}
}
