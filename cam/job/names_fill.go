package job

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"traywright/cam/finding"
)

// Names are the job's names for one tray: what its labels can have filled in.
// A name that the tray does not have is empty.
type Names struct {
	Game, Case, Tray, Group string
}

// of is the value of a placeholder; false where there is no such placeholder.
func (n Names) of(name string) (string, bool) {
	i := slices.Index(placeholders, name)
	if i < 0 {
		return "", false
	}
	return [...]string{n.Game, n.Case, n.Tray, n.Group}[i], true
}

var (
	placeholders = []string{"game", "case", "tray", "group"}
	placeholder  = regexp.MustCompile(`\{([^{}]*)\}`)
)

// labelForms says what a label can have filled in, for a hint.
const labelForms = "a label can have {game}, {case}, {tray} and {group}"

// checkTemplate finds names that cannot be filled in, and braces without a partner.
func (l *log) checkTemplate(at finding.Position, template string) {
	for _, m := range placeholder.FindAllStringSubmatch(template, -1) {
		if _, ok := (Names{}).of(m[1]); ok {
			continue
		}
		hint := labelForms
		if near := finding.Nearest(strings.TrimSpace(m[1]), placeholders); near != "" {
			hint = "did you mean {" + near + "}?"
		}
		l.Fail(at, "unknown-placeholder", fmt.Sprintf("there is no %s to fill in", finding.Quote(m[0])), hint)
	}
	if strings.ContainsAny(placeholder.ReplaceAllLiteralString(template, ""), "{}") {
		l.Fail(at, "open-brace", "this label has a { or } without its partner", labelForms)
	}
}

// Fill puts the names into a template. What is filled in is not looked at
// again. Empty are the placeholders, each once, that the tray has no name for.
func Fill(template string, n Names) (text string, empty []string) {
	text = placeholder.ReplaceAllStringFunc(template, func(m string) string {
		value, ok := n.of(m[1 : len(m)-1])
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

// UsesName reports whether a template has a placeholder, such as "case".
func UsesName(template, name string) bool { return strings.Contains(template, "{"+name+"}") }

// TextKey is the same for texts that read alike: case, accents, spaces and
// punctuation apart.
func TextKey(text string) string { return strings.Join(words(text), " ") }
