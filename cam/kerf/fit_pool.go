package kerf

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

// A kerf that was measured before and is measured again rests on all its coupons:
//
//  1. each has a kerf, and a standard error with the degrees of freedom of its readings;
//  2. they are weighed as a scale's are, by what their sizes can tell: the inverse of the variance that
//     readings of one deviation leave. Weighed by how well a coupon's few readings happen to agree, the
//     luckiest rules: of 95 % intervals of two, three and five coupons 93, 92 and 89 in 100 held (TestPooledKerfsCover, so
//     changed; as it is, 95 each);
//  3. the degrees of freedom of the sum are those of Welch and Satterthwaite; what their last digit may put onto all of
//     a coupon's readings may be the same for every coupon, and no mean takes it out;
//  4. coupons that lie farther apart than chance alone brings them once in 200 times are not pooled: a
//     worn cutter, another batch or a slip is nothing that a mean should hide.

// sureOfApart is how unlikely it is that the coupons of a kerf differ so by chance before they are not pooled.
const sureOfApart = 0.995

// KerfPool is what coupons say of one kerf: the one of this table, and those that were saved before.
type KerfPool struct {
	ThicknessMM float64  // that it is saved for: as the first of them had it
	KerfMM      Estimate // by all of them, 95 %
	DOF         float64
	RestsOn     []profiles.KerfReading // in the order of their names
	Retaken
	Apart bool // they differ farther than chance explains
}

// PoolKerfs gives each fit what earlier coupons said of its kerf: those of its recipe in force, and those that
// were saved in the folder that it goes into, at the same setting and of foam as thick. Date is that of readings
// that have none. Afresh leaves the earlier ones out. A wire's kerf goes by feed and current, and is not pooled.
func PoolKerfs(fits []Fit, saved *profiles.Catalog, date string, afresh bool) {
	for i := range fits {
		f := &fits[i]
		old := f.earlier(saved, date)
		if afresh {
			old = nil
		}
		f.Pooled = f.pool(old, date)
	}
}

// earlier are the kerfs that this one adds to; the taper that the folder has stays where this table tells of none.
func (f *Fit) earlier(saved *profiles.Catalog, date string) (list []profiles.KerfIn) {
	asCut, other := f.asCut(date)
	var recipes []profiles.Recipe
	if !other {
		recipes = append(recipes, f.Recipe)
	}
	if saved != nil {
		if r, ok := saved.Recipe(f.Subject.Foam, f.Subject.Machine, f.Tool); ok && r.Measured() && sameSetting(asCut, r) {
			recipes, f.keptTaper = append(recipes, r), r.TaperDegrees
		}
	}
	for _, r := range recipes {
		if !r.Measured() || wayOf(f.Machine).melts {
			continue
		}
		if i := slices.IndexFunc(r.MeasuredIn, func(k profiles.KerfIn) bool { return profiles.Alike(k.ThicknessMM, f.Thickness.MM()) }); i >= 0 {
			list = append(list, r.MeasuredIn[i])
		}
	}
	return list
}

// pool is the fit's kerf with earlier ones.
func (f Fit) pool(earlier []profiles.KerfIn, date string) KerfPool {
	p := KerfPool{ThicknessMM: f.Thickness.MM(), KerfMM: f.KerfMM, DOF: float64(f.DOF)}
	if math.IsInf(f.KerfMM.HalfWidth, 1) {
		return p
	}
	p.KerfMM.HalfWidth = math.Max(p.KerfMM.HalfWidth, studentPoint(f.DOF)*f.leastError())
	for _, k := range earlier {
		p.ThicknessMM = k.ThicknessMM
		p.RestsOn = addReadings(p.RestsOn, k.RestsOn, ofKerf, nil)
	}
	p.RestsOn = addReadings(p.RestsOn, []profiles.KerfReading{f.reading(date)}, ofKerf, &p.Retaken)
	slices.SortFunc(p.RestsOn, func(a, b profiles.KerfReading) int { return strings.Compare(a.Coupon, b.Coupon) })
	if len(p.RestsOn) > 1 { // one alone is as it was measured, to the last digit
		sum := poolKerfs(p.RestsOn)
		p.KerfMM, p.DOF, p.Apart = sum.estimate(0.95), sum.dof, apart(p.RestsOn)
	}
	return p
}

