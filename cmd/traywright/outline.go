package main

import (
	"errors"
	"fmt"
	"image"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/geometry"
	"traywright/geometry/trace"
	"traywright/geometry/units"
)

var (
	outlineOut       = &cli.StringFlag{Name: "out", Usage: "write the outline to `FILE` (.dxf or .svg)"}
	outlinePicture   = &cli.StringFlag{Name: "picture", Usage: "draw card and outline over the photograph into `FILE` (PNG); left out, beside the outline, its name ending in -check.png"}
	outlineClearance = &cli.StringFlag{Name: "clearance", Value: "0.5 mm", Usage: "keep the pocket `LENGTH` away from the piece all around; 0 for none"}
	outlineTool      = &cli.StringFlag{Name: "tool-radius", Usage: "round what a tool of this radius, `LENGTH`, cannot cut; left out, the outline stays as it is"}
	outlineCamera    = &cli.StringFlag{Name: "camera", Usage: "the lens was `LENGTH` above the paper"}
	outlineHeight    = &cli.StringFlag{Name: "height", Usage: "with --camera, the piece is widest `LENGTH` above the paper: the outline is corrected for it"}
	outlineTolerance = &cli.StringFlag{Name: "tolerance", Usage: "lines and arcs may stray `LENGTH` from the traced edge; left out, 0.05 mm, or what the pixels allow"}
	outlineThreshold = &cli.StringFlag{Name: "threshold", Usage: "take for the piece what differs from the paper by `SHARE` of its light, 0 to 1; left out, it is found"}
	outlineCard      = &cli.StringFlag{Name: "card", Usage: "the card is at the pixel `X,Y`, counted from the upper-left corner"}
	outlinePiece     = &cli.StringFlag{Name: "piece", Usage: "the piece is at the pixel `X,Y`"}
	outlineForce     = &cli.BoolFlag{Name: "force", Usage: "replace files that are there already"}
)

func outlineCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "outline",
		Usage:     "make a pocket's outline from a photograph of the piece beside a card",
		ArgsUsage: "PHOTO",
		Description: "Photograph the piece from straight above, on plain paper, beside a bank card or the like (85.60 mm x\n" +
			"53.98 mm, ISO/IEC 7810): PNG or JPEG, not cropped, light from all sides. Writes the outline at true size, for a\n" +
			"pocket's `outline:`, and a picture to check it by. Refuses a photograph in which the card does not measure true.\n" +
			"A part that lies higher than the card is seen too large: say --camera and --height. A lens that bends\n" +
			"straight lines is not corrected.\n" +
			"Example: traywright outline kraken.jpg --out kraken.dxf --clearance \"1 mm\" --camera 500 --height 12",
		Flags: talkFlags(outlineOut, outlinePicture, outlineClearance, outlineTool, outlineCamera, outlineHeight,
			outlineTolerance, outlineThreshold, outlineCard, outlinePiece, outlineForce, plainUnits),
		Action: func(c *cli.Context) error {
			s.settle(c)
			photo, err := oneArgument(c, "a photograph")
			if err != nil {
				return err
			}
			return s.outline(c, photo)
		},
	})
}

func (s *session) outline(c *cli.Context, photo string) error {
	unit, err := chosenUnit(c, units.Millimetre)
	if err != nil {
		return err
	}
	options, err := photoOptions(c, unit)
	if err != nil {
		return err
	}
	out, picture, err := outlineFiles(c, photo)
	if err != nil {
		return err
	}
	img, err := readPicture(photo)
	if err != nil {
		return err
	}
	measured, err := until(c.Context, func() (*trace.Photo, error) { return trace.TracePhoto(img, options) })
	if err != nil {
		return s.refusePhoto(photo, err)
	}
	drawing, err := cam.DrawOutline(c.Context, out, measured.Outline)
	if err != nil {
		return stopped(err)
	}
	check, err := checkPicture(img, measured)
	if err != nil {
		return err
	}
	return s.deliver(c.Context, func(d *delivery) error {
		return d.files([]namedFile{{picture, check}, {out, drawing}})
	}, func() error { return s.tellOutline(c, outlined{photo, out, picture, measured}, unit) })
}

