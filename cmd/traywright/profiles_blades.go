package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam/finding"
	"traywright/cam/safety"
	"traywright/profiles"
)

var (
	newTrailFlag   = &cli.StringFlag{Name: "trail", Usage: "of a knife that swivels freely: how far its tip trails, as `LENGTH`"}
	newChordFlag   = &cli.StringFlag{Name: "chord", Usage: "of a knife whose A axis turns its blade: how wide that is, as `LENGTH`"}
	newTurnFlag    = &cli.StringFlag{Name: "turn-rpm", Usage: "of such a knife: how fast its A axis turns, `TURNS` a minute"}
	newCountsFlag  = &cli.StringFlag{Name: "a-counts", Usage: "of such a knife: which way A counts up, seen from above, `ccw|cw`"}
	newOutFlag     = &cli.StringFlag{Name: "blade-out", Usage: "of a knife: what stands out of its holder, as `LENGTH`"}
	newWireFlag    = &cli.StringFlag{Name: "wire", Usage: "of a hot wire: its `GAUGE` or diameter: \"AWG 26\" or \"0.4 mm\""}
	newLengthFlag  = &cli.StringFlag{Name: "wire-length", Usage: "of a hot wire: between what holds it, as `LENGTH`"}
	newCurrentFlag = &cli.StringFlag{Name: "current", Usage: "of a hot wire: through it, `AMPERES`, rms where AC"}
)

// bladeOrWire are the questions about a blade or a wire; like is the machine whose numbers are
// defaults.
func (a *answers) bladeOrWire(like profiles.Machine, own *profiles.OwnTool) []question {
	shipped := like.Tools[0]
	switch is := a.own.Process.Traits(); {
	case is.Blade && a.own.ChordMM > 0:
		return []question{
			{newOutFlag.Name, "what stands out of its holder", "How far the tip is below the lowest of what holds it, at the top of its stroke: no deeper can it cut.", a.show(shipped.ReachMM.Value), true, a.between(&own.ReachMM, 0.5, 200), false},
			{newTurnFlag.Name, "how fast its A axis turns, in turns a minute", "What its controller is set to, or time ten turns. Times hang on it, and how long the blade stands in the foam.", fmt.Sprint(like.TurnRPM.Value), true, func(text string) (err error) {
				a.own.TurnRPM, err = count(text, 0.1, 1000, "speed of an axis, in turns a minute,")
				return err
			}, false},
			{newCountsFlag.Name, "which way A counts up, seen from above: ccw (counter-clockwise) or cw", "Send A90, the blade out, and look from above: from pointing to the right its edge has to come to point away from you for ccw, towards you for cw. The air cut of profiles trial shows it. The other way round every corner is cut into the wall.", string(profiles.ACounterclockwise), true, func(text string) error {
				a.own.ACounts = profiles.ACounts(strings.ToLower(text))
				if a.own.ACounts != profiles.ACounterclockwise && a.own.ACounts != profiles.AClockwise {
					return fmt.Errorf("%q is neither ccw nor cw", text)
				}
				return nil
			}, false},
		}
	case is.Blade:
		return []question{
			{newTrailFlag.Name, "how far its tip trails behind the axis that it swivels about, such as " + a.example("0.5 mm", "0.02 in"), "Of a blade that swivels freely in its holder, as drag knives do: from the tip to the axis, seen from above. " +
				"Its maker says it; or drag it round a square on paper, and look how far the corners are off. Without it nothing is cut.", notKnown, true, a.between(&own.TrailMM, 0.05, 10), false},
			{newOutFlag.Name, "what stands out of its holder", "How far the tip is below the lowest of what holds it: no deeper can it cut.", a.show(shipped.ReachMM.Value), true, a.between(&own.ReachMM, 0.5, 200), false},
		}
	case is.Wire:
		return []question{
			{newWireFlag.Name, "its wire, by gauge or diameter, such as AWG 26 or " + a.example("0.4 mm", "0.016 in"), "Nichrome 80/20 is reckoned with: of another alloy neither voltage nor heat is known. Its current follows from it. There is no default.", "", false, func(text string) error {
				return a.wire(text, own)
			}, false},
			{newLengthFlag.Name, "its length between what holds it, such as " + a.example("300 mm", "12 in"), "All that the current goes through, not what is in the foam. Its voltage follows from it; until it is known every sheet warns.", notKnown, true, a.between(&own.LengthMM, 10, 10000), false},
			{newCurrentFlag.Name, "the current through it in A, rms where AC", "What you have tried on a scrap. Left out, it is no hotter than the shipped wire at 2 A. What is too much for a bare wire is refused.", notKnown, true, func(text string) error {
				return a.current(text, own)
			}, false},
		}
	}
	return nil
}

