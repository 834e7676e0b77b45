package cam

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
)

// What is cut by hand has no program, and so no dry run: its pictures are drawn from the plan.

// lines are all that a hand cuts along, as text: the same where two sheets are one.
func (w *sheetWork) lines() []byte {
	var b bytes.Buffer
	for _, d := range w.program.Drawn {
		fmt.Fprintln(&b, d.Kind, d.Tool.ID, d.Contour.Vertices(), d.Path.Vertices(), d.Slit.Vertices())
	}
	return b.Bytes()
}

// handCellMM is the cell of the foam as planned, for pictures alone.
const handCellMM = 0.25

// planned is the foam as it will be, and the lines in the order in which they are cut, for
// pictures that else show what a dry run read.
func (w *sheetWork) planned() proof.Result {
	r := proof.Result{OK: true, Field: w.plannedFoam(), KerfMM: map[int]float64{}}
	for _, c := range w.sheet.All() {
		r.KerfMM[c.Tool.Number] = max(r.KerfMM[c.Tool.Number], c.WidestMM())
	}
	for _, d := range w.program.Drawn {
		name, z := d.Name, -w.sheet.ThicknessMM()
		if d.Kind == process.Mark {
			name, z = w.sheet.Marking.Name, 0
		}
		for _, segments := range [][]geometry.Segment{slices.Collect(d.Path.Segments()), slices.Collect(d.Slit.Segments()), slices.Collect(d.Contour.Segments())} {
			for _, s := range segments {
				r.Motions = append(r.Motions, proof.Motion{
					Tool: d.Tool.Number, Op: name, On: true, From: proof.Point{Point: s.A, Z: z}, To: proof.Point{Point: s.B, Z: z},
					Arc: s.Bulge != 0, CCW: s.Bulge > 0, Center: centre(s),
				})
				if z < 0 {
					scratch(r.Field, s, -z)
				}
			}
		}
	}
	return r
}

// scratch cuts the cells under a line, which has no width of its own.
func scratch(f proof.Field, s geometry.Segment, depthMM float64) {
	n := 1 + int(2*s.Length()/f.CellMM)
	for i := range n + 1 {
		p := s.At(float64(i) / float64(n))
		column, row := int((p.X-f.Origin.X)/f.CellMM), int((p.Y-f.Origin.Y)/f.CellMM)
		if column >= 0 && column < f.Columns && row >= 0 && row < f.Rows {
			f.DepthMM[row*f.Columns+column] = float32(depthMM)
		}
	}
}

func centre(s geometry.Segment) geometry.Point {
	if s.Bulge == 0 {
		return geometry.Point{}
	}
	return s.Center()
}

// plannedFoam has the holes through, and all else as it was.
func (w *sheetWork) plannedFoam() proof.Field {
	box := w.sheet.Edge.Shape.Bounds().Grow(2)
	f := proof.Field{Origin: box.Min, CellMM: handCellMM, Columns: int(math.Ceil(box.Width() / handCellMM)), Rows: int(math.Ceil(box.Height() / handCellMM))}
	f.DepthMM = make([]float32, f.Columns*f.Rows)
	for _, c := range w.sheet.Cuts {
		crossings := rowsOf(c.Shape, f)
		for row, xs := range crossings {
			slices.Sort(xs)
			for i := 0; i+1 < len(xs); i += 2 {
				first, end := columnOf(f, xs[i]), columnOf(f, xs[i+1])
				for column := first; column < end; column++ {
					f.DepthMM[row*f.Columns+column] = float32(c.DepthMM)
				}
			}
		}
	}
	return f
}

// columnOf is the first column whose middle is not left of x.
func columnOf(f proof.Field, x float64) int {
	return min(max(0, int(math.Ceil((x-f.Origin.X)/f.CellMM-0.5))), f.Columns)
}

// rowsOf is where a shape's edge crosses the middle of each row.
func rowsOf(shape geometry.Region, f proof.Field) map[int][]float64 {
	crossings := map[int][]float64{}
	for _, c := range shape.Contours() {
		for s := range c.Segments() {
			n := 1
			if s.Bulge != 0 {
				n = 2 + int(s.Length()/f.CellMM)
			}
			for i := range n {
				a, b := s.At(float64(i)/float64(n)), s.At(float64(i+1)/float64(n))
				low, high := min(a.Y, b.Y), max(a.Y, b.Y)
				for row := max(0, int(math.Ceil((low-f.Origin.Y)/f.CellMM-0.5))); row < f.Rows; row++ {
					y := f.Origin.Y + (float64(row)+0.5)*f.CellMM
					if y >= high {
						break
					}
					crossings[row] = append(crossings[row], a.X+(b.X-a.X)*(y-a.Y)/(b.Y-a.Y))
				}
			}
		}
	}
	return crossings
}

// template writes the sheet's own, in true size.
func (w *sheetWork) template(r Request, p *plan.Plan, o Options) error {
	pages := page.CutSheet{Plan: p, Unit: r.Unit, Printed: o.Printed}
	file, err := written(w.path(), func(out io.Writer) error { return pages.Template(out, w.page(r, p), o.Paper) })
	if err != nil {
		return err
	}
	w.files = append([]sheetFile{{file, strings.Join(w.tools(), ", ")}}, w.files...)
	return nil
}
