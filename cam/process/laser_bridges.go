package process

import (
	"cmp"
	"math"
	"slices"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// What a beam cuts free stays in its hole while it is wide enough to stand. A piece that is
// narrower, in some direction, than the foam is thick may tip up and catch the head, so it is
// held by bridges: short gaps in the cut, through all of the foam, that a hand snaps. Each
// stretch between two of them is cut on its own, from one bridge to the next, begun and ended
// where the bridge will be torn: that needs no lead-in, and a power supply that is slow leaves
// a bridge a little wider. The rule, the number and the width are judged, no source.

const (
	// leastBridgeMM is what stays of one where the kerf is as wide as it may be.
	leastBridgeMM = 0.5
	// leastStretch is how many times as long as a bridge the cut is between two of them.
	leastStretch = 3
	// directions are those in which a piece's width is measured, over half a turn.
	directions = 180
)

// Bridges spreads them evenly, on straight parts where there is room, and so that the piece's
// middle lies between them. A leaning beam takes foam at the face from both sides, so that the
// width is that half way down.
func (beaming) Bridges(piece geometry.Contour, bottom profiles.Recipe, thicknessMM float64) (places []geometry.Point, widthMM float64, asked int) {
	edge := edgeOf(piece)
	wide := narrowest(edge)
	if !(wide-2*bottom.KerfMM.Value < thicknessMM) { // what falls out of a hole is a kerf smaller all round
		return nil, 0, 0
	}
	lean := math.Tan(bottom.TaperDegrees.Value * math.Pi / 180)
	widthMM = cmp.Or(bottom.TabWidthMM.Value, profiles.UsualBridgeMM) + math.Max(0, lean)*thicknessMM
	widthMM = math.Max(widthMM, leastBridgeMM+bottom.KerfOff().Value)
	gap := widthMM + bottom.KerfMM.Value
	t := newTrack(piece)
	asked = int(cmp.Or(bottom.TabCount.Value, profiles.UsualBridges))
	count := min(asked, int(t.length()/((1+leastStretch)*gap)))
	return balanced(t, middleOf(edge), count, gap, wide/4), widthMM, asked
}

// balanced places bridges, moved on until the piece's middle lies between them, or no farther
// beside all of them than may be; where it never does, as near as it comes.
func balanced(t track, middle geometry.Point, count int, gap, mayBeMM float64) []geometry.Point {
	const tries = 24 // from one bridge to the next
	var best []geometry.Point
	least := math.Inf(1)
	for k := range tries {
		var places []geometry.Point
		for _, b := range placeTabs(t, count, gap, float64(k)/tries) {
			places = append(places, t.at((b.from+b.to)/2))
		}
		aside := asideOf(middle, places)
		if len(places) > len(best) || len(places) == len(best) && aside < least-tieMM {
			best, least = places, aside
		}
		if len(best) == count && least <= mayBeMM {
			break
		}
	}
	return best
}

// asideOf is how far a place lies beside all that lies between some others, mm; 0 between them.
func asideOf(p geometry.Point, others []geometry.Point) float64 {
	most := 0.0
	for k := range 2 * directions {
		sin, cos := math.Sincos(math.Pi * float64(k) / directions)
		nearest := math.Inf(-1)
		for _, o := range others {
			nearest = math.Max(nearest, (o.X-p.X)*cos+(o.Y-p.Y)*sin)
		}
		most = math.Max(most, -nearest)
	}
	return most
}

// Bridges: what a cutter frees is milled away or stands on its skin.
func (routing) Bridges(geometry.Contour, profiles.Recipe, float64) ([]geometry.Point, float64, int) {
	return nil, 0, 0
}

// edgeOf are places along a piece's edge, the same number on each of its sides.
func edgeOf(piece geometry.Contour) []geometry.Point {
	var list []geometry.Point
	for s := range piece.Segments() {
		const parts = 16
		for i := range parts {
			list = append(list, s.At(float64(i)/parts))
		}
	}
	return list
}

// middleOf is where a piece with that edge balances: its centroid (the formula of the polygon).
func middleOf(edge []geometry.Point) geometry.Point {
	var sum geometry.Point
	area := 0.0
	for i, b := range edge {
		a := edge[(i+len(edge)-1)%len(edge)].Sub(edge[0])
		b = b.Sub(edge[0])
		cross := a.Cross(b)
		sum, area = sum.Add(a.Add(b).Scale(cross)), area+cross
	}
	if area == 0 {
		return edge[0]
	}
	return edge[0].Add(sum.Scale(1 / (3 * area)))
}

// narrowest is the width of a piece with that edge in the direction in which it is least wide:
// it stands on all of its outline, so that a bent one stands as wide as its corners are apart.
func narrowest(edge []geometry.Point) float64 {
	least := math.Inf(1)
	for k := range directions {
		sin, cos := math.Sincos(math.Pi * float64(k) / directions)
		low, high := math.Inf(1), math.Inf(-1)
		for _, p := range edge {
			along := p.X*cos + p.Y*sin
			if along < low { // not math.Min, whose care for numbers that are none takes most of a check's time
				low = along
			}
			if along > high {
				high = along
			}
		}
		least = math.Min(least, high-low)
	}
	return least
}

// stretches are the parts of a beam's way round a piece between its bridges, in mm along the
// track, in their order; none where it has no bridges.
func stretches(t track, c geometry.Contour, hold plan.Hold, kerf float64) []tab {
	var gaps []tab
	box := c.Bounds().Grow(kerf)
	for _, b := range hold.Bridges {
		if b.X < box.Min.X || b.X > box.Max.X || b.Y < box.Min.Y || b.Y > box.Max.Y {
			continue
		}
		at := nearestOn(c, b)
		if at.distance > kerf {
			continue // another piece's
		}
		s := at.share * t.segments[at.segment].Length()
		if at.segment > 0 {
			s += t.ends[at.segment-1]
		}
		gaps = append(gaps, tab{s - (hold.BridgeMM+kerf)/2, s + (hold.BridgeMM+kerf)/2})
	}
	slices.SortFunc(gaps, func(a, b tab) int { return cmp.Compare(a.from, b.from) })
	var list []tab
	for i, gap := range gaps {
		next := gaps[(i+1)%len(gaps)].from
		if i+1 == len(gaps) {
			next += t.length()
		}
		list = append(list, tab{gap.to, next})
	}
	return list
}

// bridged cuts round a piece from bridge to bridge, all of them in one pass before the next.
func (l *laser) bridged(e *emitter, c geometry.Contour, cut plan.Cut, near geometry.Point) {
	t := newTrack(c)
	list := stretches(t, c, cut.Hold, cut.KerfMM[0])
	first := 0
	for i := range list {
		if t.at(list[i].from).DistanceTo(near) < t.at(list[first].from).DistanceTo(near)-tieMM {
			first = i
		}
	}
	list = append(slices.Clone(list[first:]), list[:first]...)
	feed := feedsOf(cut.Recipes[0], l.machine).cut
	for _, pass := range cut.Passes {
		for i, part := range list {
			l.over(e, t.at(part.from), -pass.FocusMM)
			if i == 0 {
				e.wait(pass.PauseS)
			}
			for _, s := range t.part(part.from, part.to) {
				e.segment(s, e.at.Z, feed)
			}
		}
	}
	l.leave(e, t.at(list[0].from))
}

// bridgedWays are the drawn paths of a piece that bridges hold, open ones; none for another.
func bridgedWays(c geometry.Contour, cut plan.Cut) (ways []geometry.Path) {
	if len(cut.Hold.Bridges) == 0 {
		return nil
	}
	t := newTrack(c)
	for _, part := range stretches(t, c, cut.Hold, cut.KerfMM[0]) {
		var vertices []geometry.Vertex
		var end geometry.Point
		for _, s := range t.part(part.from, part.to) {
			vertices, end = append(vertices, geometry.Vertex{Point: s.A, Bulge: s.Bulge}), s.B
		}
		ways = append(ways, geometry.NewPath(append(vertices, geometry.Vertex{Point: end})...))
	}
	return ways
}