// between takes a length, or that nobody knows it.
func (a *answers) between(in *float64, least, most float64) func(string) error {
	return func(text string) error {
		if strings.EqualFold(text, notKnown) {
			return nil
		}
		mm, err := a.length(text)
		if err == nil && (mm < least || mm > most) {
			err = fmt.Errorf("%q is not between %s and %s", text, a.show(least), a.show(most))
		}
		*in = mm
		return err
	}
}

// chord asks whether an axis turns a knife's blade, by how wide that is.
func (a *answers) chord() question {
	take := a.between(&a.own.ChordMM, 0.3, 30)
	return question{newChordFlag.Name, "how wide its blade is from edge to back, where its A axis turns it along its way, such as " + a.example("2 mm", "0.08 in"), "Of an oscillating or straight blade that the controller turns, a tangential knife. " +
		"One that swivels by itself in its holder, a drag knife, is asked how far it trails instead.", swivelsByItself, false, func(text string) error {
		if text == swivelsByItself {
			return nil
		}
		return take(text)
	}, false}
}

// swivelsByItself is the answer of a blade that no axis turns.
const swivelsByItself = "it swivels by itself"

// wire reads AWG 26, or a diameter.
func (a *answers) wire(text string, own *profiles.OwnTool) (err error) {
	gauge, isGauge := strings.CutPrefix(strings.ToUpper(text), "AWG")
	if !isGauge {
		if own.DiameterMM, err = a.length(text); err == nil && (own.DiameterMM < 0.05 || own.DiameterMM > 3) {
			err = fmt.Errorf("a wire of %s is none that is heated: write the unit, or its gauge, such as AWG 26", a.show(own.DiameterMM))
		}
		return err
	}
	w := safety.Wire{LengthM: 1}
	if w.AWG, err = strconv.Atoi(strings.TrimSpace(gauge)); err != nil {
		return fmt.Errorf("%q is no gauge, such as AWG 26", text)
	}
	own.DiameterMM = math.Round(1e4*w.DiameterMM()) / 1e4
	return w.Check()
}

// current reads what goes through the wire, and refuses at once what no coupon would take: by its voltage,
// once its length is known, and by its heat.
func (a *answers) current(text string, own *profiles.OwnTool) (err error) {
	if strings.EqualFold(text, notKnown) {
		return nil
	}
	if a.own.CurrentA, err = count(text, 0.01, 50, "current in A"); err != nil {
		return err
	}
	wire := profiles.Tool{DiameterMM: profiles.Number{Value: own.DiameterMM}, LengthMM: profiles.Number{Value: cmp.Or(own.LengthMM, 10)}}
	for _, f := range safety.CheckWire(profiles.Recipe{CurrentA: profiles.Number{Value: a.own.CurrentA}}, wire, profiles.Machine{Process: profiles.HotWire}) {
		if f.Severity == finding.Error {
			return fmt.Errorf("%s: %s", f.Message, asCurrent(f.Hint))
		}
	}
	return nil
}

// asCurrent says in a hint of a recipe what a flag is told.
func asCurrent(hint string) string {
	return strings.ReplaceAll(hint, "set current_a to ", "give --current ")
}

// ofWires is what is wrong with, or worth knowing of, the current of a machine's recipes, each once;
// that its length is not known is told elsewhere.
func ofWires(c *profiles.Catalog, id string) (found finding.List) {
	m, _ := c.Machine(id)
	for _, r := range c.Recipes() {
		t, _ := m.Tool(r.Tool)
		if r.Machine != id || t.LengthMM.Value == 0 {
			continue
		}
		for _, f := range safety.CheckWire(r, t, m) {
			f.Where, f.Hint = id, asCurrent(f.Hint)
			if !slices.Contains(found, f) {
				found = append(found, f)
			}
		}
	}
	return found
}
