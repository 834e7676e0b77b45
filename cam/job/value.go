package job

import (
	"fmt"
	"io/fs"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"traywright/geometry/units"
)

// reader takes values out of the tree. What cannot be taken is reported and
// reads as zero, so that one reading shows all of a file's problems.
type reader struct {
	*log
	fsys fs.FS
	unit units.Unit // of bare numbers
}

// key is a key that a group may have, and what is done with its value.
type key struct {
	name string
	read func(*value)
}

// group takes a value as `key: value` pairs of the given keys, in the file's
// order.
func (r *reader) group(v *value, what string, keys ...key) {
	if v.kind != mapping {
		r.wrongKind(v, what, "`key: value` lines")
		return
	}
	for _, p := range v.pairs {
		i := slices.IndexFunc(keys, func(k key) bool { return k.name == p.key })
		switch {
		case i < 0:
			r.unknownKey(p, what, keys)
		case p.value.kind == empty:
			r.CannotRead(p.at, "missing-value", fmt.Sprintf("`%s` has no value", p.key), "write one, or take the key out")
		default:
			keys[i].read(p.value)
		}
	}
}

func (r *reader) wrongKind(v *value, what, wanted string) {
	r.CannotRead(v.at, "wrong-type", fmt.Sprintf("%s has to be %s, and here is %s", what, wanted, v.kind),
		"check the indentation, and put a text that has { or [ in it in quotes")
}

func (r *reader) unknownKey(p pair, what string, keys []key) {
	names := make([]string, len(keys))
	for i, k := range keys {
		names[i] = k.name
	}
	r.CannotRead(p.at, "unknown-key", fmt.Sprintf("%s has no key %s", what, quote(p.key)), r.suggest(p.key, names))
}

// list takes a value as a list of at most so many.
func (r *reader) list(v *value, what string, most int) []*value {
	if v.kind != list {
		r.wrongKind(v, what, "a list")
		return nil
	}
	if len(v.items) > most {
		r.Fail(v.at, "too-many", fmt.Sprintf("%s has %d entries, more than %d", what, len(v.items), most), "make it two jobs")
		return v.items[:most]
	}
	return v.items
}

// tuple takes a value as a list of exactly n; nil when it is none.
func (r *reader) tuple(v *value, what, form string, n int) []*value {
	if v.kind != list || len(v.items) != n {
		r.CannotRead(v.at, "wrong-type", fmt.Sprintf("`%s` takes %d values", what, n), fmt.Sprintf("write `%s: %s`", what, form))
		return nil
	}
	return v.items
}

// scalar is a text or a number as it stands in the file.
func (r *reader) scalar(v *value, what string) (string, bool) {
	if v.kind != scalar {
		r.wrongKind(v, what, "a text or a number")
		return "", false
	}
	return v.text, true
}

// text takes a value as one line that is not empty.
func (r *reader) text(v *value, what string) string {
	text, ok := r.scalar(v, what)
	if !ok {
		return ""
	}
	one, err := line(text)
	switch {
	case err != nil:
		r.CannotRead(v.at, "bad-text", what+" "+err.Error(), "write a short plain text")
	case one == "":
		r.CannotRead(v.at, "missing-value", what+" is an empty text", "write one, or take the key out")
	}
	return one
}

// length takes a value as a length of any sign.
func (r *reader) length(v *value, what string) units.Length {
	text, ok := r.scalar(v, what)
	if !ok {
		return 0
	}
	l, err := units.Parse(text, r.unit)
	if err != nil {
		r.CannotRead(v.at, "bad-length", what+": "+err.Error(), `a length is 31, 31 mm, 1.25 in or 1 1/4 in`)
	}
	return l
}

// above takes a value as a length above 0.
func (r *reader) above(v *value, what string) units.Length {
	return r.least(v, what, 1, "above 0")
}

// notBelow takes a value as a length of 0 or more.
func (r *reader) notBelow(v *value, what string) units.Length {
	return r.least(v, what, 0, "of 0 or more")
}

func (r *reader) least(v *value, what string, least units.Length, hint string) units.Length {
	before := r.Unread()
	l := r.length(v, what)
	if l < least && r.Unread() == before {
		r.Fail(v.at, "size-too-small", fmt.Sprintf("%s is %s", what, l.Format(r.unit)), "give a length "+hint)
	}
	return l
}

// decimalNumber is how people write numbers: no exponents, no infinities.
var decimalNumber = regexp.MustCompile(`^[+-]?(\d+\.?\d*|\.\d+)$`)

// number takes a value as a decimal number of at most so much either way.
func (r *reader) number(v *value, what string, most float64) float64 {
	text, ok := r.scalar(v, what)
	if !ok {
		return 0
	}
	n, err := parseNumber(text, most)
	if err != nil {
		r.CannotRead(v.at, "bad-number", what+": "+err.Error(), "write a number such as 12.5")
	}
	return n
}

func parseNumber(text string, most float64) (float64, error) {
	text = strings.TrimSpace(text)
	if len(text) > 40 || !decimalNumber.MatchString(text) {
		return 0, fmt.Errorf("%s is no number", quote(text))
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil || math.Abs(n) > most {
		return 0, fmt.Errorf("%s is more than %v", text, most)
	}
	return n, nil
}

// mostCount bounds whole numbers, so that the product of two is still a number.
const mostCount = 1_000_000

// whole takes a value as a whole number from 1.
func (r *reader) whole(v *value, what string) int {
	text, ok := r.scalar(v, what)
	if !ok {
		return 0
	}
	n, err := parseWhole(text)
	switch {
	case err != nil:
		r.CannotRead(v.at, "bad-number", what+": "+err.Error(), "write a whole number such as 2")
	case n < 1:
		r.Fail(v.at, "count-too-small", fmt.Sprintf("%s is %d", what, n), "give 1 or more")
	}
	return n
}

func parseWhole(text string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	switch {
	case err != nil:
		return 0, fmt.Errorf("%s is no whole number", quote(text))
	case n > mostCount || n < -mostCount:
		return 0, fmt.Errorf("%d is more than %d", n, mostCount)
	}
	return n, nil
}

// word takes a value as one of a few words and is its index; the first, with a
// finding, when it is none of them.
func (r *reader) word(v *value, what string, words ...string) int {
	text, ok := r.scalar(v, what)
	if !ok {
		return 0
	}
	i := slices.Index(words, strings.TrimSpace(text))
	if i < 0 {
		r.Fail(v.at, "unknown-word", fmt.Sprintf("%s is %s", what, quote(text)), r.suggest(text, words))
		return 0
	}
	return i
}
