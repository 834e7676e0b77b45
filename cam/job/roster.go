package job

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// The roster's columns; those in needed have to be there.
var (
	columns = []string{"id", "name", "group", "count", "length", "width", "height", "weight_g", "shape", "pose"}
	needed  = []string{"id", "count", "length", "width", "height"}
)

// loadRoster reads the roster that the job names, if it names one.
func (r *reader) loadRoster(fsys fs.FS, raw rawJob) error {
	if !raw.roster.Present() {
		return nil
	}
	name := r.insideFolder(raw.roster)
	if name == "" {
		return nil
	}
	text, err := readFile(fsys, name)
	if err != nil {
		return err
	}
	return r.roster(name, text, raw.Units)
}

// roster reads a roster's text. Its error is a *ReadError with every row that
// cannot be read, twenty at most.
func (r *reader) roster(name string, text []byte, unit units.Unit) error {
	text, err := plainUTF8(name, text)
	if err != nil {
		return err
	}
	t := &table{file: name, unit: unit}
	if !t.open(text) {
		return &ReadError{t.problems}
	}
	for {
		row, at, err := t.next()
		if errors.Is(err, io.EOF) || len(t.problems) >= maxProblems {
			break
		}
		if err != nil {
			return unreadable(at.String(), err.Error(), "a field with quotes needs one at each end, and doubled ones inside")
		}
		r.takePiece(t.piece(row, at))
	}
	if len(t.problems) > 0 {
		return &ReadError{t.problems}
	}
	if len(r.pieces) == 0 {
		r.refuse(Position{File: name}, "empty-roster", "add a row for each kind of piece, or leave the roster out of the job", "the roster has no pieces")
	}
	return nil
}

// plainUTF8 takes a byte-order mark off and refuses other encodings.
func plainUTF8(name string, text []byte) ([]byte, error) {
	const hint = "save the spreadsheet as CSV with the encoding UTF-8"
	if bytes.HasPrefix(text, []byte{0xff, 0xfe}) || bytes.HasPrefix(text, []byte{0xfe, 0xff}) {
		return nil, unreadable(name, "the roster is in UTF-16, not UTF-8", hint)
	}
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	line := 1
	for row := range bytes.Lines(text) {
		if !utf8.Valid(row) || bytes.IndexByte(row, 0) >= 0 {
			return nil, unreadable(Position{File: name, Line: line}.String(), "the roster is not in UTF-8", hint)
		}
		line++
	}
	return text, nil
}

// takePiece files a piece, unless it has a problem.
func (r *reader) takePiece(p Piece, ok bool) {
	if !ok {
		return
	}
	if first, twice := r.pieces[p.ID]; twice {
		r.refuse(p.Position, "duplicate-id", "use count for several of one kind", "the piece %q is on line %d already", p.ID, first.Position.Line)
		return
	}
	if len(r.pieces) == maxPieces {
		r.refuse(p.Position, "too-many", "split the roster", "the roster has more than %d pieces", maxPieces)
		return
	}
	r.pieces[p.ID] = p
	if p.Count < 1 {
		r.refuse(p.Position, "bad-count", "count is 1 or more", "piece %q: its count is %d", p.ID, p.Count)
	}
	if p.Length <= 0 || p.Width <= 0 || p.Height <= 0 {
		r.refuse(p.Position, "bad-size", "write the box around the piece as measured, each side above 0",
			"piece %q: its box is %s x %s x %s", p.ID, p.Length, p.Width, p.Height)
	}
	if p.WeightG < 0 {
		r.refuse(p.Position, "negative", "weight_g is 0 or more", "piece %q: its weight is %g g", p.ID, p.WeightG)
	}
}

// table reads rows and knows where each field stood.
type table struct {
	file     string
	unit     units.Unit
	csv      *csv.Reader
	comma    bool           // numbers may have a decimal comma
	at       map[string]int // column of each name
	fields   int            // of the header
	problems finding.List
}

func (t *table) fail(at Position, hint, format string, args ...any) {
	t.problems = append(t.problems, finding.Finding{Rule: "unreadable", Where: at.String(), Message: fmt.Sprintf(format, args...), Hint: hint})
}

// open reads the header. The separator is whichever of tab, semicolon and comma
// the header has most of, so a decimal comma cannot be mistaken for one.
func (t *table) open(text []byte) bool {
	separator := separatorOf(text)
	t.comma = separator != ','
	t.csv = csv.NewReader(bytes.NewReader(text))
	t.csv.Comma, t.csv.Comment, t.csv.FieldsPerRecord, t.csv.TrimLeadingSpace = separator, '#', -1, separator != '\t'
	header, at, err := t.next()
	if err != nil {
		t.fail(Position{File: t.file}, "its first row names the columns: "+strings.Join(columns, ","), "the roster is empty or has no header")
		return false
	}
	t.at, t.fields = map[string]int{}, len(header)
	for i, name := range header {
		t.column(strings.ToLower(strings.TrimSpace(name)), i, t.place(at, i))
	}
	for _, name := range needed {
		if _, ok := t.at[name]; !ok {
			t.fail(at, "name the column in the first row", "the roster has no column %s", name)
		}
	}
	return len(t.problems) == 0
}

