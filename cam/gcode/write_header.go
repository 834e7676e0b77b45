package gcode

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/process"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Opening is a program's opening comments, one "key: value" each: what stands in
// front of its Body.
func Opening(p process.Program, s process.Stats, h Header, m profiles.Machine) []byte {
	var b bytes.Buffer
	k := commentsOf(m.Controller)
	say := func(key, text string) {
		if text != "" {
			b.WriteString(k.comment(key, text))
		}
	}
	sayAll := func(key string, texts []string) {
		for _, text := range texts {
			say(key, text)
		}
	}
	say("job", h.Job)
	say("tray", h.Tray)
	say("layer", h.Layer)
	say("program", h.Part)
	say("made", h.Made)
	say("foam", h.Foam)
	say("thickness", short(p.ThicknessMM)+" mm")
	if p.BreakthroughMM > 0 {
		say("breakthrough", short(p.BreakthroughMM)+" mm")
	}
	sayHeld(say, p)
	say("machine", machineName(h, m))
	say("scale", scaleText(m))
	sayAll("tool", toolLines(p))
	sayAll("stick-out", stickouts(p))
	sayAll("trail", trails(p))
	sayAll("blade", blades(p, m))
	sayAll("kerf", kerfLines(p))
	if h.CurrentA > 0 {
		say("current", short(h.CurrentA)+" A through the wire, which a hand sets at its supply")
	}
	say("recipe", h.Recipe)
	sayAll("note", h.Notes)
	say("passes", fmt.Sprint(s.Passes))
	say("z zero", zeroText(m))
	sayBeam(say, p, m)
	sayExtents(say, extents(s, zShift(p, m), m.ZSign()), p.ThicknessMM, h.Unit)
	say("seal of moves", h.MovesSeal)
	say("seal of plan", h.PlanSeal)
	say("time", finding.Duration(h.Seconds)+" estimated, not less than "+finding.Duration(h.LeastSeconds)+" at the feeds written")
	sayAll("caution", h.Cautions)
	sayAll("required", h.Requires)
	return b.Bytes()
}

// sayBeam is how a laser's head stands at Z0, which is no nozzle on the foam, and what S a
// program that lights its beam takes for all of its power.
func sayBeam(say func(key, text string), p process.Program, m profiles.Machine) {
	if !m.Process.Traits().Beam {
		return
	}
	focus := "at Z0 the beam is in focus on the foam's top, never the nozzle on the foam: it stands at your lens's focus height above it, measure it"
	if off := m.StandoffMM.Value; off > 0 {
		focus = "at Z0 the nozzle stands " + short(off) + " mm above the foam, in focus on its top"
	}
	say("focus", focus)
	lit := slices.ContainsFunc(p.Ops, func(op process.Op) bool {
		return slices.ContainsFunc(op.Moves, func(m process.Move) bool { return m.PowerPercent > 0 })
	})
	if scale := m.Controller.PowerScale; lit && scale > 0 {
		say("full power", "S"+short(scale)+", as the controller's own setting has to be")
	}
}

// sayHeld is what a hand cuts or snaps when the program has ended.
func sayHeld(say func(key, text string), p process.Program) {
	if p.SkinMM > 0 {
		say("skin", short(p.SkinMM)+" mm left under the outline, to cut with a knife")
	}
	say("plugs", plugs(p))
	if p.Left > 0 {
		say("left", fmt.Sprintf("%d places uncut, %s mm in all, to cut by hand", p.Left, short(math.Round(100*p.LeftMM)/100)))
	}
	if p.Bridges > 0 {
		say("bridges", fmt.Sprintf("%d of %s mm left in the cuts, to snap by hand", p.Bridges, short(p.BridgeMM)))
	}
}

// WordsSeal is the comment that closes the opening, with the sum of all others: see
// proof.WordsSeal.
func WordsSeal(sum string, m profiles.Machine) []byte {
	return []byte(commentsOf(m.Controller).comment("seal of words", sum))
}

