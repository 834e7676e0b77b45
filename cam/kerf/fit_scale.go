package kerf

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/profiles"
)

// A machine's scale is the machine's, whatever the foam and the tool, so every
// coupon that was measured on it says something of it:
//
//  1. readings of one coupon are one person's with one caliper: its fits have one
//     scale and one deviation, each fit its own kerf (a common slope, as in the
//     analysis of covariance);
//  2. coupons of one day share what was off that day: jaws that were not zeroed, that
//     pressed alike, foam that was warm. However many pieces a day had, its readings
//     may all be off by sharedMM, which grows no smaller with their number;
//  3. coupons are weighed by what their sizes can tell, never by how well their
//     readings happen to agree, and each brings its own deviation;
//  4. the degrees of freedom of the sum are those of Welch and Satterthwaite
//     (ISO/IEC Guide 98-3, G.4.1; from memory);
//  5. a scale is applied where an interval leaves 1 out that chance alone leaves
//     out once in 400 times along an axis, so once in 200 for the two axes of a
//     machine; of a single day, which nothing else bears out, once in 10,000.

// How sure it takes to correct a machine.
const (
	sureOfMany = 0.9975
	sureOfOne  = 0.9999
)

// sharedMM is the deviation of what a day's readings are all off by: half of what soft
// foam is read to (judged, no source).
const sharedMM = 0.05

// sureOfDiffering is how unlikely it is that coupons differ so by chance before
// they are said to differ.
const sureOfDiffering = 0.999

// Scale is what coupons say of a machine along an axis, and the scale that its
// programs are corrected for with it.
type Scale struct {
	Machine  string
	Axis     Axis
	Measured Estimate // by this table's coupons over what was in force, 95 %
	InForce  float64
	Pooled   Estimate // by all coupons, 95 %
	Sure     Estimate // the same, at Confidence
	// Confidence is that of the interval that has to leave 1 out: more of a single
	// day than of several.
	Confidence float64
	Applied    bool    // Sure leaves 1 out, and the coupons agree
	Next       float64 // what programs are corrected for from now on
	MovesMM    float64 // how much too long the longest part along the axis would come out without Next, mm
	LongestMM  float64 // that part: the machine's travel
	RestsOn    []profiles.ScaleReading
	Days       int // that these were measured on
	Retaken
	Odd  string // the coupon, or the day's, that differs from the others; "" where they agree
	kept profiles.Number
}

// Scales pools what the fits say with what was saved before of the same machine:
// in its profile, and in earlier by machine. A coupon's later readings replace
// its earlier ones. Date is that of readings that have none.
func Scales(fits []Fit, earlier map[string][]profiles.ScaleReading, date string) []Scale {
	var list []Scale
	for _, f := range fits {
		for _, a := range f.Axes {
			if !slices.ContainsFunc(list, func(s Scale) bool { return s.Machine == f.Subject.Machine && s.Axis == a.Axis }) {
				s := newScale(f, a.Axis)
				s.RestsOn = addReadings(nil, ofAxis(slices.Concat(f.Machine.ScaleReadings, earlier[f.Subject.Machine]), a.Axis), ofScale, nil)
				now := couponsOf(fits, f.Subject.Machine, a.Axis, date)
				s.Measured = pool(now).over(s.InForce).estimate(0.95)
				s.RestsOn = addReadings(s.RestsOn, now, ofScale, &s.Retaken)
				s.decide()
				list = append(list, s)
			}
		}
	}
	return list
}

func newScale(f Fit, axis Axis) Scale {
	s := Scale{Machine: f.Subject.Machine, Axis: axis, InForce: f.inForce(axis), LongestMM: f.Machine.TravelMM[0].Value, kept: f.Machine.ScaleX}
	if axis == axisY {
		s.LongestMM, s.kept = f.Machine.TravelMM[1].Value, f.Machine.ScaleY
	}
	return s
}

func ofAxis(list []profiles.ScaleReading, axis Axis) []profiles.ScaleReading {
	return slices.DeleteFunc(slices.Clone(list), func(r profiles.ScaleReading) bool { return r.Axis != string(axis) })
}

