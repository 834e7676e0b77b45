package job

import (
	"strings"

	"traywright/cam/finding"
)

// log collects what is wrong with the user's files.
type log struct{ finding.Log }

// mostListed is the most names in a hint.
const mostListed = 20

// suggest names the nearest of the known names, or some of them where none is
// near.
func (l *log) suggest(name string, known []string) string {
	if ask := l.DidYouMean(name, known); ask != "" {
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
