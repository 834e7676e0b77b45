package arrange

import (
	"context"

	"traywright/geometry/pack"
)

// boundOf is a number of rooms that no arrangement of the pockets can do
// without: the bound of the packing engine for single pockets in their smallest
// pose, with walls and edge.
func boundOf(r room, kinds []kind) int {
	var items []pack.Item
	for _, k := range kinds {
		b := k.cells(r.wall, r.step)[0]
		l, w := b.cell()
		for range k.count {
			items = append(items, pack.Item{Length: int64(l), Width: int64(w)})
		}
	}
	result, err := pack.Bins(context.Background(), items, int64(r.length), int64(r.width),
		pack.Options{Spacing: int64(r.wall), Margin: int64(r.edge), Steps: 1})
	if err != nil {
		return 0
	}
	return result.LowerBound
}
