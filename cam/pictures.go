package cam

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/geometry/trace"
)

// Art is what labels and emblems need from files: shapes of pictures at the
// size that the job asks for, and fonts by file name.
type Art struct {
	Pictures map[job.Picture]geometry.Region
	Fonts    map[string]*lettering.Face
	Found    finding.List // about pictures that could be read: what to try
}

// Limits of one file. An emblem is far smaller than a photograph, which passes
// as well; a font with every writing of the world does not.
const (
	largestPicture = 32 << 20
	largestFont    = 32 << 20
)

// How an emblem is traced: specks that no foam holds are dropped, curves stray
// less than foam shows, and what is left is a drawing, not a photograph.
var emblemOptions = trace.Options{DespeckleMM2: 1, ToleranceMM: 0.03, MaxContours: 400, MaxSegments: 10_000}

// ReadArt reads every picture and font that the job's labels and emblems name,
// from the job's folder, each once. Findings say which could not be read and
// why.
// The error is for a run that was stopped.
func ReadArt(ctx context.Context, fsys fs.FS, j *job.Job) (Art, finding.List, error) {
	a := Art{Pictures: map[job.Picture]geometry.Region{}, Fonts: map[string]*lettering.Face{}}
	r := artReader{ctx: ctx, fsys: fsys, art: a, failed: map[string]bool{}}
	if j.PageFont != "" {
		r.font(j.PageFont, fmt.Sprintf("font of the pages at %s", j.PageFontPosition))
	}
	for _, t := range j.Trays {
		for _, l := range t.Labels {
			if l.FontFile != "" && a.Fonts[l.FontFile] == nil && !r.failed[l.FontFile] {
				r.font(l.FontFile, fmt.Sprintf("font of the label at %s", l.Position))
			}
		}
		for _, e := range t.Emblems {
			if _, done := a.Pictures[e.Picture]; e.File != "" && !done && !r.failed[e.File] {
				r.picture(e)
			}
		}
	}
	return r.art, r.found, ctx.Err()
}

type artReader struct {
	ctx    context.Context
	fsys   fs.FS
	art    Art
	failed map[string]bool // files
	found  finding.List

	decoded *trace.Picture // the last one, for emblems of several sizes
	name    string
}

func (r *artReader) font(file, use string) {
	data, err := readBounded(r.fsys, file, largestFont, "take a font of fewer letters")
	if err == nil {
		r.art.Fonts[file], err = lettering.ParseFont(data)
	}
	if err != nil {
		r.fail("font", file, use, err)
	}
}

func (r *artReader) picture(e job.Emblem) {
	var shape geometry.Region
	var err error
	switch strings.ToLower(path.Ext(e.File)) {
	case ".svg":
		shape, err = r.drawing(e.Picture)
	case ".png", ".jpg", ".jpeg":
		shape, err = r.traced(e)
	default:
		err = finding.List{{Message: "is no .png, .jpg or .svg", Hint: "save the picture as PNG, JPEG or SVG"}}
	}
	if err != nil {
		r.fail("picture", e.File, fmt.Sprintf("picture of the emblem at %s", e.Position), err)
		return
	}
	r.art.Pictures[e.Picture] = shape
}

// drawing is an SVG picture, scaled to the size that is asked for.
func (r *artReader) drawing(p job.Picture) (geometry.Region, error) {
	if p.Threshold != 0 || p.Invert {
		return geometry.Region{}, finding.List{{Message: "is a drawing, which has no grey for `threshold` or `invert`", Hint: "take these keys out"}}
	}
	shape, err := readOutline(r.ctx, r.fsys, p.File)
	if err != nil {
		return shape, err
	}
	box := shape.Bounds()
	scale := 0.0
	for _, fit := range [2][2]float64{{p.Length.MM(), box.Width()}, {p.Width.MM(), box.Height()}} {
		if s := fit[0] / fit[1]; s > 0 && (scale == 0 || s < scale) {
			scale = s
		}
	}
	return shape.Transform(geometry.Translate(-box.Min.X, -box.Min.Y)).Transform(geometry.Scale(scale, geometry.Point{})), nil
}

// traced is a PNG or JPEG picture.
func (r *artReader) traced(e job.Emblem) (geometry.Region, error) {
	if r.name != e.File {
		data, err := readBounded(r.fsys, e.File, largestPicture, "make the picture smaller")
		if err != nil {
			return geometry.Region{}, err
		}
		r.name, r.decoded = "", nil
		if r.decoded, err = trace.Decode(bytes.NewReader(data), trace.Limits{FileBytes: largestPicture}); err != nil {
			return geometry.Region{}, err
		}
		r.name = e.File
	}
	o := emblemOptions
	o.WidthMM, o.HeightMM, o.Threshold, o.Invert = e.Length.MM(), e.Picture.Width.MM(), e.Threshold, e.Invert
	result, err := trace.Emblem(r.decoded, o)
	if err != nil {
		return geometry.Region{}, err
	}
	if result.Advice != "" {
		r.art.Found = append(r.art.Found, finding.Finding{
			Severity: finding.Warning, Rule: "picture-unclear", Where: e.File,
			Message: fmt.Sprintf("ink and ground are hard to tell apart in it (picture of the emblem at %s)", e.Position), Hint: result.Advice,
		})
	}
	return result.Region, nil
}

// fail says what is wrong with a file, and what wants it.
func (r *artReader) fail(rule, name, use string, err error) {
	r.failed[name] = true
	r.found = append(r.found, unread(rule, name, use, err))
}
