package gcode

import (
	"errors"
	"fmt"
	"math"

	"traywright/cam/process"
	"traywright/profiles"
)

// moves prints an operation's moves. It begins with a rapid, so where the
// machine was before does not matter.
func (e *emitter) moves(moves []process.Move) error {
	if moves[0].Kind != process.Rapid {
		return errors.New("does not begin with a rapid")
	}
	from, heading := moves[0].To, moves[0].Heading
	for i, move := range moves {
		e.blade.from, e.blade.to = e.degrees(heading), e.degrees(move.Heading)
		heading = move.Heading
		if err := e.move(from, move); err != nil {
			return fmt.Errorf("move %d: %w", i+1, err)
		}
		from = move.To
	}
	return nil
}

func (e *emitter) move(from process.Point, move process.Move) error {
	to, err := e.place(move.To)
	if err != nil {
		return err
	}
	if move.Kind == process.Rapid {
		e.rapid(to)
		e.dwell(move.WaitS)
		return nil
	}
	if err := e.ready(move); err != nil {
		return err
	}
	if move.Kind == process.Line {
		e.straight(to, 1, move.FeedMMPerMin)
		return nil
	}
	return e.arc(from, move)
}

// place is p on the grid of printed numbers.
func (e *emitter) place(p process.Point) (place, error) {
	x, errX := e.grid.onGrid(p.X)
	y, errY := e.grid.onGrid(p.Y)
	z, errZ := e.grid.onGrid(p.Z + e.shift)
	if e.noZ {
		z = 0
	}
	return place{x, y, z}, errors.Join(errX, errY, errZ)
}

// ready checks a cutting move's feed and sets the beam's power for it.
func (e *emitter) ready(move process.Move) error {
	if !(move.FeedMMPerMin > 0) || math.IsInf(move.FeedMMPerMin, 0) || short(move.FeedMMPerMin/e.grid.unitMM) == "0" {
		return fmt.Errorf("a feed of %v mm/min cannot cut", move.FeedMMPerMin)
	}
	if !e.beam {
		return nil
	}
	return e.light(move.PowerPercent)
}

// light sets the beam to a part of full power, 0 to 100 per cent.
func (e *emitter) light(percent float64) error {
	if !(percent >= 0 && percent <= 100) {
		return fmt.Errorf("a power of %v %% is not between 0 and 100", percent)
	}
	c := e.machine.Controller
	if !(c.PowerScale > 0) || math.IsInf(c.PowerScale, 0) {
		return fmt.Errorf("machine %s has no power scale", e.machine.ID)
	}
	if percent > 0 && c.Written(percent) < c.LeastPowerPercent*(1-1e-9) {
		return fmt.Errorf("a power of %v %% is less than the %v %% at which the beam of %s burns steadily", percent, c.LeastPowerPercent, e.machine.ID)
	}
	s := short(c.Written(percent) / 100 * c.PowerScale)
	switch {
	case s == "0" && percent > 0:
		return fmt.Errorf("a power of %v %% is nothing on a scale of %v", percent, c.PowerScale)
	case s == "0" && e.speed != "":
		e.off()
	case s == "0" || s == e.speed:
	case c.SpindleWords == profiles.Ordered || e.speed == "":
		e.line("%s S%s", c.LaserOn, s)
		e.speed = s
	default:
		e.line("S%s", s)
		e.speed = s
	}
	return nil
}

// rapid goes to a place without cutting. A rapid's axes need not arrive
// together (NISTIR 6556 3.5.1 leaves the way there to the machine), so height
// and plane are never moved at once: up first, or down last.
func (e *emitter) rapid(to place) {
	if e.beam && e.speed != "" {
		e.off()
	}
	if to.z > e.at.z || e.beam && !e.knownXY && !e.noZ {
		e.goTo(" Z" + e.zText(to.z))
		e.at.z = to.z
	}
	if words := e.planeWords(to) + e.aWord(1); words != "" {
		e.goTo(words)
	}
	if to.z < e.at.z {
		e.goTo(" Z" + e.zText(to.z))
	}
	e.at, e.knownXY = to, true
}

// goTo is a rapid. Printer-style firmware runs it at the last feed, so it gets one of its own.
func (e *emitter) goTo(words string) {
	if e.machine.Controller.Class == profiles.Printer {
		words += e.feedWord(e.machine.RapidMMPerMin.Value)
	}
	e.line("G0%s", words)
}

// planeWords is the X and Y words that change.
func (e *emitter) planeWords(to place) string {
	words := ""
	if !e.knownXY || to.x != e.at.x {
		words += " X" + e.grid.text(to.x)
	}
	if !e.knownXY || to.y != e.at.y {
		words += " Y" + e.grid.text(to.y)
	}
	return words
}

// straight cuts to a place, which is a share of the move's way along. A move that rounds to nothing
// is left out.
func (e *emitter) straight(to place, share, feed float64) {
	words := e.planeWords(to)
	if to.z != e.at.z {
		words += " Z" + e.zText(to.z)
	}
	if words == "" {
		e.turnTo(share, feed)
		return
	}
	e.line("G1%s%s%s", words, e.aWord(share), e.feedWord(feed))
	e.at = to
}

// feedWord is the F word, where the feed changes.
func (e *emitter) feedWord(feed float64) string {
	f := short(feed / e.grid.unitMM)
	if f == e.feed {
		return ""
	}
	e.feed = f
	return " F" + f
}
