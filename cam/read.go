package cam

import (
	"errors"
	"fmt"
	"io/fs"

	"traywright/cam/finding"
	"traywright/geometry/lettering"
	"traywright/geometry/trace"
)

// readBounded is a whole file of at most so many bytes.
func readBounded(fsys fs.FS, name string, most int64, hint string) ([]byte, error) {
	info, err := fs.Stat(fsys, name)
	if err != nil {
		return nil, err
	}
	if info.Size() > most {
		return nil, finding.List{{Message: fmt.Sprintf("has %d bytes, and at most %d are read", info.Size(), most), Hint: hint}}
	}
	return fs.ReadFile(fsys, name)
}

// unread is what is wrong with a file that the job names, and what wants it.
func unread(rule, name, use string, err error) finding.Finding {
	f := finding.Finding{Rule: rule, Where: name, Message: err.Error(), Hint: "check the file's name and that you may read it"}
	var list finding.List
	var picture *trace.PictureError
	var font *lettering.Fault
	var file *fs.PathError
	switch {
	case errors.As(err, &list):
		f.Message, f.Hint = list[0].Message, list[0].Hint
		f.Where = finding.Position{File: name, Line: list[0].Line}.String()
	case errors.As(err, &picture):
		f.Message, f.Hint = picture.Message, picture.Hint
	case errors.As(err, &font):
		f.Message, f.Hint = font.Text, font.Hint
	case errors.As(err, &file):
		f.Message = "cannot be read: " + file.Err.Error()
	}
	f.Message += " (" + use + ")"
	return f
}
