package proof

import (
	"math"

	"traywright/cam/proof/read"
	"traywright/geometry"
)

const (
	// ourSpinUpS is how long a program of ours waits for its spindle, where no profile says.
	ourSpinUpS = 3
	// standsS is how long a turning cutter may stand in one place in the foam, and standsInAllS
	// in all places of a program of ours or of a job, which has no waits there.
	standsS      = 0.5
	standsInAllS = 5
)

// turning is what a spindle has done so far.
type turning struct {
	on     bool
	speed  float64        // that it has been given time for
	waited float64        // s since it was given its speed; +Inf once it has cut
	stood  float64        // s in one place in the foam
	at     geometry.Point // where that is
	inAll  float64        // s in the foam
}

// checkSpindle: it turns to the right, has run up to its speed before it cuts, and is not
// left standing in the foam.
func (d *run) checkSpindle() {
	if !d.turning {
		return
	}
	now := turning{waited: math.Inf(1)}
	for i, s := range d.trace.Steps {
		now.turns(s)
		below := s.Unknown&read.AxisZ == 0 && d.above(s.From.Z) < -slackMM
		switch {
		case s.Action == read.Wait:
			now.waited += s.Seconds
			if now.on && below {
				d.checkStood(&now, s)
			}
		case s.Action.Moves() && s.Action != read.Traverse && now.on && d.above(s.To.Z) < -slackMM:
			d.checkTurning(i, now.waited)
			now.waited = math.Inf(1)
		}
	}
}

// turns takes in what a step says of the spindle. A speed that it has not had time for is no
// speed that it has: up by more than what nobody holds against a program, it runs up again.
func (now *turning) turns(s read.Step) {
	on := s.Spin != read.Off && s.S > 0
	switch {
	case !on:
		now.speed = 0
	case !now.on || s.S > now.speed*(1+rounded):
		now.waited, now.speed = 0, s.S
	default:
		now.speed = math.Min(now.speed, s.S)
	}
	now.on = on
}

// checkStood adds a wait in the foam: many short ones in one place are a long one.
func (d *run) checkStood(now *turning, s read.Step) {
	at := s.From.XY()
	if width, _ := d.width(s.Tool); at.DistanceTo(now.at) > width {
		now.stood, now.at = 0, at
	}
	before := now.inAll
	now.stood, now.inAll = now.stood+s.Seconds, now.inAll+s.Seconds
	switch {
	case now.stood > standsS:
		d.strictly(s.Line, "stands-in-foam", "the tool turns in one place in the foam for %v s, and melts it", number(now.stood)).hint("lift it before the wait, or take the wait out")
		now.stood = 0
	case now.inAll > standsInAllS && before <= standsInAllS && (d.ours || d.want != nil):
		d.wrong(s.Line, "stands-in-foam", "by this line the tool has stood turning in the foam for %v s, and melts it", number(now.inAll)).hint("take the waits in the foam out")
	}
}

// checkTurning looks at the spindle at a step that cuts, so many seconds after it
// was switched on; +Inf for one that has cut before.
func (d *run) checkTurning(step int, waited float64) {
	s := d.trace.Steps[step]
	if s.Spin == read.Counterclockwise && d.setup.Machine.ID != "" && !d.backwards {
		d.backwards = true
		d.wrong(s.Line, "spindle-backwards", "the spindle turns to the left, and cutters cut to the right").hint("write M3 for M4")
	}
	need := d.setup.SpinUpSeconds
	if need == 0 && d.ours {
		need = ourSpinUpS
		if c := d.setup.Machine.Controller; c.Class != "" {
			need = c.SpinUpS
		}
	}
	if waited < need/exactly {
		d.wrong(s.Line, "no-spin-up", "cuts %v s after the spindle was switched on, which takes %v s to run up", number(waited), number(need)).hint("write %v behind M3, on a line of its own", d.waitWord(need))
	}
}