// refusePhoto prints why a photograph is refused.
func (s *session) refusePhoto(photo string, err error) error {
	var picture *trace.PictureError
	if !errors.As(err, &picture) {
		return err
	}
	return finding.List{{Rule: "photo", Where: photo, Message: picture.Message, Hint: picture.Hint}}
}

func photoOptions(c *cli.Context, unit units.Unit) (o trace.PhotoOptions, err error) {
	for _, l := range []struct {
		flag *cli.StringFlag
		to   *float64
	}{
		{outlineTool, &o.ToolRadiusMM}, {outlineCamera, &o.CameraMM}, {outlineHeight, &o.HeightMM}, {outlineTolerance, &o.ToleranceMM},
	} {
		if *l.to, err = lengthFlag(c, l.flag, unit); err != nil {
			return o, err
		}
	}
	clearance, err := units.Parse(c.String(outlineClearance.Name), unit)
	if err != nil || clearance < 0 {
		return o, usage(fmt.Sprintf("--clearance takes a length from 0 up, not %q", c.String(outlineClearance.Name)), "such as 0.5 mm")
	}
	o.ClearanceMM = clearance.MM()
	if o.HeightMM > 0 && o.CameraMM == 0 {
		return o, usage("--height needs --camera", "say how high the lens was above the paper, such as --camera \"500 mm\"")
	}
	if text := c.String(outlineThreshold.Name); text != "" {
		if o.Threshold, err = strconv.ParseFloat(text, 64); err != nil || !(o.Threshold > 0 && o.Threshold < 1) {
			return o, usage(fmt.Sprintf("--threshold takes a number above 0 and below 1, not %q", text), "0.3 is a usual one")
		}
	}
	if o.Card, err = pixelFlag(c, outlineCard); err != nil {
		return o, err
	}
	o.Piece, err = pixelFlag(c, outlinePiece)
	return o, err
}

// pixelFlag reads a place in the photograph, such as 640,480; nil where the flag is
// left out.
func pixelFlag(c *cli.Context, flag *cli.StringFlag) (*image.Point, error) {
	text := c.String(flag.Name)
	if text == "" {
		return nil, nil
	}
	left, right, _ := strings.Cut(text, ",")
	x, err1 := strconv.Atoi(strings.TrimSpace(left))
	y, err2 := strconv.Atoi(strings.TrimSpace(right))
	if err1 != nil || err2 != nil || x < 0 || y < 0 {
		return nil, usage(fmt.Sprintf("--%s takes a pixel X,Y, not %q", flag.Name, text), "such as --"+flag.Name+" 640,480, counted from the picture's upper-left corner")
	}
	return &image.Point{X: x, Y: y}, nil
}

// outlineFiles names the two files that are written, and refuses to write over the
// photograph or, unasked, over anything.
func outlineFiles(c *cli.Context, photo string) (out, picture string, err error) {
	out, picture = c.String(outlineOut.Name), c.String(outlinePicture.Name)
	if out == "" {
		return "", "", usage("outline needs a file to write", "add --out kraken.dxf, or .svg")
	}
	if kind := strings.ToLower(filepath.Ext(out)); kind != ".dxf" && kind != ".svg" {
		return "", "", usage(fmt.Sprintf("--out %s is neither .dxf nor .svg", out), "name the file kraken.dxf, or kraken.svg")
	}
	if picture == "" {
		picture = strings.TrimSuffix(out, filepath.Ext(out)) + "-check.png"
	}
	if filepath.Clean(out) == filepath.Clean(picture) {
		return "", "", usage("--out and --picture name one file", "give each its own name")
	}
	for _, name := range []string{out, picture} {
		if sameFile(name, photo) {
			return "", "", usage(name+" is the photograph itself", "choose another name to write to")
		}
		info, err := os.Lstat(name)
		switch {
		case err == nil && !info.Mode().IsRegular():
			return "", "", usage(name+" is no file but a folder, a link or a device", "choose another name to write to")
		case err == nil && !c.Bool(outlineForce.Name):
			return "", "", usage(name+" is there already", "choose another name, or add --force to replace it")
		}
	}
	return out, picture, nil
}

// readPicture reads a picture within the limits of what is read at all.
func readPicture(name string) (*trace.Picture, error) {
	f, err := openPlain(name)
	if err != nil {
		return nil, cannotRead(name, err)
	}
	defer f.Close()
	img, err := trace.Decode(f, trace.Limits{})
	var picture *trace.PictureError
	switch {
	case errors.As(err, &picture):
		return nil, usage(name+": "+picture.Message, picture.Hint)
	case err != nil:
		return nil, cannotRead(name, err)
	}
	return img, nil
}

