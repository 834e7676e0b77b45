package arrange

import (
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// turnPlaced is a job whose own pockets that may be turned have a turn: the first, in steps from 0, at which the plan of their
// tray finds least wrong with it. One that is right as it lies stays so.
func turnPlaced(in Input) *job.Job {
	j := in.Job
	if !slices.ContainsFunc(j.Trays, job.Tray.Turnable) {
		return j
	}
	out := *j
	out.Trays = slices.Clone(j.Trays)
	for i := range out.Trays {
		t := &out.Trays[i]
		t.Pockets = slices.Clone(t.Pockets)
		for k := range t.Pockets {
			p := &t.Pockets[k]
			if !p.AnyTurn {
				continue
			}
			p.AnyTurn = false
			best, least := 0.0, [2]int{}
			for turn := 0; turn < 360; turn += job.TurnStep {
				p.Turn = float64(turn)
				if wrong := in.wrongIn(*t, out); turn == 0 || slices.Compare(wrong[:], least[:]) < 0 {
					best, least = p.Turn, wrong
				}
				if least == [2]int{} {
					break
				}
			}
			p.Turn = best
		}
	}
	return &out
}

// wrongIn counts the errors and the warnings that the plan has of a tray by itself.
func (in Input) wrongIn(t job.Tray, j job.Job) (wrong [2]int) {
	t.Holds = nil
	j.Trays, j.Cases = []job.Tray{t}, nil
	_, found := in.planFound(&j)
	for _, f := range found {
		switch f.Severity {
		case finding.Error:
			wrong[0]++
		case finding.Warning:
			wrong[1]++
		}
	}
	return wrong
}

// takeTurns gives the pockets of a job those turns that its arrangement chose for them.
func takeTurns(t *job.Tray, chosen job.Tray) {
	if !t.Turnable() || len(chosen.Pockets) < len(t.Pockets) {
		return
	}
	t.Pockets = slices.Clone(t.Pockets)
	for k := range t.Pockets {
		if p := &t.Pockets[k]; p.AnyTurn {
			p.Turn, p.AnyTurn = chosen.Pockets[k].Turn, false
		}
	}
}
