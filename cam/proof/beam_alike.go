package proof

import (
	"math"

	"traywright/cam/proof/read"
	"traywright/profiles"
)

// downMM is how far a cutter goes down while it turns, at least, before it has cut
// anything worth a program.
const downMM = 0.2

// shallowMM is how far below its zero a program goes at least that nobody has to ask what
// cuts it: a beam's program can dip that far, and a router's only engraves.
const shallowMM = 1

// Alike is what a program's own words say of the machine that it drives.
type Alike struct {
	NeverDown bool    // it cuts with something switched on, and never goes down meanwhile: a beam, or a wire
	Shallow   bool    // it goes down meanwhile, and less than a beam might for its focus
	Powers    bool    // what is switched on has S words of a power, not of a speed, or none
	Turns     bool    // what is switched on goes down, with S words of a speed: a cutter
	HotRapids bool    // it stays on from its first cut to its last, and goes in rapids meanwhile: a wire does, and a beam must not
	MostS     float64 // the greatest S word with which something is switched on
}

// alikeOf looks at a program's steps for that, whoever wrote it and whatever its header
// says. That a header has Z0 on the bed and the foam's top so high, mm, is believed where
// the program goes at least shallowMM up and down.
func alikeOf(steps []read.Step, top float64) Alike {
	on, deepest, lowest, highest, most, mostS := false, 0.0, math.Inf(1), math.Inf(-1), 0.0, 0.0
	for i := range steps {
		s := &steps[i]
		if s.Spin == read.Off {
			continue
		}
		if mostS = math.Max(mostS, s.S); !s.Action.Moves() {
			continue
		}
		on = on || s.Action != read.Traverse
		from := s.From.Z
		if s.Unknown&read.AxisZ != 0 {
			from = 0 // it has not said, and goes down if it goes below its zero
		}
		lowest, highest = math.Min(lowest, s.To.Z), math.Max(highest, s.To.Z)
		deepest, most = math.Max(deepest, from-s.To.Z), math.Max(most, s.S)
	}
	if highest-lowest < shallowMM {
		top = 0
	}
	down := deepest >= downMM
	return Alike{
		NeverDown: on && !down, Shallow: on && down && top-lowest < shallowMM, Powers: on && most <= profiles.MostPowerScale,
		Turns: on && down && most > profiles.MostPowerScale, HotRapids: on && hotRapids(steps), MostS: mostS,
	}
}

// hotRapids reports whether what is switched on stays so between all cuts, in one rapid
// at least.
func hotRapids(steps []read.Step) bool {
	cut, dark, rapids := false, false, false
	pending := false // rapids since the last cut
	for i := range steps {
		s := &steps[i]
		hot := s.Spin != read.Off && s.S > 0
		switch {
		case !hot:
			dark = cut
		case s.Action == read.Traverse:
			pending = pending || cut && s.From.XY() != s.To.XY()
		case s.Action.Moves() && dark:
			return false
		case s.Action.Moves():
			cut, rapids, pending = true, rapids || pending, false
		}
	}
	return rapids
}
