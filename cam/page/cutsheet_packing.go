package page

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"traywright/cam/plan"
)

// packingRow is a piece of a tray's packing list, and how it lies; one that lies in two ways has two.
type packingRow struct {
	id, lies       string
	Piece          string
	Count, pockets int
}

// packing counts the pieces that go into each tray, by its id. A pocket for
// something that the roster does not have counts as one; an opening beside pockets holds nothing.
func (c CutSheet) packing() map[string][]packingRow {
	packed := map[string][]packingRow{}
	for _, t := range c.Plan.Trays {
		var rows []packingRow
		for i := range t.Pockets {
			k := &t.Pockets[i]
			if k.Dowel > 0 || k.Opening {
				continue
			}
			lies := c.lies(k)
			at := slices.IndexFunc(rows, func(r packingRow) bool { return r.id == k.For && r.lies == lies })
			if at < 0 {
				at = len(rows)
				rows = append(rows, packingRow{id: k.For, lies: lies, Piece: k.Piece})
			}
			rows[at].Count += k.Packed
			rows[at].pockets++
		}
		for i := range rows {
			c.namePacked(&rows[i])
		}
		packed[t.ID] = slices.DeleteFunc(rows, func(r packingRow) bool { return r.Count == 0 })
	}
	return packed
}

// namePacked says how the pieces of a row are spread over pockets, and how they lie.
func (c CutSheet) namePacked(row *packingRow) {
	if _, known := c.pieceOf(plan.Pocket{For: row.id}); !known {
		row.Count = row.pockets
	}
	row.Piece = cmp.Or(c.letters.name(&plan.Pocket{Piece: row.Piece, For: row.id}), "(no name)")
	if id := apart(row.id); id != "" && row.Piece != id {
		row.Piece += " · " + id // as pictures and programs call it
	}
	switch {
	case row.Count == row.pockets:
	case row.pockets == 1:
		row.Piece += ", in one pocket"
	default:
		row.Piece += fmt.Sprintf(", in %d pockets", row.pockets)
	}
	if row.lies != "" {
		row.Piece += ": " + row.lies
	}
}

// outMM is how far a piece stands out of its pocket before a word is made of it, for foam above it gives that much.
const outMM = 0.5

// lies is how a piece lies in its pocket and how it is taken out, in few words; "" for what is on no roster.
func (c CutSheet) lies(k *plan.Pocket) string {
	if k.Lies.How == "" {
		return ""
	}
	parts := []string{fmt.Sprintf("%s, %s high", k.Lies.How, c.length(k.Lies.HighMM))}
	if k.Lies.PadMM > 0 {
		parts = append(parts, "on foam "+c.length(k.Lies.PadMM)+" thick")
	}
	if k.Lies.OutMM > outMM {
		parts = append(parts, "stands out "+c.length(k.Lies.OutMM))
	}
	switch k.Access {
	case "notch":
		parts = append(parts, "out by the notch")
	case "gap":
		parts = append(parts, "out by the opening")
	case "none":
		parts = append(parts, "out by its top")
	}
	return strings.Join(parts, ", ")
}
