package page

import (
	"math"

	"traywright/cam/plan"
	"traywright/geometry"
)

// roomIn is what a pocket has for letters: of a round one its middle, of a drawn one what lies within its outline.
func roomIn(k plan.Pocket, on view) rect {
	box := boxOn(on, k.Box)
	if k.ShapeName == "outline" {
		return roomWithin(k.Design, on)
	}
	if k.ShapeName == "round" {
		return box.inset(0.12 * math.Min(box.w, box.h))
	}
	return box.inset(3)
}

// fits reports whether a pocket has room for its name along its longer side.
func (v *overview) fits(k plan.Pocket) bool {
	r := roomIn(k, view{scale: v.scale})
	return math.Min(r.w, r.h) >= smallType.size && v.typesetter.width(v.typesetter.name(&k), smallType) <= math.Max(r.w, r.h)
}

func (v *overview) labelPocket(i int, on view, k plan.Pocket, claims *claims) {
	r, back := roomIn(k, on), foamColour
	x, y := r.x+r.w/2, r.y+r.h/2
	if d := v.drawn[i].at(on.box.Min.X+(x-on.x)/on.scale, on.box.Max.Y-(y-on.y)/on.scale); d >= 0 {
		back = v.drawn[i].colour(float64(d))
	}
	code, coded := v.codes[i].of[k.For]
	dims := bare(k.Box.Width(), v.o.Unit) + " × " + bare(k.Box.Height(), v.o.Unit)
	if k.ShapeName == "round" {
		dims = "Ø " + bare(k.Box.Width(), v.o.Unit)
	}
	called := v.typesetter.name(&k)
	switch wide := v.typesetter.width(called, smallType); {
	case coded:
		v.write(claims, on, x, y, back, r, code)
	case r.w >= r.h || wide <= r.w:
		v.write(claims, on, x, y, back, r, called, dims)
	default:
		if at, ok := claims.place(on.on(), centred(x, y, smallType.lineHeight(), wide)); ok {
			v.c.clearHatch(at, back)
			v.c.textUp(at.x+at.w/2+smallType.capHeight()/2, y, called, smallType, lettersOn(back))
		}
	}
}

// roomWithin is the widest place within a shape for two lines, or for one where that has much more room: the middle of a
// drawing's box may be another piece's.
func roomWithin(shape geometry.Region, on view) rect {
	own := view{box: shape.Bounds(), scale: on.scale}
	rows := newFoam(own)
	spans := make([][][2]int, rows.h)
	eachSpan(shape, own, rows, func(y, from, to int) { spans[y] = append(spans[y], [2]int{from, to}) })
	one := widestRows(spans, int(math.Ceil(smallType.size))+6)
	two := widestRows(spans, int(math.Ceil(smallType.lineHeight()+smallType.size))+6)
	if two.w < 0.7*one.w {
		two = one
	}
	two.x, two.y = two.x+on.px(own.box.Min.X), two.y+on.py(own.box.Max.Y)
	return two.inset(math.Min(3, two.w/2))
}

// widestRows is the widest place of so many rows that lie in spans: of those about as wide the middle of the longest stretch.
func widestRows(spans [][][2]int, high int) rect {
	var places []rect
	most := 0.0
	for y := 0; y+high <= len(spans); y++ {
		open := spans[y]
		for _, row := range spans[y+1 : y+high] {
			open = common(open, row)
		}
		best := rect{}
		for _, s := range open {
			if wide := float64(s[1] - s[0]); wide > best.w {
				best = rect{float64(s[0]), float64(y), wide, float64(high)}
			}
		}
		places, most = append(places, best), math.Max(most, best.w)
	}
	first, last := 0, -1
	for i := 0; i < len(places); i++ {
		from := i
		for i < len(places) && places[i].w > 0 && places[i].w >= 0.95*most && math.Abs(places[i].x-places[from].x) <= 0.05*most {
			i++
		}
		if i-from > last-first+1 {
			first, last = from, i-1
		}
	}
	if last < first {
		return rect{}
	}
	return places[(first+last)/2]
}

// common is what two rows of spans, each in order, have in common.
func common(a, b [][2]int) (both [][2]int) {
	for _, p := range a {
		for _, q := range b {
			if from, to := max(p[0], q[0]), min(p[1], q[1]); from < to {
				both = append(both, [2]int{from, to})
			}
		}
	}
	return both
}