// decide applies the scale, or does not.
func (s *Scale) decide() {
	all := pool(s.RestsOn)
	s.Confidence, s.Days = sureOfMany, len(daysOf(s.RestsOn))
	if s.Days < 2 {
		s.Confidence = sureOfOne
	}
	s.Pooled, s.Sure = all.estimate(0.95), all.estimate(s.Confidence)
	s.Odd = odd(s.RestsOn)
	leavesOut := func(v float64) bool { return math.Abs(s.Sure.Value-v) > s.Sure.HalfWidth }
	s.Applied = leavesOut(1) && s.Odd == ""
	switch {
	case s.Applied:
		s.Next = s.Sure.Value
	case leavesOut(s.InForce) && s.Odd == "":
		s.Next = 1
	default:
		s.Next = s.InForce
	}
	s.MovesMM = s.LongestMM * (s.Next - 1)
}

// leastDeviationMM of a reading: no caliper repeats better on foam, and fractions,
// whose last digit has no step, may agree to nothing at all.
const leastDeviationMM = 0.001

// couponsOf are the coupons of a machine along an axis: the fits of one foam,
// thickness, tool and date are one. A fit without an interval says nothing.
func couponsOf(fits []Fit, machine string, axis Axis, date string) []profiles.ScaleReading {
	var names []string
	parts := map[string][]profiles.ScaleReading{}
	for _, f := range fits {
		for _, a := range f.Axes {
			if f.Subject.Machine != machine || a.Axis != axis || a.DOF == 0 {
				continue
			}
			name := f.coupon(date)
			names = addText(names, name)
			inForce, deviation := f.inForce(axis), math.Max(a.DeviationMM, leastDeviationMM)
			parts[name] = append(parts[name], profiles.ScaleReading{
				Coupon: name, Axis: string(axis), Scale: inForce * a.Scale.Value, StandardError: inForce * deviation / math.Sqrt(a.info),
				DeviationMM: deviation, DegreesOfFreedom: float64(a.DOF), Lengths: len(a.Points),
			})
		}
	}
	var list []profiles.ScaleReading
	for _, name := range names {
		list = append(list, oneCoupon(parts[name]))
	}
	return list
}

// coupon names the fit's coupon: what it was cut of, with what, and when.
func (f Fit) coupon(date string) string {
	name := fmt.Sprintf("%s, %s", f.Subject.Foam, f.Thickness)
	if f.DensityKgM3 != 0 {
		name += fmt.Sprintf(", %.4g kg/m3", f.DensityKgM3)
	}
	return name + ", " + f.Tool + f.when(date)
}

// inForce is the scale that the coupon's program was corrected for.
func (f Fit) inForce(a Axis) float64 {
	if a == axisX {
		return f.InForce[0]
	}
	return f.InForce[1]
}

// oneCoupon joins the fits of one coupon: one scale, one deviation. Information
// is the inverse of a standard error's square, over the deviation's.
func oneCoupon(parts []profiles.ScaleReading) profiles.ScaleReading {
	whole := parts[0]
	whole.Scale, whole.DegreesOfFreedom, whole.Lengths = 0, 0, 0
	variance, info := 0.0, 0.0
	for _, p := range parts {
		w := information(p)
		info += w
		whole.Scale += w * p.Scale
		variance += square(p.DeviationMM) * p.DegreesOfFreedom
		whole.DegreesOfFreedom += p.DegreesOfFreedom
		whole.Lengths += p.Lengths
	}
	deviation := math.Sqrt(variance / whole.DegreesOfFreedom)
	// As it will be saved, so that readings that come back are the same.
	whole.Scale = roundTo(whole.Scale/info, 1e-7)
	whole.DeviationMM, whole.StandardError = roundUp(deviation, 1e-5), roundUp(deviation/math.Sqrt(info), 1e-7)
	return whole
}

// information is what a coupon's sizes can tell of a scale, mm2: the inverse of
// the variance that readings with a deviation of 1 mm would leave.
func information(r profiles.ScaleReading) float64 { return square(r.DeviationMM / r.StandardError) }

