package cam

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"math"

	"traywright/cam/drawing"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry"
)

// How far a pocket's outline may stray from its drawing: far below what foam
// shows, and gaps that a drawing program's rounding leaves.
var outlineTolerance = drawing.Tolerance{FitMM: 0.005, GapMM: 0.02}

// largestOutline bounds a drawing's file.
const largestOutline = 8 << 20

// ReadOutlines reads every drawing that the job's pockets and pieces name, from the job's
// folder, each once. Findings say which could not be read and why.
// The error is for a run that was stopped.
func ReadOutlines(ctx context.Context, fsys fs.FS, j *job.Job) (read map[string]geometry.Region, found finding.List, err error) {
	read = map[string]geometry.Region{}
	tried := map[string]bool{}
	one := func(file, what string) {
		if file == "" || tried[file] || ctx.Err() != nil {
			return
		}
		tried[file] = true
		region, err := readOutline(ctx, fsys, file)
		if err != nil {
			found = append(found, unread("outline", file, what, err))
			return
		}
		read[file] = region
	}
	for _, t := range j.Trays {
		for _, p := range t.Pockets {
			one(p.OutlineFile, fmt.Sprintf("outline of the pocket at %s", p.Position))
		}
	}
	for _, p := range j.Roster {
		one(p.Outline, fmt.Sprintf("outline of the piece %s at %s", p.ID, p.Position))
	}
	if ctx.Err() != nil {
		return nil, nil, ctx.Err()
	}
	return read, found, nil
}

func readOutline(ctx context.Context, fsys fs.FS, name string) (geometry.Region, error) {
	format, err := drawing.FormatOf(name)
	if err != nil {
		return geometry.Region{}, err
	}
	data, err := readBounded(fsys, name, largestOutline, "keep the outline alone in the file")
	if err != nil {
		return geometry.Region{}, err
	}
	pieces, err := format.Read(ctx, data)
	if err != nil {
		return geometry.Region{}, err
	}
	return drawing.Region(ctx, pieces, outlineTolerance)
}

// readBackMM is what an outline may lose on its way through a file.
const readBackMM = 0.01

// DrawOutline is a pocket's outline as a drawing, DXF or SVG by the ending of
// the file's name, read back to be sure that it says the same.
func DrawOutline(ctx context.Context, name string, region geometry.Region) ([]byte, error) {
	format, err := drawing.FormatOf(name)
	if err != nil {
		return nil, err
	}
	var edges []process.Finished
	for _, c := range region.Contours() {
		edges = append(edges, process.Finished{Contour: c})
	}
	d := newLayers(&plan.Plan{}).finished(edges)
	d.Title = "outline"
	var text bytes.Buffer
	if format == drawing.SVG {
		err = drawing.WriteSVG(&text, d)
	} else {
		err = drawing.WriteDXF(&text, d, drawing.R2000)
	}
	if err == nil {
		err = sameOutline(ctx, format, text.Bytes(), region)
	}
	if err != nil {
		return nil, err
	}
	return text.Bytes(), nil
}

// sameOutline reads an outline back.
func sameOutline(ctx context.Context, format drawing.Format, text []byte, region geometry.Region) error {
	pieces, err := format.Read(ctx, text)
	if err != nil {
		return fmt.Errorf("the drawing cannot be read back: %w", err)
	}
	again, err := drawing.Region(ctx, pieces, drawing.Tolerance{FitMM: readBackMM / 2, GapMM: readBackMM})
	if err != nil {
		return fmt.Errorf("the drawing cannot be read back: %w", err)
	}
	if lost := math.Abs(again.Area() - region.Area()); lost > readBackMM*region.Length() {
		return fmt.Errorf("the drawing read back differs by %.3f mm²", lost)
	}
	return nil
}