// reading is what the fit's coupon says of its kerf, as it will be saved.
func (f Fit) reading(date string) profiles.KerfReading {
	own := math.Sqrt(math.Max(0, square(f.KerfMM.HalfWidth)-square(f.RoundingMM))) / studentPoint(f.DOF)
	deviation := roundUp(math.Max(f.DeviationMM, leastDeviationMM), 1e-5)
	return profiles.KerfReading{
		Coupon: f.coupon(date), KerfMM: roundTo(f.KerfMM.Value, 1e-7), DeviationMM: deviation, DegreesOfFreedom: float64(f.DOF), Lengths: f.Readings(),
		StandardErrorMM: roundUp(math.Max(own, f.leastError()), 1e-7), RoundingMM: roundUp(f.RoundingMM, 1e-7),
	}
}

// leastError is that of a kerf whose readings agree to nothing at all.
func (f Fit) leastError() float64 { return leastDeviationMM / math.Sqrt(float64(f.Readings())) }

// asReadings are kerfs as readings of a scale, for the same arithmetic.
func asReadings(list []profiles.KerfReading) (out []profiles.ScaleReading) {
	for _, r := range list {
		out = append(out, profiles.ScaleReading{Coupon: r.Coupon, Scale: r.KerfMM, StandardError: r.StandardErrorMM, DeviationMM: r.DeviationMM, DegreesOfFreedom: r.DegreesOfFreedom, Lengths: r.Lengths})
	}
	return out
}

// poolKerfs weighs coupons by what their sizes can tell.
func poolKerfs(list []profiles.KerfReading) pooled {
	readings := asReadings(list)
	p, _, info := sum(readings)
	for i, r := range list {
		p.rounding += information(readings[i]) / info * r.RoundingMM
	}
	return p
}

// apart reports whether one of the coupons is farther from all others taken together than chance explains; of
// more than two each is tried, and the chance is shared among them.
func apart(list []profiles.KerfReading) bool {
	groups := make([][]profiles.KerfReading, len(list))
	for i, r := range list {
		groups[i] = []profiles.KerfReading{r}
	}
	tries := float64(len(groups))
	if tries == 2 {
		tries = 1 // each against the other is the same
	}
	rounded := func(group []profiles.KerfReading) pooled {
		p := poolKerfs(group)
		variances := []float64{square(p.standardError), square(p.rounding / normal95)}
		p.standardError, p.dof = rootOf(variances), effectiveDOF(variances, []float64{p.dof, math.Inf(1)})
		return p
	}
	return farthest(groups, rounded, (1-sureOfApart)/tries) >= 0
}

// JudgeKerfs says which kerfs would not be pooled, and which coupons were measured again. What is to be saved, Profiles refuses.
func JudgeKerfs(file string, fits []Fit, saving bool) (found finding.List) {
	for _, f := range fits {
		where := f.where(file, f.Unit)
		found = append(found, f.Pooled.judge(where)...)
		if f.Pooled.Apart && !saving {
			found = append(found, f.differ(where, finding.Warning))
		}
	}
	return found
}

// differ is the finding of coupons that are not pooled.
func (f Fit) differ(where string, severity finding.Severity) finding.Finding {
	return finding.Finding{
		Severity: severity, Rule: "kerfs-differ", Where: where,
		Message: fmt.Sprintf("its coupons lie farther apart than chance explains (%s): %s; they are not pooled", percent(sureOfApart), f.Pooled.each(f.Unit)),
		Hint:    "measure them again; where the tool, the foam or the machine was changed in between, `--afresh` saves this table's coupon alone",
	}
}

// each is every coupon with its own kerf.
func (p KerfPool) each(u units.Unit) string {
	var parts []string
	for _, r := range p.RestsOn {
		parts = append(parts, OfCoupon(r).In(u)+" by "+r.Coupon)
	}
	return strings.Join(parts, "; ")
}

// OfCoupon is what one coupon says of a kerf, 95 %.
func OfCoupon(r profiles.KerfReading) Estimate {
	return pooled{r.KerfMM, r.StandardErrorMM, r.DegreesOfFreedom, r.RoundingMM}.estimate(0.95)
}
