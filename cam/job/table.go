package job

import (
	"traywright/cam/finding"
	"traywright/profiles/strict"
)

// Cell is what stands between two separators of a table, and where.
type Cell struct {
	At   finding.Position
	Text string
}

// Table is a CSV file in the form of a roster, taken apart: the rows that are
// neither empty nor a comment, the first of them the names of the columns.
type Table struct {
	Rows     [][]Cell
	Comments []Cell // what stands behind the # of each comment
	decimals decimals
}

// ReadTable takes a CSV file apart the way that a roster is: comma, semicolon or
// tab, UTF-8 with or without a byte-order mark, line endings of every system.
// File only names it in messages. The error is a finding.List.
func ReadTable(file string, data []byte) (*Table, error) {
	l := &log{Log: finding.Log{First: file}}
	text, ok := strict.Text(&l.Log, file, data, "make it two files")
	if !ok {
		_, err := l.Result()
		return nil, err
	}
	t := table{log: l, rest: text, at: finding.Start(file), separator: separatorOf(text)}
	rows, ok := t.rows()
	if !ok {
		_, err := l.Result()
		return nil, err
	}
	read := &Table{decimals: decimals{commas: t.separator != ','}}
	for _, r := range rows {
		read.Rows = append(read.Rows, cells(r))
	}
	read.Comments = cells(t.comments)
	return read, nil
}

func cells(fields []field) []Cell {
	list := make([]Cell, len(fields))
	for i, f := range fields {
		list[i] = Cell{f.at, f.text}
	}
	return list
}

// WithPoint is a number's text with its decimal comma made a point, where the
// table is not parted by commas. When the table has decimal commas and decimal
// points, mixed says so and names their lines.
func (t *Table) WithPoint(c Cell) (text, mixed string) {
	return t.decimals.withPoint(c.At, c.Text)
}
