package profiles

import "traywright/profiles/strict"

// How a cutter's laps along a wall go is said in words. They are the recipe's own, as its
// numbers are, and have its source.

// Direction is which way round laps go; "" is Climb.
type Direction string

const (
	Climb        Direction = "climb"        // each tooth meets the wall at full chip and leaves it at none
	Conventional Direction = "conventional" // each tooth meets it at none
)

// WallLap is how often the lap goes that finishes a pocket's wall; "" is LapEachLevel.
type WallLap string

const (
	LapEachLevel WallLap = "levels" // at every level
	LapOnce      WallLap = "once"   // at full depth, when all levels are cleared
)

// lapWord is one of those words: its key in the file, what it may be, the default first, and
// where it is kept.
type lapWord struct {
	key   string
	words []string
	in    func(*Recipe) *string
	means string
}

var lapWords = []lapWord{
	{"cut_direction", []string{string(Climb), string(Conventional)}, func(r *Recipe) *string { return (*string)(&r.CutDirection) },
		"of a cutter's laps, round pockets, grooves and outlines: `climb` has the wall on their right under a spindle that turns to the right, so that each tooth meets it at full chip; `conventional` on their left. In a glued block the top layer's word counts"},
	{"wall_lap", []string{string(LapEachLevel), string(LapOnce)}, func(r *Recipe) *string { return (*string)(&r.WallLap) },
		"of a cutter, along a pocket's wall: `levels` is a lap at each level; `once` is one at full depth, after all levels, which leaves a wall without steps. Only where the edges reach so deep and `finish_mm` is all that it takes, no more at once than a pass of clearing does, in its inside corners too, and the foam beside it is thick enough to stand; else each level has its lap, and `check` says why"},
}

// lapRows are the words as keys of a file.
func lapRows() []strict.Row {
	list := make([]strict.Row, len(lapWords))
	for i, w := range lapWords {
		list[i] = strict.Row{Key: w.key, Form: strict.OneOf(w.words...), Default: w.words[0], Means: w.means}
	}
	return list
}

// takeLaps reads the words of a recipe that are there.
func takeLaps(m strict.Map, into *Recipe) {
	for _, w := range lapWords {
		if v := m.Get(w.key); v.Present() {
			*w.in(into) = v.OneOf(w.words...)
		}
	}
}

// Laps are the words that the recipe has, each behind its key.
func (r Recipe) Laps() (list [][2]string) {
	for _, w := range lapWords {
		if word := *w.in(&r); word != "" {
			list = append(list, [2]string{w.key, word})
		}
	}
	return list
}

// lapFaults are the words of a recipe whose process has no use for them.
func (r Recipe) lapFaults(p Process) (faults []string) {
	for _, word := range r.Laps() {
		if p != Router {
			faults = append(faults, "a recipe with "+word[0]+" is a router's, and the machine says "+string(p))
		}
	}
	return faults
}

// laps writes the words that a recipe has.
func (w *profileText) laps(indent int, r Recipe) {
	for _, word := range r.Laps() {
		w.line(indent, word[0]+": "+word[1])
	}
}
