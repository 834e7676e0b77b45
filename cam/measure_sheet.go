package cam

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/geometry/units"
)

// A measuring sheet is filled in by hand and typed: a row for each piece that was measured, equal ones under
// one id. What a hand does wrong is looked for by these (all judged, no source): equal pieces differ by no more
// than alikeMM or alikePart; a size that is 25.4 times another, or in another column, is so to turnPart; nobody
// carries a piece that is below leastPieceMM in all three directions, nor one above mostPieceMM or, each way, above
// thickPieceMM.
const (
	alikeMM, alikePart = 1.0, 0.04
	turnPart           = 0.04
	leastPieceMM       = 4.0
	mostPieceMM        = 24 * units.InchMM
	thickPieceMM       = 6 * units.InchMM // as a job's roster
)

// SheetRequest is a measuring sheet as it was typed.
type SheetRequest struct {
	File string
	Text []byte
	Unit units.Unit // of bare numbers
}

// CheckSheet looks for what a hand does wrong, and makes a roster of what is right: of equal pieces each size is
// the largest, so that a pocket takes them all. The error is a text that is no sheet.
func CheckSheet(q SheetRequest) (MeasureResult, error) {
	rows, found, err := job.ReadSheet(q.File, q.Text, q.Unit)
	if err != nil {
		return MeasureResult{}, err
	}
	s := typedSheet{table: cellsOf(q), found: found, unit: q.Unit}
	r := MeasureResult{Report: MeasureReport{SchemaVersion: SchemaVersion}}
	var pieces []job.Piece
	for _, kind := range kindsOfRows(rows) {
		for _, p := range kind {
			s.askUnit(p)
		}
		s.equal(kind)
		s.alike(kind)
		p := s.joined(kind)
		pieces = append(pieces, p)
		r.Report.Kinds = append(r.Report.Kinds, MeasuredRow{ID: p.ID, Shape: shapeWords[p.Shape], LengthMM: p.Length.MM(), WidthMM: p.Width.MM(), HeightMM: p.Height.MM(), Count: p.Count, Rows: len(kind)})
	}
	if r.Report.Findings = s.found; !s.found.Failed() {
		r.Files = []File{{measuredRoster, q.roster(pieces)}}
	}
	return r, nil
}

// What a roster calls shapes and poses.
var (
	shapeWords = [...]string{job.Rect: "rect", job.Round: "round"}
	poseWords  = [...]string{job.AnyPose: "any", job.Upright: "upright", job.Lying: "lying"}
)

// kindsOfRows are the rows of each id, in the file's order.
func kindsOfRows(rows []job.Piece) (kinds [][]job.Piece) {
	at := map[string]int{}
	for _, p := range rows {
		i, ok := at[p.ID]
		if !ok {
			i = len(kinds)
			at[p.ID], kinds = i, append(kinds, nil)
		}
		kinds[i] = append(kinds[i], p)
	}
	return kinds
}

// typedSheet is a sheet that is looked at.
type typedSheet struct {
	table map[int]map[string]job.Cell // by line and column
	found finding.List
	unit  units.Unit
}

// cellsOf are the cells of a table by line and the name of their column.
func cellsOf(q SheetRequest) map[int]map[string]job.Cell {
	cells := map[int]map[string]job.Cell{}
	table, err := job.ReadTable(q.File, q.Text)
	if err != nil || len(table.Rows) == 0 {
		return cells
	}
	for _, row := range table.Rows[1:] {
		line := map[string]job.Cell{}
		for i, c := range row {
			if i < len(table.Rows[0]) {
				name, _, _ := strings.Cut(strings.ToLower(table.Rows[0][i].Text), " ")
				line[name] = c
			}
		}
		cells[row[0].At.Line] = line
	}
	return cells
}

// dimension is a size of a piece by the name of its column.
type dimension struct {
	column string
	of     func(*job.Piece) *units.Length
}

var dimensions = []dimension{
	{"length", func(p *job.Piece) *units.Length { return &p.Length }},
	{"width", func(p *job.Piece) *units.Length { return &p.Width }},
	{"height", func(p *job.Piece) *units.Length { return &p.Height }},
}

func (s *typedSheet) fail(p job.Piece, column, rule, message, hint string) {
	at := p.Position
	if c, ok := s.table[p.Position.Line][column]; ok {
		at = c.At
	}
	s.found = append(s.found, finding.Finding{Rule: rule, Where: at.String(), Message: message, Hint: hint})
}

