package arrange

import (
	"fmt"
	"slices"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
)

// piled are pockets as they are for so many of their piece on each other.
func piled(needs []plan.Need, pile int) []plan.Need {
	list := slices.Clone(needs)
	for i := range list {
		list[i] = list[i].Piled(pile)
	}
	return list
}

// piles are the kinds of pocket that so many pieces of a kind take: whole piles, and a lower one for what is left
// over; without piles it is one pocket for each. None where it has no pockets.
func (k kind) piles(pieces int) (list []kind) {
	if len(k.needs) == 0 {
		return nil
	}
	pile := k.needs[0].Pieces()
	if k.count = pieces / pile; k.count > 0 {
		list = append(list, k)
	}
	if rest := pieces % pile; rest > 0 {
		k.needs, k.count = piled(k.needs, rest), 1
		list = append(list, k)
	}
	return list
}

// pieces is how many go into all pockets of a kind.
func (k kind) pieces() int { return k.count * k.needs[0].Pieces() }

// pieces is how many go into all its pockets.
func (b block) pieces() int { return b.count * b.need.Pieces() }

// is reports whether a block is of a kind: of its piece, in piles as high.
func (b block) is(k kind) bool {
	return b.piece.ID == k.piece.ID && b.need.Pieces() == k.needs[0].Pieces()
}

// countedOf says how many pieces of which there are, each piece once.
func countedOf(kinds []kind) (list []string) {
	count := map[string]int{}
	for _, k := range kinds {
		count[k.piece.ID] += k.pieces()
	}
	for _, k := range kinds {
		if n := count[k.piece.ID]; n > 0 {
			list = append(list, fmt.Sprintf("%d of %s", n, k.piece.ID))
			count[k.piece.ID] = 0
		}
	}
	return list
}

// named is a piece, or its pile, as a message has it.
func named(p *job.Piece, n plan.Need) string {
	if n.Pile > 1 {
		return fmt.Sprintf("piece %s, in a pile of %d,", p.ID, n.Pile)
	}
	return "piece " + p.ID
}

// lowerPile says which lower pile goes into a depth where a pocket's does not; nothing where none does.
func (m *maker) lowerPile(p *job.Piece, n plan.Need, depth units.Length) string {
	pile := n.Pieces() - 1
	for pile > 0 && n.Piled(pile).Depth > depth {
		pile--
	}
	if pile == 0 {
		return ""
	}
	return fmt.Sprintf("; or write `pile: %d` for %s in the roster", pile, p.ID)
}
