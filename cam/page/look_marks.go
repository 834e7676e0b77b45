package page

import (
	"fmt"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
)

// lookMark is a label or an emblem as the cutter leaves it: what is cut away is its path, and all
// that a round tool takes along its ways.
type lookMark struct {
	Name    string      `json:"name"`
	At      string      `json:"at"` // its entry in the job
	Path    string      `json:"path"`
	Ways    string      `json:"ways"`     // of the tool's centre, where it is engraved
	WideMM  float64     `json:"wide_mm"`  // the groove along them
	DepthMM float64     `json:"depth_mm"` // of one that is cut; 0 of one that is engraved
	Colour  string      `json:"colour"`   // of the groove's floor
	Box     [4]float64  `json:"box"`
	Facts   [][2]string `json:"facts"`
}

// lookMark is one of a tray's marks; those that are engraved are all as deep.
func (c CutSheet) lookMark(k plan.Mark, engravedMM float64) lookMark {
	l := lookMark{Name: k.Text, At: k.Position.String(), Path: svgPath(k.Design), Ways: svgWays(k.Paths), WideMM: k.WidthMM, Box: boxOf(k.Box)}
	add := func(name, text string) { l.Facts = append(l.Facts, [2]string{name, text}) }
	if k.Picture != "" {
		l.Name = k.Picture
	} else {
		add("letters", c.length(k.HeightMM)+" high, "+k.Font)
	}
	add("size", c.size(k.Box.Width(), k.Box.Height()))
	switch {
	case k.Make != job.Cut && engravedMM > 0:
		add("made", fmt.Sprintf("engraved %s deep, a groove of %s", c.length(engravedMM), c.length(k.WidthMM)))
	case k.Make != job.Cut:
		add("made", "engraved: its face is darkened, "+c.length(k.WidthMM)+" wide")
	case k.Through:
		add("made", "cut through")
	default:
		add("made", "cut "+c.length(k.Depth.MM())+" deep")
	}
	if k.Make == job.Cut {
		l.DepthMM = k.Depth.MM()
	}
	l.Colour = hexOf(softInk)
	if deep := max(l.DepthMM, engravedMM); deep > 0 {
		l.Colour = hexOf(newShades(jobScale(c.Plan), 0).colour(deep))
	}
	if k.Bridges > 0 {
		add("bridges", fmt.Sprintf("%s, which stay", finding.Counted(k.Bridges, "bridge")))
	}
	add("from", l.At)
	return l
}

// engravedMM is how deep a tray's marks are engraved; 0 where a beam darkens them.
func engravedMM(t *plan.Tray) (deep float64) {
	for _, s := range t.Sheets {
		if len(s.Marks) > 0 {
			deep = max(deep, s.Marking.DepthMM)
		}
	}
	return deep
}
