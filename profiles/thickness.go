package profiles

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"traywright/profiles/strict"
)

// A kerf is that of the foam it was measured in: in thicker foam a beam spreads, a wire lags and a blade
// leans. So a measured recipe says in how thick foam its coupon was, and which kerfs others at the same
// settings had; a kerf between two thicknesses is taken from both, and beyond them nobody knows it.

// KerfIn is a kerf that was measured in foam of a thickness.
type KerfIn struct {
	ThicknessMM float64 `json:"thickness_mm"`
	KerfMM      float64 `json:"kerf_mm"`
	IntervalMM  float64 `json:"kerf_interval_mm"` // half of its 95 % interval
	// RestsOn are the coupons that it was pooled from, in the order of their names; none where nobody wrote them down.
	RestsOn []KerfReading `json:"rests_on,omitempty"`
}

// KerfReading is what one coupon said of a kerf.
type KerfReading struct {
	Coupon           string  `json:"coupon"` // which one: of what it was cut, with what, and when
	KerfMM           float64 `json:"kerf_mm"`
	StandardErrorMM  float64 `json:"standard_error_mm"`
	RoundingMM       float64 `json:"rounding_mm"`  // half of the 95 % interval of what its last digit may put onto all its readings alike
	DeviationMM      float64 `json:"deviation_mm"` // of one reading from its line
	DegreesOfFreedom float64 `json:"degrees_of_freedom"`
	Lengths          int     `json:"lengths"` // how many were read
}

// ByCoupons says how many coupons its kerf rests on, as ", by 2 coupons"; "" where nobody knows.
func (r Recipe) ByCoupons() string {
	switch n := r.Coupons; n {
	case 0:
		return ""
	case 1:
		return ", by one coupon"
	default:
		return fmt.Sprintf(", by %d coupons", n)
	}
}

// KerfsIn are those of one foam, tool and setting.
type KerfsIn []KerfIn

// alikeThick is how far two sheets of one thickness may be apart: a twentieth (judged, no source).
const alikeThick = 0.05

// Alike reports whether two thicknesses are those of one sort of sheet.
func Alike(a, b float64) bool { return math.Abs(a-b) <= alikeThick*math.Max(a, b) }

// With is the list with a kerf in the place of one of the same thickness.
func (k KerfsIn) With(one KerfIn) KerfsIn {
	list := slices.DeleteFunc(slices.Clone(k), func(o KerfIn) bool { return Alike(o.ThicknessMM, one.ThicknessMM) })
	list = append(list, one)
	slices.SortFunc(list, func(a, b KerfIn) int { return cmp.Compare(a.ThicknessMM, b.ThicknessMM) })
	return list
}

// At is the kerf in foam that a cut goes mm into, or why nobody knows it. What stops within the foam, a
// cutter, cuts as wide as it did at least so deep; what goes through lies between its neighbours in
// proportion, and its interval with it: independent half-widths add in squares, and up to a quarter of the
// step is added, in the middle, for what is not straight (judged, no source).
func (k KerfsIn) At(mm float64, stops bool) (KerfIn, string) {
	var all []float64
	for _, one := range k {
		all = append(all, one.ThicknessMM)
	}
	for i, one := range k {
		switch {
		case Alike(one.ThicknessMM, mm), stops && one.ThicknessMM > mm:
			return one, ""
		case i > 0 && k[i-1].ThicknessMM < mm && mm < one.ThicknessMM:
			low, share := k[i-1], (mm-k[i-1].ThicknessMM)/(one.ThicknessMM-k[i-1].ThicknessMM)
			step := one.KerfMM - low.KerfMM
			off := math.Hypot((1-share)*low.IntervalMM, share*one.IntervalMM) + share*(1-share)*math.Abs(step)
			return KerfIn{mm, low.KerfMM + share*step, off, slices.Concat(low.RestsOn, one.RestsOn)}, ""
		}
	}
	return KerfIn{}, fmt.Sprintf("it was measured in foam of %s mm, and %.4g mm are cut", span(all), mm)
}

