package plan

import (
	"fmt"
	"math"

	"traywright/geometry/units"
	"traywright/profiles"
)

// Slender walls. A wall between two pockets, or between one and the rim, stands on their floor
// alone: too tall for its thickness it bends away under the cutter, and leans on the piece
// beside it in use. How tall it may be goes by how stiff the foam is, and within a kind that
// grows with its density; no source gives the ratio for soft foam, so both numbers are judged.
const (
	slenderRatio = 5.0  // height to thickness that a wall may have in foam of slenderKgM3
	slenderKgM3  = 30.0 // in another it is more, or less, with the square root of the density
)

// slenderOf is the height that a wall may have for each mm of its thickness; +Inf in a foam
// whose density nobody has said.
func slenderOf(f profiles.Foam) float64 {
	if density := f.DensityKgM3.Value; density > 0 {
		return slenderRatio * math.Sqrt(density/slenderKgM3)
	}
	return math.Inf(1)
}

// StandsMM is how thick foam that stands on its floor alone is to be, to stand so high under a cutter.
func StandsMM(f profiles.Foam, heightMM float64) float64 { return heightMM / slenderOf(f) }

// stands is the foam, among those of a wall that high, that needs the wall to be thickest, and
// how thick that is, mm.
func stands(b *board, height units.Length) (foam string, least float64) {
	return strictest(b, height, func(f profiles.Foam) float64 { return StandsMM(f, height.MM()) })
}

func leastWall(f profiles.Foam) float64 { return f.LeastWallMM.Value }

func leastEdge(f profiles.Foam) float64 { return f.LeastEdgeMM.Value }

// wallMM is how thick the foam beside a pocket of this depth is to be: as the job asks, as its foams should keep it, and as it stands.
func (b *board) wallMM(depth units.Length) float64 { return b.thick(b.source.Wall, depth, leastWall) }

// edgeMM is the same of the foam to the rim.
func (b *board) edgeMM(depth units.Length) float64 { return b.thick(b.source.Edge, depth, leastEdge) }

func (b *board) thick(asked, depth units.Length, ask func(profiles.Foam) float64) float64 {
	_, least := strictest(b, depth, ask)
	_, stable := stands(b, depth)
	return max(asked.MM(), least, stable)
}

// slender keeps the worst of a tray's walls that are too tall for their thickness.
type slender struct {
	worst
	height float64 // of that wall, mm
}

// check notes a wall, or an edge, that is too tall.
func (s *slender) check(m *maker, b *board, distance float64, height units.Length, at place) {
	foam, least := stands(b, height)
	if distance >= least-m.slackMM() {
		return
	}
	if s.count == 0 || distance/least < s.distance/s.least {
		s.distance, s.least, s.foam, s.at, s.height = distance, least, foam, at, height.MM()
	}
	s.count++
}

// report warns of the worst, a wall or an edge; what says where it is, hint begins what to do.
func (s *slender) report(m *maker, key, what, hint string) {
	if s.count == 0 {
		return
	}
	s.at.group = [2]int{}
	ratio := s.height / s.least
	thick := m.up(s.least, 0.1)
	m.log.warn(s.at, key+"-slender", fmt.Sprintf("%s of %s that is %s tall, %.1f times its thickness: in %s it bends from %.1f times on%s",
		what, m.below(s.distance), m.mm(s.height), s.height/s.distance, s.foam, ratio, s.others()),
		s.at.wants(key, thick, fmt.Sprintf("make it %s thick or more%s no deeper than %s", thick, hint, m.down(s.distance*ratio, 0.1))))
}
