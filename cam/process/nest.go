package process

import (
	"cmp"
	"encoding/binary"
	"math"
	"slices"

	"traywright/geometry"
)

// insideFirst orders contours so that one inside another comes before it: a
// contour inside another has less area.
func insideFirst(contours []geometry.Contour) []geometry.Contour {
	list := slices.Clone(contours)
	slices.SortStableFunc(list, func(a, b geometry.Contour) int {
		return cmp.Compare(math.Abs(a.Area()), math.Abs(b.Area()))
	})
	return list
}

// shapeKey is the same for regions with the same vertices about a corner of
// their own, in the same order, to a nanometre, and the same settings. So
// pockets of one grid, which differ by rounding, share one key.
func shapeKey(r geometry.Region, corner geometry.Point, settings ...float64) string {
	var key []byte
	add := func(v uint64) { key = binary.LittleEndian.AppendUint64(key, v) }
	for _, v := range settings {
		add(math.Float64bits(v))
	}
	for _, c := range r.Contours() {
		add(uint64(c.Len()))
		for _, v := range c.Vertices() {
			for _, n := range [3]float64{v.X - corner.X, v.Y - corner.Y, v.Bulge} {
				add(uint64(int64(math.Round(n * 1e6))))
			}
		}
	}
	return string(key)
}
