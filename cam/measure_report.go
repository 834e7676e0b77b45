package cam

import (
	"traywright/cam/finding"
	"traywright/geometry/trace"
)

// MeasureReport is what pieces in photographs measure, for other programs.
type MeasureReport struct {
	SchemaVersion int             `json:"schema_version"`
	Photos        []MeasuredPhoto `json:"photos"`
	Side          *SidePhoto      `json:"side,omitempty"`
	Kinds         []MeasuredRow   `json:"kinds"`
	Unmeasured    int             `json:"not_measured"`
	Files         []MeasuredFile  `json:"files"`
	Findings      finding.List    `json:"findings"`
}

// MeasuredPhoto is one photograph.
type MeasuredPhoto struct {
	Photo          string  `json:"photo"`
	Measured       int     `json:"measured"`
	GivenUp        int     `json:"given_up"`
	CameraMM       float64 `json:"camera_mm"`
	PixelsPerMM    float64 `json:"pixels_per_mm"`
	ShapePercent   float64 `json:"card_shape_percent"`
	BendPercent    float64 `json:"bend_percent"`
	BendOffPercent float64 `json:"bend_off_percent"`
}

// SidePhoto is the photograph from the side.
type SidePhoto struct {
	Photo       string  `json:"photo"`
	Stands      []int   `json:"stands"` // the numbers of the pieces, from left to right
	Measured    int     `json:"measured"`
	PixelsPerMM float64 `json:"pixels_per_mm"`
}

// MeasuredRow is a row of the roster: the pieces of one kind.
type MeasuredRow struct {
	ID       string           `json:"id"`
	Shape    string           `json:"shape"` // rect, round, or odd
	LengthMM float64          `json:"length_mm"`
	WidthMM  float64          `json:"width_mm"`
	HeightMM float64          `json:"height_mm,omitempty"`     // of a typed sheet, or from the side
	HighOff  float64          `json:"height_off_mm,omitempty"` // from the side
	Count    int              `json:"count,omitempty"`         // the same
	Rows     int              `json:"rows,omitempty"`          // that measure it
	OffMM    float64          `json:"off_mm"`                  // the most that a size of it may be off by
	Outline  string           `json:"outline,omitempty"`
	Pieces   []MeasuredNumber `json:"pieces"`
}

// MeasuredNumber is one piece, as it is numbered on the check picture.
type MeasuredNumber struct {
	Number      int     `json:"number"`
	LengthMM    float64 `json:"length_mm"`
	WidthMM     float64 `json:"width_mm"`
	LengthOffMM float64 `json:"length_off_mm"`
	WidthOffMM  float64 `json:"width_off_mm"`
	PerMM       float64 `json:"off_mm_for_each_mm_higher"`
	Photos      int     `json:"photos"` // that measured it
}

// MeasuredFile is a file that was written.
type MeasuredFile struct {
	Path   string `json:"path"`
	SHA256 string `json:"sha256"`
}

func (q MeasureRequest) describe(set measuredSet, kinds []measuredKind, found finding.List) MeasureReport {
	r := MeasureReport{SchemaVersion: SchemaVersion, Unmeasured: set.left, Findings: found}
	for _, p := range q.Photos {
		r.Photos = append(r.Photos, MeasuredPhoto{Photo: p.Photo, Measured: len(p.Measured), GivenUp: len(p.Given), CameraMM: p.CameraMM,
			PixelsPerMM: p.Card.PixelsPerMM, ShapePercent: p.Card.ShapePercent, BendPercent: p.BendPercent, BendOffPercent: p.BendOffPercent})
	}
	if q.Side != nil {
		r.Side = &SidePhoto{Photo: q.Side.Photo, Stands: set.stands, Measured: set.high, PixelsPerMM: q.Side.Card.PixelsPerMM}
	}
	for _, k := range kinds {
		row := MeasuredRow{ID: k.id(), Shape: "rect", LengthMM: k.length, WidthMM: k.width, HeightMM: k.height, HighOff: k.heightOff}
		switch k.first.Form {
		case trace.Disc:
			row.Shape = "round"
		case trace.Odd:
			row.Shape, row.Outline = "odd", k.outline()
		}
		for _, p := range k.pieces {
			row.OffMM = max(row.OffMM, p.LengthOff, p.WidthOff)
			row.Pieces = append(row.Pieces, MeasuredNumber{Number: p.number, LengthMM: p.Length, WidthMM: p.Width,
				LengthOffMM: p.LengthOff, WidthOffMM: p.WidthOff, PerMM: p.PerMM, Photos: len(p.photos)})
		}
		r.Kinds = append(r.Kinds, row)
	}
	return r
}