// In is the recipe with the kerf that it has in foam that a cut goes mm into, and why nobody knows it: then
// it is as far off as an unmeasured one, and as the kerfs of other thicknesses lie apart. A recipe that does
// not say how thick its foam was stays as it is.
func (r Recipe) In(mm float64, stops bool) (Recipe, string) {
	if len(r.MeasuredIn) == 0 || !r.Measured() {
		return r, ""
	}
	k, why := r.MeasuredIn.At(mm, stops)
	r.Coupons = len(k.RestsOn)
	if why != "" {
		off := math.Max(r.KerfOffMM.Value, r.KerfIntervalMM.Value)
		for _, k := range r.MeasuredIn {
			off = math.Max(off, k.IntervalMM+math.Abs(k.KerfMM-r.KerfMM.Value))
		}
		r.KerfOffMM, r.KerfIntervalMM = Number{off, "not measured in foam so thick: " + why}, Number{}
		r.KerfMM.Source = r.KerfOffMM.Source
		r.Source = "kerf " + r.KerfMM.Source + "; else " + SettingsSource(r.Source)
		return r, why
	}
	kerf, off := math.Round(k.KerfMM*1e4)/1e4, math.Ceil(k.IntervalMM*1e4-1e-6)/1e4
	if len(r.Tested) > 0 || kerf == r.KerfMM.Value && off == r.KerfIntervalMM.Value {
		return r, "" // a wire's tested kerfs are all of the one thickness
	}
	source := fmt.Sprintf("between kerfs that were measured in thinner and in thicker foam, for %.4g mm", mm) + r.ByCoupons()
	if slices.ContainsFunc(r.MeasuredIn, func(one KerfIn) bool { return one.ThicknessMM == k.ThicknessMM }) {
		source = fmt.Sprintf("measured in foam of %.4g mm", k.ThicknessMM) + r.ByCoupons()
	}
	r.KerfMM, r.KerfIntervalMM = Number{kerf, source}, Number{off, source}
	r.Source = "kerf " + source + "; else " + SettingsSource(r.Source)
	return r, ""
}

// thicknessKey is of a measured kerf's entry alone, not of a recipe.
const thicknessKey = "thickness_mm"

// measuredInKeys are those of one thickness.
var measuredInKeys = func() strict.Group {
	g := strict.Group{Name: "measured-in", At: "an entry of `measured_in:` of a recipe", Bare: true, Rows: []strict.Row{
		{Key: thicknessKey, Form: strict.ANumber(0.1, 500).In("mm"), Default: strict.Needed, Means: "of the foam that the coupon was cut in"},
	}}
	for _, n := range recipeNumbers {
		if n.key == "kerf_mm" || n.key == "kerf_interval_mm" {
			g.Rows = append(g.Rows, strict.Row{Key: n.key, Form: strict.ANumber(n.least, n.most).In(UnitOf(n.key)), Default: strict.Needed, Means: n.means})
		}
	}
	g.Rows = append(g.Rows, strict.Row{Key: "rests_on", Form: strict.ListOf(strict.Keyed(&kerfReadingKeys), 0), Means: "the coupons that it was pooled from; a later one is added to them"})
	return g
}()

var kerfReadingKeys = strict.Group{Name: "kerf-reading", At: "an entry of `rests_on:` of `measured_in:`", Bare: true, Rows: []strict.Row{
	{Key: "coupon", Form: strict.AnyText, Default: strict.Needed, Means: "foam, thickness, tool and date"},
	{Key: "kerf_mm", Form: strict.ANumber(-100, 100).In("mm"), Default: strict.Needed, Means: "that it showed"},
	{Key: "standard_error_mm", Form: strict.ANumber(1e-6, 100).In("mm"), Default: strict.Needed, Means: "of that kerf"},
	{Key: "rounding_mm", Form: strict.ANumber(0, 100).In("mm"), Default: "0", Means: "half of the 95 % interval of what the last digit that was read may put onto all its readings alike"},
	{Key: "deviation_mm", Form: strict.ANumber(1e-5, 100).In("mm"), Default: strict.Needed, Means: "standard deviation of its readings"},
	{Key: "degrees_of_freedom", Form: strict.ANumber(1, 1e6), Default: strict.Needed, Means: "of its readings"},
	{Key: "lengths", Form: strict.ANumber(1, 1e6), Default: strict.Needed, Means: "how many lengths were measured"},
}}

