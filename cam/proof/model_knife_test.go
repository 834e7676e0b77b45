package proof_test

import (
	"math"

	"traywright/geometry"
)

// The model's blade: a tip that trails behind the axis, stepped by the midpoint rule of
//
//	tip' = h (p'·h),   h = (p - tip)/e
//
// and places along the finished walls that note how near the tip came at the full depth.

const (
	dragStepMM = 0.05
	longAgo    = 60 // steps: the way that the tip is on now is no earlier pass
)

type draggedTip struct {
	p         patient
	heading   float64
	walls     map[[2]int][]int // by cells of 1 mm
	at        []geometry.Point
	of        []int // the cut that a place is of; -1 the outline
	reach     []float64
	first     []int // the step at which it is cut through
	been      tracks
	steps     int
	backwards float64 // mm that it is pushed back in one go
}

// wasDeep is how deep the tip was in a cell, and when.
type wasDeep struct {
	mm   float64
	step int
}

// tracks are where a blade was, by cells of 0.2 mm.
type tracks map[[2]int][]wasDeep

// deepen notes a place as cut so deep, and is how deep an earlier way cut it.
func (t tracks) deepen(p geometry.Point, mm float64, step int) (before float64) {
	around(cellOf(p, 0.2), func(key [2]int) {
		for _, was := range t[key] {
			if step-was.step > longAgo {
				before = math.Max(before, was.mm)
			}
		}
	})
	key := cellOf(p, 0.2)
	if list := t[key]; len(list) == 0 || list[len(list)-1].mm < mm-0.05 {
		t[key] = append(list, wasDeep{mm, step})
	}
	return before
}

func newDragged(p patient) *draggedTip {
	d := &draggedTip{p: p, walls: map[[2]int][]int{}, been: tracks{}}
	note := func(cut int, r geometry.Region) {
		for _, c := range r.Contours() {
			for s := range c.Segments() {
				n := math.Ceil(s.Length() / 0.6)
				for k := range int(n) {
					at := s.At((float64(k) + 0.5) / n)
					key := cellOf(at, 1)
					d.walls[key] = append(d.walls[key], len(d.at))
					d.at, d.of, d.reach, d.first = append(d.at, at), append(d.of, cut), append(d.reach, 9), append(d.first, 0)
				}
			}
		}
	}
	for i, c := range p.want.Cuts {
		note(i, c.Shape)
	}
	note(-1, p.want.Outline)
	return d
}

func cellOf(p geometry.Point, size float64) [2]int {
	return [2]int{int(math.Floor(p.X / size)), int(math.Floor(p.Y / size))}
}

// around visits a cell and those beside it.
func around(key [2]int, visit func([2]int)) {
	for i := range 9 {
		visit([2]int{key[0] + i%3 - 1, key[1] + i/3 - 1})
	}
}

// top is the Z of the foam's top.
func (p patient) top() float64 {
	if p.setup.Machine.ZZero == "bed" {
		return p.setup.ThicknessMM
	}
	return 0
}

// drag is a straight piece of the axis' way.
func (w *walker) drag(fx, fy, fz float64) {
	d, l := w.dragged, w.p.limits()
	flat := math.Hypot(w.x-fx, w.y-fy)
	if w.top-math.Min(fz, w.z) < 0.02 || flat > 1e4 || w.z > fz && flat == 0 {
		d.steps += longAgo // in the air it stays as it is, and so where it is lifted: what comes is another pass
		return
	}
	if w.top-w.z > w.p.setup.ThicknessMM+w.p.setup.BreakthroughMM+0.1 {
		w.found["cuts into the bed"] = true
	}
	n := math.Max(1, math.Ceil(flat/dragStepMM))
	dx, dy, dz := (w.x-fx)/n, (w.y-fy)/n, (w.z-fz)/n
	took := 0.0
	for k := 1.0; k <= n; k++ {
		mid := d.heading + math.Asin(math.Max(-1, math.Min(1, (dy*math.Cos(d.heading)-dx*math.Sin(d.heading))/2/trailMM)))
		pushed := dx*math.Cos(mid) + dy*math.Sin(mid)
		if d.backwards -= pushed; pushed > 0 {
			d.backwards = 0 // it goes forward
		}
		d.heading += (dy*math.Cos(mid) - dx*math.Sin(mid)) / trailMM
		axis := point(fx+k*dx, fy+k*dy)
		tip := axis.Sub(point(trailMM*math.Cos(d.heading), trailMM*math.Sin(d.heading)))
		took = math.Max(took, d.cut(tip, w.top-fz-k*dz, w.found))
	}
	rate := w.feed * (fz - w.z) / math.Max(math.Hypot(flat, fz-w.z), 1e-9)
	for harm, is := range map[string]bool{
		"the blade is pushed backwards": d.backwards > 0.1,
		"a rapid through foam":          w.motion == 0 && took > 0.3,
		"too much in one pass":          took > l.StepDownMM+0.5,
		"too fast":                      w.motion > 0 && took > 0.3 && w.feed > 1.25*l.FeedMMPerMin,
		"plunges":                       w.motion > 0 && took > 0.3 && rate > 1.3*l.PlungeMMPerMin,
	} {
		if is {
			w.found[harm] = true
		}
	}
}

// cut is the tip at a place so deep; took is how much of that is fresh foam.
func (d *draggedTip) cut(tip geometry.Point, mm float64, found harms) (took float64) {
	d.steps++
	before := d.been.deepen(tip, mm, d.steps)
	if d.steps%4 == 0 && mm > 0.15 && d.p.inTray(tip) {
		found["a cut in the tray"] = true
	}
	if mm >= d.p.setup.ThicknessMM-0.05 {
		around(cellOf(tip, 1), func(key [2]int) {
			for _, i := range d.walls[key] {
				off := d.at[i].DistanceTo(tip)
				if off < bladeKerfMM/2+0.05 && d.first[i] == 0 {
					d.first[i] = d.steps
				}
				d.reach[i] = math.Min(d.reach[i], off)
			}
		})
	}
	return math.Min(mm, d.p.setup.ThicknessMM) - before
}

// against holds how near the tip came to the walls against the good program's.
func (d *draggedTip) against(good *draggedTip, found harms) {
	free := map[int]int{} // by cut, the step that frees it
	for i := range d.at {
		if d.reach[i] > good.reach[i]+0.08 {
			found["something is not cut free"] = true
		}
		if d.reach[i] < good.reach[i]-0.07 {
			found["a wall is cut"] = true
		}
		free[d.of[i]] = max(free[d.of[i]], d.first[i])
	}
	for cut, at := range free {
		if cut >= 0 && at > free[-1] {
			found["the tray is loose before it is done"] = true
		}
	}
}
