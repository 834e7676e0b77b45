package geometry

import "math"

// snapper gives every point a vertex: the nearest vertex within tol of it, or a
// new one in its place. Vertices are more than tol apart, and no point moves by
// more than tol.
type snapper struct {
	tol    float64
	points []Point
	next   []int32 // vertex -> next vertex in the same bucket, -1 at the end
	bucket []int32 // first vertex of a bucket, -1 for none
}

// cellsPerTol makes a point seldom near a border of its cell, so that most
// searches look at one.
const cellWidthInTol = 16

func newSnapper(tol float64, expected int) *snapper {
	size := 16
	for size < expected {
		size *= 2
	}
	s := &snapper{tol: tol, bucket: make([]int32, size), points: make([]Point, 0, expected)}
	s.next = make([]int32, 0, expected)
	for i := range s.bucket {
		s.bucket[i] = -1
	}
	return s
}

func (s *snapper) cell(v float64) int64 { return int64(math.Floor(v / (cellWidthInTol * s.tol))) }

func (s *snapper) slot(x, y int64) uint64 {
	h := uint64(x)*0x9E3779B97F4A7C15 ^ uint64(y)*0xC2B2AE3D27D4EB4F
	h ^= h >> 29
	h *= 0xBF58476D1CE4E5B9
	return (h >> 32) & uint64(len(s.bucket)-1)
}

func (s *snapper) vertex(p Point) int32 {
	best, least := int32(-1), s.tol
	for x := s.cell(p.X - s.tol); x <= s.cell(p.X+s.tol); x++ {
		for y := s.cell(p.Y - s.tol); y <= s.cell(p.Y+s.tol); y++ {
			for v := s.bucket[s.slot(x, y)]; v >= 0; v = s.next[v] {
				if d := p.DistanceTo(s.points[v]); d < least || d == least && (best < 0 || v < best) {
					best, least = v, d
				}
			}
		}
	}
	if best >= 0 {
		return best
	}
	return s.insert(p)
}

func (s *snapper) insert(p Point) int32 {
	v := int32(len(s.points))
	slot := s.slot(s.cell(p.X), s.cell(p.Y))
	s.points = append(s.points, p)
	s.next = append(s.next, s.bucket[slot])
	s.bucket[slot] = v
	return v
}
