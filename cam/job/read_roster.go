package job

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// Columns of a roster; those that it needs come first.
var (
	rosterColumns = rosterKeys.Names()
	rosterNeeds   = rosterColumns[:5]
)

// Bounds of a roster.
const (
	mostPieces  = 20_000 // kinds, one a row
	mostWeightG = 100_000
	mostPile    = 1000 // pieces on each other
)

// roster reads the file that the job names; false when it could not be.
func (r *reader) roster(v strict.Value) ([]Piece, bool) {
	name := r.path(v)
	if name == "" {
		return nil, false
	}
	text, ok := r.readFile(r.fsys, name, v.At())
	if !ok {
		return nil, false
	}
	return r.pieces(name, text)
}

// pieces reads a roster's text.
func (r *reader) pieces(file, text string) ([]Piece, bool) {
	t := table{log: r.log, rest: text, at: finding.Start(file), separator: separatorOf(text)}
	rows, ok := t.rows()
	if !ok {
		return nil, false
	}
	if len(rows) == 0 {
		r.Fail(finding.Start(file), "empty-roster", "the roster is empty", "begin with the line "+strings.Join(rosterColumns, ","))
		return nil, true
	}
	h, ok := r.header(rows[0])
	if !ok {
		return nil, false
	}
	h.decimals.commas = t.separator != ','
	return r.rowsOf(h, rows[1:], rows[0][0].at), true
}

// rowsOf reads the rows below a header.
func (r *reader) rowsOf(h *header, rows []row, at finding.Position) []Piece {
	switch {
	case len(rows) == 0:
		r.Fail(at, "empty-roster", "the roster has no pieces", "write a row for each kind of piece")
	case len(rows) > mostPieces:
		r.Fail(rows[mostPieces][0].at, "too-many", fmt.Sprintf("the roster has %d rows, more than %d", len(rows), mostPieces), "use `count` for pieces that are alike")
		rows = rows[:mostPieces]
	}
	pieces := make([]Piece, 0, len(rows))
	first := map[string]finding.Position{}
	for _, fields := range rows {
		p := r.piece(h, fields, first)
		if at, ok := first[p.ID]; ok && p.ID != "" && !r.sheet {
			r.Fail(p.Position, "duplicate-id", fmt.Sprintf("the piece %s is here a second time; it is in line %d already", finding.Quote(p.ID), at.Line), "give it an id of its own, or add to the other's count")
			continue
		}
		if _, again := first[p.ID]; !again {
			first[p.ID] = p.Position
		}
		pieces = append(pieces, p)
	}
	return pieces
}

// header is which column stands where.
type header struct {
	names    []string          // "" for a column that is empty
	units    map[string]string // of columns that say one: length (in)
	decimals decimals
}

func (r *reader) header(fields row) (*header, bool) {
	h := &header{units: map[string]string{}}
	before := r.Unread()
	for _, f := range fields {
		name, unit := columnOf(strings.ToLower(f.text))
		if unit != "" {
			h.units[name] = unit
		}
		switch {
		case name != "" && !slices.Contains(rosterColumns, name):
			r.CannotRead(f.at, "unknown-column", "a roster has no column "+finding.Quote(f.text), cmp.Or(unitHint(name), r.suggest(name, rosterColumns)))
		case name != "" && slices.Contains(h.names, name):
			r.CannotRead(f.at, "duplicate-column", "there is a second column "+name, "keep one of the two")
		}
		h.names = append(h.names, name)
	}
	if r.Unread() > before {
		return nil, false
	}
	for _, name := range rosterNeeds {
		if !slices.Contains(h.names, name) {
			r.CannotRead(fields[0].at, "missing-column", "the roster has no column "+name, "the first row names the columns; needed are "+strings.Join(rosterNeeds, ", "))
		}
	}
	return h, r.Unread() == before
}

// unitInName is a unit behind a column's name: length (in), weight [g].
var unitInName = regexp.MustCompile(`^(length|width|height|weight|weight_g)[ _]*[(\[] *(mm|cm|in|in\.|inch|inches|g|grams) *[)\]]$`)

// columnOf is a column's name and the unit that it says of its lengths; "" for none.
func columnOf(text string) (name, unit string) {
	m := unitInName.FindStringSubmatch(text)
	weighed := m != nil && strings.HasPrefix(m[1], "weight")
	switch grams := m != nil && strings.HasPrefix(m[2], "g"); {
	case m == nil || weighed != grams:
		return text, ""
	case grams:
		return "weight_g", ""
	}
	return m[1], m[2]
}

// unitSaid is a column's name with a unit in another form: length mm, width_cm, height in inches.
var unitSaid = regexp.MustCompile(`^(length|width|height)[^a-z]+(?:in[^a-z]+)?(mm|cm|in|inch|inches)[^a-z]*$`)

