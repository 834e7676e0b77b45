package finding

import (
	"strings"
	"unicode/utf8"
)

// DidYouMean asks, for a hint, whether the nearest of the known names was meant;
// "" when none is near.
func DidYouMean(name string, known []string) string {
	if near := Nearest(name, known); near != "" {
		return "did you mean " + near + "?"
	}
	return ""
}

// Suggest asks as DidYouMean does, and lists the known names where none is near.
func Suggest(name string, known []string) string {
	if ask := DidYouMean(name, known); ask != "" {
		return ask
	}
	return "known are " + strings.Join(known, ", ")
}

// longestSpelt is the longest name, in letters, that is looked for: what is
// longer is no slip of the finger.
const longestSpelt = 64

// Nearest is the known name that a person most likely meant: the one with the
// fewest edits, if these are at most a third of the letters that were written.
// Capitals are no difference. Of several it is the first; "" when none is near:
// a far name offered sends a person the wrong way.
func Nearest(name string, known []string) string {
	if len(name) > longestSpelt*utf8.UTFMax || utf8.RuneCountInString(name) > longestSpelt {
		return ""
	}
	written := []rune(strings.ToLower(name))
	best, fewest := "", len(written)/3+1
	for _, k := range known {
		letters := []rune(strings.ToLower(k))
		if d := len(letters) - len(written); d >= fewest || -d >= fewest {
			continue
		}
		if n := Edits(written, letters); n < fewest {
			best, fewest = k, n
		}
	}
	return best
}

// Edits is how many letters must be added, left out, changed, or swapped with
// the next to make b of a: the optimal string alignment distance (Damerau 1964,
// restricted to one edit a place). Three rows of its table are enough, and what
// both begin and end with costs nothing.
func Edits(a, b []rune) int {
	for len(a) > 0 && len(b) > 0 && a[0] == b[0] {
		a, b = a[1:], b[1:]
	}
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	if len(a) == 0 || len(b) == 0 {
		return len(a) + len(b)
	}
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := 1
			if a[i-1] == b[j-1] {
				change = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
