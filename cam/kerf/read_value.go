package kerf

import (
	"fmt"
	"regexp"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// mostText is the most characters of a note: it becomes part of a recipe's source.
const mostText = 200

// text takes a cell as one line that a terminal, a program or a page can show.
func (r *reader) text(c job.Cell, column string) string {
	return strict.Cell(&r.log, c.At, column, c.Text, mostText).Text()
}

// id takes a cell as the id of a profile.
func (r *reader) id(c job.Cell, column string) string {
	text := strings.ToLower(c.Text)
	if !strict.IsID(text) {
		r.log.CannotRead(c.At, "bad-id", fmt.Sprintf("%s: %s is no id", column, finding.Quote(c.Text)), "write the id that `traywright profiles` lists: small letters, digits and single hyphens")
		return ""
	}
	return text
}

// isoDate is the one form of date that means the same everywhere.
var isoDate = regexp.MustCompile(`^\d{4}-(0[1-9]|1[0-2])(-(0[1-9]|[12]\d|3[01]))?$`)

func (r *reader) date(c job.Cell) string {
	if !ValidDate(c.Text) {
		r.log.CannotRead(c.At, "bad-date", finding.Quote(c.Text)+" is no date", "write it as 2026-03-01")
		return ""
	}
	return c.Text
}

// ValidDate reports whether a date is written as 2026-03-01 or 2026-03.
func ValidDate(text string) bool { return isoDate.MatchString(text) }

// word takes a cell as one of a few words.
func (r *reader) word(c job.Cell, column string, words ...string) string {
	text := strings.ToLower(c.Text)
	for _, w := range words {
		if text == w {
			return w
		}
	}
	r.log.CannotRead(c.At, "unknown-word", fmt.Sprintf("%s is %s", column, finding.Quote(c.Text)), "write "+strings.Join(words, " or "))
	return ""
}

// pointed is a cell's text with a decimal point; false when the table has both marks.
func (r *reader) pointed(c job.Cell) (string, bool) {
	text, mixed := r.table.WithPoint(c)
	if mixed != "" {
		r.log.CannotRead(c.At, "mixed-decimals", fmt.Sprintf("%s: the table %s", finding.Quote(c.Text), mixed), "use one of the two throughout")
	}
	return text, mixed == ""
}

// longest is beyond any coupon: a longer one has lost its decimal mark.
const longest = 2000 * 1_000_000

// length takes a cell as a length above 0.
func (r *reader) length(c job.Cell, column string) units.Length {
	text, ok := r.pointed(c)
	if !ok {
		return 0
	}
	l, err := units.Parse(text, r.bare)
	switch {
	case err != nil:
		r.log.CannotRead(c.At, "bad-length", column+": "+err.Error(), "a length is 20.35, 20.35 mm, 0.8 in or 1 1/4 in")
		return 0
	case l > longest:
		r.log.CannotRead(c.At, "out-of-range", fmt.Sprintf("%s is %s, longer than any coupon", column, l), "mind the decimal mark and the unit")
		return 0
	case l <= 0:
		r.log.Fail(c.At, "not-above-zero", fmt.Sprintf("%s is %s", column, l), "leave the cell empty where nothing was measured")
		return 0
	}
	return l
}

// measure is a length with the step of its last digit.
func (r *reader) measure(c job.Cell, column string) Measure {
	l := r.length(c, column)
	if l == 0 {
		return Measure{}
	}
	return Measure{Length: l, Step: stepOf(strings.Replace(c.Text, ",", ".", 1), r.bare), At: c.At}
}

// written is a decimal number and its unit.
var written = regexp.MustCompile(`^\s*[+]?\d*\.?(\d*)(.*)$`)

// stepOf is what the last digit of a length stands for: 0.01 mm of "20.35". A
// fraction has none.
func stepOf(text string, bare units.Unit) units.Length {
	m := written.FindStringSubmatch(text)
	if m == nil || strings.Contains(text, "/") || len(m[1]) > 9 {
		return 0
	}
	one := "1"
	if n := len(m[1]); n > 0 {
		one = "0." + strings.Repeat("0", n-1) + "1"
	}
	step, err := units.Parse(one+" "+m[2], bare)
	if err != nil {
		return 0
	}
	return step
}

// number takes a cell as a number from least to most, with or without its unit.
func (r *reader) number(c job.Cell, column string, least, most float64, unit string) float64 {
	text, ok := r.pointed(c)
	if !ok {
		return 0
	}
	bare := strings.TrimSpace(strings.TrimSuffix(text, unit))
	n, err := strict.Decimal(bare)
	switch {
	case err != nil:
		r.log.CannotRead(c.At, "bad-number", fmt.Sprintf("%s: %s", column, err), strings.TrimSpace("write a number of "+unit))
		return 0
	case n < least || n > most:
		r.log.CannotRead(c.At, "out-of-range", fmt.Sprintf("%s: %s is not from %v to %v", column, bare, least, most), "")
		return 0
	}
	return n
}
