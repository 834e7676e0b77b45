package cam

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"traywright/cam/dxf"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/outline"
	"traywright/cam/svg"
	"traywright/geometry"
)

// How far a pocket's outline may stray from its drawing: far below what foam
// shows, and gaps that a drawing program's rounding leaves.
var outlineTolerance = outline.Tolerance{FitMM: 0.005, GapMM: 0.02}

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
	var parse func([]byte) ([]outline.Piece, error)
	switch strings.ToLower(path.Ext(name)) {
	case ".dxf":
		parse = dxf.Read
	case ".svg":
		parse = svg.Read
	default:
		return geometry.Region{}, &outline.Error{Message: "is neither .dxf nor .svg", Hint: "save the outline as DXF or SVG, true size"}
	}
	info, err := fs.Stat(fsys, name)
	if err != nil {
		return geometry.Region{}, err
	}
	if info.Size() > largestOutline {
		return geometry.Region{}, &outline.Error{Message: fmt.Sprintf("has %d bytes, and at most %d are read", info.Size(), largestOutline), Hint: "keep the outline alone in the file"}
	}
	data, err := fs.ReadFile(fsys, name)
	if err != nil {
		return geometry.Region{}, err
	}
	pieces, err := parse(data)
	if err != nil {
		return geometry.Region{}, err
	}
	return outline.Region(pieces, outlineTolerance)
}

// outlineFinding says what is wrong with a drawing, and which pocket wants it.
func outlineFinding(p job.Pocket, err error) finding.Finding {
	f := finding.Finding{Rule: "outline", Where: p.OutlineFile, Message: err.Error(), Hint: "check the file's name and that you may read it"}
	var drawing *outline.Error
	var file *fs.PathError
	switch {
	case errors.As(err, &drawing):
		f.Message, f.Hint = drawing.Message, drawing.Hint
		if drawing.Line > 0 {
			f.Where = fmt.Sprintf("%s:%d", p.OutlineFile, drawing.Line)
		}
	case errors.As(err, &file):
		f.Message = "cannot be read: " + file.Err.Error()
	}
	f.Message += fmt.Sprintf(" (outline of the pocket at %s)", p.Position)
	return f
}
