package proof

import (
	"traywright/cam/proof/read"
)

// What a cutter does close above the foam. A sheet is never flat to a millimetre: foam
// bulges between clamps and stands up beside a cut, and what turns there grabs it.

// leastAboveMM is how high a cutter stays above the foam wherever it is not at work in
// it (common practice, no source).
const leastAboveMM = 1

// height says how high a place is.
func (d *run) height(z float64) string {
	switch {
	case z < -slackMM:
		return d.say("%v below the foam's top", length(-z))
	case z <= slackMM:
		return "the foam's top"
	}
	return d.say("%v above the foam", length(z))
}

// checkSpinUp finds a spindle that is started with its tool on the foam or in it.
func (d *run) checkSpinUp() {
	spun := read.Off
	for _, s := range d.trace.Steps {
		starts := s.Action == read.Switch && spun == read.Off && s.Spin != read.Off
		if starts && s.Unknown&read.AxisZ == 0 && s.From.Z-d.top < leastAboveMM-slackMM {
			d.strictly(s.Line, "spin-up-low", "the spindle is started with the tool at %v", d.height(s.From.Z-d.top)).hint("lift it to %v or more before M3", d.height(leastAboveMM))
		}
		spun = s.Spin
	}
}