// askUnit finds sizes in inches that are taken for mm, and the other way round. A size that carries its own unit is meant so.
func (s *typedSheet) askUnit(p job.Piece) {
	for _, d := range dimensions {
		text := s.table[p.Position.Line][d.column].Text
		if strings.ContainsAny(strings.ToLower(text), `min"`) {
			return
		}
		if strings.ContainsAny(text, "/¼½¾⅛⅜⅝⅞") && readAs(text, units.Millimetre, *d.of(&p)) {
			s.fail(p, d.column, "unit-meant", text+" is a fraction, as inches have them, and is read as mm", "type in behind it, or mm if it is meant so")
			return
		}
	}
	least := min(p.Length, p.Width, p.Height).MM()
	size := fmt.Sprintf("%s x %s x %s", p.Length.Format(s.unit), p.Width.Format(s.unit), p.Height.Format(s.unit))
	switch most := max(p.Length, p.Width, p.Height).MM(); {
	case most == 0 || least == 0:
	case most < leastPieceMM:
		s.fail(p, "length", "unit-meant", size+" is no piece that anybody carries: are inches meant?", "if they are, name the columns length (in), width (in) and height (in), or type the unit behind each number; if not, type mm behind one of them")
	case (most > mostPieceMM || least > thickPieceMM) && slices.ContainsFunc(dimensions, func(d dimension) bool {
		return readAs(s.table[p.Position.Line][d.column].Text, units.Inch, *d.of(&p))
	}):
		s.fail(p, "length", "unit-meant", size+" is too large for any tray: are mm meant?", "if they are, name the columns length (mm), width (mm) and height (mm), or type the unit behind each number; if not, type in behind one of them")
	}
}

// readAs reports whether a text is so long in a unit.
func readAs(text string, u units.Unit, length units.Length) bool {
	l, err := units.Parse(text, u)
	return err == nil && l > 0 && l == length
}

// equal compares the pieces of one kind with the middle of the others.
func (s *typedSheet) equal(kind []job.Piece) {
	for i, p := range kind {
		if len(kind) < 2 || len(kind) == 2 && i == 0 {
			continue // the other one says it
		}
		others := slices.Delete(slices.Clone(kind), i, i+1)
		var off []dimension
		for _, d := range dimensions {
			if !sameSize((*d.of(&p)).MM(), middle(others, d)) {
				off = append(off, d)
			}
		}
		if len(off) > 0 && (len(kind) == 2 || agree(others, off)) {
			s.tellOff(p, others, off)
		}
	}
}

func sameSize(a, b float64) bool { return math.Abs(a-b) <= math.Max(alikeMM, alikePart*math.Max(a, b)) }

// agree reports whether the others do among themselves: else none of them is the one that is off.
func agree(others []job.Piece, off []dimension) bool {
	for _, d := range off {
		for _, p := range others {
			if !sameSize((*d.of(&p)).MM(), middle(others, d)) {
				return false
			}
		}
	}
	return true
}

// middle is the median of a size, mm.
func middle(list []job.Piece, d dimension) float64 {
	var all []float64
	for _, p := range list {
		all = append(all, (*d.of(&p)).MM())
	}
	slices.Sort(all)
	n := len(all)
	return (all[(n-1)/2] + all[n/2]) / 2
}

// tellOff says what is likely to be wrong with a row that does not go with its equals.
func (s *typedSheet) tellOff(p job.Piece, others []job.Piece, off []dimension) {
	near := func(a, b float64) bool { return math.Abs(a-b) <= turnPart*math.Max(a, b) }
	with := fmt.Sprintf("the other %d rows of %s", len(others), finding.Quote(p.ID))
	if len(others) == 1 {
		with = fmt.Sprintf("line %d, the other row of %s", others[0].Position.Line, finding.Quote(p.ID))
	}
	for _, a := range off {
		for _, b := range off {
			if a.column < b.column && near((*a.of(&p)).MM(), middle(others, b)) && near((*b.of(&p)).MM(), middle(others, a)) {
				s.fail(p, a.column, "swapped-columns", fmt.Sprintf("%s and %s stand in each other's column, against %s", a.column, b.column, with), "type them the other way round; if it is another piece, give it an id of its own")
				return
			}
		}
	}
	for _, d := range off {
		is, other := (*d.of(&p)).MM(), middle(others, d)
		l, _ := units.FromMM(other)
		const again = "; if it is so, give it an id of its own"
		switch {
		case near(is*units.InchMM, other):
			s.fail(p, d.column, "unit-meant", fmt.Sprintf("%s is %s, and in %s it is %s: 25.4 times as much, as if it were inches", d.column, (*d.of(&p)).Format(s.unit), with, l.Format(s.unit)), "type the unit behind the number, such as 1.25 in"+again)
		case near(is, other*units.InchMM):
			s.fail(p, d.column, "unit-meant", fmt.Sprintf("%s is %s, and in %s it is %s: 25.4 times less, as if it were mm", d.column, (*d.of(&p)).Format(s.unit), with, l.Format(s.unit)), "type the unit behind the number, such as 31 mm"+again)
		default:
			s.fail(p, d.column, "outlier", fmt.Sprintf("%s is %s, and in %s it is %s", d.column, (*d.of(&p)).Format(s.unit), with, l.Format(s.unit)), "measure it again and mind the decimal mark"+again)
		}
	}
}

