package page

import (
	"image"
	"math"
	"slices"
)

// findLoose marks the pieces that cuts right through have freed: what is neither
// the stock, which reaches the field's edge, nor the sheet, which is the largest
// piece inside if it reaches as far as the cuts do. It reports whether there are
// any.
func (f *foam) findLoose(s *shades) bool {
	if math.IsInf(s.throughMM, 1) || f.w == 0 || f.h == 0 {
		return false
	}
	p := f.pieces()
	sheet := p.sheet(f.cutThrough())
	found := false
	for _, r := range p.runs {
		piece := p.find(r.piece)
		if piece == sheet || p.outside[piece] {
			continue
		}
		found = true
		for x := r.from; x < r.to; x++ {
			f.class[r.y*f.w+x] = loose
		}
	}
	return found
}

// run is a stretch of a row of pixels that one piece of foam covers.
type run struct{ y, from, to, piece int }

// pieces joins runs of foam that touch (union-find with path halving).
type pieces struct {
	runs    []run
	parent  []int
	area    []int
	outside []bool
	box     []image.Rectangle
}

// cutThrough is the box of what is cut through.
func (f *foam) cutThrough() image.Rectangle {
	var box image.Rectangle
	for y := range f.h {
		row := f.class[y*f.w : (y+1)*f.w]
		first := slices.Index(row, through)
		if first < 0 {
			continue
		}
		last := len(row) - 1
		for row[last] != through {
			last--
		}
		box = box.Union(image.Rect(first, y, last+1, y+1))
	}
	return box
}

func (p *pieces) find(i int) int {
	for p.parent[i] != i {
		p.parent[i] = p.parent[p.parent[i]]
		i = p.parent[i]
	}
	return i
}

func (p *pieces) join(i, j int) {
	i, j = p.find(i), p.find(j)
	if i == j {
		return
	}
	i, j = min(i, j), max(i, j)
	p.parent[j] = i
	p.area[i] += p.area[j]
	p.outside[i] = p.outside[i] || p.outside[j]
	p.box[i] = p.box[i].Union(p.box[j])
}

// sheet is the largest piece inside, if it reaches nearly as far as the cuts; -1
// when there is none: then the sheet is still held by the stock around it.
func (p *pieces) sheet(cuts image.Rectangle) int {
	best := -1
	for i := range p.parent {
		if p.find(i) == i && !p.outside[i] && (best < 0 || p.area[i] > p.area[best]) {
			best = i
		}
	}
	if best >= 0 && (5*p.box[best].Dx() < 4*cuts.Dx() || 5*p.box[best].Dy() < 4*cuts.Dy()) {
		return -1
	}
	return best
}

// pieces finds the connected pieces of foam that is not cut through. Pixels
// that the field does not know are outside, as is the drawing's edge.
func (f *foam) pieces() *pieces {
	p := &pieces{}
	var above []run
	for y := range f.h {
		row := f.class[y*f.w : (y+1)*f.w]
		var here []run
		for x := 0; x < f.w; {
			if row[x] == through || row[x] == nothing {
				x++
				continue
			}
			from := x
			for x < f.w && row[x] != through && row[x] != nothing {
				x++
			}
			here = append(here, p.add(f, y, from, x))
		}
		p.joinRows(above, here)
		p.runs = append(p.runs, here...)
		above = here
	}
	return p
}

func (p *pieces) add(f *foam, y, from, to int) run {
	r := run{y, from, to, len(p.parent)}
	p.parent = append(p.parent, r.piece)
	p.area = append(p.area, to-from)
	p.box = append(p.box, image.Rect(from, y, to, y+1))
	unknown := func(x, y int) bool { return x < 0 || y < 0 || x >= f.w || y >= f.h || f.class[y*f.w+x] == nothing }
	outside := unknown(from-1, y) || unknown(to, y)
	for x := from; x < to && !outside; x++ {
		outside = unknown(x, y-1) || unknown(x, y+1)
	}
	p.outside = append(p.outside, outside)
	return r
}

func (p *pieces) joinRows(above, here []run) {
	for i, j := 0, 0; i < len(above) && j < len(here); {
		a, b := above[i], here[j]
		if a.from < b.to && b.from < a.to {
			p.join(a.piece, b.piece)
		}
		if a.to < b.to {
			i++
		} else {
			j++
		}
	}
}