// pooled is a sum of coupons.
type pooled struct {
	value, standardError, dof float64
	rounding                  float64 // half of the 95 % interval of what all readings share by their last digit; of kerfs
}

// pool weighs the days by what their sizes can tell. Its dof is 0 for none.
func pool(list []profiles.ScaleReading) (p pooled) {
	var days []pooled
	var shared, weights []float64
	total := 0.0
	for _, day := range daysOf(list) {
		one, u, info := sum(day)
		w := 1 / (u*u + sharedMM*sharedMM/info)
		total += w
		days, shared, weights = append(days, one), append(shared, u), append(weights, w)
	}
	var variances, dofs []float64
	for i, day := range days {
		share := weights[i] / total
		p.value += share * day.value
		variances = append(variances, square(share*day.standardError), square(share*shared[i]))
		dofs = append(dofs, day.dof, math.Inf(1))
	}
	p.standardError, p.dof = rootOf(variances), effectiveDOF(variances, dofs)
	return p
}

// sum is a day's coupons, weighed by their information: of what their readings scatter
// by, and what it does to them when all are off by sharedMM, at most.
func sum(day []profiles.ScaleReading) (p pooled, shared, info float64) {
	for _, r := range day {
		info += information(r)
	}
	var variances, dofs []float64
	for _, r := range day {
		share := information(r) / info
		p.value += share * r.Scale
		shared += share * sharedMM * math.Sqrt(float64(r.Lengths)/information(r))
		variances, dofs = append(variances, square(share*r.StandardError)), append(dofs, r.DegreesOfFreedom)
	}
	p.standardError, p.dof = rootOf(variances), effectiveDOF(variances, dofs)
	return p, shared, info
}

func rootOf(variances []float64) float64 {
	sum := 0.0
	for _, v := range variances {
		sum += v
	}
	return math.Sqrt(sum)
}

// effectiveDOF is the degrees of freedom of a sum of independent variances, each
// known with its own: the square of the sum over the sum of squares over each
// one's (Welch and Satterthwaite).
func effectiveDOF(variances, dofs []float64) float64 {
	sum, squares := 0.0, 0.0
	for i, v := range variances {
		sum += v
		squares += v * v / dofs[i]
	}
	if squares == 0 {
		return 0
	}
	return sum * sum / squares
}

// over is the pooled scale over one that was in force.
func (p pooled) over(scale float64) pooled {
	return pooled{p.value / scale, p.standardError / scale, p.dof, p.rounding / scale}
}

// estimate is the pooled scale with the interval of a confidence; 1 without an
// interval where nothing was pooled.
func (p pooled) estimate(confidence float64) Estimate {
	if p.dof == 0 {
		return Estimate{1, math.Inf(1)}
	}
	return Estimate{p.value, math.Hypot(p.standardError*studentQuantile(0.5+confidence/2, p.dof), p.rounding)}
}

// odd is the day's coupons that are farthest from all others taken together, if that is
// farther than chance explains, the days' number taken into account; "" where they agree.
func odd(list []profiles.ScaleReading) string {
	days := daysOf(list)
	if i := farthest(days, pool, (1-sureOfDiffering)/float64(len(days))); i >= 0 {
		return namesOf(days[i])
	}
	return ""
}

// farthest is the group that is farthest from all others taken together, if chance alone brings one so far less often
// than once in 1/chance; -1 where they agree.
func farthest[R any](groups [][]R, pool func([]R) pooled, chance float64) int {
	at, worst := -1, 1.0
	for i, group := range groups {
		if len(groups) < 2 {
			break
		}
		one, others := pool(group), pool(slices.Concat(slices.Delete(slices.Clone(groups), i, i+1)...))
		variances := []float64{square(one.standardError), square(others.standardError)}
		limit := studentQuantile(1-chance/2, effectiveDOF(variances, []float64{one.dof, others.dof}))
		if ratio := math.Abs(one.value-others.value) / rootOf(variances) / limit; ratio > worst {
			at, worst = i, ratio
		}
	}
	return at
}

func namesOf(day []profiles.ScaleReading) string {
	var names []string
	for _, r := range day {
		names = append(names, r.Coupon)
	}
	return strings.Join(names, "; ")
}