// alike finds rows of one kind that say different words of it; a row that says nothing goes with any.
func (s *typedSheet) alike(kind []job.Piece) {
	for _, column := range []string{"shape", "pose", "outline"} {
		first := ""
		for _, p := range kind {
			word := s.table[p.Position.Line][column].Text
			if first = cmp.Or(first, word); word != "" && word != first {
				s.fail(p, column, "rows-differ", fmt.Sprintf("%s is %s, and in a row of %s above it is %s", column, finding.Quote(word), finding.Quote(p.ID), finding.Quote(first)), "write it into the first row alone; if it is another piece, give it an id of its own")
			}
		}
	}
}

// joined is a kind as large as its largest.
func (s *typedSheet) joined(kind []job.Piece) job.Piece {
	whole := kind[0]
	for _, p := range kind[1:] {
		for _, d := range dimensions {
			*d.of(&whole) = max(*d.of(&whole), *d.of(&p))
		}
		whole.WeightG = math.Max(whole.WeightG, p.WeightG)
		whole.Name, whole.Group, whole.Shape, whole.Pose, whole.Outline = cmp.Or(whole.Name, p.Name), cmp.Or(whole.Group, p.Group), cmp.Or(whole.Shape, p.Shape), cmp.Or(whole.Pose, p.Pose), cmp.Or(whole.Outline, p.Outline)
		whole.Often, whole.Pile = whole.Often || p.Often, max(whole.Pile, p.Pile)
		if p.Count > 0 && p.Count != whole.Count {
			s.fail(p, "count", "counts-differ", fmt.Sprintf("count is %d, and the first row of %s, line %d, says %d", p.Count, finding.Quote(p.ID), whole.Position.Line, whole.Count), "count is how many of the kind there are in all: write it into the first row alone")
		}
	}
	if whole.Count > 0 && whole.Count < len(kind) {
		s.fail(whole, "count", "count-too-small", fmt.Sprintf("%d pieces of %s were measured, and its count is %d", len(kind), finding.Quote(whole.ID), whole.Count), "count is how many of the kind there are in all")
	}
	return whole
}

// roster is the pieces as a roster.
func (q SheetRequest) roster(pieces []job.Piece) []byte {
	var b bytes.Buffer
	b.WriteString("# from a measuring sheet; of equal pieces each size is that of the largest\n")
	w := csv.NewWriter(&b)
	unit := q.Unit.String()
	has := func(is func(job.Piece) bool) bool { return slices.ContainsFunc(pieces, is) }
	further := [...]bool{has(func(p job.Piece) bool { return p.Often }), has(func(p job.Piece) bool { return p.Pile > 0 }), has(func(p job.Piece) bool { return p.Outline != "" })}
	write := func(row []string, more ...string) { // the columns that nobody filled in stay away
		for i, text := range more {
			if further[i] {
				row = append(row, text)
			}
		}
		_ = w.Write(row)
	}
	write([]string{"id", "name", "group", "count", "length (" + unit + ")", "width (" + unit + ")", "height (" + unit + ")", "weight_g", "shape", "pose"}, "often", "pile", "outline")
	for _, p := range pieces {
		weight, often, pile := "", "", ""
		if p.Often {
			often = "yes"
		}
		if p.Pile > 0 {
			pile = strconv.Itoa(p.Pile)
		}
		if p.WeightG > 0 {
			weight = strconv.FormatFloat(p.WeightG, 'f', -1, 64)
		}
		size := func(l units.Length) string { return l.Cell(q.Unit) }
		write([]string{p.ID, p.Name, p.Group, strconv.Itoa(p.Count), size(p.Length), size(p.Width), size(p.Height), weight, shapeWords[p.Shape], poseWords[p.Pose]}, often, pile, p.Outline)
	}
	w.Flush() // into memory: it cannot fail
	return b.Bytes()
}

// MeasuringSheets are the pages to fill in by hand, on either paper, and the table that they are typed into.
func MeasuringSheets(u units.Unit) (MeasureResult, error) {
	r := MeasureResult{Report: MeasureReport{SchemaVersion: SchemaVersion}}
	r.Files = []File{{"measuring-sheet.csv", []byte(strings.Join(page.SheetColumns(u), ",") + "\n")}}
	for _, name := range []string{"a4", "letter"} {
		size, _ := page.PaperNamed(name)
		var b bytes.Buffer
		if err := page.MeasuringSheet(&b, size, u); err != nil {
			return r, err
		}
		r.Files = append(r.Files, File{"measuring-sheet-" + name + ".pdf", b.Bytes()})
		var grid bytes.Buffer
		if err := page.LensGrid(&grid, size); err != nil {
			return r, err
		}
		r.Files = append(r.Files, File{"lens-grid-" + name + ".pdf", grid.Bytes()})
	}
	for i, f := range r.Files {
		r.Files[i] = Sign(f)
	}
	return r, nil
}
