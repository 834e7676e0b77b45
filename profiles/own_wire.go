package profiles

import (
	"cmp"
	"fmt"
	"math"
)

// noCutter is a blade, a wire or a beam of one's own: what nobody was asked of it is a default, but of
// what only its owner can know, how far a blade trails and how long a wire is.
func (t OwnTool) noCutter(own, from Tool, source string, chordMM float64) Tool {
	number := func(v, left float64) Number {
		switch {
		case v > 0:
			return Number{v, said}
		case left > 0:
			return Number{left, source}
		}
		return Number{}
	}
	own.DiameterMM, own.ReachMM = number(t.DiameterMM, from.DiameterMM.Value), number(t.ReachMM, from.ReachMM.Value)
	own.SlantDegrees, own.GougeMM = number(0, from.SlantDegrees.Value), number(0, from.GougeMM.Value)
	own.DragNPerM = number(0, from.DragNPerM.Value)
	own.TrailMM, own.LengthMM, own.ChordMM = number(t.TrailMM, 0), number(t.LengthMM, 0), number(chordMM, 0)
	if t.DiameterMM > 0 && from.LengthMM.Value > 0 {
		own.Name = fmt.Sprintf("wire of %s mm, upright", plain(t.DiameterMM))
	}
	return own
}

// unknown is what only the owner can know of a tool, and has not said, and what goes without it.
func (t Tool) unknown(p Process) []string {
	switch is := p.Traits(); {
	case is.Turning:
		return t.NotKnown()
	case is.Blade && t.TrailMM.Value <= 0 && !t.Turned():
		return []string{"trail_mm (of a blade that swivels freely, how far its tip trails: without it nothing is cut)"}
	case is.Wire && t.LengthMM.Value <= 0:
		return []string{"length_mm (between what holds the wire: without it its voltage is not known)"}
	}
	return nil
}

// forBlade fits a recipe to a blade that trails farther: it takes longer to come onto its line.
func (r *Recipe) forBlade(from, own Tool) {
	if far := own.TrailMM.Value / from.TrailMM.Value; far > 1 && !math.IsInf(far, 0) {
		r.LeadInMM = Number{math.Ceil(10*r.LeadInMM.Value*far) / 10, "as many trails as of " + r.Source}
	}
}

// MeltHeat is what a wire gives to a mm of its way for each mm of its own length, but for its resistivity: in
// A2 min/mm3, to be compared. 0 where a number is not known.
func (r Recipe) MeltHeat(t Tool) float64 {
	d, feed := t.DiameterMM.Value, r.FeedMMPerMin.Value
	if !(d > 0 && feed > 0) {
		return 0
	}
	return math.Pow(r.CurrentA.Value/d, 2) / feed
}

// CooledA is the current, in A, at which a wire gives a mm of foam no more heat at a lower feed than at its recipe's: the
// other way round than AtCurrent, in hundredths, which are the least that a supply is set to. Where the kerf was tested
// at that feed and the recipe's current it is that.
func (r Recipe) CooledA(feedMMPerMin float64) float64 {
	was := r.CurrentA.Value
	if len(r.Tested) > 0 {
		if _, why := r.Tested.At(feedMMPerMin, was); why == "" {
			return was
		}
	}
	if cooled := math.Floor(100*was*math.Sqrt(feedMMPerMin/r.FeedMMPerMin.Value)+1e-9) / 100; cooled > 0 {
		return cooled
	}
	return was
}

// AtCurrent is a wire's recipe at another current: slower where there is less heat, so that a mm of foam
// gets no less of it, and no faster where there is more.
func (r Recipe) AtCurrent(t Tool, currentA float64) Recipe {
	if currentA != r.CurrentA.Value {
		r.forWire(t, t, currentA)
		r.CurrentA.Source, r.KerfIntervalMM = "asked for with --current", Number{}
	}
	return r
}

// forWire fits a recipe to a wire: what is said of its current is taken as it is, and else it is no hotter
// than the one that it starts from. A mm of foam gets no more heat, and a thinner wire no more
// for its surface; where it gets less, the feed is as much lower. Resistance goes with the
// inverse square of the diameter (derived).
func (r *Recipe) forWire(from, own Tool, currentA float64) {
	wide := own.DiameterMM.Value / from.DiameterMM.Value
	start, was := r.CurrentA.Value*math.Min(wide, math.Pow(wide, 1.5)), r.CurrentA.Value
	r.CurrentA.Value = math.Floor(100*cmp.Or(currentA, start)+1e-9) / 100
	if currentA > 0 {
		r.CurrentA.Source = said
	} else if wide != 1 {
		r.CurrentA.Source = fmt.Sprintf("%.4g A through %.4g mm, and no more for a mm of wire or for its surface; starting value, try on a scrap", was, from.DiameterMM.Value)
	}
	heat := math.Pow(r.CurrentA.Value/was/wide, 2) // of a mm of wire, in those of the start
	r.atMost(&r.FeedMMPerMin, r.FeedMMPerMin.Value*math.Min(1, heat), "the wire gets less heat")
	if more := math.Max(wide, heat); more > 1 {
		r.KerfMM = Number{math.Ceil(100*r.KerfMM.Value*more) / 100, "a guess, in proportion to the wire and its heat: cut the ladder coupon"}
	}
}
