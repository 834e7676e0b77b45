package plan

import (
	"maps"
	"slices"

	"traywright/geometry"
	"traywright/geometry/units"
)

// weighFoam is the foam that is left of a tray: each layer's outline less its
// pockets and what is cut of labels, times thickness and density. Where pockets of different depth overlap
// each depth counts once. A kg/m3 is a millionth of a gram in a mm3.
func (m *maker) weighFoam(b *board) {
	whole := b.Outline.Area()
	groups := b.together()
	for _, l := range b.Layers {
		volume := whole * l.Thickness.MM()
		for _, g := range groups {
			volume -= m.removed(b, g, l)
		}
		for _, k := range b.marks {
			volume -= k.removed(l)
		}
		b.FoamG += volume * l.Foam.DensityKgM3.Value * 1e-6
	}
}

// joined are the holes in sets of those that meet.
func (b *board) joined() sets {
	s := newSets(len(b.holes))
	for _, pair := range b.meet {
		s.join(pair[0], pair[1])
	}
	return s
}

// together are the holes in groups that meet, whatever their depth.
func (b *board) together() [][]int {
	joined := b.joined()
	members := map[int][]int{}
	for i := range b.holes {
		first := joined.find(i)
		members[first] = append(members[first], i)
	}
	var groups [][]int
	for _, first := range slices.Sorted(maps.Keys(members)) {
		groups = append(groups, members[first])
	}
	return groups
}

// removed is the volume in mm3 that a group of pockets takes out of a layer:
// slice by slice, the area of all that are at least so deep.
func (m *maker) removed(b *board, group []int, l Layer) float64 {
	s := slab{top: l.Top, bottom: l.Top + l.Thickness}
	var depths []units.Length
	for _, i := range group {
		if d := s.depthIn(b.holes[i]); d > 0 && !b.holes[i].outside {
			depths = append(depths, d)
		}
	}
	slices.Sort(depths)
	volume, above := 0.0, units.Length(0)
	for _, d := range slices.Compact(depths) {
		volume += (d - above).MM() * m.area(b, group, s, d)
		above = d
	}
	return volume
}

// area of the group's pockets that are at least so deep in the slab.
func (m *maker) area(b *board, group []int, s slab, depth units.Length) float64 {
	var deep []geometry.Region
	sum := 0.0
	for _, i := range group {
		if h := b.holes[i]; s.depthIn(h) >= depth && !h.outside {
			deep = append(deep, h.Design)
			sum += h.Design.Area()
		}
	}
	if len(deep) == 1 {
		return sum
	}
	whole, err := geometry.Union(m.TolMM, deep...)
	if err != nil {
		return sum // reported where the pockets are joined; overlaps count twice
	}
	return whole.Area()
}
