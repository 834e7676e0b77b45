package cam

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/geometry/units"
)

// ProofReport is a text that will be cut into foam, once, and everywhere that
// it goes: for somebody to read aloud before it is.
type ProofReport struct {
	Text string        `json:"text"`
	On   []ProofPlaces `json:"on"`
}

// ProofPlaces is one label with that text.
type ProofPlaces struct {
	Tray     string  `json:"tray"`
	Copies   int     `json:"copies"`
	Make     string  `json:"make"` // mark, outline or cut
	HeightMM float64 `json:"height_mm"`
	DepthMM  float64 `json:"depth_mm"` // of one that is cut
	Through  bool    `json:"through"`
}

// LabelReport is a label of a tray. x_mm and y_mm are the lower-left corner of
// what it takes.
type LabelReport struct {
	Text     string  `json:"text"`
	Font     string  `json:"font"`
	HeightMM float64 `json:"height_mm"` // of a capital
	markReport
}

// EmblemReport is an emblem of a tray.
type EmblemReport struct {
	Picture string `json:"picture"`
	markReport
}

type markReport struct {
	Make     string  `json:"make"`
	Through  bool    `json:"through"`
	DepthMM  float64 `json:"depth_mm"`
	XMM      float64 `json:"x_mm"`
	YMM      float64 `json:"y_mm"`
	LengthMM float64 `json:"length_mm"`
	WidthMM  float64 `json:"width_mm"`
	Bridges  int     `json:"bridges"`
}

var makeNames = map[job.Make]string{job.Marked: "mark", job.Outlined: "outline", job.Cut: "cut"}

func describeMark(m plan.Mark) markReport {
	return markReport{
		Make: makeNames[m.Make], Through: m.Through, DepthMM: m.Depth.MM(), Bridges: m.Bridges,
		XMM: round(m.Box.Min.X, 1e-3), YMM: round(m.Box.Min.Y, 1e-3),
		LengthMM: round(m.Box.Width(), 1e-3), WidthMM: round(m.Box.Height(), 1e-3),
	}
}

// describeMarks are a tray's labels and emblems.
func describeMarks(t plan.Tray) ([]LabelReport, []EmblemReport) {
	labels, emblems := []LabelReport{}, []EmblemReport{}
	for _, m := range t.Marks {
		if m.Picture != "" {
			emblems = append(emblems, EmblemReport{m.Picture, describeMark(m)})
			continue
		}
		labels = append(labels, LabelReport{m.Text, m.Font, round(m.HeightMM, 1e-3), describeMark(m)})
	}
	return labels, emblems
}

// proofOf lists every text that will be cut, in the order in which the trays
// have them first.
func proofOf(p *plan.Plan) []ProofReport {
	list := []ProofReport{}
	for _, t := range p.Trays {
		for _, m := range t.Marks {
			if m.Picture != "" {
				continue
			}
			i := slices.IndexFunc(list, func(r ProofReport) bool { return r.Text == m.Text })
			if i < 0 {
				i = len(list)
				list = append(list, ProofReport{Text: m.Text})
			}
			list[i].On = append(list[i].On, ProofPlaces{
				Tray: t.ID, Copies: t.Copies, Make: makeNames[m.Make], HeightMM: round(m.HeightMM, 1e-3), DepthMM: m.Depth.MM(), Through: m.Through,
			})
		}
	}
	return list
}

// Say is where a label goes, in words.
func (o ProofPlaces) Say(u units.Unit) string {
	how := map[string]string{"mark": "engraved", "outline": "engraved along its edges", "cut": "cut " + page.Length(o.DepthMM, u) + " deep"}[o.Make]
	if o.Through {
		how = "cut through"
	}
	copies := ""
	if o.Copies > 1 {
		copies = fmt.Sprintf(" (%d to make)", o.Copies)
	}
	return fmt.Sprintf("%s%s: %s, %s high", o.Tray, copies, how, page.Length(o.HeightMM, u))
}

// Where is everywhere that the text goes, in words.
func (r ProofReport) Where(u units.Unit) string {
	var list []string
	for _, o := range r.On {
		list = append(list, o.Say(u))
	}
	return strings.Join(list, "; ")
}