func readKerfReading(v strict.Value) KerfReading {
	m := v.Map(kerfReadingKeys.Names()...)
	return KerfReading{
		Coupon: m.Need("coupon").Text(), KerfMM: m.Need("kerf_mm").Number(-100, 100), StandardErrorMM: m.Need("standard_error_mm").Number(1e-6, 100), RoundingMM: m.Get("rounding_mm").Number(0, 100),
		DeviationMM: m.Need("deviation_mm").Number(1e-5, 100), DegreesOfFreedom: m.Need("degrees_of_freedom").Number(1, 1e6),
		Lengths: int(m.Need("lengths").Number(1, 1e6)),
	}
}

// readMeasuredIn reads the kerfs by thickness, each once, among them the recipe's own.
func readMeasuredIn(v strict.Value, r Recipe) (list KerfsIn) {
	own := len(r.Tested) > 0
	for _, item := range v.List() {
		m := item.Map(measuredInKeys.Names()...)
		var k KerfIn
		for i, into := range []*float64{&k.ThicknessMM, &k.KerfMM, &k.IntervalMM} {
			key := measuredInKeys.Rows[i].Key
			least, most := 0.1, 500.0
			for _, n := range recipeNumbers {
				if n.key == key {
					least, most = n.least, n.most
				}
			}
			*into = m.Need(key).Number(least, most)
		}
		for _, v := range m.Get("rests_on").List() {
			r := readKerfReading(v)
			if slices.ContainsFunc(k.RestsOn, func(o KerfReading) bool { return o.Coupon == r.Coupon }) {
				v.Fail(fmt.Sprintf("the coupon %q is there twice, and would count twice", r.Coupon), "keep one of the two")
			}
			k.RestsOn = append(k.RestsOn, r)
		}
		if slices.ContainsFunc(list, func(o KerfIn) bool { return Alike(o.ThicknessMM, k.ThicknessMM) }) {
			item.Fail(fmt.Sprintf("foam of %.4g mm, or near it, is there twice", k.ThicknessMM), "keep one of the two")
			continue
		}
		own = own || k.KerfMM == r.KerfMM.Value
		list = list.With(k)
	}
	if v.Present() && !own {
		v.Fail(fmt.Sprintf("the recipe's kerf_mm of %.6g is none of them", r.KerfMM.Value), "its kerf is taken from these: change it here, or take `measured_in` away")
	}
	return list
}

// measuredIn writes the kerfs by thickness.
func (w *profileText) measuredIn(indent int, list KerfsIn) {
	if len(list) > 0 {
		w.line(indent, "measured_in:")
	}
	for _, k := range list {
		w.line(indent+1, fmt.Sprintf("- thickness_mm: %s", plain(k.ThicknessMM)))
		w.line(indent+2, fmt.Sprintf("kerf_mm: %s", plain(k.KerfMM)))
		w.line(indent+2, fmt.Sprintf("kerf_interval_mm: %s", plain(k.IntervalMM)))
		if len(k.RestsOn) > 0 {
			w.line(indent+2, "rests_on:")
		}
		for _, r := range k.RestsOn {
			w.line(indent+3, fmt.Sprintf("- {coupon: %s, kerf_mm: %s, standard_error_mm: %s, rounding_mm: %s, deviation_mm: %s, degrees_of_freedom: %s, lengths: %d}",
				strict.Quote(r.Coupon), plain(r.KerfMM), plain(r.StandardErrorMM), plain(r.RoundingMM), plain(r.DeviationMM), plain(r.DegreesOfFreedom), r.Lengths))
		}
	}
}
