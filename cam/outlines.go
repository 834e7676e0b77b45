package cam

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"math"

	"traywright/cam/drawing"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
)

// How far a pocket's outline may stray from its drawing: far below what foam
// shows, and gaps that a drawing program's rounding leaves.
var outlineTolerance = drawing.Tolerance{FitMM: 0.005, GapMM: 0.02}

// largestOutline bounds a drawing's file.
const largestOutline = 8 << 20

// ReadOutlines reads every drawing that the job's pockets name, from the job's
// folder, each once. Findings say which could not be read and why.
func ReadOutlines(fsys fs.FS, j *job.Job) (map[string]geometry.Region, finding.List) {
	read := map[string]geometry.Region{}
	var found finding.List
	tried := map[string]bool{}
	for _, t := range j.Trays {
		for _, p := range t.Pockets {
			if p.OutlineFile == "" || tried[p.OutlineFile] {
				continue
			}
			tried[p.OutlineFile] = true
			region, err := readOutline(fsys, p.OutlineFile)
			if err != nil {
				found = append(found, outlineFinding(p, err))
				continue
			}
			read[p.OutlineFile] = region
		}
	}
	return read, found
}

func readOutline(fsys fs.FS, name string) (geometry.Region, error) {
	format, err := drawing.FormatOf(name)
	if err != nil {
		return geometry.Region{}, err
	}
	info, err := fs.Stat(fsys, name)
	if err != nil {
		return geometry.Region{}, err
	}
	if info.Size() > largestOutline {
		return geometry.Region{}, &drawing.Error{Message: fmt.Sprintf("has %d bytes, and at most %d are read", info.Size(), largestOutline), Hint: "keep the outline alone in the file"}
	}
	data, err := fs.ReadFile(fsys, name)
	if err != nil {
		return geometry.Region{}, err
	}
	pieces, err := format.Read(data)
	if err != nil {
		return geometry.Region{}, err
	}
	return drawing.Region(pieces, outlineTolerance)
}

// outlineFinding says what is wrong with a drawing, and which pocket wants it.
func outlineFinding(p job.Pocket, err error) finding.Finding {
	f := finding.Finding{Rule: "outline", Where: p.OutlineFile, Message: err.Error(), Hint: "check the file's name and that you may read it"}
	var fault *drawing.Error
	var file *fs.PathError
	switch {
	case errors.As(err, &fault):
		f.Message, f.Hint = fault.Message, fault.Hint
		if fault.Line > 0 {
			f.Where = fmt.Sprintf("%s:%d", p.OutlineFile, fault.Line)
		}
	case errors.As(err, &file):
		f.Message = "cannot be read: " + file.Err.Error()
	}
	f.Message += fmt.Sprintf(" (outline of the pocket at %s)", p.Position)
	return f
}

// readBackMM is what an outline may lose on its way through a file.
const readBackMM = 0.01

// DrawOutline is a pocket's outline as a drawing, DXF or SVG by the ending of
// the file's name, read back to be sure that it says the same.
func DrawOutline(name string, region geometry.Region) ([]byte, error) {
	format, err := drawing.FormatOf(name)
	if err != nil {
		return nil, err
	}
	d := drawing.Drawing{Title: "outline"}
	addFinished(&d, region.Contours())
	var text bytes.Buffer
	if format == drawing.SVG {
		err = drawing.WriteSVG(&text, d)
	} else {
		err = drawing.WriteDXF(&text, d, drawing.R2000)
	}
	if err == nil {
		err = sameOutline(format, text.Bytes(), region)
	}
	if err != nil {
		return nil, err
	}
	return text.Bytes(), nil
}

// sameOutline reads an outline back.
func sameOutline(format drawing.Format, text []byte, region geometry.Region) error {
	pieces, err := format.Read(text)
	if err != nil {
		return fmt.Errorf("the drawing cannot be read back: %w", err)
	}
	again, err := drawing.Region(pieces, drawing.Tolerance{FitMM: readBackMM / 2, GapMM: readBackMM})
	if err != nil {
		return fmt.Errorf("the drawing cannot be read back: %w", err)
	}
	if lost := math.Abs(again.Area() - region.Area()); lost > readBackMM*region.Length() {
		return fmt.Errorf("the drawing read back differs by %.3f mm²", lost)
	}
	return nil
}
