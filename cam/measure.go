package cam

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/geometry/trace"
	"traywright/geometry/units"
)

// Measured is a photograph of pieces beside a card, as it was traced.
type Measured struct {
	Photo string // its file
	*trace.Pieces
}

// MeasureRequest is all that pieces are measured from. Several photographs are of one
// set of pieces. HeightMM is how high the pieces stand, 0 where nobody said.
type MeasureRequest struct {
	Photos   []Measured
	HeightMM float64
	WithinMM float64       // the most that a size may be off by
	Lens     *trace.Lens   // that took them, nil where nobody measured it
	Side     *MeasuredSide // the pieces from the side, nil where there is none
	Told     bool          // how high the camera was
	Unit     units.Unit
}

// MeasureResult is what came of it. Files are there only when no finding is an error; the
// check pictures, one for each photograph, are the caller's to add.
type MeasureResult struct {
	Report MeasureReport
	Files  []File
	Labels [][]string // of each photograph's measured pieces, as they are numbered
	Stands []int      // the numbers of what stands in the photograph from the side
}

// Names of what is written.
const (
	measuredRoster = "roster.csv"
	outlineFolder  = "outlines/"
)

// Measure puts the photographs together, groups equal pieces, and writes a roster and the
// outlines of odd ones.
func Measure(ctx context.Context, q MeasureRequest) (MeasureResult, error) {
	var r MeasureResult
	set, found := q.together()
	r.Labels = set.labels
	if q.Side != nil && !found.Failed() {
		found = append(found, q.stand(&set)...)
		r.Stands = set.stands
	}
	found = append(found, q.notes(set)...)
	kinds := kindsOf(set.pieces)
	if len(kinds) == 0 {
		found = append(found, finding.Finding{Rule: "nothing-measured", Where: q.Photos[0].Photo, Message: "no piece is measured",
			Hint: "do what the warnings say of each; `traywright outline` with --piece X,Y takes a single piece of any shape"})
	}
	r.Report = q.describe(set, kinds, found)
	if found.Failed() {
		return r, nil
	}
	r.Files = append(r.Files, Sign(File{measuredRoster, q.roster(kinds, set.left)}))
	for _, k := range kinds {
		if k.first.Form != trace.Odd {
			continue
		}
		drawing, err := DrawOutline(ctx, k.outline(), k.straightened())
		if err != nil {
			return r, err
		}
		r.Files = append(r.Files, Sign(File{k.outline(), drawing}))
	}
	return r, nil
}

// Sealed are the files that were added to, and the report that knows them all, sealed.
func (r *MeasureResult) Sealed() ([]File, error) {
	for _, f := range r.Files {
		r.Report.Files = append(r.Report.Files, MeasuredFile{Path: f.Path, SHA256: Sum(f.Data)})
	}
	text, err := finding.JSON(r.Report)
	return append([]File{{ReportName, seal(text)}}, r.Files...), err
}

// notes say what could not be measured, and what the sizes rest on.
func (q MeasureRequest) notes(set measuredSet) finding.List {
	var found finding.List
	n := 0
	for _, p := range q.Photos {
		for _, g := range p.Given {
			n++
			x, y := p.Seen(g.At)
			found = append(found, finding.Finding{Severity: finding.Warning, Rule: "not-measured",
				Where: fmt.Sprintf("%s: X%d at pixel %.0f,%.0f", p.Photo, n, x, y), Message: g.Why.Message, Hint: g.Why.Hint})
		}
		note := func(rule, message, hint string) {
			found = append(found, finding.Finding{Severity: finding.Note, Rule: rule, Where: p.Photo, Message: message, Hint: hint})
		}
		if q.Lens != nil && !p.LensNamed {
			note("lens-not-named", "the notes in this photograph and in that of the grid do not both say which camera took it at what zoom: the lens file agrees with what card and pieces show, but that does not tell it from another that is nearly so, and sizes rest on what is shown",
				"take both pictures as the camera stored them: what edits, sends or shrinks a picture often takes its notes away")
		}
		if p.ZoomedDegrees > 0 && q.Told {
			found = append(found, finding.Finding{Severity: finding.Warning, Rule: "camera-far", Where: p.Photo,
				Message: fmt.Sprintf("from %s, the lens sees only %.0f degrees along the picture's longer side, as one does that was zoomed in", q.said("%g", p.CameraMM), p.ZoomedDegrees),
				Hint:    "if it was not, measure from the paper to the lens again, and mind the unit; if it was, there is nothing to do"})
		}
		if p.Specks > 0 {
			note("specks", fmt.Sprintf("%d things are smaller than 20 mm² and were left out", p.Specks), "measure by hand what of them is a piece")
		}
		worst := 0.0
		for _, m := range p.Measured {
			worst = max(worst, m.PerMM)
		}
		if worst > 0 {
			camera := fmt.Sprintf("; the lens is taken to be %s above the paper", q.said("%.0f", p.CameraMM))
			if q.Told {
				camera = ""
			}
			note("heights", fmt.Sprintf("%s: each %s that an edge lies higher moves it outwards by up to %.3f %s%s", q.heightsTaken(set), q.one(), worst, q.Unit, camera),
				"measure pieces of one height together, and give --height and --camera, from the paper to the lens")
			lens := "card and pieces show"
			if p.LensNamed {
				lens = "its grid shows"
			}
			note("assumed", fmt.Sprintf("what sizes may be off by is a bound where the paper is flat to %s and no lamp throws a thin, sharp shadow along an edge, which passes for part of the piece; the lens moves the picture's corners by %+.2f ± %.2f %%, as %s it, which is taken out",
				q.said("%g", p.FlatMM), p.BendPercent, p.BendOffPercent, lens), "look at the check picture: each number has to lie on one piece, its box around it")
		}
	}
	return found
}

