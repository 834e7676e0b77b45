package profiles

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/profiles/strict"
)

// A hot wire's kerf follows its feed and its current, and both may be others in a job than a coupon had:
// an owner's limit lowers the feed, and the current is set by hand. So a measured recipe of a wire keeps
// every kerf that was tested, and whatever the recipe's feed and current are, its kerf is found between
// these, and never beyond: faster the wire pushes and bows, slower or hotter the foam flows.

// TestedKerf is what a coupon's squares of one feed and one current gave.
type TestedKerf struct {
	FeedMMPerMin float64 `json:"feed_mm_per_min"`
	CurrentA     float64 `json:"current_a"`
	KerfMM       float64 `json:"kerf_mm"`
	IntervalMM   float64 `json:"kerf_interval_mm"` // half of its 95 % interval
}

// TestedKerfs are those of one foam, wire and thickness.
type TestedKerfs []TestedKerf

// SpeedLaw is a wire's kerf by its feed at one current: k0 + b / feed. A moving line of heat melts a
// width that goes with one over its speed exactly; the wire's own width is what is left (derived to
// first order, a fit and no law of nature). It holds between the feeds that were measured.
type SpeedLaw struct {
	K0MM, B     float64 // B in mm times mm/min
	Least, Most float64 // feeds, mm/min
	WorstMM     float64 // the farthest that a measured kerf is off it
	WorstAt     float64 // and at which feed
	Holds       bool    // no kerf is farther off than its own interval
}

// Law fits the kerfs of one current, each weighed by its interval; false with fewer than three feeds:
// two fit any law, and try none.
func (t TestedKerfs) Law() (SpeedLaw, bool) {
	t = slices.Clone(t)
	slices.SortFunc(t, func(a, b TestedKerf) int { return cmp.Compare(a.FeedMMPerMin, b.FeedMMPerMin) })
	var w, wx, wy, wxx, wxy float64
	for _, k := range t {
		if math.IsInf(k.IntervalMM, 1) || !(k.FeedMMPerMin > 0) {
			return SpeedLaw{}, false
		}
		weight, x := 1/math.Pow(math.Max(k.IntervalMM, 1e-6), 2), 1/k.FeedMMPerMin
		w, wx, wy, wxx, wxy = w+weight, wx+weight*x, wy+weight*k.KerfMM, wxx+weight*x*x, wxy+weight*x*k.KerfMM
	}
	if len(t) < 3 {
		return SpeedLaw{}, false
	}
	law := SpeedLaw{Holds: true, Least: t[0].FeedMMPerMin, Most: t[len(t)-1].FeedMMPerMin}
	law.B = (w*wxy - wx*wy) / (w*wxx - wx*wx)
	law.K0MM = (wy - law.B*wx) / w
	for _, k := range t {
		off := math.Abs(law.k(k.FeedMMPerMin) - k.KerfMM)
		law.Holds = law.Holds && off <= k.IntervalMM
		if off > law.WorstMM {
			law.WorstMM, law.WorstAt = off, k.FeedMMPerMin
		}
	}
	return law, true
}

func (s SpeedLaw) k(feed float64) float64 { return s.K0MM + s.B/feed }

// At is the kerf at a feed; false beyond what was measured, and where the law does not hold.
func (s SpeedLaw) At(feed float64) (kerfMM float64, ok bool) {
	if !s.Holds || feed < s.Least || feed > s.Most {
		return 0, false
	}
	return s.k(feed), true
}

