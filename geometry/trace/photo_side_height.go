package trace

import (
	"math"

	"traywright/geometry"
)

// sideCameras are the nearest and the farthest camera that could have taken the photograph.
func (t *table) sideCameras(saidMM float64) (cameras []camera, err error) {
	seen := t.card
	seen.toPixels = t.lens.toPixels
	h, longer := seen.centred(t.diff), float64(max(t.diff.w, t.diff.h))
	for _, share := range [...]float64{1 - saidShare, 1 + saidShare} {
		c := viewFrom(h, longer, share*saidMM)
		if 100*c.misfit > 3*LargestShapePercent {
			return nil, refuse("measure from the card to the lens", "a camera %g mm from the card would not see it in this shape", saidMM)
		}
		if err := c.plausible("card", "--side-camera", share*saidMM, longer, farthestSide); err != nil {
			return nil, err
		}
		cameras = append(cameras, c)
	}
	return cameras, nil
}

// standing follows what stands there, and judges its top.
func (t *table) standing(one laid) (s Standing) {
	s.Edge, s.Why = one.around.placed(t.lens.onPaper), one.why
	for i := 0; i < len(edgeLevels) && s.Why == nil; i++ {
		edge, why := t.edgeOf(one.around, edgeLevels[i])
		if why == nil {
			s.Edge = edge.placed(t.lens.onPaper)
			why = t.top(edge, &s)
		}
		if why == nil {
			break
		}
		if i+1 == len(edgeLevels) {
			s.Why = why
		}
	}
	b := boundsOf([]ring{s.Edge})
	s.At, s.Width, s.foot = b.Min.Add(b.Max).Scale(0.5), b.Width(), b.Min.Y
	return s
}

// top looks along the top of an edge, which has to be as sharp as the card's.
func (t *table) top(edge ring, s *Standing) *PictureError {
	b := boundsOf([]ring{s.Edge})
	var rises, sharp []float64
	gloss, far := 0, 0
	reach := min(max(2*t.card.blur, 4), 12)
	for k, p := range s.Edge {
		if p.Y > s.Edge[far].Y {
			far = k
		}
		if p.Y < b.Max.Y-topMM {
			continue
		}
		out := edge.outward(k)
		rise, steep := t.slope(edge[k], out)
		rises, sharp = append(rises, rise), append(sharp, steep)
		if bright, _, ok := t.shade(edge[k].Sub(out.Scale(reach))); ok && bright > brighter {
			gloss++
		}
	}
	const again = "light it from all sides, before plain paper that hangs far behind it; hold the camera still"
	switch {
	case len(sharp) == 0 || middleOf(rises) < leastContrast:
		return given(again+"; use paper of another colour", "its top is as pale as the paper behind it")
	case gloss > len(sharp)/10:
		return given("turn the lamp away", "light is mirrored at its top")
	case middleOf(sharp) < softEdge:
		return given(again, "its top is softer than the card's edge: a shadow, or out of focus")
	}
	s.top, s.blunt = edge[far], t.blunted(s.Edge, geometry.Point{Y: 1})
	s.block = blockWide*b.Width() < s.Edge.wideAt(b.Max.Y-max(blockDown*b.Height(), blockDownMM))
	return nil
}

// wideAt is how wide a ring is at a height.
func (r ring) wideAt(y float64) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for i, a := range r {
		if b := r[(i+1)%len(r)]; (a.Y > y) != (b.Y > y) {
			x := a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y)
			low, high = min(low, x), max(high, x)
		}
	}
	return high - low
}

