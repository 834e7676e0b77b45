package arrange

import (
	"math"
	"slices"

	"traywright/cam/plan"
)

// ofTray tells whether a planned tray is one of the job's, or a half of it.
func ofTray(t plan.Tray, id string) bool {
	return t.ID == id || t.Half > 0 && (t.ID == id+"-1" || t.ID == id+"-2")
}

// countPinned adds the pinned pockets to what is told of their trays, and a row for each kind of piece in them.
func (r *Result) countPinned(p *plan.Plan) {
	for i := range r.Trays {
		for _, t := range p.Trays {
			if !ofTray(t, r.Trays[i].ID) {
				continue
			}
			for _, k := range t.Pockets {
				if k.Pinned && k.Lies.How != "" {
					r.Trays[i].Pockets++
					r.tellPinned(r.Trays[i].ID, k)
				}
			}
		}
	}
}

// posesTold are the roster's words for how a piece lies, in the table.
var posesTold = map[string]string{plan.AsMeasured: "upright", "on its side": "lying", "on end": "on end"}

// tellPinned counts what is in a pinned pocket with its like in the same tray.
func (r *Result) tellPinned(tray string, k plan.Pocket) {
	exact := func(mm float64) float64 { return math.Round(mm*1e6) / 1e6 } // as the job has it
	row := Kind{
		Piece: k.For, Name: k.Piece, Tray: tray, Pile: 1, Pose: posesTold[k.Lies.How], Shape: k.ShapeName,
		LengthMM: exact(k.Box.Width()), WidthMM: exact(k.Box.Height()), DepthMM: k.Depth.MM(), Why: "pinned: it stays as it is",
	}
	at := slices.IndexFunc(r.Kinds, func(a Kind) bool {
		return a.Piece == row.Piece && a.Tray == tray && a.Why == row.Why && a.Pose == row.Pose && a.Shape == row.Shape && a.LengthMM == row.LengthMM && a.WidthMM == row.WidthMM && a.DepthMM == row.DepthMM
	})
	if at < 0 {
		at = len(r.Kinds)
		r.Kinds = append(r.Kinds, row)
	}
	r.Kinds[at].Count += max(1, k.Packed)
}
