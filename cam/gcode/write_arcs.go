package gcode

import (
	"fmt"
	"math"

	"traywright/cam/process"
	"traywright/geometry"
	"traywright/profiles"
)

// Arcs. A full or nearly full circle whose printed end falls on its printed
// start means a whole turn (NISTIR 6556 3.5.3.2), and a short arc that rounds
// to nothing would mean one as well. So every arc is cut into pieces of at most
// half a turn, whose ends cannot be mistaken, and every piece is checked as it
// is printed: both ends on one circle, and the same angle as was meant. A piece
// that fails is printed as chords, and so is one too small for any machine to turn.

const (
	// arcSlack is the most that the ends of a printed arc may differ in radius, mm:
	// half of what the standard allows, 0.002 mm, and within what each class does.
	arcSlack = 0.001
	// crookedMM is the most that an arc may be wrong before it is printed: what
	// rounding can repair. Beyond it whoever made the arc was wrong.
	crookedMM = 0.002
	// chordMM is how far chords may stray from an arc that cannot be printed as one.
	chordMM = 0.0005
	// leastArcMM is the least radius and the least length of an arc that is printed. A
	// machine of a few hundred steps a millimetre turns no smaller one (judged, no source):
	// it stands there, corner after corner, and a controller of few digits loses its angle.
	leastArcMM = 0.1
	// strayMM is how far straight moves may stray from an arc smaller than that, so that
	// rounding included they stay within 0.002 mm of it.
	strayMM = 0.0015
	// bladeChordMM is how far chords may stray from a blade's arc: each chord of a turn about its tip
	// pushes it to and fro by about so much (derived).
	bladeChordMM = 0.01
	// sameMM is the distance under which an arc's end is its start: a whole turn.
	sameMM = 1e-9
)

// turn is an arc or helix: start angle, signed sweep (counter-clockwise
// positive), the radius at both ends.
type turn struct {
	center       geometry.Point
	start, sweep float64
	r0, r1       float64
	z0, z1       float64
}

func newTurn(from process.Point, move process.Move) (turn, error) {
	a, b := from.Sub(move.Center), move.To.Sub(move.Center)
	t := turn{center: move.Center, start: math.Atan2(a.Y, a.X), r0: a.Norm(), r1: b.Norm(), z0: from.Z, z1: move.To.Z}
	if !(math.Abs(t.r0-t.r1) <= crookedMM) {
		return t, fmt.Errorf("the arc's ends are %v and %v mm from its centre", t.r0, t.r1)
	}
	t.sweep = math.Atan2(a.Cross(b), a.Dot(b))
	if from.DistanceTo(move.To.Point) <= sameMM {
		t.sweep = 0
	}
	switch {
	case move.Kind == process.CCW && t.sweep <= 0:
		t.sweep += 2 * math.Pi
	case move.Kind == process.CW && t.sweep >= 0:
		t.sweep -= 2 * math.Pi
	}
	return t, nil
}

// at is the place a part (0 to 1) of the way along.
func (t turn) at(part float64) process.Point {
	angle, r := t.start+part*t.sweep, t.r0+part*(t.r1-t.r0)
	sin, cos := math.Sincos(angle)
	return process.Point{Point: t.center.Add(geometry.Point{X: r * cos, Y: r * sin}), Z: t.z0 + part*(t.z1-t.z0)}
}

// arc prints an arc or helix from the unrounded place before it.
func (e *emitter) arc(from process.Point, move process.Move) error {
	t, err := newTurn(from, move)
	if err != nil {
		return err
	}
	if e.machine.Controller.Arcs == profiles.Chords {
		return e.chords(t, [2]float64{0, 1}, move, e.machine.Controller.StrayMM())
	}
	pieces := math.Ceil(math.Abs(t.sweep)/math.Pi - 1e-9)
	pieces = max(pieces, 1)
	for i := 1.0; i <= pieces; i++ {
		if err := e.piece(t, (i-1)/pieces, i/pieces, move); err != nil {
			return err
		}
	}
	return nil
}

