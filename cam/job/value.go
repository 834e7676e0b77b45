package job

import (
	"fmt"
	"io/fs"

	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// reader takes values out of the user's files. What cannot be taken is reported
// and reads as zero, so that one reading shows all of a file's problems.
type reader struct {
	*log
	fsys fs.FS
	unit units.Unit // of bare numbers

	outlined []drawn // in `holds`
	sheet    bool    // a measuring sheet, whose rows may be several of one piece
}

// key is a key that a group may have, and what is done with its value.
func key(name string, read func(strict.Value)) strict.Key { return strict.Key{Name: name, Read: read} }

// length takes a value as a length of any sign.
func (r *reader) length(v strict.Value) units.Length {
	l, _ := v.Length(r.unit)
	return l
}

// above takes a value as a length above 0.
func (r *reader) above(v strict.Value) units.Length { return r.least(v, 1, "above 0") }

// notBelow takes a value as a length of 0 or more.
func (r *reader) notBelow(v strict.Value) units.Length { return r.least(v, 0, "of 0 or more") }

func (r *reader) least(v strict.Value, least units.Length, hint string) units.Length {
	l, ok := v.Length(r.unit)
	if ok && l < least {
		r.Fail(v.At(), "size-too-small", fmt.Sprintf("%s is %s", v.Called(), l.Format(r.unit)), "give a length "+hint)
	}
	return l
}

// mostCount bounds whole numbers, so that the product of two is still a number.
const mostCount = 1_000_000