// Height is how high a thing stands that is this piece from above, as far as that is known.
func (s *Side) Height(k int, from Piece) (h Height, why *PictureError) {
	st := s.Standing[k]
	if st.Why != nil {
		return h, st.Why
	}
	y := s.table.lens.onPaper(st.top).Y
	// Its foot is seen where its ground is; what it is lower than the card's, a part of its height may be.
	low, high := min(y, y-st.foot), max(y, y-st.foot)
	const lean = uprightDegrees * math.Pi / 180
	deepMM := from.Width + from.WidthOff
	for _, c := range s.cameras {
		eye := c.foot.Y
		back, front := st.depths(c, from, &h)
		if !st.block || y < eye+lean*c.height { // the lens may stand above its top: a card that leans hides it
			back -= deepMM
		}
		for _, d := range [...]float64{back - lean*y, front + lean*y} {
			at := eye + (y-eye)*(c.height-d)/c.height
			low, high = min(low, at-lean*math.Abs(d)), max(high, at+lean*math.Abs(d))
		}
		h.PerMM = max(h.PerMM, math.Abs(y-eye)/c.height)
	}
	h.MM = (low + high) / 2
	perPixel := 1 / s.table.lens.toPixels.scale(geometry.Point{X: st.At.X, Y: y})
	edge := max(edgePixels*perPixel, tipBlunted*st.blunt)
	h.Off = (high-low)/2 + root(edge, hiddenBlur*s.table.card.blur*perPixel, levelMM, s.table.topMoves(st.top))
	switch within := s.table.within; {
	case h.MM <= 0:
		return h, given("stand it on the table that the card stands on", "its top is seen lower than the card's foot")
	case h.Off > within && h.LowMM != 0:
		return h, given("stand card and pieces on one flat surface, such as a board or a sheet of glass, with their fronts on one line; or type its height",
			"its foot is seen %.1f mm %s than the card's: it is not on the card's line, or they do not stand equally high; so its height may be off by %.2f mm, and %.2f mm is allowed",
			math.Abs(h.LowMM), lowerOrHigher(h.LowMM), h.Off, within)
	case h.Off > within:
		return h, given("stand card and pieces with their fronts on one line, their long sides along it; lower the lens to the height of their tops, go twice as far away"+s.zoom()+", say how far with --side-camera; or type its height",
			"its height is seen, but may be off by %.2f mm, and %.2f mm is allowed", h.Off, within)
	}
	return h, nil
}

// zoom is the advice to fill the picture; a lens that was measured is another one then.
func (s *Side) zoom() string {
	if s.lensGiven {
		return " without zooming, for the lens file holds for one zoom"
	}
	return " and zoom in"
}

func lowerOrHigher(lowMM float64) string {
	if lowMM < 0 {
		return "higher"
	}
	return "lower"
}

// depths are between which two distances before the card's plane the front may stand: by the line that it is told
// to stand on, by where its foot is seen, which of a round thing may lie as far back as it is deep, and by how wide it is seen.
func (st Standing) depths(c camera, from Piece, h *Height) (back, front float64) {
	back, front = -lineMM, lineMM
	deep, behind := from.Width+from.WidthOff, 0.0
	if !st.block || from.Form != Box { // it may be widest, or meet the table, behind its front
		behind = deep
	}
	off := func(low, high float64) {
		switch {
		case low > lineMM:
			h.NearMM, front = (low+high)/2, max(front, high)
		case high < -lineMM-behind:
			h.NearMM, back = (low+high)/2, min(back, low)
		}
	}
	// A turn of turnDegrees shows a part of its short side, or less of its long one.
	sin, cos := math.Sincos(turnDegrees * math.Pi / 180)
	by := func(width, long float64) float64 { return c.height * (1 - long/width) }
	long := from.Length + from.LengthOff
	off(by(st.Width-widthOffMM, long+sin*deep), by(st.Width+widthOffMM, cos*(from.Length-from.LengthOff)))
	eye := c.foot.Y
	if line := levelMM + lineMM*math.Abs(eye)/c.height; st.foot < -footShadowMM-line || st.foot > footPaleMM+line {
		h.LowMM = -st.foot
	}
	if eye-math.Abs(st.foot)-footShadowMM < leastFootMM { // hardly above the table: the foot tells nothing of where it stands
		return back, front
	}
	near := func(y float64) float64 { return c.height * (1 - eye/(eye-y)) }
	low, high := near(st.foot+footShadowMM), near(st.foot-footPaleMM)
	off(low, high)
	if h.LowMM != 0 {
		back, front = min(back, low), max(front, high)
	}
	return back, front
}

// topMoves is how far the place of a top moves up or down, seen through a lens and by a card that are
// as far off as they may be.
func (t *table) topMoves(top geometry.Point) float64 {
	at := t.lens.onPaper(top)
	sum := 0.0
	for _, by := range [...]float64{-1, 1} {
		if other, ok := t.withLens(t.lens.bend + by*lensSure*t.lens.noise); ok {
			sum = max(sum, math.Abs(other.onPaper(top).Y-at.Y))
		}
	}
	seen, off := t.lens.straight(top), t.cornerOff()
	for k := range t.lens.corners {
		for _, d := range [...]geometry.Point{{X: off}, {Y: off}} {
			corners := t.lens.corners
			corners[k] = corners[k].Add(d)
			if h, ok := homographyOf(corners, t.card.size); ok {
				sum = math.Hypot(sum, h.apply(seen).Y-at.Y)
			}
		}
	}
	return sum
}
