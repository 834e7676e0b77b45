// Package names fills the job's own names into labels, so that a name is typed
// once, and finds labels that spell a name almost as the job has it.
package names

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"traywright/profiles/strict"
)

// Values are the job's names for one tray: what its labels can have filled in.
// A name that the tray does not have is empty.
type Values struct {
	Game, Case, Tray, Group string
}

// of is the value of a placeholder; false where there is no such placeholder.
func (v Values) of(name string) (string, bool) {
	i := slices.Index(placeholders, name)
	if i < 0 {
		return "", false
	}
	return [...]string{v.Game, v.Case, v.Tray, v.Group}[i], true
}

var (
	placeholders = []string{"game", "case", "tray", "group"}
	placeholder  = regexp.MustCompile(`\{([^{}]*)\}`)
)

// Forms says what a label can have filled in, for a hint.
const Forms = "a label can have {game}, {case}, {tray} and {group}"

// Fault is what is wrong with a template.
type Fault struct{ Rule, Message, Hint string }

// Check finds names that cannot be filled in, and braces without a partner.
func Check(template string) []Fault {
	var faults []Fault
	for _, m := range placeholder.FindAllStringSubmatch(template, -1) {
		if _, ok := (Values{}).of(m[1]); ok {
			continue
		}
		hint := Forms
		if near := strict.Nearest(strings.ToLower(strings.TrimSpace(m[1])), placeholders); near != "" {
			hint = "did you mean {" + near + "}?"
		}
		faults = append(faults, Fault{"unknown-placeholder", fmt.Sprintf("there is no %q to fill in", short(m[0])), hint})
	}
	if strings.ContainsAny(placeholder.ReplaceAllLiteralString(template, ""), "{}") {
		faults = append(faults, Fault{"open-brace", "this label has a { or } without its partner", Forms})
	}
	return faults
}

// short keeps a message on its line.
func short(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return s
}

// Fill puts the names into a template. What is filled in is not looked at
// again. Empty are the placeholders, each once, that the tray has no name for.
func Fill(template string, v Values) (text string, empty []string) {
	text = placeholder.ReplaceAllStringFunc(template, func(m string) string {
		value, ok := v.of(m[1 : len(m)-1])
		switch {
		case !ok:
			return m
		case value == "" && !slices.Contains(empty, m):
			empty = append(empty, m)
		}
		return value
	})
	return strings.Join(strings.Fields(text), " "), empty
}

// Uses reports whether a template has a placeholder, such as "case".
func Uses(template, name string) bool { return strings.Contains(template, "{"+name+"}") }

// Same reports whether two texts read alike: case, accents, spaces and
// punctuation apart.
func Same(a, b string) bool { return Key(a) == Key(b) }

// Key is the same for texts that read alike: see Same.
func Key(text string) string { return strings.Join(words(text), " ") }
