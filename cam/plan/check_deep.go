package plan

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
)

// deepMM is how far below the tray's top a piece may lie in whole layers without a word: more, and it
// turns over on its way, or is fished for. Judged, no source.
const deepMM = 10

// padUnder is how much foam under what is in a pocket brings it up to the tray's top, or as far below that as
// the tray's headroom asks for, where layers are cut whole; 0 where it is high enough. A cutter ends where it does.
func (m *maker) padUnder(b *board, h *hole) float64 {
	if low := h.rest - b.source.Headroom.MM(); m.wholeLayers() && low > deepMM && h.Packed > 0 {
		return low
	}
	return 0
}

// tellDeep notes what lies deep in layers that are cut whole, and what to lay under it.
func (m *maker) tellDeep(b *board) {
	var texts []string
	n := 0
	for _, h := range b.holes {
		if h.Lies.PadMM == 0 {
			continue
		}
		n++
		if text := fmt.Sprintf("%s under %s", m.below(h.Lies.PadMM), h.For); !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	if n > 0 {
		m.log.note(b.at, "lies-deep", fmt.Sprintf("what is in %s lies deep, for whole layers are cut, and there foam is missing: %s", finding.Counted(n, "pocket"), strings.Join(texts, ", ")),
			"lay a piece of foam as thick as that into the pocket first, sliced from its own plug or an offcut; or give the tray thinner layers, of which one ends where the piece does")
	}
}
