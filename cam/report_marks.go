package cam

import "traywright/cam/plan"

// LabelReport is a label of a tray. x_mm and y_mm are the lower-left corner of
// what it takes.
type LabelReport struct {
	Text     string  `json:"text" means:"as it is cut"`
	Font     string  `json:"font" means:"of what"`
	HeightMM float64 `json:"height_mm" means:"of a capital"`
	markReport
}

// EmblemReport is an emblem of a tray.
type EmblemReport struct {
	Picture string `json:"picture" means:"its file"`
	markReport
}

type markReport struct {
	Make     string  `json:"make" means:"mark, outline or cut" one:"mark|outline|cut"`
	Through  bool    `json:"through" means:"goes through the sheet"`
	DepthMM  float64 `json:"depth_mm" means:"from the tray's top; of an engraved line, which cuts no kerf, 0 under a beam: it darkens the face, how deep nobody knows"`
	XMM      float64 `json:"x_mm" means:"lower-left corner of what it takes"`
	YMM      float64 `json:"y_mm" means:"the same, along Y"`
	LengthMM float64 `json:"length_mm" means:"of what it takes, along X"`
	WidthMM  float64 `json:"width_mm" means:"of what it takes, along Y"`
	Bridges  int     `json:"bridges" means:"that hold its islands"`
}

func describeMark(t plan.Tray, m plan.Mark) markReport {
	return markReport{
		Make: m.Make.String(), Through: m.Through, DepthMM: markDepthMM(t, m), Bridges: m.Bridges,
		XMM: round(m.Box.Min.X, 1e-3), YMM: round(m.Box.Min.Y, 1e-3),
		LengthMM: round(m.Box.Width(), 1e-3), WidthMM: round(m.Box.Height(), 1e-3),
	}
}

// markDepthMM is how deep a mark goes. Lines that are engraved have their depth from the recipe, as
// their sheet, the top one, has it.
func markDepthMM(t plan.Tray, m plan.Mark) float64 {
	if m.Depth > 0 || len(t.Sheets) == 0 {
		return m.Depth.MM()
	}
	return round(t.Sheets[0].Marking.DepthMM, 1e-3)
}

// describeMarks are a tray's labels and emblems.
func describeMarks(t plan.Tray) ([]LabelReport, []EmblemReport) {
	labels, emblems := []LabelReport{}, []EmblemReport{}
	for _, m := range t.Marks {
		if m.Picture != "" {
			emblems = append(emblems, EmblemReport{m.Picture, describeMark(t, m)})
			continue
		}
		labels = append(labels, LabelReport{m.Text, m.Font, round(m.HeightMM, 1e-3), describeMark(t, m)})
	}
	return labels, emblems
}
