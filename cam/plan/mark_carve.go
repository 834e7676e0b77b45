package plan

import (
	"fmt"

	"traywright/cam/finding"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/profiles"
)

// A round tool of radius r in a letter:
//
//  1. The letter shrunk by r is where the tool's centre may be. Where a joint is
//     narrower than the tool that falls apart; parts no farther from each other
//     than the tool is wide are joined by a straight way. The tool then eats a
//     little of the notch beside the joint, which nobody sees, and no web of foam
//     is left standing in the letter.
//  2. That grown again is what the tool leaves. What is missing may be corners
//     that come out round, no deeper than roundShare of r beyond what r makes of
//     them; if it is more, or if a part has vanished, the letter is too fine. What is drawn may have points
//     that come out round (mark_points.go).

// roundShare is how much of the tool's radius a corner may lose beyond what a
// round tool leaves in it: bridges make slender corners.
const roundShare = 0.6

// carved is a shape as a tool can leave it.
type carved struct {
	shape geometry.Region
	fine  bool           // too fine for the tool: see at
	blunt float64        // how far at most a point ends short, mm; 0 where none does
	at    geometry.Point // where
}

// carve works a shape out for a tool of radius r, piece by piece. Pointed says that its points may come out round.
func (m *maker) carve(shape geometry.Region, r float64, pointed bool) (carved, error) {
	var all carved
	var parts []geometry.Region
	for _, piece := range shape.Pieces() {
		f, err := m.carvePiece(piece, r, pointed)
		if err != nil {
			return all, err
		}
		if f.blunt > all.blunt && !all.fine {
			all.blunt, all.at = f.blunt, f.at
		}
		if f.fine && !all.fine {
			all.fine, all.at = true, f.at
		}
		parts = append(parts, f.shape)
	}
	var err error
	all.shape, err = geometry.Union(m.TolMM, parts...)
	return all, err
}

func (m *maker) carvePiece(piece geometry.Region, r float64, pointed bool) (carved, error) {
	inner, err := geometry.Offset(piece, -r, m.TolMM)
	if err != nil || inner.Empty() {
		return carved{fine: true, at: middle(piece.Bounds())}, err
	}
	piece, at, err := m.joined(piece, inner.Pieces(), r)
	if err != nil || at != nil {
		return failedAt(at), err
	}
	got, err := reach(piece, r, leastRoomMM, m.TolMM)
	if err != nil {
		return carved{}, err
	}
	f := carved{shape: got.shape, at: got.at}
	f.fine = got.over > roundShare*r || len(got.shape.Pieces()) != 1
	if f.fine && pointed && len(got.shape.Pieces()) == 1 {
		f.blunt, f.fine, err = m.bluntBy(piece, got.shape, r)
	}
	return f, err
}

func failedAt(at *geometry.Point) carved {
	if at == nil {
		return carved{fine: true}
	}
	return carved{fine: true, at: *at}
}

// joined adds ways between the parts of a piece's inside; the place is where
// one would be too long.
func (m *maker) joined(piece geometry.Region, parts []geometry.Region, r float64) (geometry.Region, *geometry.Point, error) {
	if len(parts) == 1 {
		return piece, nil, nil
	}
	whole := []geometry.Region{piece}
	for in := 1; in < len(parts); in++ { // the first ones are joined already
		best, next := geometry.Gap{Distance: 2*r + m.slackMM()}, -1
		for _, a := range parts[:in] {
			for j := in; j < len(parts); j++ {
				if g := between(a, parts[j]); g.Distance < best.Distance {
					best, next = g, j
				}
			}
		}
		if next < 0 {
			at := middle(parts[in].Bounds())
			return piece, &at, nil
		}
		parts[in], parts[next] = parts[next], parts[in]
		whole = append(whole, geometry.NewRegion(geometry.Slot(best.OnI, best.OnJ, 2*(r+reliefPlayMM))))
	}
	joined, err := geometry.Union(m.TolMM, whole...)
	return joined, nil, err
}

// between is the least distance between two regions' edges.
func between(a, b geometry.Region) geometry.Gap {
	least := geometry.Gap{Distance: a.Bounds().Union(b.Bounds()).Grow(1).Width() * 4}
	for _, c := range a.Contours() {
		for _, d := range b.Contours() {
			if distance, onA, onB := geometry.Distance(c, d); distance < least.Distance {
				least = geometry.Gap{Distance: distance, OnI: onA, OnJ: onB}
			}
		}
	}
	return least
}

// sizes that are tried for a letter that is too fine, each a little larger than
// the one before.
const (
	sizeStep  = 1.1
	mostSizes = 32
)

// tooFine says which part of a mark is the most too fine for a tool, and at what size no
// part of it would be.
func (m *maker) tooFine(k *mark, line lettering.Line, shape geometry.Region, at geometry.Point, tool profiles.Tool, r float64) *finding.Finding {
	scale, n := 1.0, 0
	for _, piece := range shape.Pieces() {
		for ; n < mostSizes; n++ {
			f, err := m.carvePiece(piece, r/scale, k.label == nil)
			if err == nil && !f.fine {
				break
			}
			if scale *= sizeStep; err == nil {
				at = f.at
			}
		}
	}
	hint := "take a picture with thicker lines and wider gaps, or a thinner tool (`tool:`)"
	switch {
	case n < mostSizes:
		hint = m.larger(k, line, 1/scale)
	case k.label != nil:
		hint = fmt.Sprintf("choose a bolder font or a thinner tool (`tool:`): even %s high it would be too fine", m.above(line.HeightMM*scale))
	}
	return &finding.Finding{Rule: "letter-too-fine", Hint: hint, Message: fmt.Sprintf("has %s too fine near x %s, y %s for the tool %s, which cuts %s wide",
		k.part(line, at), m.mm(at.X), m.mm(at.Y), tool.ID, m.mm(2*r))}
}
