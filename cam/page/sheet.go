package page

import (
	"fmt"
	"image"
	"io"
	"math"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/cam/stock"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// PictureOptions is what the picture of a program says beside what the dry run
// found. All of it may be left out.
type PictureOptions struct {
	Title       string              // "" is the program's path
	Lines       []string            // caption under the title
	Unit        units.Unit          // that lengths are printed in
	ThicknessMM float64             // of the foam; 0 is what the program's header says, if it does
	Machine     profiles.Machine    // bed and clamps; without travel no bed is drawn
	ZeroMM      geometry.Point      // where the program's X0 Y0 lies on the bed
	LowMM       geometry.Point      // the lowest X and Y of all programs of the sheet; zero: of this program
	Spell       func(string) string // how a program has a name of the plan; nil: as it is
	Wanted      *proof.Wanted       // what was planned, to mark differences; nil for no comparison
	Job         *plan.Plan          // all pictures of a job have one scale of depth; nil for a program alone
	Laid        *stock.Setup        // of a sheet of the stock, what lies on it
	Offcut      *Offcut             // of a test piece, its place on the foam that several are cut from; nil for none
	Ears        []geometry.Box      // of trays, which stay on until their layers are glued
	Found       finding.List        // what is wrong or worth knowing beside what the dry run found
}

// Picture draws one program's picture as PNG: the foam after the cut with its
// depths shaded, kerfs to scale, the way between cuts, where each operation
// starts and their order, rulers and zero, differences from the plan, findings,
// and a legend of whatever is used. It draws what the dry run read and cut.
// Numbers that are not finite are left out; there is a picture of an empty
// result as well. The error is w's.
func Picture(w io.Writer, r proof.Result, o PictureOptions) error {
	return picture(w, r, o, 0)
}

// letters are those of the job's own font.
func (o PictureOptions) letters() *letters {
	if o.Job == nil {
		return nil
	}
	return lettersOf(o.Job.Letters)
}

// picture draws a program's picture, for a screen, or for the cut sheet on paper: then
// about so many pixels high.
func picture(w io.Writer, r proof.Result, o PictureOptions, paperPX float64) error {
	t, err := newTypesetter(o.letters())
	if err != nil {
		return err
	}
	s := newSheet(t, r, o)
	s.paperPX, s.onPaper = paperPX, paperPX > 0
	page := s.draw()
	defer done(page)
	return encode(w, page, s.onPaper)
}

// sheet is a program's picture in the making.
type sheet struct {
	*typesetter
	r      proof.Result
	o      PictureOptions
	ops    []operation
	groups []group
	flags  []flag
	shades *shades
	whose  string       // scale of depth it is
	box    geometry.Box // mm that are shown

	c       *canvas
	v       view
	foam    *foam
	claims  *claims
	used    used
	onPaper bool // for the cut sheet, which says the rest itself
	paperPX float64
	every   int // which operations get a number: 1, or every so manyth
}

// used is what the drawing shows, and the legend has to explain.
type used struct {
	rapids, starts, numbers, through, loose, over, under, outline, clamps, crosses, flags, zero, bridges, left, corners bool
}

// everything is the longest legend there can be; room is kept for it.
func (s *sheet) everything() used {
	return used{true, true, true, true, true, true, true, true, true, true, true, true, len(s.bridgesAt()) > 0, len(s.leftWays()) > 0, s.o.Laid != nil}
}

// bridged are what holds each of the plan's cuts, the outline's first.
func (s *sheet) bridged() []proof.Bridges {
	if s.o.Wanted == nil {
		return nil
	}
	list := []proof.Bridges{s.o.Wanted.OutlineBridged}
	for _, c := range s.o.Wanted.Cuts {
		list = append(list, c.Bridged)
	}
	return list
}

// leftWays are what the plan leaves to a hand.
func (s *sheet) leftWays() (list []geometry.Path) {
	for _, b := range s.bridged() {
		list = append(list, b.Left...)
	}
	return list
}

// bridgesAt are the places of all bridges of the plan.
func (s *sheet) bridgesAt() (list []geometry.Point) {
	for _, b := range s.bridged() {
		list = append(list, b.At...)
	}
	return list
}

func newSheet(t *typesetter, r proof.Result, o PictureOptions) *sheet {
	s := &sheet{typesetter: t, r: r, o: o}
	if !(o.ThicknessMM > 0 && o.ThicknessMM < deepestMM) {
		s.o.ThicknessMM = headerThickness(r.Header["thickness"])
	}
	if !believable(o.ZeroMM) {
		s.o.ZeroMM = geometry.Point{}
	}
	s.ops = operations(r.Motions, r.Field)
	s.name()
	s.groups = groups(s.ops)
	s.every = everyNth(len(s.ops))
	s.flags = flags(r, o.Found)
	scale, whose := s.depthScale()
	s.shades, s.whose = newShades(scale, s.o.ThicknessMM), whose
	s.box = s.extents()
	return s
}

// depthScale is the depth that is darkest, and whose it is, in words.
func (s *sheet) depthScale() (mm float64, whose string) {
	if s.o.Job != nil {
		if mm = jobScale(s.o.Job); mm > 0 {
			return mm, ownScale
		}
	}
	if s.o.ThicknessMM > 0 {
		return s.o.ThicknessMM, ", the thickness of this foam"
	}
	return deepest(s.r.Field), ", the deepest cut here"
}

// ownScale says that a job's pictures have one scale of depth.
const ownScale = ", on every picture of this job"

// extents is what the program touches, with a margin, and the zero where it is near.
func (s *sheet) extents() geometry.Box {
	all := newReach()
	for _, m := range s.r.Motions {
		all.add(m.From.Point, m.To.Point)
	}
	for _, op := range s.ops {
		all.add(op.box.Min, op.box.Max)
	}
	if s.o.Wanted != nil {
		for _, c := range s.o.Wanted.Outline.Contours() {
			all.add(outline(c, 1)...)
		}
	}
	if s.o.Laid != nil {
		sheet := s.onSheet(0, 0, s.o.Laid.SizeMM[0], s.o.Laid.SizeMM[1])
		all.add(sheet.Min, sheet.Max)
	}
	if f := s.r.Field; all.Empty() && usable(f) {
		far := geometry.Point{X: f.Origin.X + float64(f.Columns)*f.CellMM, Y: f.Origin.Y + float64(f.Rows)*f.CellMM}
		all.add(f.Origin, far)
	}
	b := all.box(10)
	margin := 0.018*math.Max(b.Width(), b.Height()) + s.widestKerf()/2
	zero := geometry.Box{}
	if near := b.Union(zero); near.Width() < 1.3*b.Width() && near.Height() < 1.3*b.Height() {
		b = near
	}
	return b.Grow(margin)
}

// widestKerf is the largest diameter of the machine's tools, mm.
func (s *sheet) widestKerf() float64 {
	widest := 0.0
	for _, t := range s.o.Machine.Tools {
		if d := t.DiameterMM.Value; d > widest && d < 100 {
			widest = d
		}
	}
	return widest
}

// draw lays the page out, with room for the longest legend, draws the foam, and
// then the legend of what there is to see. What is left below is cut off.
func (s *sheet) draw() *image.RGBA {
	p := s.layout()
	s.c = newCanvas(s.typesetter, p.width, p.height)
	s.v = p.view
	if s.o.Laid != nil {
		s.v.from = geometry.Point{X: -s.o.Laid.ZeroMM[0], Y: -s.o.Laid.ZeroMM[1]}
	}
	s.drawing()
	s.header(p)
	return s.c.upTo(int(s.notes(p)) + marginPX)
}

// leastRatio is the least height over width of the picture on paper: what stands beside the drawing
// may make it higher.
func (s *sheet) leastRatio(paperPX float64) float64 {
	s.paperPX, s.onPaper = paperPX, true
	p := s.layout()
	high := int(p.view.on().bottom()+rulerPX) + marginPX
	return float64(min(high, p.height)) / float64(p.width)
}

// headerThickness reads "25.4 mm"; 0 when a header does not say it so.
func headerThickness(text string) float64 {
	var mm float64
	if n, _ := fmt.Sscanf(text, "%f mm", &mm); n == 1 && mm > 0 && mm < deepestMM {
		return mm
	}
	return 0
}