// piece prints the part of t from a to b, at most half a turn.
func (e *emitter) piece(t turn, a, b float64, move process.Move) error {
	end, err := e.end(t, b, move)
	if err != nil {
		return err
	}
	center, err := e.place(process.Point{Point: t.center})
	if err != nil {
		return err
	}
	sweep := (b - a) * t.sweep
	if e.grid.flat(t.r0, sweep) {
		e.straight(end, b, move.FeedMMPerMin)
		return nil
	}
	tol, round := strayMM, false
	if large(t.r0, sweep) {
		tol = max(chordMM, 0.5/e.grid.perMM)
		center, round = e.grid.repaired(e.at, end, center, sweep)
	}
	if !round {
		part := turn{t.center, t.start + a*t.sweep, sweep, t.r0, t.r1, t.at(a).Z, t.at(b).Z}
		if b < 1 {
			move.To = t.at(b)
		}
		return e.chords(part, [2]float64{a, b}, move, tol)
	}
	word := "G3"
	if move.Kind == process.CW {
		word = "G2"
	}
	height := ""
	if end.z != e.at.z {
		height = " Z" + e.zText(end.z)
	}
	e.line("%s X%s Y%s%s%s I%s J%s%s", word, e.grid.text(end.x), e.grid.text(end.y), height, e.aWord(b),
		e.grid.text(center.x-e.at.x), e.grid.text(center.y-e.at.y), e.feedWord(move.FeedMMPerMin))
	e.at = end
	return nil
}

// end is the printed end of t's part up to b; the last one is the move's own end.
func (e *emitter) end(t turn, b float64, move process.Move) (place, error) {
	if b == 1 {
		return e.place(move.To)
	}
	return e.place(t.at(b))
}

// flat reports whether an arc bulges less than a printed step.
func (g grid) flat(r, sweep float64) bool {
	return r*(1-math.Cos(sweep/2)) < 0.5/g.perMM
}

// Straights is how many straight moves of equal length take the place of an arc that is too
// small for any machine to turn, within 0.0015 mm of it; 0 for one that is turned, and for a line.
func Straights(s geometry.Segment) int {
	if !s.IsArc() || large(s.Radius(), s.Sweep()) {
		return 0
	}
	return int(chordCount(s.Radius(), s.Sweep(), strayMM))
}

// large reports whether an arc is one that machines turn.
func large(r, sweep float64) bool { return r >= leastArcMM && r*math.Abs(sweep) >= leastArcMM }

// searched is how many steps around an arc's centre are looked at for one from which
// both printed ends are as far: with three decimals there is one.
const searched = 3

// repaired is the centre nearest to the one meant with which the arc can be printed;
// false where there is none.
func (g grid) repaired(from, to, center place, sweep float64) (place, bool) {
	if g.printable(from, to, center, sweep) {
		return center, true
	}
	best, least := center, int64(math.MaxInt64)
	for dx := int64(-searched); dx <= searched; dx++ {
		for dy := int64(-searched); dy <= searched; dy++ {
			try := place{center.x + dx, center.y + dy, center.z}
			if off := dx*dx + dy*dy; off < least && g.printable(from, to, try, sweep) {
				best, least = try, off
			}
		}
	}
	return best, least < math.MaxInt64
}

// printable checks a printed arc of at most half a turn the way a controller
// will: its radius at both ends, that it turns through the angle meant, and that
// it is still large.
func (g grid) printable(from, to, center place, sweep float64) bool {
	ax, ay := float64(from.x-center.x)/g.perMM, float64(from.y-center.y)/g.perMM
	bx, by := float64(to.x-center.x)/g.perMM, float64(to.y-center.y)/g.perMM
	ra, rb := math.Hypot(ax, ay), math.Hypot(bx, by)
	if math.Abs(ra-rb) > arcSlack || from.x == to.x && from.y == to.y || ra == 0 {
		return false
	}
	angle := math.Atan2(ax*by-ay*bx, ax*bx+ay*by)
	if angle*sweep < 0 {
		angle += math.Copysign(2*math.Pi, sweep)
	}
	return large(min(ra, rb), angle) && math.Abs(angle-sweep)*ra <= max(arcSlack, 2*math.Sqrt2*searched/g.perMM)
}

// chords prints t, which is so much of the move's way, as straight lines that stray from it by at
// most tol mm: each spans an angle of 2 acos(1 - tol/r).
func (e *emitter) chords(t turn, of [2]float64, move process.Move, tol float64) error {
	if !(tol > 0) {
		return fmt.Errorf("machine %s cuts no arcs and names no chord error", e.machine.ID)
	}
	count := chordCount(t.r0, t.sweep, tol)
	for i := 1.0; i <= count; i++ {
		to, err := e.end(t, i/count, move)
		if err != nil {
			return err
		}
		e.straight(to, of[0]+(of[1]-of[0])*i/count, move.FeedMMPerMin)
	}
	return nil
}

// chordCount is the fewest equal chords of an arc that stray by at most tol mm.
func chordCount(r, sweep, tol float64) float64 {
	if r <= tol {
		return 4
	}
	return max(1, math.Ceil(math.Abs(sweep)/(2*math.Acos(1-tol/r))-1e-9))
}
