package finding

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDuration(t *testing.T) {
	for seconds, want := range map[float64]string{
		0: "0 s", 59.4: "59 s", 59.46: "1 min 00 s", 61: "1 min 01 s", 3599: "59 min 59 s", 3599.5: "1 h 00 min", 3600: "1 h 00 min", 3629: "1 h 00 min", 3630: "1 h 01 min", 7199: "2 h 00 min", 7380: "2 h 03 min", -1: "not known", 1e8: "not known",
	} {
		assert.Equal(t, want, Duration(seconds), seconds)
	}
}

// A report says 550.5 of 550.46: so no page has 550.
func TestGrams(t *testing.T) {
	assert.Equal(t, []string{"0 g", "551 g", "1019 g", "not known"}, []string{Grams(0.04), Grams(550.46), Grams(1018.96), Grams(1e12)})
}

func TestAbout(t *testing.T) {
	for seconds, want := range map[float64]string{0: "0 s", 1: "1 min", 61: "2 min", 1680: "28 min", 10440: "2 h 54 min", -61: "not known"} {
		assert.Equal(t, want, About(seconds), seconds)
	}
}
