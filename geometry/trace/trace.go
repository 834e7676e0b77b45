// Package trace turns pictures into contours: an emblem into a region of lines
// and arcs, and a piece photographed beside a card into its outline at true size.
//
// Pictures are data from strangers. Decode looks at a picture's header before it
// makes room for its pixels, and every later step has a limit of its own.
//
// Inside the package a place in a picture is in pixels from its lower-left corner,
// Y up, so the centre of the first pixel of a picture h pixels high lies at
// (0.5, h - 0.5); only the exported types that say so count from the upper-left
// corner, as cameras and paint programs do. What comes out is in mm.
package trace

import (
	"errors"
	"fmt"
	"image"
	"math"

	"traywright/geometry"
)

// Options says how an emblem is traced. Width or height, or both, must be given;
// the rest has defaults.
type Options struct {
	// WidthMM and HeightMM are the size of what is traced, without the empty margin
	// of the picture. With both, it becomes as large as fits into both.
	WidthMM, HeightMM float64
	// Threshold is the grey, above 0 for black and up to 1 for white, under which the
	// picture is ink; 0 finds it by Otsu's method.
	Threshold float64
	// Invert takes what is light as ink.
	Invert bool
	// DespeckleMM2 is the area in mm² under which islands are dropped and holes are
	// filled. Anything under four pixels is noise and always goes.
	DespeckleMM2 float64
	// ToleranceMM is how far lines and arcs may stray from the traced curve; 0 is 0.15
	// pixels, which tracing itself is not much better than.
	ToleranceMM float64
	// MaxContours and MaxSegments bound the result; 0 is defaultMaxContours and
	// defaultMaxSegments.
	MaxContours, MaxSegments int
}

// Limits of a traced region. An emblem drawn to be cut has a few dozen contours.
const (
	defaultMaxContours = 2000
	defaultMaxSegments = 50000
)

// Result is a traced emblem.
type Result struct {
	Region       geometry.Region // valid, in mm, the lower-left corner of its box at (0, 0)
	Threshold    float64         // the grey that was used, 0 to 1
	Separability float64         // Otsu's η at that threshold, 0 to 1: how far apart ink and ground are
	PixelMM      float64         // size of a pixel of the picture in mm
	Dropped      int             // islands dropped and holes filled
	Segments     int             // lines and arcs in all
	Advice       string          // what to try when ink and ground are hard to tell apart; "" when they are not
}

// clearSeparability is the η above which a picture is two-toned. A ramp from
// black to white, which has no two tones at all, has 0.75; black ink on white paper
// with blurred edges has more than 0.9.
const clearSeparability = 0.85

// PictureError says what is wrong with a picture, and what to do about it.
type PictureError struct{ Message, Hint string }

func (e *PictureError) Error() string { return e.Message }

func refuse(hint, format string, args ...any) error {
	return &PictureError{Message: fmt.Sprintf(format, args...), Hint: hint}
}

// tryWhat is the hint for a picture that does not trace well.
const tryWhat = "try another threshold, or clean the picture; a photograph does better as a plain black drawing on white"

// smallestSpeck is an area in square pixels under which a contour is noise.
const smallestSpeck = 4