// unitHint is how a column says the unit that its name has in another form, "" without one: under
// the bare name its numbers would be read in the job's.
func unitHint(name string) string {
	if m := unitSaid.FindStringSubmatch(name); m != nil {
		return fmt.Sprintf("did you mean %s (%s)?", m[1], m[2])
	}
	return ""
}

// piece reads a row.
func (r *reader) piece(h *header, fields row, first map[string]finding.Position) Piece {
	p := Piece{Position: finding.Position{File: fields[0].at.File, Line: fields[0].at.Line, Column: 1}}
	given := map[string]bool{}
	for i, f := range fields {
		switch {
		case f.text == "":
		case i >= len(h.names) || h.names[i] == "":
			r.CannotRead(f.at, "too-many-fields", finding.Quote(f.text)+" stands in a column without a name", "put a text that has the separator in it in quotes, or name the column")
		default:
			given[h.names[i]] = true
			r.cell(h, &p, h.names[i], f)
		}
	}
	for _, name := range rosterNeeds {
		if _, again := first[p.ID]; name == "count" && again && r.sheet { // its first row has it
			continue
		}
		if !given[name] {
			r.CannotRead(p.Position, "missing-value", "this row has no "+name, "fill in "+strings.Join(rosterNeeds, ", ")+"; a total is no piece: take its row out")
		}
	}
	r.checkRound(&p)
	if p.Pile > 1 && p.Pose == AnyPose { // what stands on edge is no pile
		p.Pose = Upright
	}
	return p
}

// cell reads a field that is not empty.
func (r *reader) cell(h *header, p *Piece, column string, f field) {
	v := r.asValue(f, column)
	_, notWhole := strconv.Atoi(f.text) // 46024 g is a weight; no fraction is typed there that a spreadsheet keeps as such a number
	if (column == "weight_g" && notWhole != nil || column == "count" || column == "pile") && units.Dated(f.text) != nil {
		r.CannotRead(f.at, "bad-number", fmt.Sprintf("%s: %s looks like a date that a spreadsheet made of a number", v.Called(), finding.Quote(f.text)), "set the column to text in the spreadsheet, and type the number again")
		return
	}
	switch column {
	case "id":
		p.ID = v.Text()
	case "name":
		p.Name = v.Text()
	case "group":
		p.Group = v.Text()
	case "count":
		p.Count = v.Whole(1, mostCount)
	case "length":
		p.Length = r.above(r.withPoint(h, f, column))
	case "width":
		p.Width = r.above(r.withPoint(h, f, column))
	case "height":
		p.Height = r.above(r.withPoint(h, f, column))
	case "weight_g":
		p.WeightG = r.weight(r.withPoint(h, f, column))
	case "outline":
		p.Outline = r.path(v)
	case "often":
		p.Often = v.Word("no", "yes") == 1
	case "pile":
		p.Pile = v.Whole(1, mostPile)
	case "shape":
		p.Shape = Shape(v.Word("rect", "round"))
	case "pose":
		p.Pose = Pose(v.Word("any", "upright", "lying"))
	}
}

// weight reads grams. A weight below 0 is a number all the same.
func (r *reader) weight(v strict.Value) float64 {
	text, _ := v.Scalar()
	if n, err := strict.Decimal(text); err == nil && n < 0 {
		r.Fail(v.At(), "weight-below-zero", v.Called()+" is "+text, "give 0 or more, or leave it empty")
		return 0
	}
	return v.Number(0, mostWeightG)
}

// withPoint makes a decimal comma a point.
func (r *reader) withPoint(h *header, f field, column string) strict.Value {
	text, mixed := h.decimals.withPoint(f.at, f.text)
	if mixed != "" {
		r.CannotRead(f.at, "mixed-decimals", fmt.Sprintf("%s: the roster %s", finding.Quote(f.text), mixed), "use one of the two throughout")
		text = "1"
	}
	if unit := h.units[column]; unit != "" && strings.Trim(text, "0123456789./ -\u00bc\u00bd\u00be") == "" && units.Dated(text) == nil {
		text += " " + unit
	}
	return r.asValue(field{f.at, text}, column)
}

// asValue is a field as a value that is called after its column.
func (r *reader) asValue(f field, column string) strict.Value {
	return strict.Cell(&r.Log, f.at, column, f.text, maxText)
}

// checkRound takes the larger of two measurements of a diameter.
func (r *reader) checkRound(p *Piece) {
	if p.Shape != Round || p.Length == p.Width {
		return
	}
	r.Warn(p.Position, "round-not-round", fmt.Sprintf("%s is round, and %s by %s; the larger is taken", finding.Quote(p.ID), p.Length.Format(r.unit), p.Width.Format(r.unit)), "measure it again, or make its shape rect")
	p.Length = max(p.Length, p.Width)
	p.Width = p.Length
}
