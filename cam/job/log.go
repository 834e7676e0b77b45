package job

import (
	"strings"

	"traywright/cam/finding"
)

// log collects what is wrong with the user's files.
type log struct {
	finding.Log
	suggested int // names looked for
}

// Bounds of suggesting: names looked for in all, far more than are shown, and
// names in a hint.
const (
	mostSuggested = 1000
	mostListed    = 20
)

// suggest names the nearest of the known names, or some of them where none is
// near.
func (l *log) suggest(name string, known []string) string {
	if l.suggested++; l.suggested > mostSuggested {
		return "correct the name"
	}
	if ask := finding.DidYouMean(name, known); ask != "" {
		return ask
	}
	switch n := len(known); {
	case n == 0:
		return "there are none"
	case n > mostListed:
		return "known are " + strings.Join(known[:mostListed], ", ") + ", ..."
	}
	return "known are " + strings.Join(known, ", ")
}