// separatorOf looks at the first line that is neither empty nor a comment.
func separatorOf(text []byte) rune {
	for line := range bytes.Lines(text) {
		line = bytes.TrimSpace(line)
		if len(line) == 0 || line[0] == '#' {
			continue
		}
		best, most := ',', bytes.Count(line, []byte(","))
		for _, c := range ";\t" {
			if n := bytes.Count(line, []byte(string(c))); n > most {
				best, most = c, n
			}
		}
		return best
	}
	return ','
}

func (t *table) column(name string, i int, at Position) {
	for _, known := range columns {
		if known != name {
			continue
		}
		if _, twice := t.at[name]; twice {
			t.fail(at, "keep one", "the column %s is there twice", name)
		}
		t.at[name] = i
		return
	}
	if name == "" {
		return
	}
	hint := near(name, columns)
	if hint == "" {
		hint = "known are " + strings.Join(columns, ", ")
	}
	t.fail(at, hint, "there is no column %q", name)
}

// next is the next row that is not empty, and where it begins.
func (t *table) next() ([]string, Position, error) {
	for {
		row, err := t.csv.Read()
		at := Position{File: t.file}
		if err != nil {
			var parse *csv.ParseError
			if errors.As(err, &parse) {
				at.Line, at.Column = parse.Line, parse.Column
				err = parse.Err
			}
			return nil, at, err
		}
		at.Line, _ = t.csv.FieldPos(0)
		if len(strings.TrimSpace(strings.Join(row, ""))) > 0 {
			return row, at, nil
		}
	}
}

// place is where field i of the last row stood.
func (t *table) place(at Position, i int) Position {
	at.Line, at.Column = t.csv.FieldPos(i)
	return at
}

// fields is one row while it is read.
type fields struct {
	*table
	row []string
	at  Position
	ok  bool
}

// piece reads a row; ok is false when it has a problem.
func (t *table) piece(row []string, at Position) (p Piece, ok bool) {
	f := &fields{t, row, at, true}
	p = Piece{
		Position: at, ID: f.text("id"), Name: f.text("name"), Group: f.text("group"), Count: f.count(),
		Length: f.length("length"), Width: f.length("width"), Height: f.length("height"), WeightG: f.weight(),
		Shape: map[string]Shape{"round": Round}[f.word("shape", "rect", "round")],
		Pose:  map[string]Pose{"upright": Upright, "lying": Lying}[f.word("pose", "any", "upright", "lying")],
	}
	if p.ID == "" && f.ok {
		f.problem("id", "give every piece an id", "the row has no id")
	}
	if len(row) > t.fields {
		f.problem("", "check for a separator too many; a text with one in it needs quotes", "the row has %d fields, and the header %d", len(row), t.fields)
	}
	return p, f.ok
}

func (f *fields) problem(column, hint, format string, args ...any) {
	at := f.at
	if i, ok := f.table.at[column]; ok && i < len(f.row) {
		at = f.place(at, i)
	}
	f.fail(at, hint, format, args...)
	f.ok = false
}

// text is a field as one line without control characters.
func (f *fields) text(column string) string {
	i, ok := f.table.at[column]
	if !ok || i >= len(f.row) {
		return ""
	}
	s := strings.Join(strings.Fields(f.row[i]), " ")
	if utf8.RuneCountInString(s) > longestText {
		f.problem(column, "write a shorter one", "%s has more than %d characters", column, longestText)
		return ""
	}
	return strings.Map(func(r rune) rune {
		if strict.Control(r) {
			return -1
		}
		return r
	}, s)
}

const longestText = 200

func (f *fields) word(column string, words ...string) string {
	s := strings.ToLower(f.text(column))
	if s == "" {
		return ""
	}
	for _, w := range words {
		if w == s {
			return s
		}
	}
	hint := near(s, words)
	if hint == "" {
		hint = "write " + strings.Join(words, " or ")
	}
	f.problem(column, hint, "%s: %q is not known", column, s)
	return ""
}

func (f *fields) length(column string) units.Length {
	s := f.number(column)
	if s == "" {
		f.problem(column, "write the length as measured", "%s is missing", column)
		return 0
	}
	l, err := units.Parse(s, f.unit)
	if err != nil {
		reason, hint := splitAdvice(err)
		f.problem(column, hint, "%s: %s", column, reason)
	}
	return l
}

// number is a field with its decimal comma, if it has one, made a point.
func (f *fields) number(column string) string {
	s := f.text(column)
	if f.comma && strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	return s
}

func (f *fields) count() int {
	s := f.number("count")
	n, err := strconv.ParseFloat(s, 64)
	if err != nil || n != math.Trunc(n) || math.Abs(n) > 1e6 {
		f.problem("count", "write a whole number", "count: %q is not a whole number up to 1000000", s)
		return 0
	}
	return int(n)
}

func (f *fields) weight() float64 {
	s := f.number("weight_g")
	if s == "" {
		return 0
	}
	n, err := strict.Decimal(s)
	if err != nil || n > 1e6 {
		f.problem("weight_g", "write grams, such as 38 or 38.5", "weight_g: %q is no weight", s)
		return 0
	}
	return n
}
