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
	l := &log{Log: finding.Log{First: file}}
	r := &reader{log: l, unit: bare}
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
