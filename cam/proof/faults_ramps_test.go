package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
)

// Faults in how a cutter goes into foam: where the plan ramps, it is to ramp.
var rampFaults = []fault{
	{"a ramp becomes a plunge", false, of("router", rampAs(func(x, z, last, feed float64) []string {
		return []string{fmt.Sprintf("G1 Z%.4f F%g", last, feed)}
	}))},
	{"a ramp becomes a plunge with a hair of sideways motion", false, of("router", rampAs(func(x, z, last, feed float64) []string {
		return []string{fmt.Sprintf("G1 X%.4f Z%.4f F%g", x+0.03, last, feed)}
	}))},
	{"a ramp becomes stairs", false, of("router", rampAs(func(x, z, last, feed float64) []string {
		var list []string
		for n := 1.0; n <= 20; n++ {
			list = append(list, fmt.Sprintf("G1 X%.4f F%g", x+0.02*float64(int(n)%2), feed), fmt.Sprintf("G1 Z%.4f", z+(last-z)*n/20))
		}
		return list
	}))},
	{"a ramp becomes a zigzag of a hair", false, of("router", rampAs(func(x, z, last, feed float64) []string {
		return zigzag(x, z, last, 0.2, 0.14, feed)
	}))},
	{"a long ramp becomes a zigzag at the cutting feed", true, of("router", longRampAs(func(x, z, last, cut float64) []string {
		return zigzag(x, z, last, 0.2, 0.14, cut)
	}))},
	{"a long ramp becomes a zigzag of 1 mm at the cutting feed", true, of("router", longRampAs(func(x, z, last, cut float64) []string {
		return zigzag(x, z, last, 1, 0.14, cut)
	}))},
	{"a ramp becomes a hole that is pecked", false, of("router", rampAs(func(x, z, last, feed float64) []string {
		var list []string
		for n := 1.0; n <= 20; n++ {
			list = append(list, fmt.Sprintf("G1 Z%.4f F%g", z+(last-z)*n/20, feed), "G0 Z5.0000")
		}
		return append(list, fmt.Sprintf("G1 Z%.4f F%g", last, feed))
	}))},
}

func init() { faults = slices.Concat(faults, rampFaults) }

// zigzag goes down in strokes of so many mm, and comes back to where it began.
func zigzag(x, z, last, stroke, slope, feed float64) (list []string) {
	n := math.Ceil((z - last) / (slope * stroke))
	for k := 1.0; k <= n; k++ {
		list = append(list, fmt.Sprintf("G1 X%.4f Z%.4f F%g", x-stroke*float64(int(k)%2), z+(last-z)*k/n, feed))
	}
	return append(list, fmt.Sprintf("G1 X%.4f", x))
}

// longRampAs is rampAs for ramps that sink more than 1 mm, at the cutting feed.
func longRampAs(down func(x, z, last, cut float64) []string) func(*rand.Rand, []string) ([]string, bool) {
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		long := false
		spoil := rampAs(func(x, z, last, _ float64) []string {
			long = z-last > 1
			return down(x, z, last, cutFeed(lines))
		})
		spoiled, ok := spoil(r, lines)
		return spoiled, ok && long
	}
}

// cutFeed is the highest feed that a program goes at.
func cutFeed(lines []string) (most float64) {
	for _, l := range lines {
		if m := regexp.MustCompile(`^G[123].* F([0-9.]+)`).FindStringSubmatch(l); m != nil {
			feed, _ := strconv.ParseFloat(m[1], 64)
			most = math.Max(most, feed)
		}
	}
	return most
}

// rampAs goes down another way where a ramp is, from a place and a height to its last height
// at the plunge feed, and then along the ramp's way on the level.
func rampAs(down func(x, z, last, feed float64) []string) func(*rand.Rand, []string) ([]string, bool) {
	number := func(letter, line string) (float64, bool) {
		m := regexp.MustCompile(letter + `(-?[0-9.]+)`).FindStringSubmatch(line)
		if m == nil {
			return 0, false
		}
		v, err := strconv.ParseFloat(m[1], 64)
		return v, err == nil
	}
	sloped := regexp.MustCompile(`^G[123] [XY].* Z-`)
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		first, ok := pick(r, lines, sloped)
		if !ok {
			return nil, false
		}
		for first > 0 && sloped.MatchString(lines[first-1]) {
			first--
		}
		end := first
		for sloped.MatchString(lines[end]) {
			end++
		}
		var x, z, feed, cut float64
		for _, l := range lines[:first+1] {
			if v, ok := number("F", l); ok && l[0] == 'G' {
				cut = v
			}
		}
		for _, l := range lines[:first] {
			if v, ok := number("X", l); ok && l[0] == 'G' {
				x = v
			}
			if v, ok := number("Z", l); ok && l[0] == 'G' {
				z = v
			}
			if m := regexp.MustCompile(`^G1 Z\S+ F([0-9.]+)`).FindStringSubmatch(l); m != nil {
				feed, _ = strconv.ParseFloat(m[1], 64)
			}
		}
		last, _ := number("Z", lines[end-1])
		level := make([]string, 0, end-first)
		for _, l := range lines[first:end] {
			level = append(level, regexp.MustCompile(` Z\S+`).ReplaceAllString(l, ""))
		}
		level = append([]string{fmt.Sprintf("G1 F%g", cut)}, level...)
		return slices.Concat(lines[:first], down(x, z, last, feed), level, lines[end:]), feed > 0
	}
}