// machineName begins with the profile's name, which is what the dry run looks for.
func machineName(h Header, m profiles.Machine) string {
	switch {
	case m.ID == "":
		return h.Machine
	case h.Machine == "" || h.Machine == m.ID:
		return m.ID
	}
	return m.ID + ", " + h.Machine
}

// scaleText begins with what the dry run reads; "" for a machine without scales.
func scaleText(m profiles.Machine) string {
	x, y := m.Scale()
	if x == 1 && y == 1 {
		return ""
	}
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	return "X " + number(x) + " Y " + number(y) + ", measured; X and Y below are divided by it, so that the foam comes out true"
}

func zeroText(m profiles.Machine) string {
	if m.ZZero == profiles.ZBed {
		return "bed, positive up"
	}
	if m.ZCounts == profiles.ZDown {
		return "top of the foam, positive down"
	}
	return "top of the foam, positive up"
}

func toolLines(p process.Program) []string {
	return distinct(p, func(op process.Op) string { return toolText(op.Tool) })
}

// stickouts is how far each cutter stands out of its collet, at least.
func stickouts(p process.Program) []string {
	return distinct(p, func(op process.Op) string {
		if out := op.Tool.StickoutMM.Value; out > 0 {
			return fmt.Sprintf("T%d %s mm", op.Tool.Number, short(out))
		}
		return ""
	})
}

// trails is how far the tip of each blade that swivels is behind its axis.
func trails(p process.Program) []string {
	return distinct(p, func(op process.Op) string {
		if trail := op.Tool.TrailMM.Value; trail > 0 {
			return fmt.Sprintf("T%d %s mm behind its axis, at the start the blade points along X", op.Tool.Number, short(trail))
		}
		return ""
	})
}

func toolText(t profiles.Tool) string {
	name := t.Name
	if name == "" {
		name = t.ID
	}
	return strings.TrimSpace(fmt.Sprintf("T%d %s", t.Number, name))
}

func kerfLines(p process.Program) []string {
	return distinct(p, func(op process.Op) string {
		return fmt.Sprintf("T%d %s mm", op.Tool.Number, short(op.KerfMM))
	})
}

// distinct is what text says of each operation, in order, each thing once.
func distinct(p process.Program, text func(process.Op) string) []string {
	var lines []string
	seen := map[string]bool{}
	for _, op := range p.Ops {
		if line := text(op); !seen[line] {
			seen[line] = true
			lines = append(lines, line)
		}
	}
	return lines
}

// extents are the least and the greatest X, Y and Z, mm.
func extents(s process.Stats, shift, sign float64) [3][2]float64 {
	low, high := s.Min.Z+shift, s.Max.Z+shift
	if sign < 0 {
		low, high = 0-high, 0-low
	}
	return [3][2]float64{{s.Min.X, s.Max.X}, {s.Min.Y, s.Max.Y}, {low, high}}
}

// sayExtents says them and, to whoever counts in inches, once more.
func sayExtents(say func(key, text string), mm [3][2]float64, thicknessMM float64, u units.Unit) {
	inch := func(mm float64) string {
		l, err := units.Reckoned(mm)
		if err != nil {
			return "not known"
		}
		return l.Format(units.Inch)
	}
	inches := "thickness " + inch(thicknessMM)
	for i, axis := range []string{"X", "Y", "Z"} {
		say(axis, short(mm[i][0])+" to "+short(mm[i][1])+" mm")
		inches += fmt.Sprintf(", %s %s to %s", axis, strings.TrimSuffix(inch(mm[i][0]), " in"), inch(mm[i][1]))
	}
	if u == units.Inch {
		say("in inches", inches)
	}
}

// plugs says what is cut round and still stands; "" where nothing is.
func plugs(p process.Program) string {
	count, skin := 0, 0.0
	for _, op := range p.Ops {
		if op.PlugSkinMM > 0 {
			count, skin = count+1, op.PlugSkinMM
		}
	}
	switch count {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("1 stands on %s mm, to cut with a knife and lift out", short(skin))
	}
	return fmt.Sprintf("%d stand on %s mm, to cut with a knife and lift out", count, short(skin))
}
