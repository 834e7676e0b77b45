package proof_test

import (
	"math"

	"traywright/geometry"
)

// The model's blade that an axis turns: a chord that is stepped along the words, and places along the
// finished walls that note how near it came at the full depth. It is as long as its rounded ends leave.

const turnStepMM = 0.1

type steeredChord struct {
	draggedTip
	half, gouge float64
	sign        float64 // of the way in which A counts
	said        bool    // where it points
	a, longest  float64 // degrees, and the farthest from A0 in the air
	stands      float64 // degrees that it has turned since it went on or was lifted
	astray      float64 // mm gone across its heading, or backwards
	from, to    float64 // A of the move under way
	share       float64 // of that move
}

func newSteered(p patient) *steeredChord {
	t := p.setup.Machine.Tools[0]
	return &steeredChord{draggedTip: *newDragged(p), half: (t.ChordMM.Value - bladeKerfMM) / 2, gouge: t.GougeMM.Value, sign: p.setup.Machine.ASign()}
}

// turns is a move's A word, if it has one.
func (s *steeredChord) turns(value map[byte]float64, incremental bool) {
	v, ok := value['A']
	s.from, s.to, s.share, s.said = s.a, s.a, 1, s.said || ok
	switch {
	case ok && incremental:
		s.to += v
	case ok:
		s.to = v
	}
}

// steer is a straight piece of the axis' way, on which the blade turns evenly.
func (w *walker) steer(fx, fy, fz float64) {
	s, l := w.steered, w.p.limits()
	from, a := s.a, s.from+s.share*(s.to-s.from)
	s.a = a
	if !w.began {
		return
	}
	flat, high := math.Hypot(w.x-fx, w.y-fy), w.top-math.Min(fz, w.z)
	if high < 0.02 || flat > 1e4 {
		s.steps += longAgo
		s.stands, s.astray, s.longest = 0, 0, math.Max(s.longest, math.Abs(a))
		return
	}
	if !s.said {
		w.found["it comes down and nobody knows how it points"] = true
	}
	if w.top-w.z > w.p.setup.ThicknessMM+w.p.setup.BreakthroughMM+0.1 {
		w.found["cuts into the bed"] = true
	}
	if s.stands += math.Abs(a - from); flat > 0.02 {
		s.stands = math.Max(0, s.stands-flat/s.half*180/math.Pi)
	}
	turning := math.Min(math.Abs(a-from), 720) * math.Pi / 180 * s.half
	n := math.Max(1, math.Ceil(math.Max(flat, turning)/turnStepMM))
	took := 0.0
	for k := 1.0; k <= n; k++ {
		t := k / n
		at := point(fx+t*(w.x-fx), fy+t*(w.y-fy))
		depth := w.top - fz - t*(w.z-fz)
		sin, cos := math.Sincos(s.sign * (from + t*(a-from)) * math.Pi / 180)
		if flat > 0 && depth > 0.15 {
			s.goes((w.x-fx)/n, (w.y-fy)/n, sin, cos)
		}
		if lifted := w.z > fz && flat == 0; !lifted || a != from {
			took = math.Max(took, s.stamp(at, point(cos, sin), depth, w.found))
		}
	}
	rate := w.feed * (fz - w.z) / math.Max(math.Hypot(flat, fz-w.z), 1e-9)
	for harm, is := range map[string]bool{
		"the blade goes across or backwards": s.astray > 0.4,
		"the blade is turned in the foam":    s.stands > 2*180/math.Pi*math.Asin(s.gouge/s.half)+3,
		"a rapid through foam":               w.motion == 0 && took > 0.3,
		"too much in one pass":               took > l.StepDownMM+0.5,
		"too fast":                           w.motion > 0 && took > 0.3 && w.feed > 1.25*l.FeedMMPerMin,
		"plunges":                            w.motion > 0 && took > 0.3 && rate > 1.3*l.PlungeMMPerMin,
	} {
		if is {
			w.found[harm] = true
		}
	}
	if w.top-w.z < 0.02 {
		s.stands, s.astray = 0, 0
	}
}

// goes counts the way on which the blade points elsewhere by more than its gouge excuses.
func (s *steeredChord) goes(dx, dy, sin, cos float64) {
	along, aside := dx*cos+dy*sin, math.Abs(dy*cos-dx*sin)
	if along > 0 && math.Atan2(aside, along) < math.Asin(s.gouge/s.half)+0.12 {
		s.astray = 0
		return
	}
	s.astray += math.Hypot(dx, dy)
}

// stamp is the blade in one place, so deep; took is how much of that is fresh foam at its ends and its middle.
func (s *steeredChord) stamp(at, along geometry.Point, mm float64, found harms) (took float64) {
	s.steps++
	full := mm >= s.p.setup.ThicknessMM-0.05
	for k := -2.0; k <= 2; k++ {
		p := at.Add(along.Scale(k / 2 * s.half))
		took = math.Max(took, s.fresh(p, mm))
		if s.steps%3 == 0 && mm > 0.15 && s.p.inTray(p) && !s.p.besideWall(p, s.gouge+0.1) {
			found["a cut in the tray"] = true
		}
	}
	if !full {
		return took
	}
	reach := int(math.Ceil(s.half + 1))
	cell := cellOf(at, 1)
	for i := -reach; i <= reach; i++ {
		for j := -reach; j <= reach; j++ {
			for _, w := range s.walls[[2]int{cell[0] + i, cell[1] + j}] {
				s.near(w, at, along)
			}
		}
	}
	return took
}

// fresh notes a place as cut so deep, and is how much of that no earlier way took.
func (s *steeredChord) fresh(p geometry.Point, mm float64) float64 {
	before := s.been.deepen(p, mm, s.steps)
	return math.Min(mm, s.p.setup.ThicknessMM) - before
}

// near notes how far a place of a wall is from the blade, and when it is cut free.
func (s *steeredChord) near(i int, at, along geometry.Point) {
	to := s.at[i].Sub(at)
	on := math.Max(-s.half, math.Min(s.half, to.Dot(along)))
	off := to.Sub(along.Scale(on)).Norm()
	if off < bladeKerfMM/2+0.05 && s.first[i] == 0 {
		s.first[i] = s.steps
	}
	s.reach[i] = math.Min(s.reach[i], off)
}

// against holds how near the blade came to the walls, and how far it wound, against the good program's.
func (s *steeredChord) against(good *steeredChord, found harms) {
	free := map[int]int{} // by cut, the step that frees it
	for i := range s.at {
		if s.reach[i] > good.reach[i]+0.12 {
			found["something is not cut free"] = true
		}
		free[s.of[i]] = max(free[s.of[i]], s.first[i])
	}
	for cut, at := range free {
		if cut >= 0 && at > free[-1] {
			found["the tray is loose before it is done"] = true
		}
	}
	if s.longest > math.Max(800, good.longest+180) {
		found["its cable winds up"] = true
	}
}