// Currents are those that were tested, lowest first.
func (t TestedKerfs) Currents() []float64 {
	var list []float64
	for _, k := range t {
		list = append(list, k.CurrentA)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// Under are the kerfs of one current.
func (t TestedKerfs) Under(currentA float64) TestedKerfs {
	return slices.DeleteFunc(slices.Clone(t), func(k TestedKerf) bool { return k.CurrentA != currentA })
}

// At is the kerf at a feed and a current, or why nobody can say it. Between two currents it lies in
// proportion to their squares, as the heat does: the width that a moving line source melts at one speed
// is off that by less than a fiftieth of the step from one to the other where the heat is doubled
// (derived). The interval is the wider of the two, and up to a quarter of the step more, in the middle
// (judged, no source).
func (t TestedKerfs) At(feed, currentA float64) (TestedKerf, string) {
	all := t.Currents()
	at, tested := slices.BinarySearch(all, currentA)
	switch {
	case tested:
		return t.Under(currentA).atFeed(feed)
	case at == 0 || at == len(all):
		return TestedKerf{}, fmt.Sprintf("%.4g A lies outside the current that was tested, %s A", currentA, span(all))
	}
	low, why := t.Under(all[at-1]).atFeed(feed)
	if why != "" {
		return low, why
	}
	high, why := t.Under(all[at]).atFeed(feed)
	if why != "" {
		return high, why
	}
	if why := t.uneven(feed); why != "" {
		return TestedKerf{}, why
	}
	return between(low, high, currentA), ""
}

// between is a kerf in proportion to the heat.
func between(low, high TestedKerf, currentA float64) TestedKerf {
	heat := func(a float64) float64 { return a * a }
	share := (heat(currentA) - heat(low.CurrentA)) / (heat(high.CurrentA) - heat(low.CurrentA))
	step := high.KerfMM - low.KerfMM
	return TestedKerf{low.FeedMMPerMin, currentA, low.KerfMM + share*step, math.Max(low.IntervalMM, high.IntervalMM) + share*(1-share)*math.Abs(step)}
}

// uneven says which tested current contradicts its neighbours at a feed: one whose kerf is less than
// that of a lower one, or off what the two beside it would make of it, by more than intervals allow; ""
// where none does.
func (t TestedKerfs) uneven(feed float64) string {
	var at TestedKerfs
	for _, a := range t.Currents() {
		if k, why := t.Under(a).atFeed(feed); why == "" {
			at = append(at, k)
		}
	}
	for i := 1; i < len(at); i++ {
		if a, b := at[i-1], at[i]; b.KerfMM+b.IntervalMM < a.KerfMM-a.IntervalMM {
			return fmt.Sprintf("at %.4g mm/min the kerf falls from %.3f mm at %.4g A to %.3f at %.4g A, where more heat melts more", feed, a.KerfMM, a.CurrentA, b.KerfMM, b.CurrentA)
		}
		if i+1 < len(at) {
			if k := between(at[i-1], at[i+1], at[i].CurrentA); math.Abs(k.KerfMM-at[i].KerfMM) > k.IntervalMM+at[i].IntervalMM {
				return fmt.Sprintf("at %.4g mm/min the kerf at %.4g A, %.3f mm, is off the %.3f between its neighbours, farther than their intervals", feed, at[i].CurrentA, at[i].KerfMM, k.KerfMM)
			}
		}
	}
	return ""
}

// atFeed is the kerf of one current at a feed, or why nobody can say it. Between feeds the interval is
// the widest tested one, and as much more as the law misses.
func (t TestedKerfs) atFeed(feed float64) (TestedKerf, string) {
	var feeds []float64
	out := TestedKerf{FeedMMPerMin: feed, CurrentA: t[0].CurrentA}
	for _, k := range t {
		if k.FeedMMPerMin == feed {
			return k, ""
		}
		feeds, out.IntervalMM = append(feeds, k.FeedMMPerMin), math.Max(out.IntervalMM, k.IntervalMM)
	}
	slices.Sort(feeds)
	at := fmt.Sprintf("at %.4g A ", out.CurrentA)
	if feed < feeds[0] || feed > feeds[len(feeds)-1] {
		return out, at + fmt.Sprintf("%.4g mm/min lies outside the feed that was tested, %s mm/min", feed, span(feeds))
	}
	law, ok := t.Law()
	switch {
	case !ok:
		return out, at + fmt.Sprintf("only %s mm/min were tested, and nothing between two feeds is known without a third", span(feeds))
	case !law.Holds:
		return out, at + fmt.Sprintf("the kerf of %.4g mm/min is %.3f mm off k0 + b / feed, farther than its interval: between these feeds nobody can say it", law.WorstAt, law.WorstMM)
	}
	out.KerfMM = law.k(feed)
	out.IntervalMM += law.WorstMM
	return out, ""
}

// span is from the least to the greatest of a sorted list.
func span(list []float64) string {
	if len(list) == 1 {
		return fmt.Sprintf("%.4g", list[0])
	}
	return fmt.Sprintf("%.4g to %.4g", list[0], list[len(list)-1])
}

// AsTested is the recipe with the kerf that its tested ones give for the feed and current that it has
// now, and why none does: then its kerf is one that nobody has measured, and as far off as an unmeasured
// one, the tested ones' intervals and their spread allow.
func (r Recipe) AsTested() (Recipe, string) {
	if len(r.Tested) == 0 {
		return r, ""
	}
	feed, amps := r.FeedMMPerMin.Value, r.CurrentA.Value
	k, why := r.Tested.At(feed, amps)
	if why == "" {
		kerf, off := math.Round(k.KerfMM*1e4)/1e4, math.Ceil(k.IntervalMM*1e4-1e-6)/1e4
		if kerf == r.KerfMM.Value && off == r.KerfIntervalMM.Value {
			return r, ""
		}
		source := fmt.Sprintf("between measured kerfs of this wire, at %.4g mm/min and %.4g A", feed, amps)
		if slices.Contains(r.Tested, k) {
			source = fmt.Sprintf("measured for this wire at %.4g mm/min and %.4g A", feed, amps)
		}
		r.KerfMM, r.KerfIntervalMM = Number{kerf, source}, Number{off, source}
		r.Source = "kerf " + source + "; else " + SettingsSource(r.Source)
		return r, ""
	}
	off := r.KerfOffMM.Value
	for _, k := range r.Tested {
		off = math.Max(off, k.IntervalMM+math.Abs(k.KerfMM-r.KerfMM.Value))
	}
	r.KerfOffMM, r.KerfIntervalMM = Number{off, "not tested at this feed and current: " + why}, Number{}
	r.KerfMM.Source = r.KerfOffMM.Source
	r.Source = "kerf " + r.KerfMM.Source + "; else " + SettingsSource(r.Source)
	return r, why
}

// SettingsSource is what a recipe's source says of all but its kerf.
func SettingsSource(source string) string {
	if _, rest, own := strings.Cut(source, "; else "); own && strings.HasPrefix(source, "kerf ") {
		return rest
	}
	return source
}

// in is where a key's number is kept; nil for one that a tested kerf has not.
func (k *TestedKerf) in(key string) *float64 {
	return map[string]*float64{"feed_mm_per_min": &k.FeedMMPerMin, "current_a": &k.CurrentA, "kerf_mm": &k.KerfMM, "kerf_interval_mm": &k.IntervalMM}[key]
}

// readTested reads the kerfs that were tested, each feed and current once, among them the recipe's own.
func readTested(v strict.Value, r Recipe) (list TestedKerfs) {
	for _, item := range v.List() {
		var k TestedKerf
		m := item.Map(testedKeys.Names()...)
		for _, n := range recipeNumbers {
			if in := k.in(n.key); in != nil {
				*in = m.Need(n.key).Number(n.least, n.most)
			}
		}
		alike := func(a, b float64) bool { return math.Abs(a-b) <= 1e-6*b } // no law tells such feeds apart
		if slices.ContainsFunc(list, func(o TestedKerf) bool { return alike(o.FeedMMPerMin, k.FeedMMPerMin) && alike(o.CurrentA, k.CurrentA) }) {
			item.Fail(fmt.Sprintf("%.6g mm/min at %.6g A is there twice", k.FeedMMPerMin, k.CurrentA), "keep one of the two")
		}
		list = append(list, k)
	}
	between := r
	between.Tested = list
	between, _ = between.AsTested()
	if v.Present() && between.KerfMM.Value != r.KerfMM.Value && !slices.ContainsFunc(list, func(k TestedKerf) bool { return k.KerfMM == r.KerfMM.Value }) {
		v.Fail(fmt.Sprintf("the recipe's kerf_mm of %.6g is none of them", r.KerfMM.Value), "its kerf is taken from these: change it here, or take `tested` away")
	}
	return list
}

// tested writes the kerfs that were tested.
func (w *profileText) tested(indent int, list TestedKerfs) {
	if len(list) > 0 {
		w.line(indent, "tested:")
	}
	for _, k := range list {
		w.line(indent+1, fmt.Sprintf("- {feed_mm_per_min: %s, current_a: %s, kerf_mm: %s, kerf_interval_mm: %s}", plain(k.FeedMMPerMin), plain(k.CurrentA), plain(k.KerfMM), plain(k.IntervalMM)))
	}
}
