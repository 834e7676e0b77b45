package kerf

import (
	"cmp"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Fit is what the readings of one subject say.
type Fit struct {
	Subject
	Foam    profiles.Foam
	Machine profiles.Machine
	Recipe  profiles.Recipe // in force, before these measurements
	Known   bool            // whether there is a recipe

	Axes []AxisFit
	// KerfMM is one kerf for all axes: what a recipe has. Where both faces were measured
	// it is the narrower one, which holds the piece.
	KerfMM          Estimate
	TopMM, BottomMM *Estimate // where the faces were measured apart
	// TaperDegrees is how far each wall leans, positive where the cut is narrower at the
	// bottom: atan((top - bottom) / (2 thickness)), half of the difference on each wall.
	TaperDegrees *Estimate
	// Mean deviation of a reading from its line, mm; at least that of the readings' last digit.
	DeviationMM float64
	DOF         int                  // readings less unknowns
	RoundingMM  float64              // half of the 95 % interval of what the last digit may put onto all its readings alike: in KerfMM
	InForce     [2]float64           // scale along X and Y that the coupon's program was corrected for
	Tested      profiles.TestedKerfs // of a hot wire: this kerf and the table's others of its foam, by feed and current
	Dates       []string
	Note        string     // of the table
	Unit        units.Unit // of the table, in which findings are told
	Pooled      KerfPool   // with earlier coupons: see PoolKerfs

	keptTaper profiles.Number // that the folder has which it is saved in; none where it has none
	thicker   []Fit           // of the same but in foam of other thicknesses, which are saved with it
}

// Readings is how many lengths the fit rests on.
func (f Fit) Readings() int {
	n := 0
	for _, a := range f.Axes {
		n += len(a.Points)
	}
	return n
}

// AxisFit is one axis on its own.
type AxisFit struct {
	Axis            Axis
	Scale           Estimate // of the machine, over the scale in force when the coupon was cut
	KerfMM          Estimate
	TopMM, BottomMM *Estimate // where the faces were measured apart
	DeviationMM     float64
	DOF             int
	Points          []Point

	info float64 // what the sizes can tell of the scale, mm2: see information
}

// Point is one reading against its line.
type Point struct {
	Line       int
	Part       Part
	Face       Face
	SizeMM     float64
	ReadMM     float64
	FittedMM   float64
	ResidualMM float64 // read less fitted
	Leverage   float64
	Deleted    float64 // studentized deleted residual; 0 where it cannot be told
	Outlier    bool
}

// Part is what was measured of a square.
type Part string

const (
	HolePart Part = "hole"
	PlugPart Part = "plug"
)

// sign is +1 for a hole, which the kerf widens, and -1 for the piece.
func (p Part) sign() float64 {
	if p == HolePart {
		return 1
	}
	return -1
}

// Analyse fits the readings of every subject: hole = scale * size + kerf and
// plug = scale * size - kerf. Drop leaves readings out. Where a finding is an
// error the fits are what could be made all the same, for a person to look at,
// and no recipe should be made of them.
func Analyse(r *Readings, c *profiles.Catalog, drop []Drop) ([]Fit, finding.List) {
	rows, found := dropped(r, drop)
	rows, more := check(r, rows, c)
	found = append(found, more...)
	var fits []Fit
	for _, group := range bySubject(rows) {
		fit, more := fitSubject(r, group, c)
		found = append(found, more...)
		if fit != nil {
			fits = append(fits, *fit)
		}
	}
	keepTested(fits)
	return fits, append(found, scaleInForce(r, fits)...)
}

// bySubject parts the measured rows by what was cut, in the file's order.
func bySubject(rows []Reading) [][]Reading {
	var groups [][]Reading
	at := map[Subject]int{}
	for _, row := range rows {
		if !row.Hole.given() && !row.Plug.given() {
			continue
		}
		i, ok := at[row.Subject]
		if !ok {
			i = len(groups)
			at[row.Subject] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], row)
	}
	return groups
}

// sample is one length and the row of the model that stands for it.
type sample struct {
	row  Reading
	part Part
	m    Measure
}

func samplesOf(rows []Reading) []sample {
	var list []sample
	for _, row := range rows {
		if row.Hole.given() {
			list = append(list, sample{row, HolePart, row.Hole})
		}
		if row.Plug.given() {
			list = append(list, sample{row, PlugPart, row.Plug})
		}
	}
	return list
}

// unknowns are what a fit is to find: a scale for each axis, a kerf for each side of the foam.
type unknowns struct {
	axes    []Axis
	bottoms []bool // sides; false is the top, and first
}

