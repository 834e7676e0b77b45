package cam

import (
	"maps"
	"regexp"
	"slices"
	"strings"
)

// sayings are comments by what comes before their colon in small letters; "" for what has none.
// What begins with "+" goes on with the one before.
func sayings(comments []string) map[string][]string {
	list := map[string][]string{}
	last := ""
	for _, c := range comments {
		if more, goesOn := strings.CutPrefix(c, "+ "); goesOn && len(list[last]) > 0 {
			list[last][len(list[last])-1] += " " + more
			continue
		}
		key, value, ok := strings.Cut(c, ":")
		if last = strings.ToLower(strings.TrimSpace(key)); !ok {
			last, value = "", c
		}
		list[last] = append(list[last], strings.TrimSpace(value))
	}
	for _, key := range slices.Sorted(maps.Keys(list)) {
		if key != "" && slices.Contains(list[key], "") { // all that it says comes before its colon
			list[""] = append(list[""], key+":")
		}
	}
	return list
}

// heard are the sayings of a program. One of the program's own is heard wherever its lines stand,
// and in whatever order: comments may be moved. What numbers or rules off lines says nothing.
func heard(comments, own []string) map[string][]string {
	stands, known := map[string]bool{}, map[string]bool{}
	for _, c := range comments {
		stands[squeezed(c)] = true
	}
	var whole []string
	for _, c := range comments {
		if aSeal.MatchString(c) { // of which the program's own has none yet
			whole, known[squeezed(c)] = append(whole, c), true
		}
	}
	for len(own) > 0 {
		n := 1
		for n < len(own) && strings.HasPrefix(own[n], "+ ") {
			n++
		}
		lines := own[:n]
		own = own[n:]
		if slices.ContainsFunc(lines, func(c string) bool { return !stands[squeezed(c)] }) {
			continue
		}
		whole = append(whole, lines...)
		for _, c := range lines {
			known[squeezed(c)] = true
		}
	}
	list := sayings(whole)
	for key, texts := range sayings(slices.DeleteFunc(comments, func(c string) bool { return known[squeezed(c)] || mute.MatchString(c) })) {
		list[key] = append(list[key], texts...)
	}
	return list
}

// aSeal is a seal and nothing else.
var aSeal = regexp.MustCompile(`(?i)^seal of (?:moves|plan|words): ?[0-9a-f]{32,64}$`)

// mute is a comment that counts lines or draws one.
var mute = regexp.MustCompile(`(?i)^[-=*_#~. ]*(?:(?:n|line|block) ?)?\d*[-=*_#~.: ]*$`)

// squeezed is a text without what makes no difference, its blanks and capitals.
func squeezed(text string) string {
	return strings.ToLower(strings.Join(strings.Fields(text), ""))
}

// says reports whether one of some lines says the same, whatever its blanks and capitals.
func says(lines []string, said string) bool {
	return slices.ContainsFunc(lines, func(l string) bool { return squeezed(l) == squeezed(said) })
}
