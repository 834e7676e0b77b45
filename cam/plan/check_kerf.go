package plan

import (
	"fmt"
	"math"
	"slices"

	"traywright/cam/job"
)

// checkFineness warns of a pocket whose fit is finer than its kerf is known: the
// whole of a kerf's error goes into a pocket's length and width, half of it on
// each side. A fit by name is as fine as half of the way to the foam's next one,
// and a size of the job's own as its play around the piece. Kerfs that were not
// measured have no interval, and are told of elsewhere.
func (m *maker) checkFineness(b *board, h *hole, play float64) {
	if h.cut == nil {
		return
	}
	known := 0.0
	for _, r := range h.cut.recipes {
		known = math.Max(known, r.KerfIntervalMM.Value)
	}
	if known == 0 {
		return
	}
	if h.source.Shape != job.FromPiece {
		if play > m.slackMM() && play < known {
			m.log.warn(h.at, "fit-finer-than-kerf",
				fmt.Sprintf("leaves %s of play around %s, and the kerf is known to %s either way", m.mm(play), h.For, m.mm(known)),
				h.at.wantsFit("leave more play")+", or measure more squares of a coupon")
		}
		return
	}
	name := fitName(b.source, h.source)
	next, step := nextFit(b, name)
	if next != "" && known > step/2 {
		m.log.warn(h.at, "fit-finer-than-kerf",
			fmt.Sprintf("is to fit %s, %s from %s, and the kerf is known to %s either way: it may come out as the other", name, m.mm(step), next, m.mm(known)),
			"measure more squares of a coupon, or try a fit strip before you cut")
	}
}

// nextFit is the foam's fit that is nearest to a named one, and how far.
func nextFit(b *board, name string) (next string, step float64) {
	fits := b.Layers[0].Foam.Fits
	step = math.Inf(1)
	var names []string
	for n := range fits {
		names = append(names, n)
	}
	slices.Sort(names)
	for _, n := range names {
		if d := math.Abs(fits[n].Value - fits[name].Value); n != name && d < step {
			next, step = n, d
		}
	}
	return next, step
}
