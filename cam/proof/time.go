package proof

import (
	"math"

	"traywright/cam/proof/read"
	"traywright/profiles"
)

// Time. The standard's machine has no inertia (NISTIR 6556 2.1.2.16), so length
// over feed is a lower bound. A real controller keeps to an acceleration a: each
// move is a trapezoid of speed, from rest to rest at least d/v + v/a seconds,
// or 2 sqrt(d/a) when it never reaches v.
//
// Between two moves it need not stop: it may take the corner as if rounding it
// by at most the junction deviation e. An arc that touches both moves and stays
// within e of the corner has radius r with r = (r + e) sin(t/2), t the inside
// angle of the corner, so
//
//	r = e sin(t/2) / (1 - sin(t/2)),   v = sqrt(a r).
//
// (Derived here; controllers for small machines use the same rule: common
// practice, no source.) Along an arc of radius R the speed is at most sqrt(a R).
// A pass backward and one forward then bound the speed at every corner by what
// can still be braked or has been reached.

// Time is how long a program, or its body alone, takes on a machine, as Run
// measures it, and the lower bound: length over feed. In seconds.
func Time(text []byte, m profiles.Machine) (seconds, lowerBound float64) {
	d := newRun("", text, Setup{Machine: m}, nil)
	d.motions()
	d.measureTime()
	return d.result.Seconds, d.result.LowerBoundSeconds
}

// leg is one move for the clock.
type leg struct {
	length, speed float64 // mm, mm/s wanted
	enter         float64 // most speed at its start, mm/s
	motion        int
}

// measureTime fills in lengths and times. Both are the machine's own: its
// controller knows nothing of a scale, and an arc is one move to it.
func (d *run) measureTime() {
	var legs []leg
	d.took = make([]span, len(d.result.Motions))
	next := 0
	for i, s := range d.trace.Steps {
		if next < len(d.stepOf) && d.stepOf[next] == i {
			legs = d.appendLeg(legs, next)
			next++
			continue
		}
		d.runLegs(legs) // whatever is not a move makes the machine stand
		legs = legs[:0]
		switch s.Action {
		case read.Wait:
			d.result.Seconds += s.Seconds
		case read.Turn:
			d.countTurn(i, s)
		}
	}
	d.runLegs(legs)
	ended := 0.0
	for i := range d.result.Motions {
		ended = max(ended, d.took[i].to) // one that goes nowhere has no time of its own
		d.result.Motions[i].EndS = ended
	}
}

// appendLeg adds a motion, and counts its length.
func (d *run) appendLeg(legs []leg, motion int) []leg {
	m := d.result.Motions[motion]
	length := m.length()
	if length == 0 {
		return legs
	}
	speed := m.Feed / 60
	if m.Rapid {
		d.result.RapidMM += length
		speed = d.setup.Machine.RapidMMPerMin.Value / 60
	} else {
		d.result.CutMM += length
		d.result.LowerBoundSeconds += length / speed
	}
	l := leg{length: length, speed: speed, motion: motion}
	if a := d.acceleration(); m.Arc && a > 0 {
		l.speed = math.Min(l.speed, math.Sqrt(a*m.From.DistanceTo(m.Center)))
	}
	if seconds := d.turnSeconds(motion); seconds > 0 {
		l.speed = math.Min(l.speed, length/seconds)
	}
	if n := len(legs); n > 0 {
		l.enter = d.cornerSpeed(legs[n-1], l)
	}
	return append(legs, l)
}

// acceleration in mm/s2; 0 where it is not known.
func (d *run) acceleration() float64 { return d.setup.Machine.AccelerationMMPerS2.Value }

// cornerSpeed is the most speed between two moves.
func (d *run) cornerSpeed(before, after leg) float64 {
	limit := math.Min(before.speed, after.speed)
	a := d.result.Motions[before.motion].heading(1)
	b := d.result.Motions[after.motion].heading(0)
	// The inside angle t is a half turn less the change of heading, so
	// sin(t/2) = cos(change/2).
	cosine := a[0]*b[0] + a[1]*b[1] + a[2]*b[2]
	half := math.Sqrt(math.Max(0, (1+cosine)/2))
	if half > 1-1e-9 {
		return limit
	}
	r := d.setup.Machine.CornerMM.Value * half / (1 - half)
	return math.Min(limit, math.Sqrt(d.acceleration()*r))
}

// heading is the unit direction at the motion's start (t 0) or end (t 1).
func (m Motion) heading(t float64) [3]float64 {
	flat, rise := m.flatLength(), m.To.Z-m.From.Z
	whole := math.Hypot(flat, rise)
	if whole == 0 {
		return [3]float64{}
	}
	x, y := m.To.X-m.From.X, m.To.Y-m.From.Y
	if m.Arc {
		at := m.From
		if t > 0 {
			at = m.To
		}
		x, y = at.Y-m.Center.Y, m.Center.X-at.X // clockwise
		if m.CCW {
			x, y = -x, -y
		}
	}
	if n := math.Hypot(x, y); n > 0 {
		x, y = x/n*flat, y/n*flat
	}
	return [3]float64{x / whole, y / whole, rise / whole}
}

// runLegs times moves that follow each other without a stop, from rest to rest.
func (d *run) runLegs(legs []leg) {
	a := d.acceleration()
	if a > 0 {
		brake(legs, a)
	}
	for i, l := range legs {
		exit := 0.0
		if i+1 < len(legs) {
			exit = legs[i+1].enter
		}
		d.count(l.motion, l.seconds(exit, a))
	}
}

// brake bounds the speeds at the corners: backward by what can be braked,
// forward by what can be reached. v^2 grows by at most 2 a d.
func brake(legs []leg, a float64) {
	exit := 0.0
	for i := len(legs) - 1; i >= 0; i-- {
		legs[i].enter = math.Min(legs[i].enter, math.Sqrt(exit*exit+2*a*legs[i].length))
		exit = legs[i].enter
	}
	for i := 1; i < len(legs); i++ {
		before := legs[i-1]
		legs[i].enter = math.Min(legs[i].enter, math.Sqrt(before.enter*before.enter+2*a*before.length))
	}
}

// seconds of a leg that is left at a speed, under acceleration a; without one,
// length over speed. A leg whose speed nobody knows takes no time.
func (l leg) seconds(exit, a float64) float64 {
	switch {
	case l.speed <= 0:
		return 0
	case a <= 0:
		return l.length / l.speed
	}
	peak := math.Min(l.speed, math.Sqrt(a*l.length+(l.enter*l.enter+exit*exit)/2))
	up, down := peak-l.enter, peak-exit
	ramps := (peak*peak-l.enter*l.enter)/(2*a) + (peak*peak-exit*exit)/(2*a)
	return (up+down)/a + math.Max(0, l.length-ramps)/peak
}

// count adds a motion's time where it belongs.
func (d *run) count(motion int, seconds float64) {
	m, r := d.result.Motions[motion], &d.result
	d.took[motion] = span{r.Seconds, r.Seconds + seconds}
	r.Seconds += seconds
	if m.On {
		r.OnSeconds += seconds
	}
	switch {
	case m.Rapid:
		r.RapidSeconds += seconds
	case m.To.Z < m.From.Z && m.flatLength() == 0:
		r.PlungeSeconds += seconds
	default:
		r.CutSeconds += seconds
	}
}
