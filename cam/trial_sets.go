package cam

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/profiles"
)

// What no program switches or sees, a hand sets by what it reads: the supply of a wire, and where A0
// of a blade points. A comment that says either otherwise than the job is an error, whoever wrote the
// program and wherever it stands.

// current is a number of amperes, volts or watts: what a hand sets at the supply of a wire.
var current = regexp.MustCompile(`(?i)(\d*[.,]?\d+|\b(?:` + strings.Join(numberWords, "|") + `)\b) ?(?:(m?a|(?:milli)?amp(?:ere)?s?)|v|volts?|w|watts?)\b`)

// numberWords are numbers, from one on.
var numberWords = strings.Fields("one two three four five six seven eight nine ten eleven twelve")

// Words of a supply, of more than it is set to, a number beside them, and what is a time or a length.
var (
	ofSupply  = regexp.MustCompile(`(?i)\b(?:supply|psu|knob|dial|power|current|amp(?:ere)?s?|volts?|watts?|ohms?|heat)\b`)
	hotter    = regexp.MustCompile(`(?i)\b(?:max(?:imum)?|full|glow(?:s|ing)?|red.hot|raise|increase|turn(?: it)? up|hotter|higher)\b`)
	anyNumber = regexp.MustCompile(`(?i)\d+(?:[.,]\d+)?|\b(?:half|twice|double|` + strings.Join(numberWords, "|") + `)\b`)
	noSetting = regexp.MustCompile(`(?i)(?:\d+(?:\.\d+)?|\b(?:half|` + strings.Join(numberWords, "|") + `)(?: an?)?) ?(?:mm|s|sec|seconds?|min|minutes?|h|hours?)\b`)
)

// aSum is what a seal is: nobody sets a supply by so many digits and letters.
var aSum = regexp.MustCompile(`(?i)^[0-9a-f]{32,64}$`)

// setsWire reports whether a comment has a wire set to another current than its recipe's. A caution
// may well speak of volts.
func setsWire(key, text string, amperes float64) bool {
	is := func(number string) bool {
		v, err := strconv.ParseFloat(strings.Replace(number, ",", ".", 1), 64)
		word := slices.Index(numberWords, strings.ToLower(number)) + 1
		return err == nil && v == amperes || word > 0 && float64(word) == amperes
	}
	caution := key == "caution" || key == "required"
	for _, said := range current.FindAllStringSubmatch(text, -1) {
		unit := strings.ToLower(said[2])
		if strings.HasPrefix(unit, "m") || !caution && unit == "" || unit != "" && !is(said[1]) {
			return true
		}
	}
	if hotter.MatchString(text) && (ofSupply.MatchString(text) || strings.Contains(strings.ToLower(text), "wire")) {
		return true
	}
	if caution || !ofSupply.MatchString(text) {
		return false
	}
	return slices.ContainsFunc(anyNumber.FindAllString(noSetting.ReplaceAllString(text, ""), -1), func(n string) bool { return !is(n) })
}

// Words of the A axis, and of ways that it may point.
var (
	ofAxis = regexp.MustCompile(`(?i)\bA ?=? ?(?:0|zero)\b|\bA (?:axis|counts|clockwise|ccw|cw)\b`)
	aWay   = regexp.MustCompile(`(?i)[-+]?\b(?:x|y|left|front|back|rear|away|against|operator|yourself|quarter|half|clockwise|ccw|cw)\b`)
)

// aims reports whether a comment has A0 of a blade point elsewhere than along X, or its axis count the
// other way.
func aims(text string, m profiles.Machine) bool {
	text = regexp.MustCompile(`(?i)counter-?clockwise`).ReplaceAllString(text, "ccw")
	if !ofAxis.MatchString(text) {
		return false
	}
	own := "ccw"
	if m.ASign() < 0 {
		own = "clockwise"
	}
	return slices.ContainsFunc(aWay.FindAllString(text, -1), func(way string) bool {
		return !slices.Contains([]string{"x", "+x", own}, strings.ToLower(way))
	})
}

// sets is what the job has where a comment that `cut` does not write for its sheet has a hand set
// something otherwise; "" where it does not.
func (w *sheetWork) sets(m profiles.Machine, key, text string, own map[string][]string) string {
	if strings.HasPrefix(key, "seal of ") && aSum.MatchString(text) {
		return "" // its digits may end in 0a
	}
	_, turned := m.TurnedTool()
	amperes := w.sheet.Edge.Recipes[0].CurrentA.Value
	if text != "" && len(own[key]) == 0 { // what comes before the colon is no key, and says something
		text = strings.TrimPrefix(key+": "+text, ": ")
	}
	switch {
	case slices.Contains([]string{"job", "foam", "machine", "tool", inSpindle, "x", "y", "z", "passes"}, key):
	case says(placeless(own[key]), placeless([]string{text})[0]):
	case m.Process.Traits().Wire && setsWire(key, text, amperes):
		return fmt.Sprintf("%.4g A", amperes)
	case turned && key != "blade" && aims(text, m):
		return strings.Join(own["blade"], ", ")
	}
	return ""
}

// falselySet are the comments that have a hand set something otherwise than the job.
func (d *Tried) falselySet(w *sheetWork, p *plan.Plan, said, own map[string][]string) (found finding.List) {
	for _, key := range slices.Sorted(maps.Keys(said)) {
		for _, text := range said[key] {
			if has := w.sets(p.Machine, key, text, own); has != "" {
				found = append(found, d.wordsDiffer(strings.TrimPrefix(key+": "+text, ": "), has, p.Machine))
			}
		}
	}
	return found
}
