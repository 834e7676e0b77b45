package strict

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

// Cell is a text of another kind of file, such as a table, as a value: it is read
// and reported alike.
func Cell(log *finding.Log, at finding.Position, name, text string, longest int) Value {
	return Value{doc: &document{log, Options{LongestText: longest}}, node: &node{at: at, kind: scalar, text: text}, key: name, named: byName}
}

// Scalar is the text or number as it stands in the file, without space around it;
// false when the value is absent or none.
func (v Value) Scalar() (string, bool) {
	switch {
	case v.node == nil:
		return "", false
	case v.node.kind != scalar:
		v.wrongKind("a text or a number")
		return "", false
	}
	return strings.TrimSpace(v.node.text), true
}

// Is reports whether the value is written as a word.
func (v Value) Is(word string) bool {
	return v.node != nil && v.node.kind == scalar && strings.TrimSpace(v.node.text) == word
}

// Text takes the value as one line of text: white space collapsed, not empty, no
// control characters.
func (v Value) Text() string {
	text, ok := v.Scalar()
	if !ok {
		return ""
	}
	text, err := line(text, v.doc.LongestText)
	switch {
	case err != nil:
		v.cannotRead("bad-text", v.Called()+" "+err.Error(), "write a short plain text")
	case text == "":
		v.cannotRead("missing-value", v.Called()+" is an empty text", "write one, or take the key out")
	}
	return text
}

// id is what ids look like: safe as a folder, on every system and in every shell.
var id = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// IsID reports whether a text is an id: small letters, digits and single hyphens
// between them, at most 40.
func IsID(text string) bool { return len(text) <= 40 && id.MatchString(text) }

// Name takes the value as an id: small letters, digits and hyphens.
func (v Value) Name() string {
	text := v.Text()
	if text != "" && !IsID(text) {
		v.Fail(fmt.Sprintf("%q is no id", text), "write small letters, digits and single hyphens, at most 40")
		return ""
	}
	return text
}

// OneOf takes the value as one of a few words; "" when it is none.
func (v Value) OneOf(words ...string) string {
	text, ok := v.Scalar()
	if !ok {
		return ""
	}
	if !slices.Contains(words, text) {
		v.doc.log.Fail(v.node.at, "unknown-word", v.Called()+" is "+finding.Quote(text), finding.Suggest(text, words))
		return ""
	}
	return text
}

// Word is the index of OneOf's word; 0 when it is none.
func (v Value) Word(words ...string) int { return max(0, slices.Index(words, v.OneOf(words...))) }

// Flag takes the value as true or false.
func (v Value) Flag() bool { return v.OneOf("true", "false") == "true" }

// decimal is the only form of number that is read: what people write, without
// exponents and infinities.
var decimal = regexp.MustCompile(`^[+-]?(\d+(\.\d*)?|\.\d+)$`)

// Decimal reads a decimal number such as 3.175; exponents, hexadecimals,
// infinities and NaN are errors.
func Decimal(text string) (float64, error) {
	if len(text) > 40 || !decimal.MatchString(text) {
		return 0, fmt.Errorf("%s is no number", finding.Quote(text))
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(n, 0) || math.IsNaN(n) {
		return 0, fmt.Errorf("%s is no number", finding.Quote(text))
	}
	return n, nil
}

// decimalComma is a number as many languages write it.
var decimalComma = regexp.MustCompile(`^([+-]?\d+),(\d+)$`)

// withPoint is such a number as it is read here.
func withPoint(text string) (pointed string, ok bool) {
	return decimalComma.ReplaceAllString(text, "$1.$2"), decimalComma.MatchString(text)
}

// Number takes the value as a decimal number from least to most.
func (v Value) Number(least, most float64) float64 {
	text, ok := v.Scalar()
	if !ok {
		return 0
	}
	n, err := Decimal(text)
	switch {
	case err != nil:
		hint := "write a number such as 12.5"
		if pointed, ok := withPoint(text); ok {
			hint = "write it with a point: " + pointed
		}
		v.cannotRead("bad-number", v.Called()+": "+err.Error(), hint)
		return 0
	case n < least || n > most:
		v.cannotRead("bad-number", fmt.Sprintf("%s: %s is not from %v to %v", v.Called(), text, least, most), fmt.Sprintf("write a number from %v to %v", least, most))
		return 0
	}
	return n
}

// Whole takes the value as a whole number from least to most. One that is less is
// wrong, and is returned all the same.
func (v Value) Whole(least, most int) int {
	text, ok := v.Scalar()
	if !ok {
		return 0
	}
	n, err := strconv.Atoi(text)
	switch {
	case err != nil:
		v.cannotRead("bad-number", fmt.Sprintf("%s: %s is no whole number", v.Called(), finding.Quote(text)), fmt.Sprintf("write a whole number from %d to %d", least, most))
		return 0
	case n > most || n < -most:
		v.cannotRead("bad-number", fmt.Sprintf("%s: %d is more than %d", v.Called(), n, most), fmt.Sprintf("write a whole number from %d to %d", least, most))
		return 0
	case n < least:
		v.doc.log.Fail(v.node.at, "count-too-small", fmt.Sprintf("%s is %d", v.Called(), n), fmt.Sprintf("give %d or more", least))
	}
	return n
}

// Length takes the value as a length of any sign; one without a unit is in bare.
// False when it is none.
func (v Value) Length(bare units.Unit) (units.Length, bool) {
	text, ok := v.Scalar()
	if !ok {
		return 0, false
	}
	l, err := units.Parse(text, bare)
	if err != nil {
		v.cannotRead("bad-length", v.Called()+": "+err.Error(), "a length is 31, 31 mm, 1.25 in or 1 1/4 in")
	}
	return l, err == nil
}
