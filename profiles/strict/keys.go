package strict

import (
	"fmt"
	"slices"
	"strings"
)

// Row is a key that a group may have, for whoever writes the file: the one place that says
// what it takes and means. The readers' lists of known keys, `traywright keys`, the schemas
// and README's tables are made of rows.
type Row struct {
	Key     string
	Form    Form
	Default string // what holds where it is left out; Needed where it must not be; "" where there is nothing then
	Means   string
}

// Needed as a Default marks a key that has to be there.
const Needed = "needed"

// Group is the keys that may stand together at one kind of place.
type Group struct {
	Name string // one word, such as pocket
	At   string // where it stands, for a person
	Rows []Row
	// Bare is a group of which a list or a group of keys may be left empty, all of it
	// commented out.
	Bare bool
	// Any is what stands behind keys of the user's own choice, such as names of foams; nil
	// where all keys are known.
	Any *Form
}

// Names are the known keys.
func (g *Group) Names() []string {
	names := make([]string, len(g.Rows))
	for i, r := range g.Rows {
		names[i] = r.Key
	}
	return names
}

func (g *Group) has(key string) bool {
	return slices.ContainsFunc(g.Rows, func(r Row) bool { return r.Key == key })
}

// With is the group with more rows behind its own, for a place that takes more.
func (g Group) With(rows ...Row) Group {
	g.Rows = append(g.Rows[:len(g.Rows):len(g.Rows)], rows...)
	return g
}

// Reach is the group, and every group below it, each once, in the order of their rows.
func (g *Group) Reach() []*Group {
	list := []*Group{}
	g.reach(map[string]bool{}, &list)
	return list
}

func (g *Group) reach(seen map[string]bool, list *[]*Group) {
	if seen[g.Name] {
		return
	}
	seen[g.Name] = true
	*list = append(*list, g)
	for _, r := range g.Rows {
		r.Form.reach(seen, list)
	}
	if g.Any != nil {
		g.Any.reach(seen, list)
	}
}

// Form is what may stand behind a key.
type Form struct {
	Words string // a length, [x, y]
	Unit  string // of a bare number; "" where it has none
	group *Group
	parts []Form // a list's entry, or the ways in which it may be written
	// schema is its JSON Schema but for groups and parts.
	schema map[string]any
}

func (f Form) reach(seen map[string]bool, list *[]*Group) {
	if f.group != nil {
		f.group.reach(seen, list)
	}
	for _, p := range f.parts {
		p.reach(seen, list)
	}
}

// In is the form with a unit for its bare numbers.
func (f Form) In(unit string) Form { f.Unit = unit; return f }

// Called is the form in other words.
func (f Form) Called(words string) Form { f.Words = words; return f }

// Forms of texts. A text may look like a number or like true: it is taken as it stands.
var (
	AnyText = Form{Words: "text", schema: map[string]any{"type": []string{"string", "number", "boolean"}, "minLength": 1}}
	AnID    = Form{Words: "id", schema: map[string]any{"type": []string{"string", "integer"}, "pattern": id.String(), "maxLength": 40}}
	AFlag   = Form{Words: "`true` or `false`", schema: map[string]any{"enum": []any{true, false, "true", "false"}}}
)

// decimalText is a number that stands in quotes.
const decimalText = `^\s*[+-]?(\d+(\.\d*)?|\.\d+)\s*$`

// ANumber is a decimal number from least to most.
func ANumber(least, most float64) Form {
	return Form{Words: fmt.Sprintf("number, %s to %s", short(least), short(most)), schema: map[string]any{"anyOf": []any{
		map[string]any{"type": "number", "minimum": least, "maximum": most},
		map[string]any{"type": "string", "pattern": decimalText},
	}}}
}

// short is a number as a person writes it.
func short(n float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.6f", n), "0"), ".")
}

// AWhole is a whole number from least to most.
func AWhole(least, most int) Form {
	return Form{Words: fmt.Sprintf("whole number, %d to %d", least, most), schema: map[string]any{"anyOf": []any{
		map[string]any{"type": "integer", "minimum": least, "maximum": most},
		map[string]any{"type": "string", "pattern": `^\s*[+-]?\d+\s*$`},
	}}}
}

