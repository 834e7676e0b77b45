package gcode

import (
	"fmt"
	"math"

	"traywright/cam/process"
	"traywright/profiles"
)

// A blade that is turned along its way gets its heading in A words: degrees, 0 along X, counted the
// way that the machine's axis counts. On an arc the axis turns evenly with it. A line with A alone
// turns the blade in its place, and F counts degrees a minute there (NISTIR 6556 2.1.2.5).

// angles are where the blade points, degrees as the machine counts them.
type angles struct {
	from, to float64 // of the move under way
	at       string  // as the controller knows it
}

func steers(m profiles.Machine) bool {
	_, turned := m.TurnedTool()
	return turned
}

func (e *emitter) degrees(heading float64) float64 {
	return e.machine.ASign() * heading * 180 / math.Pi
}

// aWord is the A word for a share of the move's way; none where it points there already, and where
// nothing turns.
func (e *emitter) aWord(share float64) string {
	if !e.steers {
		return ""
	}
	if text := short(e.blade.from + share*(e.blade.to-e.blade.from)); text != e.blade.at {
		e.blade.at = text
		return " A" + text
	}
	return ""
}

// turnTo turns the blade where it is. A move that was too short to be printed turns it as well.
func (e *emitter) turnTo(share, degreesPerMin float64) {
	if word := e.aWord(share); word != "" {
		feed := short(degreesPerMin)
		if feed == e.feed {
			e.line("G1%s", word)
			return
		}
		e.feed = feed
		e.line("G1%s F%s", word, feed)
	}
}

// blades is how each blade that is turned has to stand.
func blades(p process.Program, m profiles.Machine) []string {
	return distinct(p, func(op process.Op) string {
		if !op.Tool.Turned() {
			return ""
		}
		way := "counter-clockwise"
		if m.ASign() < 0 {
			way = "clockwise"
		}
		return fmt.Sprintf("T%d %s mm wide, gouge %s mm, A0 along X, A %s", op.Tool.Number, short(op.Tool.ChordMM.Value), short(op.Tool.GougeMM.Value), way)
	})
}
