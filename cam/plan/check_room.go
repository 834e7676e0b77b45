package plan

import (
	"fmt"
	"math"
)

// How far foam is pressed as a tray goes into its case (all judged, no source: foam springs and folds as it likes): by its ease on
// each side, of which the share is what both sides take of the shorter one, and at a corner that is sharper than the case's by more.
const (
	usualEaseMM, mostEaseMM       = 3, 10
	usualEaseShare, mostEaseShare = 0.05, 0.15
	usualCornerMM, mostCornerMM   = 1, 4 // beyond the ease
)

// checkRoom refuses a tray that no hand presses into its case, and warns of one that hardly goes in.
func (m *maker) checkRoom(b *board) {
	m.checkEase(b)
	m.checkRounding(b)
}

func (m *maker) checkEase(b *board) {
	ease, short := b.source.Ease.MM(), math.Min(b.Length.MM(), b.Width.MM())
	usual := math.Min(usualEaseMM, usualEaseShare*short/2)
	message := fmt.Sprintf("has an ease of %s: its foam is %s longer and wider than its place, which is %s at its shorter side", m.length(b.source.Ease), m.mm(2*ease), m.mm(short))
	hint := fmt.Sprintf("write an `ease` of at most %s", m.most(usual))
	switch {
	case ease > math.Min(mostEaseMM, mostEaseShare*short/2)+m.slackMM():
		m.log.fail(b.at, "ease-too-large", message+", and no foam is pressed so far (judged, no source)", hint)
	case ease > usual+m.slackMM():
		m.log.warn(b.at, "ease-large", message+", and foam that is pressed so far bulges (judged, no source)", hint+", or try it with a scrap first")
	}
}

// checkRounding holds the tray's corner against the case's.
func (m *maker) checkRounding(b *board) {
	rounding, corner, ease := b.source.Rounding.MM(), b.source.Corner.MM(), b.source.Ease.MM()
	more := beyondRounding(rounding, corner, ease)
	if more <= usualCornerMM+m.slackMM() {
		return
	}
	message := fmt.Sprintf("has corners of radius %s, and its case of %s: with its ease each stands %s into the case's rounding, %s more than the ease at its sides",
		m.length(b.source.Corner), m.length(b.source.Rounding), m.mm(ease+more), m.mm(more))
	hint := fmt.Sprintf("take its `corner` out, here or under `tray_defaults`: then it comes from the case; or write `corner: %s`", b.source.Rounding.Exact(m.unit))
	if more > mostCornerMM+m.slackMM() {
		m.log.fail(b.at, "corner-too-sharp", message+", and no foam is pressed so far (judged, no source)", hint)
		return
	}
	m.log.warn(b.at, "corner-sharp", message+"; foam gives a little (judged, no source)", hint)
}

// beyondRounding is how much farther a tray's corner stands into its case's rounding than its sides into the case's, mm, along
// the line that halves the corner: the foam's corner is ease larger, and a sharp one stays sharp.
func beyondRounding(rounding, corner, ease float64) float64 {
	switch {
	case rounding <= corner:
		return 0
	case corner == 0:
		return (math.Sqrt2 - 1) * (rounding + ease)
	}
	return (math.Sqrt2 - 1) * (rounding - corner)
}