func unknownsOf(samples []sample) unknowns {
	var l unknowns
	for _, s := range samples {
		if !slices.Contains(l.axes, s.row.Axis) {
			l.axes = append(l.axes, s.row.Axis)
		}
		if bottom := s.row.Face == Bottom; !slices.Contains(l.bottoms, bottom) {
			l.bottoms = append(l.bottoms, bottom)
		}
	}
	slices.Sort(l.axes)
	slices.SortFunc(l.bottoms, func(a, b bool) int { return cmp.Compare(btoi(a), btoi(b)) })
	return l
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (l unknowns) count() int { return len(l.axes) + len(l.bottoms) }

// model is the row for a sample.
func (l unknowns) model(s sample) []float64 {
	row := make([]float64, l.count())
	row[slices.Index(l.axes, s.row.Axis)] = s.row.Size.MM()
	row[len(l.axes)+slices.Index(l.bottoms, s.row.Face == Bottom)] = s.part.sign()
	return row
}

// fitted is samples with their solution.
type fitted struct {
	unknowns
	solution
	samples []sample
	spread  float64 // deviation of a reading, at least that of its last digit
}

func fitSamples(samples []sample) (fitted, error) {
	f := fitted{unknowns: unknownsOf(samples), samples: samples}
	var rows [][]float64
	var observed []float64
	for _, s := range samples {
		rows = append(rows, f.model(s))
		observed = append(observed, s.m.Length.MM())
	}
	var err error
	f.solution, err = leastSquares(rows, observed)
	f.spread = math.Max(f.deviation, stepDeviation(samples))
	if f.dof == 0 {
		f.spread = math.Inf(1)
	}
	return f, err
}

// stepDeviation is what reading to the last digit costs: anywhere within half a
// step of it, step/√12. Readings that agree better than that do so by chance.
func stepDeviation(samples []sample) float64 {
	finest := 0.0
	for _, s := range samples {
		if step := s.m.Step.MM(); step > 0 && (finest == 0 || step < finest) {
			finest = step
		}
	}
	return finest / math.Sqrt(12)
}

// rounding is half of the 95 % interval of what reading to the last digit may put onto a kerf, however many are read: of readings
// that scatter by less than the digit, each hole is rounded the same way and each piece the other, and no mean takes that out. It
// is as large as the digit lets it be, q/2, and falls with the scatter s as the first wave of a rounded normal does,
// exp(-2 (pi s / q)²) (derived). Of the scatter seen, what rounding alone makes is taken off.
func rounding(samples []sample, deviation float64) float64 {
	q := stepDeviation(samples) * math.Sqrt(12)
	if q == 0 || math.IsNaN(deviation) {
		return 0
	}
	scatter := math.Max(0, square(deviation)-q*q/12)
	return 0.95 * q / 2 * math.Exp(-2*math.Pi*math.Pi*scatter/(q*q))
}

func (f *fitted) rounding() float64 { return rounding(f.samples, f.deviation) }

// estimate is a sum of the unknowns with weights.
func (f *fitted) estimate(weights ...float64) Estimate {
	value := 0.0
	for i, w := range weights {
		value += w * f.coefficients[i]
	}
	if f.dof == 0 {
		return Estimate{value, math.Inf(1)}
	}
	return Estimate{value, studentPoint(f.dof) * f.standardError(f.spread, weights...)}
}

// only is the weights that pick one unknown.
func (f *fitted) only(i int) []float64 {
	w := make([]float64, f.count())
	w[i] = 1
	return w
}

func (f *fitted) scale(a Axis) Estimate { return f.estimate(f.only(slices.Index(f.axes, a))...) }

// kerf is that of a side; nil where it was not measured.
func (f *fitted) kerf(bottom bool) *Estimate {
	i := slices.Index(f.bottoms, bottom)
	if i < 0 {
		return nil
	}
	e := f.estimate(f.only(len(f.axes) + i)...)
	e.HalfWidth = math.Hypot(e.HalfWidth, f.rounding())
	return &e
}

// kerfs is the narrower of the two sides, and each where both were measured.
func (f *fitted) kerfs() (narrower Estimate, top, bottom *Estimate) {
	top, bottom = f.kerf(false), f.kerf(true)
	switch {
	case top == nil:
		return *bottom, nil, nil
	case bottom == nil:
		return *top, nil, nil
	case top.Value < bottom.Value:
		return *top, top, bottom
	}
	return *bottom, top, bottom
}

// taper is the lean of a wall in degrees; nil where only one side was measured.
func (f *fitted) taper(thicknessMM float64) *Estimate {
	if len(f.bottoms) < 2 {
		return nil
	}
	w := make([]float64, f.count())
	w[len(f.axes)], w[len(f.axes)+1] = 1, -1
	d := f.estimate(w...)
	d.HalfWidth = math.Hypot(d.HalfWidth, math.Sqrt2*f.rounding()) // each face is rounded by itself
	lean := d.Value / (2 * thicknessMM)
	const degrees = 180 / math.Pi
	return &Estimate{math.Atan(lean) * degrees, d.HalfWidth / (2 * thicknessMM) / (1 + lean*lean) * degrees}
}

// points are the samples against their lines, outliers marked.
func (f *fitted) points() []Point {
	deleted, out := f.deleted(), f.outliers()
	var list []Point
	for i, s := range f.samples {
		read, r := s.m.Length.MM(), f.residuals[i]
		list = append(list, Point{
			Line: s.row.At.Line, Part: s.part, Face: s.row.Face, SizeMM: s.row.Size.MM(),
			ReadMM: read, FittedMM: read - r, ResidualMM: r, Leverage: f.leverages[i], Deleted: deleted[i],
			Outlier: out[i],
		})
	}
	return list
}

// fitSubject fits a subject's axes, then all of them with one kerf.
func fitSubject(r *Readings, rows []Reading, c *profiles.Catalog) (*Fit, finding.List) {
	file, samples := r.File, samplesOf(rows)
	fit := &Fit{Subject: rows[0].Subject, Note: r.Note, Unit: r.Bare}
	fit.Foam, _ = c.Foam(fit.Subject.Foam)
	fit.Machine, _ = c.Machine(fit.Subject.Machine)
	fit.Recipe, fit.Known = c.Recipe(fit.Subject.Foam, fit.Subject.Machine, fit.Subject.Tool)
	if fit.InForce = r.InForce; fit.InForce == [2]float64{} {
		fit.InForce[0], fit.InForce[1] = fit.Machine.Scale()
	}
	for _, row := range rows {
		fit.Dates = addText(fit.Dates, row.Date)
	}
	slices.Sort(fit.Dates)
	for _, axis := range unknownsOf(samples).axes {
		one := slices.DeleteFunc(slices.Clone(samples), func(s sample) bool { return s.row.Axis != axis })
		a, found := fitAxis(file, r.Bare, fit.Subject, axis, one)
		if found.Failed() {
			return nil, found
		}
		fit.Axes = append(fit.Axes, a)
	}
	all, err := fitSamples(samples)
	if err != nil {
		return nil, finding.List{cannotTell(file, r.Bare, fit.Subject, samples)}
	}
	fit.join(all)
	return fit, judge(file, fit)
}

func addText(list []string, text string) []string {
	if text == "" || slices.Contains(list, text) {
		return list
	}
	return append(list, text)
}

// fitAxis fits one axis.
func fitAxis(file string, u units.Unit, s Subject, axis Axis, samples []sample) (AxisFit, finding.List) {
	f, err := fitSamples(samples)
	if err != nil {
		return AxisFit{}, finding.List{cannotTell(file, u, s, samples)}
	}
	a := AxisFit{Axis: axis, Scale: f.scale(axis), DeviationMM: f.spread, DOF: f.dof, Points: f.points()}
	a.info = 1 / square(f.standardError(1, f.only(slices.Index(f.axes, axis))...))
	a.KerfMM, a.TopMM, a.BottomMM = f.kerfs()
	return a, nil
}

// join takes what all axes say together.
func (f *Fit) join(all fitted) {
	f.KerfMM, f.TopMM, f.BottomMM = all.kerfs()
	f.TaperDegrees = all.taper(f.Thickness.MM())
	f.DeviationMM, f.DOF, f.RoundingMM = all.spread, all.dof, all.rounding()
	if axesDiffer(f.Axes) {
		for _, a := range f.Axes {
			f.KerfMM.HalfWidth = math.Max(f.KerfMM.HalfWidth, math.Abs(a.KerfMM.Value-f.KerfMM.Value)+a.KerfMM.HalfWidth)
		}
	}
}

// axesDiffer reports whether two axes have kerfs that their intervals cannot
// explain: the difference against the root of the sum of squares of the
// half-widths, a test of about 5 % for as many readings on each.
func axesDiffer(axes []AxisFit) bool {
	if len(axes) < 2 {
		return false
	}
	a, b := axes[0].KerfMM, axes[1].KerfMM
	return math.Abs(a.Value-b.Value) > math.Hypot(a.HalfWidth, b.HalfWidth)
}

// where is how findings name a subject.
func (s Subject) where(file string, u units.Unit) string { return file + ": " + s.In(u) }
