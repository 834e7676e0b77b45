package main

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/geometry/trace"
)

var (
	measureSide       = &cli.StringFlag{Name: "side", Usage: "take heights from `PHOTO`, from the side: the pieces, or one of each kind, from left to right in the order of their numbers beside the card, which stands on its long edge"}
	measureSideCamera = &cli.StringFlag{Name: "side-camera", Usage: "with --side, the lens was `LENGTH` in front of the card, to a twentieth of that"}
	measureStands     = &cli.StringFlag{Name: "stands", Usage: "with --side, the pieces with these `NUMBERS` of the check picture stand there, from left to right, such as 3,1,2"}
)

const sideCheckName = "side-check.png"

// heightWithinMM is what a height may be off by where --within says no more.
const heightWithinMM = 1

// readSide measures the photograph from the side, where there is one.
func (s *session) readSide(c *cli.Context, q *cam.MeasureRequest) (*trace.Picture, error) {
	photo := c.String(measureSide.Name)
	if photo == "" {
		for _, f := range []*cli.StringFlag{measureSideCamera, measureStands} {
			if c.IsSet(f.Name) {
				return nil, usage("--"+f.Name+" is of a photograph from the side", "add --side side.jpg, or leave --"+f.Name+" out")
			}
		}
		return nil, nil
	}
	const example = "such as --side side.jpg --side-camera \"800 mm\" --camera \"450 mm\""
	switch {
	case q.HeightMM > 0:
		return nil, usage("--side measures heights, and --height says one", "leave one of them out")
	case !q.Told:
		return nil, usage("--side needs --camera", "say how high the lens was above the paper in the photographs from above, "+example)
	case c.String(measureSideCamera.Name) == "":
		return nil, usage("--side needs --side-camera", "say how far the lens was from the card, "+example)
	}
	far, err := lengthFlag(c, measureSideCamera, q.Unit)
	if err != nil {
		return nil, err
	}
	stands, err := standsFlag(c)
	if err != nil {
		return nil, err
	}
	img, err := readPicture(photo)
	if err != nil {
		return nil, err
	}
	side, err := until(c.Context, func() (*trace.Side, error) {
		return trace.MeasureSide(img, trace.SideOptions{CameraMM: far, WithinMM: max(heightWithinMM, q.WithinMM), Lens: q.Lens})
	})
	if err != nil {
		return nil, s.refusePhoto(photo, err)
	}
	q.Side = &cam.MeasuredSide{Photo: filepath.ToSlash(photo), Side: side, Stands: stands}
	return img, nil
}

// standsFlag reads numbers, each once.
func standsFlag(c *cli.Context) (numbers []int, err error) {
	text := c.String(measureStands.Name)
	if text == "" {
		return nil, nil
	}
	seen := map[int]bool{}
	for _, part := range strings.Split(text, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(part))
		if err != nil || n < 1 || seen[n] {
			return nil, usage(fmt.Sprintf("--%s takes numbers of pieces, each once, not %q", measureStands.Name, text), "such as --stands 3,1,2")
		}
		seen[n] = true
		numbers = append(numbers, n)
	}
	return numbers, nil
}

// sidePicture draws over the photograph from the side the card, and what was followed beside it with the numbers that
// it is taken for.
func sidePicture(img *trace.Picture, p *trace.Side, stands []int) ([]byte, error) {
	d, err := numberedOverlay(img, p.Sight)
	if err != nil {
		return nil, err
	}
	for i, one := range p.Standing {
		if one.Why != nil {
			d.hatched(p.Sight, trace.GivenUp{At: one.At, Edge: one.Edge})
		} else {
			for _, q := range one.Edge {
				d.to(p.Sight, q)
			}
			d.ClosePath()
			d.line("#000000", 1.2)
		}
		d.number(p.Sight, one.At, fmt.Sprint(stands[i]), "#0072b2")
	}
	d.legend("card as found", "#d55e00", "edge of a piece", "#000000", "hatched: unsure", "#e69f00")
	return d.encoded()
}