// outlined is what came of a photograph.
type outlined struct {
	photo, out, picture string
	*trace.Photo
}

// tellOutline prints the sizes and what they rest on.
func (s *session) tellOutline(c *cli.Context, o outlined, unit units.Unit) error {
	if c.Bool(jsonFlag.Name) {
		return o.writeJSON(s.out)
	}
	size := func(r geometry.Region) string {
		b := r.Bounds()
		return hundredths(b.Width(), unit) + " x " + hundredths(b.Height(), unit)
	}
	card := o.Card
	if !s.quiet {
		fmt.Fprintf(s.out, "%s: pocket %s, piece %s\n", o.out, size(o.Outline), size(o.Piece))
		fmt.Fprintf(s.out, "  card: edges straight to %.3f mm (RMS; limit %.2f), %.3f mm at the worst place (limit %.2f)\n",
			card.EdgeRMSMM, trace.LargestEdgeRMSMM, card.EdgeWorstMM, trace.LargestEdgeOffMM)
		fmt.Fprintf(s.out, "  card: shape %.2f %% off (limit %.1f), a corner by %.2f mm; corner radius %.1f mm\n",
			card.ShapePercent, trace.LargestShapePercent, card.CornerMM, card.RadiusMM)
		fmt.Fprintf(s.out, "  camera: %.1f pixels a mm, edges %.1f mm wide, leans by %.0f°\n", card.PixelsPerMM, card.EdgeWidthMM, card.TiltDegrees)
	}
	var notes finding.List
	for _, n := range o.Notes {
		notes = append(notes, finding.Finding{Severity: finding.Note, Rule: "photo", Where: o.photo, Message: n})
	}
	s.print(notes)
	s.say("look at %s before you cut: the outline must follow the piece", o.picture)
	return nil
}

// hundredths prints a length to a hundredth of a mm.
func hundredths(mm float64, unit units.Unit) string {
	l, err := units.FromMM(math.Round(mm*100) / 100)
	if err != nil {
		return "not known"
	}
	return l.Format(unit)
}

func (o outlined) writeJSON(w io.Writer) error {
	b, p := o.Outline.Bounds(), o.Piece.Bounds()
	return writeJSON(w, outlineReport{
		SchemaVersion: 1, Photo: o.photo, Out: o.out, Picture: o.picture,
		Pocket: [2]float64{b.Width(), b.Height()}, Piece: [2]float64{p.Width(), p.Height()},
		EdgeRMSMM: o.Card.EdgeRMSMM, EdgeWorstMM: o.Card.EdgeWorstMM, ShapePercent: o.Card.ShapePercent, CornerMM: o.Card.CornerMM,
		RadiusMM: o.Card.RadiusMM, EdgeWidthMM: o.Card.EdgeWidthMM, PixelsPerMM: o.Card.PixelsPerMM, TiltDegrees: o.Card.TiltDegrees,
		Threshold: o.Threshold, ParallaxPerMM: o.ParallaxPerMM, Notes: o.Notes,
	})
}

// outlineReport is what --json prints.
type outlineReport struct {
	SchemaVersion int        `json:"schema_version"`
	Photo         string     `json:"photo"`
	Out           string     `json:"out"`
	Picture       string     `json:"picture"`
	Pocket        [2]float64 `json:"pocket_mm"`
	Piece         [2]float64 `json:"piece_mm"`
	EdgeRMSMM     float64    `json:"card_edge_rms_mm"`
	EdgeWorstMM   float64    `json:"card_edge_worst_mm"`
	ShapePercent  float64    `json:"card_shape_percent"`
	CornerMM      float64    `json:"card_corner_mm"`
	RadiusMM      float64    `json:"card_radius_mm"`
	EdgeWidthMM   float64    `json:"edge_width_mm"`
	PixelsPerMM   float64    `json:"pixels_per_mm"`
	TiltDegrees   float64    `json:"tilt_degrees"`
	Threshold     float64    `json:"threshold"`
	ParallaxPerMM float64    `json:"parallax_mm_per_mm"`
	Notes         []string   `json:"notes"`
}
