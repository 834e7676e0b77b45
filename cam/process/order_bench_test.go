package process

import (
	"bufio"
	"flag"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// Published places and the length of the shortest way through them (TSPLIB, Reinelt), as
// FILE=LENGTH,FILE=LENGTH. They are not kept here.
var published = flag.String("tours", "", "files of places, each with the length of its best tour")

// BenchmarkTour is how far a tour is above the best one, in per cent of it, by distances as they are
// and by distances rounded to whole numbers, as the published lengths have them.
func BenchmarkTour(b *testing.B) {
	for _, item := range strings.FieldsFunc(*published, func(r rune) bool { return r == ',' }) {
		file, best, ok := strings.Cut(item, "=")
		length, err := strconv.ParseFloat(best, 64)
		require.True(b, ok && err == nil && length > 0, "%s: FILE=LENGTH", item)
		points := readPlaces(b, file)
		b.Run(file, func(b *testing.B) {
			var order []int32
			for b.Loop() {
				order = newRoute(points).improve()
			}
			rounded := 0.0
			for i, a := range order {
				rounded += float64(int(points[a].DistanceTo(points[order[(i+1)%len(order)]]) + 0.5))
			}
			b.ReportMetric(100*(closedLength(points, order)/length-1), "%gap")
			b.ReportMetric(100*(rounded/length-1), "%gap-rounded")
		})
	}
}

// readPlaces reads lines of a number and two coordinates.
func readPlaces(b *testing.B, file string) []geometry.Point {
	f, err := os.Open(file)
	require.NoError(b, err)
	defer f.Close()
	var points []geometry.Point
	for s := bufio.NewScanner(f); s.Scan(); {
		words := strings.Fields(s.Text())
		if len(words) != 3 {
			continue
		}
		x, errX := strconv.ParseFloat(words[1], 64)
		y, errY := strconv.ParseFloat(words[2], 64)
		if errX == nil && errY == nil {
			points = append(points, geometry.Point{X: x, Y: y})
		}
	}
	require.NotEmpty(b, points)
	return points
}
