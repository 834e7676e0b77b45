package plan

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/job"
	"traywright/geometry"
)

// A relief takes foam beyond its pocket, so one is advised only where walls and edges have it to spare: in all of the
// tray, for that is where the key may be written.

// reliefHint says which relief frees round corners of radius r, written there.
func (m *maker) reliefHint(b *board, r float64, where string) string {
	var keys []string
	for i, kind := range []job.Relief{job.Dogbone, job.TBone} {
		if m.roomFor(b, kind) {
			keys = append(keys, []string{"`relief: dogbone`", "`relief: tbone`"}[i])
		}
	}
	if keys != nil {
		return strings.Join(keys, " or ") + ", " + where + ", frees them"
	}
	out := r*(1-math.Sqrt2/2) + 2*reliefPlayMM
	return fmt.Sprintf("`relief: dogbone`, %s, frees them, and takes %s more foam at each corner: make edges thicker than asked for by as much first, and walls by %s", where, m.more(out), m.more(2*out))
}

// roomFor reports whether a tray keeps its walls and edges where all round corners get such a relief.
func (m *maker) roomFor(b *board, kind job.Relief) bool {
	room, known := b.reliefs[kind]
	if !known {
		room = m.findRoom(b, kind)
		if b.reliefs == nil {
			b.reliefs = map[job.Relief]bool{}
		}
		b.reliefs[kind] = room
	}
	return room
}

func (m *maker) findRoom(b *board, kind job.Relief) bool {
	freed := map[*pattern]geometry.Region{}
	var designs []geometry.Region
	for _, h := range b.holes {
		design := h.Design
		if h.cut != nil && h.cut.reached.corners {
			shape, known := freed[h.pattern]
			if !known {
				r := cornerRadius(h.cut.recipes)
				var err error
				if shape, err = relieved(h.bare, sharpCorners(h.bare, r), kind, r, m.TolMM); err != nil {
					return false
				}
				freed[h.pattern] = shape
			}
			if design = shape.Transform(geometry.Translate(h.origin.X, h.origin.Y)); !m.keepsEdge(b, design, b.source.Edge.MM()) {
				return false
			}
		}
		designs = append(designs, design)
	}
	thin, _ := b.gaps(designs, b.source.Wall.MM()-m.slackMM())
	return len(thin) == 0
}
