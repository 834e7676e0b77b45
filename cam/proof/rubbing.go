package proof

import (
	"math"
	"slices"
)

// A cutter that turns in foam that is gone already rubs on what stands beside it: it cuts
// nothing, and melts it.

const (
	// rubsMM of foam or less is no cut.
	rubsMM = 0.1
	// rubShare of the time in which a program cuts, and rubS, is what links, closing laps and
	// ways over what is cleared take at the most (judged, no source; a fifth was seen).
	rubShare, rubS = 0.5, 10
	// againS on end is what a pocket takes that is milled a second time (judged, no source; 7 s
	// were seen of a finishing lap).
	againS = 15
)

// judgeRubbing finds a program that goes on and on in the foam without cutting any: took is
// the sweeps that did.
func (d *run) judgeRubbing(took []bool) {
	if !d.turning || !d.ours && d.want == nil {
		return
	}
	cuts := d.cutting(took)
	d.tellAgain(cuts)
	d.judgeStays(cuts)
	d.judgeTurned(cuts)
	cutting, idle := 0.0, 0.0
	for m, cuts := range cuts {
		if cuts {
			cutting += d.took[m].to - d.took[m].from
		}
	}
	last := -1
	for i := range d.sweeps {
		m := d.sweeps[i].motion
		if m <= last || cuts[m] {
			continue
		}
		last = m
		if idle += d.took[m].to - d.took[m].from; idle > rubShare*cutting+rubS {
			d.wrong(d.lineOf(m), "rubs", "by this line the cutter has turned in the foam for %v s without cutting any, and cuts for %v s in all: it rubs, and melts what stands beside it", number(idle), number(cutting)).
				hint("take out the laps over what is cut already")
			return
		}
	}
}

// tellAgain warns of a program that goes on end, whatever it lifts between, where all is cut.
func (d *run) tellAgain(cuts []bool) {
	onEnd, last := 0.0, -1
	for i := range d.sweeps {
		m := d.sweeps[i].motion
		if m <= last { // of an earlier program, or told of
			continue
		}
		if last = m; cuts[m] {
			onEnd = 0
		}
		if !cuts[m] {
			onEnd += d.took[m].to - d.took[m].from
		}
		if onEnd > againS {
			d.warn(d.lineOf(m), "cuts-again", "by this line the cutter has gone for %v s on end where all is cut: it rubs on what stands beside it", number(math.Round(onEnd))).
				hint("look whether an operation stands in the program twice, and take the second one out")
			return
		}
	}
}

// cutting is which motions cut. Of what goes on in steps shorter than two cells, each may pass
// between the middles of cells: those that together are as long cut if one of them does.
func (d *run) cutting(took []bool) []bool {
	cuts := make([]bool, len(d.result.Motions))
	for i, took := range took {
		if m := d.sweeps[i].motion; m >= 0 && took {
			cuts[m] = true
		}
	}
	long := 2 * d.result.Field.CellMM
	step := func(m int) float64 { return d.result.Motions[m].length() }
	for from := 0; from < len(cuts); {
		end := from + 1
		for way := step(from); end < len(cuts) && way < long && step(end) < long; end++ {
			way += step(end)
		}
		if slices.Contains(cuts[from:end], true) {
			for m := from; m < end; m++ {
				cuts[m] = true
			}
		}
		from = end
	}
	return cuts
}
