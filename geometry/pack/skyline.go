package pack

// segment is one level stretch of the skyline.
type segment struct{ x, y, length int64 }

// skyline is the upper edge of what lies already, left to right. Neighbours
// differ in height.
type skyline []segment

func newSkyline(length int64) skyline { return skyline{{0, 0, length}} }

// lowest is the index of the lowest segment, the leftmost of several.
func (s skyline) lowest() int {
	at := 0
	for i, g := range s {
		if g.y < s[at].y {
			at = i
		}
	}
	return at
}

// walls are the heights of the steps beside segment i; the rim is as high as a
// strip can get.
func (s skyline) walls(i int, rim int64) (left, right int64) {
	left, right = rim-s[i].y, rim-s[i].y
	if i > 0 {
		left = s[i-1].y - s[i].y
	}
	if i+1 < len(s) {
		right = s[i+1].y - s[i].y
	}
	return left, right
}

// put lays a box of length l and height h into segment i, at its left end or
// at its right end, and returns its x.
func (s *skyline) put(i int, l, h int64, right bool) int64 {
	g := (*s)[i]
	x := g.x
	rest := segment{g.x + l, g.y, g.length - l}
	box := segment{x, g.y + h, l}
	parts := []segment{box, rest}
	if right {
		x = g.x + g.length - l
		box.x, rest.x = x, g.x
		parts = []segment{rest, box}
	}
	if rest.length == 0 {
		parts = []segment{box}
	}
	s.replace(i, parts)
	return x
}

// raise lifts segment i to its lower neighbour: the room under it is lost.
func (s *skyline) raise(i int, rim int64) {
	g := (*s)[i]
	left, right := s.walls(i, rim)
	s.replace(i, []segment{{g.x, g.y + min(left, right), g.length}})
}

// replace puts parts in the place of segment i and joins level neighbours.
func (s *skyline) replace(i int, parts []segment) {
	old := *s
	var tail [64]segment
	rest := append(tail[:0], old[i+1:]...)
	out := old[:i]
	for _, g := range parts {
		out = out.join(g)
	}
	for k, g := range rest {
		if k == 0 {
			out = out.join(g)
			continue
		}
		out = append(out, g)
	}
	*s = out
}

func (s skyline) join(g segment) skyline {
	if n := len(s); n > 0 && s[n-1].y == g.y {
		s[n-1].length += g.length
		return s
	}
	return append(s, g)
}

// top is the height of the highest segment.
func (s skyline) top() int64 {
	var top int64
	for _, g := range s {
		top = max(top, g.y)
	}
	return top
}
