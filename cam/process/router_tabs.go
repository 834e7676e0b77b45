package process

import (
	"math"
	"slices"
)

// tab is a bridge that holds the tray: a part of the outline's track, in mm
// along it, over which the tool stays above the tab. It is a kerf longer than
// the tab, because the tool reaches half a kerf to both sides.
type tab struct{ from, to float64 }

// placeTabs spreads count tabs of the given length evenly along the track, each
// moved to the nearest straight part that has room for it and its own length
// again on both sides, so that corners, which bend, stay free; or that has room
// for it alone. On a track without such a part, or where two would meet, it
// stays where it is; where they would meet even so, there is one less. All of them may be
// moved on by a part of the way from one to the next.
func placeTabs(t track, count int, length, moved float64) []tab {
	var tabs []tab
	for i := range count {
		even := math.Mod(t.length()*(float64(i)+0.5+moved)/float64(count), t.length())
		for _, middle := range tabPlaces(t, even, length) {
			next := tab{middle - length/2, middle + length/2}
			if !slices.ContainsFunc(tabs, func(b tab) bool { return b.meets(next, t.length()) }) {
				tabs = append(tabs, next)
				break
			}
		}
	}
	return tabs
}

// tabPlaces are the places for a tab's middle, the best first.
func tabPlaces(t track, even, length float64) []float64 {
	var list []float64
	for _, margin := range [2]float64{1.5 * length, 0.5 * length} {
		if s, ok := nearestStraight(t, even, margin); ok {
			list = append(list, s)
		}
	}
	return append(list, even)
}

// meets reports whether two tabs of a track of that length share a place.
func (b tab) meets(c tab, length float64) bool {
	apart := math.Abs(math.Remainder(b.from-c.from, length))
	return apart < b.to-b.from
}

// nearestStraight is the place nearest to s mm along that lies on a line at
// least margin from its ends.
func nearestStraight(t track, s, margin float64) (float64, bool) {
	best, least, begin := 0.0, math.Inf(1), 0.0
	for i, segment := range t.segments {
		from, to := begin+margin, t.ends[i]-margin
		begin = t.ends[i]
		if segment.IsArc() || from > to {
			continue
		}
		for _, lap := range [3]float64{-t.length(), 0, t.length()} {
			at := math.Min(math.Max(s+lap, from), to)
			if d := math.Abs(at - s - lap); d < least-tieMM {
				best, least = at, d
			}
		}
	}
	return best, !math.IsInf(least, 1)
}

// stretch is a part of the way along the track, over a tab or not.
type stretch struct {
	from, to float64
	over     bool
}

// parts divides the way where a tab begins or ends and where, over a tab, the
// tool's height passes the tab's top.
func (o outlineRun) parts(from, to float64, height func(float64) float64) []stretch {
	cuts := []float64{from, to}
	over := func(s float64) bool {
		return slices.ContainsFunc(o.tabs, func(b tab) bool {
			return math.Abs(math.Remainder(s-(b.from+b.to)/2, o.track.length())) < (b.to-b.from)/2
		})
	}
	for _, b := range o.tabs {
		for lap := math.Floor((from-b.to)/o.track.length()) * o.track.length(); b.from+lap < to; lap += o.track.length() {
			cuts = append(cuts, b.from+lap, b.to+lap)
		}
	}
	if a, b := height(from), height(to); len(o.tabs) > 0 && a > o.tabTop && o.tabTop > b {
		cuts = append(cuts, from+(to-from)*(a-o.tabTop)/(a-b))
	}
	slices.Sort(cuts)
	var list []stretch
	for i := 1; i < len(cuts); i++ {
		a, b := math.Max(cuts[i-1], from), math.Min(cuts[i], to)
		if b-a > o.router.tol {
			list = append(list, stretch{a, b, over((a + b) / 2)})
		}
	}
	return list
}
