package kerf

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// mostRows bounds a table: far more squares than a person measures.
const mostRows = 5000

// Read reads the measurements of coupons: a CSV of
// foam,thickness,machine,axis,size,hole,plug, in any order, and of the optional
// columns tool, face, feed, power, current, passes, stepdown, defocus, date, note,
// density, block_length, block_width, block_height and block_mass. Hole and plug
// may be empty, for a square that was not measured or did not come out.
//
// A bare length is in bare, or in the unit that a comment such as "# units: in"
// names; any length may carry its own. "# date: ..." stands for rows that have
// none, "# note: ..." goes with the kerf into the recipe's source, and "# scale: X 0.997 Y 1" is what the coupon's program
// was corrected for, as its header says.
//
// The error is a finding.List: a text that is no value. Findings are about
// values that cannot be; Check looks for what else is wrong.
func Read(file string, data []byte, bare units.Unit) (*Readings, finding.List, error) {
	return readRows(file, data, bare, columnNames(measureColumns), measureNeeds)
}

// ReadPockets reads the sizes of cut pockets: the same table without plugs, where size is the
// hole that was wanted.
func ReadPockets(file string, data []byte, bare units.Unit) (*Readings, finding.List, error) {
	isPlug := func(column string) bool { return column == string(PlugPart) }
	return readRows(file, data, bare, slices.DeleteFunc(columnNames(measureColumns), isPlug), slices.DeleteFunc(slices.Clone(measureNeeds), isPlug))
}

func readRows(file string, data []byte, bare units.Unit, known, needs []string) (*Readings, finding.List, error) {
	table, err := job.ReadTable(file, data)
	if err != nil {
		return nil, nil, err
	}
	r := &reader{table: table, file: file, bare: bare, rest: map[string]string{}}
	r.readComments()
	read := &Readings{File: file, InForce: r.inForce, Note: r.rest["note"], Bare: r.bare}
	if h := r.readHeader(known, needs, "measurements"); h != nil {
		for _, row := range r.body(h) {
			read.Rows = append(read.Rows, r.reading(h, row))
		}
	}
	found, err := r.log.Result()
	if err != nil {
		return nil, nil, err
	}
	return read, found, nil
}

// reader takes values out of a table and keeps what is wrong.
type reader struct {
	table   *job.Table
	file    string
	bare    units.Unit
	rest    map[string]string // what comments say
	inForce [2]float64

	unitSaid bool // a comment has named the unit of bare numbers

	log finding.Log
}

// readComments takes "# units: in" and its like; every other comment is a person's.
func (r *reader) readComments() {
	for _, c := range r.table.Comments {
		key, value, ok := strings.Cut(c.Text, ":")
		value = strings.Trim(value, " \t,;")
		if !ok || value == "" {
			continue
		}
		switch strings.ToLower(strings.TrimSpace(key)) {
		case "units", "unit":
			r.readUnit(c.At, value)
		case "scale":
			r.readScale(c.At, value)
		case "date":
			r.rest["date"] = r.date(job.Cell{At: c.At, Text: value})
		case "note":
			r.rest["note"] = r.text(job.Cell{At: c.At, Text: value}, "note")
		}
	}
}

func (r *reader) readUnit(at finding.Position, name string) {
	before := r.bare
	switch strings.ToLower(name) {
	case "mm":
		r.bare = units.Millimetre
	case "in", "inch", "inches":
		r.bare = units.Inch
	default:
		r.log.CannotRead(at, "unknown-unit", fmt.Sprintf("%s is no unit of bare numbers", finding.Quote(name)), "write `# units: mm` or `# units: in`")
	}
	if r.unitSaid && r.bare != before {
		r.log.CannotRead(at, "two-units", "a line above says another unit of bare numbers", "keep one of the two lines")
	}
	r.unitSaid = true
}

// scaleForm is how a program's header writes the scale that it was corrected for.
var scaleForm = regexp.MustCompile(`(?i)^X\s+([\d.]+)\s+Y\s+([\d.]+)\b`)

func (r *reader) readScale(at finding.Position, text string) {
	m := scaleForm.FindStringSubmatch(text)
	if m != nil {
		x, errX := strict.Decimal(m[1])
		y, errY := strict.Decimal(m[2])
		if errX == nil && errY == nil && canBeScale(x) && canBeScale(y) {
			r.inForce = [2]float64{x, y}
			return
		}
	}
	r.log.CannotRead(at, "bad-scale", finding.Quote(text)+" is no scale", "write it as the program's header has it: # scale: X 0.997 Y 1")
}

// header is which column stands where; "" for one without a name.
type header []string

// readHeader takes the first row; nil when the table cannot be read by it.
func (r *reader) readHeader(known, needs []string, what string) header {
	start := finding.Start(r.file)
	if len(r.table.Rows) == 0 {
		r.log.Fail(start, "no-readings", "the file is empty", "begin with the line "+strings.Join(needs, ","))
		return nil
	}
	var h header
	before := r.log.Unread()
	for _, c := range r.table.Rows[0] {
		name := strings.ToLower(c.Text)
		switch {
		case name != "" && !slices.Contains(known, name):
			r.log.CannotRead(c.At, "unknown-column", fmt.Sprintf("%s have no column %s", what, finding.Quote(c.Text)), finding.Suggest(name, known))
		case name != "" && slices.Contains(h, name):
			r.log.CannotRead(c.At, "duplicate-column", "there is a second column "+name, "keep one of the two")
		}
		h = append(h, name)
	}
	for _, name := range needs {
		if r.log.Unread() == before && !slices.Contains(h, name) {
			r.log.CannotRead(r.table.Rows[0][0].At, "missing-column", fmt.Sprintf("the %s have no column %s", what, name),
				"the first row names the columns; needed are "+strings.Join(needs, ", "))
		}
	}
	if r.log.Unread() > before {
		return nil
	}
	return h
}

// body is the rows below the header.
func (r *reader) body(h header) [][]job.Cell {
	rows := r.table.Rows[1:]
	if len(rows) == 0 {
		r.log.Fail(r.table.Rows[0][0].At, "no-readings", "there is no row below the names of the columns", "write a row for each square and axis")
	}
	if len(rows) > mostRows {
		r.log.Fail(rows[mostRows][0].At, "too-many", fmt.Sprintf("there are %d rows, more than %d", len(rows), mostRows), "make it several files")
		rows = rows[:mostRows]
	}
	for _, row := range rows {
		for i, c := range row {
			if c.Text != "" && (i >= len(h) || h[i] == "") {
				r.log.CannotRead(c.At, "too-many-fields", finding.Quote(c.Text)+" stands in a column without a name",
					"where commas part the columns a decimal comma needs quotes; or name the column")
			}
		}
	}
	return rows
}

// cell is a row's text in a column, and whether there is one.
func (h header) cell(row []job.Cell, column string) (job.Cell, bool) {
	i := slices.Index(h, column)
	if i < 0 || i >= len(row) || row[i].Text == "" {
		return job.Cell{}, false
	}
	return row[i], true
}
