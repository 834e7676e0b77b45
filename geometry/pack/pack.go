// Package pack places rectangles into a strip, into bins or onto sheets without overlap. It
// knows nothing of what the rectangles are.
//
// Lengths are whole numbers of any one unit, so that sums are exact and
// "touches" has one meaning. X runs along a bin's length, Y along its width; a
// strip has a length and grows in Y. The lower-left corner of a bin is 0, 0.
//
// The engine places along a skyline (the upper edge of what lies already):
// always into the lowest gap, the rectangle that fits it best, and searches
// over the order in which equally good rectangles are taken. The fit rules
// follow the idea of S. C. H. Leung, D. Zhang, K. M. Sim, "A two-stage
// intelligent search algorithm for the two-dimensional strip packing problem",
// European Journal of Operational Research 215 (2011) 57-69 (from memory).
// Where a packing without waste may exist, an exhaustive search with the same
// skyline looks for it first.
package pack

import (
	"context"
	"errors"
	"fmt"
)

// Item is a rectangle to place.
type Item struct {
	Length, Width int64
	Fixed         bool // may not be turned by a quarter turn
}

// Placement is where an item ended: its lower-left corner, and whether its
// length runs along Y.
type Placement struct {
	Item   int // index into the items
	Bin    int // 0 in a strip
	X, Y   int64
	Turned bool
}

// Options tune a search. The zero value is a quick one.
type Options struct {
	Spacing int64  // least distance between two items
	Margin  int64  // least distance between an item and the rim
	Seed    uint64 // of the search: the same seed gives the same answer
	Parting Parting
	Steps   int // how many rectangles the search may try to place; 0 is a search of about a tenth of a second
	// Densest is the part of equal bins that items, spacing included, may take at most for the search to aim at so few
	// bins; 0 is all of it.
	Densest float64
}

const defaultSteps = 1_000_000

// errTooLarge says that an item fits in no bin, however it is turned.
var errTooLarge = errors.New("an item is larger than the room for it")

var errTaken = errors.New("what is taken of every room leaves none for it")

var errNoRoom = errors.New("nothing is left between its margins")

// maxLength keeps an item's area, spacing included, inside 64 bits.
const maxLength = 1 << 31

// checkItems refuses what the arithmetic cannot hold and what cannot fit.
func checkItems(items []Item, length, width int64, o Options) error {
	if min(o.Spacing, o.Margin) < 0 || max(o.Spacing, o.Margin) > maxLength {
		return fmt.Errorf("spacing and margin must be between 0 and %d", int64(maxLength))
	}
	if min(length, width) <= 2*o.Margin {
		return fmt.Errorf("a room of %d x %d: %w", length, width, errNoRoom)
	}
	most := maxLength - o.Spacing
	for i, it := range items {
		if it.Length <= 0 || it.Width <= 0 || it.Length > most || it.Width > most {
			return fmt.Errorf("item %d: its sides must be between 1 and %d", i, most)
		}
		if !fits(it, length-2*o.Margin, width-2*o.Margin) {
			return fmt.Errorf("item %d, %d x %d: %w", i, it.Length, it.Width, errTooLarge)
		}
	}
	return nil
}

func fits(it Item, length, width int64) bool {
	return it.Length <= length && it.Width <= width ||
		!it.Fixed && it.Width <= length && it.Length <= width
}

// budget counts placements down and notices when the caller gives up.
type budget struct {
	ctx   context.Context
	steps int
}

// spend takes n steps and reports whether any are left.
func (b *budget) spend(n int) bool {
	b.steps -= n
	return b.steps > 0 && b.ctx.Err() == nil
}
