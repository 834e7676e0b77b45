package proof

import (
	"math"

	"traywright/geometry"
)

// Heat is what a lit beam gives to the foam where it gives most.
type Heat struct {
	PassJPerMM float64 // to a mm of its way, in one pass
	AllJPerMM  float64 // to a place, in all that goes through it
	Passes     int     // through that place
}

// heatMM is the size of the places that are kept apart, in two grids, one half a
// place from the other: what lies within a quarter of a mm is in one of them.
const heatMM = 0.5

type heatPlace struct {
	grid, x, y int
}

type heatVisits struct {
	heat float64
	n    int
}

// Heat finds where the beam gives most, from the motions: the beam's full power in
// W, the power of each motion and its feed. However a program takes its passes
// apart or shifts them a little, they add up where they lie on each other; a path
// that stays within a place counts once there. A place where a contour begins and
// ends counts twice in each pass.
func (r Result) Heat(fullPowerW float64) Heat {
	var most Heat
	places := map[heatPlace]heatVisits{}
	var last [2]heatPlace
	for _, m := range r.Motions {
		if m.Rapid || !m.On {
			last = [2]heatPlace{}
			continue
		}
		heat := fullPowerW * m.Power / 100 * 60 / m.Feed
		most.PassJPerMM = math.Max(most.PassJPerMM, heat)
		m.along(heatMM/2, func(p geometry.Point) {
			for grid := range last {
				shift := float64(grid) / 2
				at := heatPlace{grid + 1, int(math.Floor(p.X/heatMM + shift)), int(math.Floor(p.Y/heatMM + shift))}
				if at == last[grid] {
					continue
				}
				v := places[at]
				v.heat, v.n = v.heat+heat, v.n+1
				places[at], last[grid] = v, at
				most.AllJPerMM, most.Passes = math.Max(most.AllJPerMM, v.heat), max(most.Passes, v.n)
			}
		})
	}
	return most
}

// along visits points of a motion, no farther apart than step in mm, both ends among
// them.
func (m Motion) along(step float64, visit func(geometry.Point)) {
	const most = 1e6 // of a motion that no machine could make
	n := int(math.Min(most, math.Ceil(m.flatLength()/step)))
	for i := range n + 1 {
		t := 1.0
		if n > 0 {
			t = float64(i) / float64(n)
		}
		if !m.Arc {
			visit(geometry.Point{X: m.From.X + t*(m.To.X-m.From.X), Y: m.From.Y + t*(m.To.Y-m.From.Y)})
			continue
		}
		a := math.Atan2(m.From.Y-m.Center.Y, m.From.X-m.Center.X) + t*m.sweep()
		radius := m.From.DistanceTo(m.Center)
		visit(geometry.Point{X: m.Center.X + radius*math.Cos(a), Y: m.Center.Y + radius*math.Sin(a)})
	}
}
