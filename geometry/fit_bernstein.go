package geometry

// weightedPoint is a control point of a rational Bézier curve in homogeneous
// coordinates: the point (x/w, y/w) with the weight w > 0.
type weightedPoint struct{ x, y, w float64 }

func (p weightedPoint) point() Point { return Point{p.x / p.w, p.y / p.w} }

func mix(p, q weightedPoint, u float64) weightedPoint {
	v := 1 - u
	return weightedPoint{v*p.x + u*q.x, v*p.y + u*q.y, v*p.w + u*q.w}
}

// rational is a rational Bézier curve over 0..1, by its control points.
type rational []weightedPoint

// at is the point at u, by de Casteljau's scheme.
func (r rational) at(u float64) Point {
	row := append(make(rational, 0, 8), r...)
	for n := len(row) - 1; n > 0; n-- {
		for i := range n {
			row[i] = mix(row[i], row[i+1], u)
		}
	}
	return row[0].point()
}

// before is the part over 0..u, after the part over u..1.
func (r rational) split(u float64) (before, after rational) {
	before, after = make(rational, len(r)), make(rational, len(r))
	row := append(make(rational, 0, 8), r...)
	for n := len(row) - 1; n >= 0; n-- {
		before[len(r)-1-n], after[n] = row[0], row[n]
		for i := range n {
			row[i] = mix(row[i], row[i+1], u)
		}
	}
	return before, after
}

// part is the curve over u..v.
func (r rational) part(u, v float64) rational {
	if v < 1 {
		r, _ = r.split(v)
	}
	if u > 0 {
		_, r = r.split(u / v)
	}
	return r
}

// bernstein is a polynomial over 0..1 by its Bernstein coefficients: its values lie
// between the least and the greatest of them. Everything that is proved about a
// fitted curve is proved by that.
type bernstein []float64

// times multiplies: the coefficients of the product of degrees m and n are
// Σ C(m,i) C(n,j) f_i g_j / C(m+n,i+j).
func (f bernstein) times(g bernstein) bernstein {
	m, n := len(f)-1, len(g)-1
	product := make(bernstein, m+n+1)
	a := binomials(m)
	b := binomials(n)
	for i := range f {
		for j := range g {
			product[i+j] += a[i] * f[i] * b[j] * g[j]
		}
	}
	for k, c := range binomials(m + n) {
		product[k] /= c
	}
	return product
}

func binomials(n int) []float64 {
	row := make([]float64, n+1)
	row[0] = 1
	for k := range n {
		row[k+1] = row[k] * float64(n-k) / float64(k+1)
	}
	return row
}

// derivative is that of f, of one degree less.
func (f bernstein) derivative() bernstein {
	n := len(f) - 1
	d := make(bernstein, n)
	for i := range d {
		d[i] = float64(n) * (f[i+1] - f[i])
	}
	return d
}

// combine is a·f + b·g, for f and g of one degree.
func (f bernstein) combine(a float64, g bernstein, b float64) bernstein {
	sum := make(bernstein, len(f))
	for i := range sum {
		sum[i] = a*f[i] + b*g[i]
	}
	return sum
}

// nonNegative proves that f is nowhere below 0 on 0..1, halving the range up to
// depth times for a closer look. False means that it is not so, or not proved.
func (f bernstein) nonNegative(depth int) bool {
	least := 0.0
	for _, c := range f {
		if !(c >= least) {
			least = c
		}
	}
	switch {
	case least == 0:
		return true
	case f[0] < 0 || f[len(f)-1] < 0 || depth == 0 || least != least:
		return false
	}
	left, right := f.halves()
	return left.nonNegative(depth-1) && right.nonNegative(depth-1)
}

func (f bernstein) halves() (left, right bernstein) {
	left, right = make(bernstein, len(f)), make(bernstein, len(f))
	row := append(bernstein(nil), f...)
	for n := len(row) - 1; n >= 0; n-- {
		left[len(f)-1-n], right[n] = row[0], row[n]
		for i := range n {
			row[i] = (row[i] + row[i+1]) / 2
		}
	}
	return left, right
}
