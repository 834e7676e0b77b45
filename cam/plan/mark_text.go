package plan

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/lettering"
)

// turned is a turn in degrees about the origin. Whole quarter turns come out
// exact when the degrees are divided first.
func turned(degrees float64) geometry.Transform {
	return geometry.Rotate(degrees/90*(math.Pi/2), geometry.Point{})
}

// face is the font of a label.
func (m *maker) face(k *mark) (*lettering.Face, *refusal) {
	if file := k.label.FontFile; file != "" {
		if face := m.Fonts[file]; face != nil {
			return face, nil
		}
		return nil, &refusal{rule: "font-not-read", message: "the font " + file + " has not been read", hint: "put it into the job's folder"}
	}
	face, ok := lettering.Shipped(k.label.Font)
	if !ok {
		hint := "its fonts: " + strings.Join(lettering.Names(), ", ") + ", or a .ttf or .otf file in the job's folder"
		if ask := finding.DidYouMean(k.label.Font, lettering.Names()); ask != "" {
			hint = ask
		}
		return nil, &refusal{rule: "unknown-font", message: fmt.Sprintf("there is no font %q", k.label.Font), hint: hint}
	}
	return face, nil
}

// spread says how far apart letters have to be.
type spread struct {
	grooveMM float64 // width of a stroke of single-stroke letters
	gapMM    float64 // of foam between two letters, at least
	bridgeMM float64 // for islands; 0 for none
}

// Letters are moved apart a few times, for those in a box become smaller by it,
// and a little more than they have to be.
const (
	mostSpreads  = 6
	spreadPlayMM = 0.02
)

// set sets the label's text, its letters as far apart as they have to be unless
// the job says how far, and puts it into the tray.
func (m *maker) set(k *mark, s spread) (lettering.Line, *refusal) {
	face, no := m.face(k)
	if no != nil {
		return lettering.Line{}, no
	}
	tracking, height := k.label.Spacing.MM(), k.label.Height.MM()
	for n := 0; ; n++ {
		line, err := setOnce(face, k, height, tracking, s.bridgeMM)
		if err != nil {
			return line, unset(err)
		}
		missing := s.gapMM - leastGap(line.Letters, s.grooveMM, s.gapMM)
		if k.label.SpacingGiven || missing <= 0 || n == mostSpreads {
			return placeLine(line, k.label), nil
		}
		tracking += missing + spreadPlayMM
		height = line.HeightMM // letters farther apart are no higher
	}
}

// setOnce sets the text at a height, or in its box at most as high.
func setOnce(face *lettering.Face, k *mark, height, tracking, bridge float64) (lettering.Line, error) {
	l := k.label
	s := lettering.Setting{
		HeightMM: height, Align: lettering.Align(l.Align), TrackingMM: tracking, ArcRadiusMM: l.Arc.MM(),
	}
	if l.BoxLength > 0 {
		line, err := face.Fit(k.Text, l.BoxLength.MM(), l.BoxWidth.MM(), s)
		if err != nil || bridge == 0 {
			return line, err
		}
		s.HeightMM = line.HeightMM
	}
	s.BridgeMM = min(bridge, s.HeightMM/2)
	return face.Set(k.Text, s)
}

// placeLine turns a line and moves it to its place: its base line's beginning,
// middle or end, or the corner of its box.
func placeLine(line lettering.Line, l *job.Label) lettering.Line {
	turn := turned(l.Turn)
	if l.BoxLength == 0 {
		return line.Transform(turn).Transform(geometry.Translate(l.X.MM(), l.Y.MM()))
	}
	room := geometry.Box{Max: geometry.Point{X: l.BoxLength.MM(), Y: l.BoxWidth.MM()}}
	by := middle(room).Sub(middle(line.Box))
	switch l.Align {
	case job.AlignLeft:
		by.X = -line.Box.Min.X
	case job.AlignRight:
		by.X = room.Max.X - line.Box.Max.X
	}
	low := geometry.NewRegion(geometry.Rectangle(room, 0)).Transform(turn).Bounds().Min
	return line.Transform(geometry.Translate(by.X, by.Y)).Transform(turn).
		Transform(geometry.Translate(l.X.MM()-low.X, l.Y.MM()-low.Y))
}

// unset is why a text cannot be set.
func unset(err error) *refusal {
	var fault *lettering.Fault
	var missing *lettering.MissingError
	switch {
	case errors.As(err, &missing):
		return &refusal{rule: "missing-letter", message: "cannot be set: " + missing.Error(), hint: missing.Hint}
	case errors.As(err, &fault):
		return &refusal{rule: "label-" + string(fault.Rule), message: "cannot be set: " + fault.Text, hint: fault.Hint}
	}
	return &refusal{rule: "label-shape", message: "cannot be set: " + err.Error(), hint: "change its height or its font a little"}
}

// leastGap is the least foam between two letters that follow each other, looked
// for up to a limit.
func leastGap(letters []lettering.Letter, groove, limit float64) float64 {
	least := limit
	var last []geometry.Contour
	for _, l := range letters {
		next := edges(l)
		if len(next) == 0 {
			continue
		}
		for _, gap := range geometry.Gaps(append(last[:len(last):len(last)], next...), least+groove) {
			if gap.I < len(last) && gap.J >= len(last) {
				least = min(least, gap.Distance-groove)
			}
		}
		last = next
	}
	return least
}

// edges are a letter's contours; those of strokes go there and back.
func edges(l lettering.Letter) []geometry.Contour {
	list := l.Region.Contours()
	for _, p := range l.Strokes {
		list = append(list, thereAndBack(p))
	}
	return list
}

// thereAndBack is a closed contour along a path, to measure distances from.
func thereAndBack(p geometry.Path) geometry.Contour {
	there, back := p.Vertices(), p.Reverse().Vertices()
	if len(there) == 0 {
		return geometry.Contour{}
	}
	return geometry.NewContour(append(there[:len(there)-1], back[:len(back)-1]...)...)
}
