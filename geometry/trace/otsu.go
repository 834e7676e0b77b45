package trace

import "math"

// threshold is a grey that splits a picture, and how well it does.
type threshold struct {
	level        float64 // between two of the levels 0..255
	separability float64 // η = between-class variance / total variance, 0 to 1
}

// histogram counts the greys of a picture, rounded to 0..255.
func histogram(g grid) []int {
	counts := make([]int, 256)
	for _, v := range g.v {
		counts[min(max(int(v+0.5), 0), 255)]++
	}
	return counts
}

// otsu finds the threshold with the largest variance between the two classes
// (N. Otsu, "A threshold selection method from gray-level histograms", IEEE
// Transactions on Systems, Man, and Cybernetics 9(1), 1979, 62-66). Where several
// do equally well, as between two tones with nothing in between, it is the one
// nearest to the middle of the two classes' means, where an edge between them lies.
func otsu(counts []int) threshold {
	best, first, last := -1.0, 0, 0
	each(counts, func(k int, between float64) {
		switch {
		case between > best*(1+1e-12):
			best, first, last = between, k, k
		case between >= best*(1-1e-12):
			last = k
		}
	})
	dark, light := mean(counts[:first+1], 0), mean(counts[last+1:], last+1)
	return split(counts, min(max((dark+light)/2, float64(first)+0.5), float64(last)+0.5))
}

// mean of the levels from first on; 0 for none.
func mean(counts []int, first int) float64 {
	n, sum := 0.0, 0.0
	for i, c := range counts {
		n += float64(c)
		sum += float64(c) * float64(first+i)
	}
	return sum / max(n, 1)
}

// split is a given threshold: the classes are the levels below it and above it.
func split(counts []int, level float64) threshold {
	t := threshold{level: level}
	total := variance(counts)
	each(counts, func(k int, between float64) {
		if float64(k) < level && total > 0 {
			t.separability = between / total
		}
	})
	return t
}

// each visits the between-class variance σ²B(k) = (μT ω(k) - μ(k))² / (ω(k)(1 - ω(k)))
// (equation 18 of the paper), the one class being the levels 0..k, from the darkest k on.
func each(counts []int, visit func(k int, between float64)) {
	n, mean := 0.0, 0.0
	for i, c := range counts {
		n += float64(c)
		mean += float64(i) * float64(c)
	}
	omega, mu := 0.0, 0.0
	for k, c := range counts[:len(counts)-1] {
		omega += float64(c) / n
		mu += float64(k) * float64(c) / n
		between := 0.0
		if w := omega * (1 - omega); w > 1e-12 {
			between = math.Pow(mean/n*omega-mu, 2) / w
		}
		visit(k, between)
	}
}

func variance(counts []int) float64 {
	n, sum, squares := 0.0, 0.0, 0.0
	for i, c := range counts {
		n += float64(c)
		sum += float64(i) * float64(c)
		squares += float64(i) * float64(i) * float64(c)
	}
	return squares/n - sum*sum/(n*n)
}
