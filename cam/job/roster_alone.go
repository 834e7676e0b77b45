package job

import (
	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// ReadRoster reads a roster that hangs off no job. File only names it in
// messages; a bare length is in bare. The error is a finding.List. Findings that
// are errors mean that there is a roster, and that it is wrong.
func ReadRoster(file string, data []byte, bare units.Unit) ([]Piece, finding.List, error) {
	return readPieces(&reader{log: &log{Log: finding.Log{First: file}}, unit: bare}, file, data)
}

// ReadSheet reads a measuring sheet as it was typed: a roster that may have several rows of one id,
// each a piece of that kind, of which the first has the count.
func ReadSheet(file string, data []byte, bare units.Unit) ([]Piece, finding.List, error) {
	return readPieces(&reader{log: &log{Log: finding.Log{First: file}}, unit: bare, sheet: true}, file, data)
}

func readPieces(r *reader, file string, data []byte) ([]Piece, finding.List, error) {
	l := r.log
	var pieces []Piece
	if text, ok := strict.Text(&l.Log, file, data, "make it two files"); ok {
		pieces, _ = r.pieces(file, text)
	}
	found, err := l.Result()
	if err != nil {
		return nil, nil, err
	}
	return pieces, found, nil
}
