package job

import (
	"fmt"
	"regexp"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

// row is a line of a table, and field what stands between two separators.
type (
	row   []field
	field struct {
		at   finding.Position
		text string
	}
)

// table is a text in the form of RFC 4180 while it is taken apart. Beyond the
// RFC, a field may have a bare quote in it, as inches do (2"), white space
// before and behind a field means nothing, and a row that begins with # is a
// comment.
type table struct {
	*log
	rest      string
	at        finding.Position // of rest
	separator byte
	comments  []field // what stands behind the # of a comment
}

// separatorOf looks at the first line that is neither empty nor a comment: a
// name in a header has none of the three in it.
func separatorOf(text string) byte {
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		if t := strings.TrimLeft(line, `" `); t == "" || t[0] == '#' {
			continue
		}
		for _, c := range []byte("\t;") {
			if strings.IndexByte(line, c) >= 0 {
				return c
			}
		}
		break
	}
	return ','
}

// rows are all rows but empty ones and comments; false when the quotes of one
// are wrong, so that it cannot be told where fields begin.
func (t *table) rows() ([]row, bool) {
	var rows []row
	for t.rest != "" {
		if t.rest[0] == '#' {
			at := t.at
			t.comment(field{at, t.skip(t.upTo("\n"))})
			t.newLine()
			continue
		}
		r, ok := t.row()
		if !ok {
			return nil, false
		}
		switch {
		case strings.HasPrefix(r[0].text, "#"):
			t.comment(r[0])
		case len(rows) == 0 && strings.HasPrefix(strings.ToLower(r[0].text), "sep="): // a spreadsheet's own word for its separator
		case !r.empty():
			rows = append(rows, r)
		}
	}
	return rows, true
}

func (t *table) comment(f field) {
	t.comments = append(t.comments, field{f.at, strings.TrimSpace(strings.TrimLeft(f.text, "#"))})
}

func (r row) empty() bool {
	for _, f := range r {
		if f.text != "" {
			return false
		}
	}
	return true
}

func (t *table) row() (row, bool) {
	var r row
	for {
		f, ok := t.field()
		if !ok {
			return nil, false
		}
		r = append(r, f)
		if t.rest == "" || t.rest[0] == '\n' {
			t.newLine()
			return r, true
		}
		t.skip(1)
	}
}

// field takes a field and stops before the separator, the line's end or the
// text's.
func (t *table) field() (field, bool) {
	t.blanks()
	if strings.HasPrefix(t.rest, `"`) {
		return t.quoted()
	}
	f := field{at: t.at}
	f.text = strings.TrimSpace(t.skip(t.upTo("\n" + string(t.separator))))
	return f, true
}

// quoted takes a field in quotes; two quotes in it stand for one.
func (t *table) quoted() (field, bool) {
	f := field{at: t.at}
	t.skip(1)
	var text strings.Builder
	for {
		end := strings.IndexByte(t.rest, '"')
		if end < 0 {
			t.CannotRead(f.at, "open-quote", `the quote " that opens here is never closed`, `close it, and write a quote inside a quoted field twice: "2"""`)
			return f, false
		}
		text.WriteString(t.skip(end))
		t.skip(1)
		if !strings.HasPrefix(t.rest, `"`) {
			break
		}
		text.WriteString(t.skip(1))
	}
	f.text = strings.TrimSpace(text.String())
	t.blanks()
	if t.rest != "" && t.rest[0] != '\n' && t.rest[0] != t.separator {
		t.CannotRead(t.at, "text-after-quote", "there is text behind a field in quotes", `write a quote inside a quoted field twice: "2"""`)
		return f, false
	}
	return f, true
}

// blanks skips white space that is not a separator.
func (t *table) blanks() {
	for t.rest != "" && t.rest[0] != t.separator && (t.rest[0] == ' ' || t.rest[0] == '\t') {
		t.skip(1)
	}
}

// upTo is how many bytes there are before any of some characters.
func (t *table) upTo(any string) int {
	if n := strings.IndexAny(t.rest, any); n >= 0 {
		return n
	}
	return len(t.rest)
}

// skip takes n bytes, which end between two characters, and keeps the place.
func (t *table) skip(n int) string {
	taken := t.rest[:n]
	t.rest = t.rest[n:]
	for _, r := range taken {
		t.at.Column++
		if r == '\n' {
			t.at.Line, t.at.Column = t.at.Line+1, 1
		}
	}
	return taken
}

func (t *table) newLine() { t.skip(min(1, len(t.rest))) }

// decimals is which of the two decimal marks the numbers of a table have.
type decimals struct {
	commas       bool             // they may have commas: the table is not parted by them
	point, comma finding.Position // where numbers were first seen to have one
}

// decimalPoint is one beside a digit: that of `in.` is none.
var decimalPoint = regexp.MustCompile(`\d\.|\.\d`)

// withPoint makes a decimal comma a point. A table that has both may mean
// thousands by one of them, so both together are refused, and mixed says where
// they are.
func (d *decimals) withPoint(at finding.Position, text string) (pointed, mixed string) {
	comma, point := strings.Contains(text, ","), decimalPoint.MatchString(text)
	if !d.commas || comma == point || units.Dated(text) != nil {
		return text, ""
	}
	if comma && d.comma.Line == 0 {
		d.comma = at
	}
	if point && d.point.Line == 0 {
		d.point = at
	}
	if d.comma.Line > 0 && d.point.Line > 0 && (d.comma == at || d.point == at) {
		return text, fmt.Sprintf("has decimal commas and decimal points, as in lines %d and %d", d.comma.Line, d.point.Line)
	}
	return strings.Replace(text, ",", ".", 1), ""
}
