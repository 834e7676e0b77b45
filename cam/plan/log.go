package plan

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

// place is where a finding is: in the user's file, and in words.
type place struct {
	position finding.Position
	text     string // "tray stores, pocket 3 (kraken)"
	// Findings of one rule on pockets of one grid are folded into the first.
	group [2]int // numbers of the job's pockets, 0 for none
	tray  string
	asked string // where the job says what the arranger made it of: see job.Pocket
}

// wants is a hint that asks the job for a wall or an edge of a length, where that is what
// moves what the arranger has placed; otherwise it is the hint for what the job has placed.
func (p place) wants(key, length, otherwise string) string {
	if p.asked == "" {
		return otherwise
	}
	return "ask for `" + key + ": " + length + "` or more " + p.asked
}

func (p place) String() string {
	at := p.position.String()
	switch {
	case at == "":
		return p.text
	case p.text == "":
		return at
	}
	return at + ": " + p.text
}

// wantsFit asks for a looser fit where the arranger has made the pocket's size.
func (p place) wantsFit(otherwise string) string {
	if p.asked == "" {
		return otherwise
	}
	return "ask for an easier `fit` " + p.asked
}

// with is the same place, said more closely.
func (p place) with(text string) place {
	if p.text != "" {
		text = p.text + ", " + text
	}
	p.text = text
	return p
}

// log gathers findings in the order in which they come.
type log struct {
	found  finding.List
	folded map[foldKey]int // index of the first
	more   map[int]int     // how many were folded into it
}

type foldKey struct {
	rule, tray string
	group      [2]int
}

func newLog() *log { return &log{folded: map[foldKey]int{}, more: map[int]int{}} }

func (l *log) fail(at place, rule, message, hint string) {
	l.add(at, finding.Error, rule, message, hint)
}

func (l *log) warn(at place, rule, message, hint string) {
	l.add(at, finding.Warning, rule, message, hint)
}

func (l *log) note(at place, rule, message, hint string) {
	l.add(at, finding.Note, rule, message, hint)
}

// add keeps the finding, or counts it where its grid has one of the rule.
func (l *log) add(at place, s finding.Severity, rule, message, hint string) {
	if at.group[0] != 0 {
		key := foldKey{rule, at.tray, at.group}
		if first, ok := l.folded[key]; ok {
			l.more[first]++
			return
		}
		l.folded[key] = len(l.found)
	}
	l.found = append(l.found, finding.Finding{
		Severity: s, Rule: rule, Where: at.String(), Message: message, Hint: hint,
	})
}

// append takes over what another log has, told behind its own.
func (l *log) append(other *log) { l.found = append(l.found, other.list()...) }

// list is all findings, each with how many more there are of it.
func (l *log) list() finding.List {
	for i, n := range l.more {
		l.found[i].More += n
	}
	l.more = nil
	return l.found
}

// length prints an exact length in the job's unit.
func (m *maker) length(l units.Length) string { return l.Format(m.unit) }

// some prints a length above 0, which never looks like none.
func (m *maker) some(l units.Length) string {
	if text := m.length(l); !strings.HasPrefix(text, "0 ") {
		return text
	}
	return "less than " + m.up(math.Max(l.MM(), 0.001), 0.001)
}

// mm prints a length in the job's unit: to a hundredth of a millimetre, or as the sixty-fourths of an inch that it is.
func (m *maker) mm(x float64) string {
	if m.unit != units.Inch {
		x = math.Round(x*100) / 100
	}
	return m.printed(x)
}

// below prints a length that is less than something: rounded down, so that it
// never looks equal.
func (m *maker) below(x float64) string {
	return m.down(x+lostMM, 0.001)
}

// more prints by how much something has to move, or what it is to have at least, and above a size that is enough: both
// rounded up in the unit that they are typed in. most prints what it may have at most, rounded down.
func (m *maker) more(x float64) string  { return m.up(x, 0.01) }
func (m *maker) above(x float64) string { return m.up(x, 0.1) }
func (m *maker) most(x float64) string  { return m.down(x, 0.01) }

// up prints a length rounded up to a step of mm, or to a thousandth of an inch; down one rounded down.
func (m *maker) up(x, stepMM float64) string   { return m.printed(units.AtLeast(x, stepMM, m.unit)) }
func (m *maker) down(x, stepMM float64) string { return m.printed(units.AtMost(x, stepMM, m.unit)) }

func (m *maker) printed(x float64) string {
	l, err := units.Reckoned(x)
	if err != nil {
		return fmt.Sprintf("%g mm", x)
	}
	return l.Format(m.unit)
}

// size prints length by width.
func (m *maker) size(length, width float64) string { return m.mm(length) + " x " + m.mm(width) }
