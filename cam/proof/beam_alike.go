package proof

import (
	"math"

	"traywright/cam/proof/read"
)

// downMM is how far a cutter goes down while it turns, at least, before it has cut
// anything worth a program.
const downMM = 0.2

// slowestSpindle is an S word that is no spindle's speed in foam but a power: the
// scales that controllers have of it end at 255 or 1000 (common practice).
const slowestSpindle = 1000

// Alike is what a program's own words say of the machine that it drives.
type Alike struct {
	NeverDown bool // it cuts with something switched on, and never goes down meanwhile: a beam, or a wire
	Powers    bool // what is switched on has S words of a power, not of a speed
	Turns     bool // what is switched on goes down, with S words of a speed: a cutter
	HotRapids bool // it stays on in a rapid across the foam, as a wire does and a beam must not
}

// alikeOf looks at a program's steps for that, whoever wrote it and whatever its header
// says.
func alikeOf(steps []read.Step) Alike {
	on, down, rapids, most := false, false, false, 0.0
	for i := range steps {
		s := &steps[i]
		if !s.Action.Moves() || s.Spin == read.Off {
			continue
		}
		on = on || s.Action != read.Traverse
		rapids = rapids || s.Action == read.Traverse && s.S > 0 && s.From.XY() != s.To.XY()
		from := s.From.Z
		if s.Unknown&read.AxisZ != 0 {
			from = 0 // it has not said, and goes down if it goes below its zero
		}
		down = down || from-s.To.Z >= downMM
		most = math.Max(most, s.S)
	}
	return Alike{NeverDown: on && !down, Powers: on && most <= slowestSpindle, Turns: on && down && most > slowestSpindle, HotRapids: on && rapids}
}