// What a length looks like: its number, and the unit behind it.
const (
	lengthNumber = `((\d+\s*)?[\u00bc\u00bd\u00be\u2153\u2154\u215b-\u215e]|(\d+(\s+|-))?\d+\s?[/\u2044]\s?\d+|\d+\.?\d*|\.\d+)`
	lengthUnit   = `\s*([mM][mM]|[cC][mM]|[mM]|[iI][nN]([cC][hH]([eE][sS])?)?\.?|["\u2033\u201d])`
)

// mostMM is the longest that any length may be, and mostInches the same.
const mostMM = 100_000

// ALength is a length of any sign.
func ALength() Form { return length("length", `[+\u2212-]?`, map[string]any{"minimum": -mostMM}, `?`) }

// ALengthAbove is a length of 0 or more, above 0 where zero is false.
func ALengthAbove(zero bool) Form {
	if zero {
		return length("length, 0 or more", `\+?`, map[string]any{"minimum": 0}, `?`)
	}
	return length("length above 0", `\+?(?=.*[1-9\u00bc-\u00be\u2153-\u215e])`, map[string]any{"exclusiveMinimum": 0}, `?`)
}

// WithUnit is a length above 0 that has to name its unit.
func WithUnit() Form {
	f := length("length with its unit", `\+?(?=.*[1-9\u00bc-\u00be\u2153-\u215e])`, nil, ``)
	f.schema = f.schema["anyOf"].([]any)[1].(map[string]any)
	return f
}

func length(words, sign string, number map[string]any, unit string) Form {
	bare := map[string]any{"type": "number", "maximum": mostMM}
	for k, v := range number {
		bare[k] = v
	}
	return Form{Words: words, schema: map[string]any{"anyOf": []any{
		bare, map[string]any{"type": "string", "pattern": `^\s*` + sign + lengthNumber + `(` + lengthUnit + `)` + unit + `\s*$`},
	}}}
}

// OneOf is one of a few words.
func OneOf(words ...string) Form {
	quoted, enum := make([]string, len(words)), make([]any, len(words))
	for i, w := range words {
		quoted[i], enum[i] = "`"+w+"`", w
	}
	return Form{Words: orList(quoted), schema: map[string]any{"enum": enum}}
}

func orList(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// Typed is a value of one of JSON's own types, in a document that the program writes.
func Typed(words, kind string) Form { return Form{Words: words, schema: map[string]any{"type": kind}} }

// Pattern is a text of a certain look.
func Pattern(words, pattern string) Form {
	return Form{Words: words, schema: map[string]any{"type": "string", "pattern": pattern}}
}

// OrNumber is a text of that look or a number above least, up to most.
func (f Form) OrNumber(least, most float64) Form {
	f.schema = map[string]any{"anyOf": []any{f.schema, map[string]any{"type": "number", "exclusiveMinimum": least, "maximum": most}}}
	return f
}

// ListOf is a list of entries, with at least so many.
func ListOf(f Form, least int) Form {
	return Form{Words: "list of " + f.many(), Unit: f.Unit, parts: []Form{f}, schema: map[string]any{"type": "array", "minItems": least}}
}

// many is the form's words for several.
func (f Form) many() string {
	if f.group != nil {
		return f.group.Name + " rows"
	}
	return f.Words
}

// ATuple is a list of just as many values as the form in brackets has, such as "[x, y]".
func ATuple(form string, f Form) Form {
	n := 1 + strings.Count(form, ",")
	return Form{Words: form + ", each " + f.Words, Unit: f.Unit, parts: []Form{f}, schema: map[string]any{"type": "array", "minItems": n, "maxItems": n}}
}

// Keyed is a group of keys.
func Keyed(g *Group) Form { return Form{Words: g.Name + " keys", group: g} }

// Detailed is a value alone, or as the first of the group's keys beside others.
func Detailed(f Form, g *Group) Form {
	return Form{Words: f.Words, Unit: f.Unit, group: g, parts: []Form{f}}
}

// Either is a value that may be written in several ways.
func Either(forms ...Form) Form {
	words, unit := []string{}, ""
	for _, f := range forms {
		words = append(words, f.Words)
		if unit == "" {
			unit = f.Unit
		}
	}
	return Form{Words: strings.Join(words, "; or "), Unit: unit, parts: forms}
}