// heightsTaken says for which heights the sizes are right.
func (q MeasureRequest) heightsTaken(set measuredSet) string {
	switch {
	case q.HeightMM > 0:
		return fmt.Sprintf("the pieces are taken to be %s high, with upright sides", q.said("%.3g", q.HeightMM))
	case set.high > 0:
		return "the pieces are taken to be as high as they stand from the side, with upright sides; where no height is known, sizes are right only of what is as thin as the card"
	case q.Side != nil:
		return "no height is known, so that sizes are right only of what is as thin as the card"
	}
	return "the pieces are taken to be as thin as the card"
}

// roster is the rows, height left to fill in where nobody said it.
func (q MeasureRequest) roster(kinds []measuredKind, left int) []byte {
	var b bytes.Buffer
	unit := q.Unit.String()
	fmt.Fprintf(&b, "# measured in photographs; what each size may be off by, and which pieces are of a kind, stands in %s\n", ReportName)
	b.WriteString(q.sideComment(kinds))
	if q.HeightMM == 0 && slices.ContainsFunc(kinds, func(k measuredKind) bool { return k.height == 0 }) {
		b.WriteString("# fill in the heights: the column before the last\n")
	}
	fmt.Fprintf(&b, "id,count,length (%s),width (%s),height (%s),shape\n", unit, unit, unit)
	for _, k := range kinds {
		if k.first.Form == trace.Odd {
			fmt.Fprintf(&b, "# %s is of an odd shape: a pocket may take `outline: %s`\n", k.id(), k.outline())
		}
		height, shape := "", "rect"
		if known := max(q.HeightMM, k.height); known > 0 {
			height = q.bare(known)
		}
		if k.first.Form == trace.Disc {
			shape = "round"
		}
		fmt.Fprintf(&b, "%s,%d,%s,%s,%s,%s\n", k.id(), len(k.pieces), q.bare(k.length), q.bare(k.width), height, shape)
	}
	if left > 0 {
		b.WriteString("# not measured, and named X1 and on in the check picture: write sizes by hand, or take the rows away\n")
	}
	for i := range left {
		fmt.Fprintf(&b, "not-measured-%d,,,,,\n", i+1)
	}
	return b.Bytes()
}

// said is a length in the roster's unit: mm as the form has them, or thousandths of an inch.
func (q MeasureRequest) said(form string, mm float64) string {
	if q.Unit == units.Inch {
		return q.bare(mm) + " in"
	}
	return fmt.Sprintf(form, mm) + " mm"
}

// one is what a length is counted in.
func (q MeasureRequest) one() string {
	if q.Unit == units.Inch {
		return "inch"
	}
	return "mm"
}

// bare is a length in the roster's unit.
func (q MeasureRequest) bare(mm float64) string {
	if q.Unit == units.Inch {
		return fmt.Sprintf("%.3f", mm/units.InchMM)
	}
	return fmt.Sprintf("%.1f", math.Round(mm*10)/10)
}