// Emblem traces what is dark in a picture. Errors are *PictureError: options that
// are no sizes, a picture without ink or with nothing else, one whose traced
// region is beyond the limits.
//
// Corners that a pixel's width explains come back sharp; a corner rounded more than
// that stays round. Lines and gaps thinner than about two pixels are not kept.
func Emblem(img image.Image, o Options) (Result, error) {
	if err := o.check(); err != nil {
		return Result{}, err
	}
	if img.Bounds().Empty() {
		return Result{}, refuse("save it anew", "the picture has no pixels")
	}
	g, shrunk := grayOf(img, workPixels)
	t := otsu(histogram(g))
	if o.Threshold > 0 {
		t = split(histogram(g), o.Threshold*255)
	}
	res := Result{Threshold: t.level / 255, Separability: t.separability}
	if res.Separability == 0 {
		return res, refuse(tryWhat, "the picture is all of one tone at threshold %.2f", res.Threshold)
	}
	if res.Separability < clearSeparability {
		res.Advice = fmt.Sprintf("ink and ground are hard to tell apart (separability %.2f, a clear drawing has more than %.2f): %s",
			res.Separability, clearSeparability, tryWhat)
	}
	rings, dropped, err := o.rings(g, t.level)
	if err != nil {
		return res, err
	}
	box := boundsOf(rings)
	scale := o.scale(box)
	rings, specks := despeckle(rings, o.DespeckleMM2/(scale*scale))
	res.Dropped = dropped + specks
	if len(rings) == 0 {
		return res, refuse("use a smaller area to despeckle", "every part of the picture is smaller than %g mm², the area to despeckle", o.DespeckleMM2)
	}
	box = boundsOf(rings)
	scale = o.scale(box)
	res.PixelMM = scale / float64(shrunk)
	tolerance := o.ToleranceMM / scale
	if tolerance == 0 {
		tolerance = defaultTolerance
	}
	region, err := regionOf(rings, tolerance, inPixels)
	if err != nil {
		return res, err
	}
	res.Region = region.Transform(geometry.Scale(scale, geometry.Point{}))
	box = res.Region.Bounds()
	// Fitting moves an edge by up to the tolerance; the size asked for holds exactly.
	res.Region = res.Region.Transform(geometry.Translate(-box.Min.X, -box.Min.Y)).
		Transform(geometry.Scale(o.scale(box), geometry.Point{}))
	return res, o.count(&res)
}

func inPixels(p geometry.Point) geometry.Point { return p }

// defaultTolerance of lines and arcs, in pixels.
const defaultTolerance = 0.15

func (o Options) check() error {
	sizes := []struct {
		name  string
		value float64
	}{{"width", o.WidthMM}, {"height", o.HeightMM}, {"area to despeckle", o.DespeckleMM2}, {"tolerance", o.ToleranceMM}}
	for _, s := range sizes {
		if !(s.value >= 0 && s.value < largestMM) {
			return refuse("give a positive number of mm", "the %s %g is not from 0 to %d", s.name, s.value, largestMM)
		}
	}
	if o.WidthMM == 0 && o.HeightMM == 0 {
		return refuse("give a width or a height in mm", "the emblem has no size")
	}
	if !(o.Threshold >= 0 && o.Threshold <= 1) {
		return refuse("0 is black and 1 is white; leave it out to have it found", "the threshold %g is not from 0 to 1", o.Threshold)
	}
	return nil
}

// largestMM is beyond any machine that cuts foam.
const largestMM = 100000

// scale is mm per unit of a box that is to become as large as asked for.
func (o Options) scale(box geometry.Box) float64 {
	scale := math.Inf(1)
	if o.WidthMM > 0 {
		scale = o.WidthMM / box.Width()
	}
	if o.HeightMM > 0 {
		scale = min(scale, o.HeightMM/box.Height())
	}
	return scale
}

// rings are the edges of the ink, in pixels.
func (o Options) rings(g grid, level float64) (rings []ring, dropped int, err error) {
	rings, dropped, err = contours(g, level, o.Invert, smallestSpeck)
	if errors.Is(err, errTooLong) {
		return nil, dropped, o.mess("its edges are longer than %d pixels", maxRingPoints)
	}
	if err == nil && len(rings) == 0 {
		return nil, dropped, refuse(tryWhat, "there is no ink in the picture at threshold %.2f", level/255)
	}
	limit := o.MaxContours
	if limit == 0 {
		limit = defaultMaxContours
	}
	if len(rings) > limit && o.DespeckleMM2 > 0 {
		scale := o.scale(boundsOf(rings))
		var specks int
		rings, specks = despeckle(rings, o.DespeckleMM2/(scale*scale))
		dropped += specks
	}
	if len(rings) > limit {
		return nil, dropped, o.mess("it has %d contours, and at most %d are kept", len(rings), limit)
	}
	return rings, dropped, err
}

func (o Options) mess(format string, args ...any) error {
	return refuse(tryWhat, "the picture traces to a mess: "+format, args...)
}

// count fills in how many segments there are, and bounds them.
func (o Options) count(res *Result) error {
	for _, c := range res.Region.Contours() {
		res.Segments += c.Len()
	}
	limit := o.MaxSegments
	if limit == 0 {
		limit = defaultMaxSegments
	}
	if res.Segments > limit {
		return o.mess("it has %d lines and arcs, and at most %d are kept", res.Segments, limit)
	}
	return nil
}
