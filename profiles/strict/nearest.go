package strict

// Nearest is the known name that a person most likely meant: the one with the
// fewest letters added, left out, changed or swapped with the next, if these
// are at most a third of the name's letters. Of several it is the first; ""
// when none is near.
func Nearest(name string, known []string) string {
	const longest = 64
	if len(name) > longest {
		return ""
	}
	best, fewest := "", 1+max(1, len([]rune(name))/3)
	for _, k := range known {
		if n := Edits([]rune(name), []rune(k)); n < fewest {
			best, fewest = k, n
		}
	}
	return best
}

// Edits is the optimal string alignment distance (Damerau 1964, restricted to
// one edit a place): three rows of its table are enough.
func Edits(a, b []rune) int {
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
