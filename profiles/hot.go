package profiles

import (
	"fmt"
	"slices"
	"strings"

	"traywright/profiles/strict"
)

// What calls itself hot is a hot wire, whatever its profile says: a blade and a cutter are cold,
// and one that is heated gives the fumes for which the safety table refuses foams to a wire. Its
// id, its name and its sources are read for it, as a foam's are for its chemistry. A name that
// gives nothing away is not caught.

// hotNames are words of a hot wire, as spelt; hotWords a part of one; hotPhrases several. From
// memory, in the languages in which such tools are commonly labelled; not a complete list.
var (
	hotNames = speltAll("hot", "heat", "heated", "heating", "heater", "wire", "wires", "bow", "awg", "ohm", "ohms", "volt", "volts", "ampere", "amperes", "amps",
		"resistance", "voltage", "caldo", "caliente", "chaud", "chaude", "heiß", "heiss", "heißer", "heisser", "струна")
	hotWords = speltAll("hotwire", "hotknife", "nichrom", "nicrom", "kanthal", "konstantan", "constantan", "thermocut", "thermosäge", "draht", "heißschneid", "heissschneid", "beheizt",
		"glüh", "chauffant", "alambre", "нихром", "горяч", "нагрев", "热", "熱", "ニクロム", "열선")
)

// callsItselfHot reports whether a text speaks of a hot wire.
func callsItselfHot(text string) bool {
	return slices.ContainsFunc(wordsOf(text), func(word string) bool {
		word = strings.Trim(word, "0123456789") // wire2
		return slices.Contains(hotNames, word) || slices.ContainsFunc(hotWords, func(hot string) bool { return strings.Contains(word, hot) })
	})
}

// hotSign is what of a tool speaks of a hot wire, "" for nothing.
func (t Tool) hotSign() string {
	switch {
	case callsItselfHot(t.ID) || callsItselfHot(t.Name):
		return fmt.Sprintf("the tool %q (%s)", t.Name, t.ID)
	case slices.ContainsFunc(t.Numbers(), func(n Named) bool { return callsItselfHot(n.Source) }):
		return fmt.Sprintf("a tool (%s) whose source speaks of a hot wire", t.ID)
	}
	return ""
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
	if !wired && (callsItselfHot(m.ID) || callsItselfHot(m.Name) || callsItselfHot(m.Source)) {
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
