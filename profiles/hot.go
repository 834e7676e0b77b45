package profiles

import (
	"fmt"
	"slices"
	"strings"

	"traywright/profiles/strict"
)

// What calls itself hot is a hot wire, whatever its profile says: a blade and a cutter are cold,
// and one that is heated gives the fumes for which the safety table refuses foams to a wire. Its
// id, its name, its notes and its sources are read for it, those of its recipes too, as a foam's
// are for its chemistry; and what only a wire has, a current, a pull and a drag, is one's too. A name
// that gives nothing away is not caught.

// hotNames are words of a hot wire, as spelt; hotWords a part of one. From memory, in the languages
// in which such tools are commonly labelled; not a complete list.
var (
	hotNames = speltAll("hot", "heat", "heated", "heating", "heater", "wire", "wires", "bow", "awg", "ohm", "ohms", "volt", "volts", "ampere", "amperes", "amps",
		"resistance", "voltage", "plasma", "caldo", "caliente", "chaud", "chaude", "heiß", "heiss", "heißer", "heisser", "струна")
	hotWords = speltAll("hotwire", "hotknife", "nichrom", "nicrom", "kanthal", "konstantan", "constantan", "thermocut", "thermosäge", "draht", "heißschneid", "heissschneid", "beheizt", "solder", "pyrograph", "woodburn",
		"glüh", "chauffant", "alambre", "нихром", "горяч", "нагрев", "热", "熱", "ニクロム", "열선")
)

// burnNames are a hot wire's where something is called so; a note may say them of foam that a blunt
// cutter melted.
var burnNames = speltAll("thermal", "thermic", "torch", "torches", "glow", "glowing", "burn", "burner", "burners", "burning", "melt", "melter", "melting")

// ownHeat is what notes may say of a spindle, which gets hot by itself.
var ownHeat = speltAll("hot", "heat")

// callsItselfHot reports whether a name is a hot wire's.
func callsItselfHot(name string) bool {
	return speaksOfHeat(name) || slices.ContainsFunc(calls(name), func(word string) bool { return slices.Contains(burnNames, bare(word)) })
}

// speaksOfHeat reports whether a text speaks of a hot wire, in other words than those left out.
func speaksOfHeat(text string, but ...string) bool {
	return slices.ContainsFunc(calls(text), func(word string) bool {
		word = bare(word)
		return slices.Contains(hotNames, word) && !slices.Contains(but, word) || slices.ContainsFunc(hotWords, func(hot string) bool { return strings.Contains(word, hot) })
	})
}

// bare is a word without the number behind it: wire2.
func bare(word string) string { return strings.Trim(word, "0123456789") }

// notesOfHeat reports whether what somebody wrote beside numbers speaks of a hot wire, where p cuts.
func (p Process) notesOfHeat(text string) bool {
	if p.Traits().Turning {
		return speaksOfHeat(text, ownHeat...)
	}
	return p != HotWire && p != Laser && speaksOfHeat(text)
}

// hotSign is what of a tool speaks of a hot wire, "" for nothing.
func (t Tool) hotSign() string {
	switch {
	case callsItselfHot(t.ID) || callsItselfHot(t.Name):
		return fmt.Sprintf("the tool %q (%s)", t.Name, t.ID)
	case slices.ContainsFunc(t.Numbers(), func(n Named) bool { return speaksOfHeat(n.Source) }):
		return fmt.Sprintf("a tool (%s) whose source speaks of a hot wire", t.ID)
	}
	for _, n := range []Named{{"length_mm", t.LengthMM}, {"tension_n", t.TensionN}, {"drag_n_per_m", t.DragNPerM}} {
		if n.Value != 0 {
			return fmt.Sprintf("a tool (%s) with %s", t.ID, n.Key)
		}
	}
	return ""
}

// hotFaults is what of a recipe and its sources is a hot wire's, where another process cuts.
func (r Recipe) hotFaults(p Process) []string {
	if r.CurrentA.Value != 0 && p != HotWire && p != Laser {
		return []string{"a recipe with current_a is a hot wire's, and the machine says " + string(p)}
	}
	if len(r.Tested) > 0 && p != HotWire {
		return []string{"a recipe with tested is a hot wire's, and the machine says " + string(p)}
	}
	said := func(n Named) bool { return p.notesOfHeat(n.Source) }
	if p.notesOfHeat(r.Source) || slices.ContainsFunc(r.Numbers(), said) {
		return []string{fmt.Sprintf("its source speaks of a hot wire, and the machine says %s; where nothing is heated, say it otherwise", p)}
	}
	return nil
}

// refuseHot refuses a machine that is a hot wire by what it calls itself or its tools, and says
// that a blade or a cutter does the work.
func refuseHot(v strict.Value, tools []strict.Value, m Machine) {
	if m.Process == HotWire || m.Process == Laser {
		return
	}
	const orElse = "; where nothing is heated, call it otherwise"
	hint := "write `process: hot-wire`, for the table judges heat by it" + orElse
	wired := slices.ContainsFunc(m.Tools, Tool.ByAnother) // the bow that a hand's set is called after
	if !wired && (callsItselfHot(m.ID) || callsItselfHot(m.Name) || speaksOfHeat(m.Source) || m.Process.notesOfHeat(m.Notes)) {
		if m.Process == Hand {
			hint = "write `process: hot-wire` into the row of its wire" + orElse
		}
		v.Fail(fmt.Sprintf("the machine %q (%s) speaks of a hot wire, and says %s", m.Name, m.ID, m.Process), hint)
		return // its source is that of its tools
	}
	for i, t := range m.Tools {
		sign := t.hotSign()
		switch {
		case sign == "" || t.ByAnother():
		case m.Process == Hand:
			tools[i].Fail(sign+" is a hot wire's, and its row says no process", "write `process: hot-wire` into its row"+orElse)
		default:
			tools[i].Fail(sign+" is a hot wire's, and the machine says "+string(m.Process), hint)
		}
	}
}
