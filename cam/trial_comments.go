package cam

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/safety"
)

// A program that says it was written here is held against what `cut` would say of its sheet now,
// with its seals or without: a hand goes by every number in it, by every caution that is not
// there, and by whatever somebody wrote into it since.

// claimKeys are keys of opening comments. A program that says claimedBy of them, wherever, says
// that it was written here.
var claimKeys = []string{"job", "tray", "layer", "foam", "thickness", "machine", "passes", "z zero", "time", "caution", "seal of moves"}

const claimedBy = 3

func claims(said map[string][]string) bool {
	n := 0
	for _, key := range claimKeys {
		n += min(1, len(said[key]))
	}
	return n >= claimedBy
}

// toldKeys are those of which something else tells, whatever stands there.
var toldKeys = slices.Concat(handWords, []string{"caution", "required", inSpindle})

// lateKeys may be other than the job's in a program whose comments are still those that it was written
// with: its plan has moved on, which is told, or its job's file has another name.
var lateKeys = []string{"job", "foam", "machine", "recipe"}

// judgedForms are how `cut` writes what of the judged nothing else reads: words in another form have not been judged.
var judgedForms = map[string]*regexp.Regexp{
	"kerf": regexp.MustCompile(`(?i)^T\d+ [\d.]+ mm$`), "scale": regexp.MustCompile(`(?i)^X [\d.]+ Y [\d.]+, measured, X and Y below are divided by it, so that the foam comes out true$`),
	"seal of moves": aSum, "seal of plan": aSum, "seal of words": aSum,
}

// judged reports whether something else tells of a comment. Kerf and scale are read where they stand
// in front of the program only, and of several kerfs the widest.
func (d *Tried) judged(key, text string, sealed bool, most int) bool {
	form := judgedForms[key]
	switch {
	case slices.Contains(toldKeys, key) || sealed && slices.Contains(lateKeys, key):
		return true
	case form == nil || !form.MatchString(text):
		return false
	}
	inFront := strings.Split(d.header[key], "\n")
	return key != "kerf" && key != "scale" || len(inFront) <= max(1, most) && says(inFront, text)
}

// plainKeys are those of which a difference harms nobody.
var plainKeys = []string{"", "op", "note", "time"}

// aimKeys say which way a blade points and which way its axis counts, in words.
var aimKeys = []string{"blade", "trail"}

// otherWords reports whether two texts differ in a word that is no number.
func otherWords(a, b string) bool {
	words := func(text string) []string {
		return strings.Fields(numberWord.ReplaceAllString(strings.ToLower(text), "#"))
	}
	return !slices.Equal(words(a), words(b))
}

// scaledKeys hang on the scale of the machine that a program was written for.
var scaledKeys = []string{"time", "x", "y"}

// commentsDiffer are errors where such a program has another number than `cut` would write, leaves
// out a caution of the safety table or what a hand goes by, or says what `cut` never writes. Sealed
// comments are those that some `cut` wrote: what they say beside is one warning.
func (d *Tried) commentsDiffer(w *sheetWork, p *plan.Plan, rules []safety.Rules, said, own map[string][]string, sealed bool) (found finding.List) {
	var other []string
	scaled := !slices.Equal(said["scale"], own["scale"]) // told with the profile's numbers; where the moves go follows from it
	for _, key := range slices.Sorted(maps.Keys(said)) {
		for _, text := range said[key] {
			switch {
			case text == "" || d.judged(key, text, sealed, len(own[key])) || scaled && slices.Contains(scaledKeys, key) || says(own[key], text):
			case w.sets(p.Machine, key, text, own) != "": // told
			case key == "made" && says([]string{made(w, p)}, text):
			case judgedForms[key] == nil && !slices.Contains(plainKeys, key) && (len(own[key]) > 0 || key == "made" || key == "program") && !slices.ContainsFunc(own[key], func(o string) bool {
				return sameThing(o, text) && !(slices.Contains(aimKeys, key) && otherWords(o, text))
			}):
				found = append(found, d.wordsDiffer(key+": "+text, strings.Join(own[key], ", "), p.Machine))
			default:
				other = append(other, strings.TrimPrefix(key+": "+text, ": "))
			}
		}
	}
	found = append(found, d.neededMissing(said, own)...)
	switch {
	case len(other) > 0 && sealed:
		found = append(found, d.notWritten(other, "the opening comments say that this program was written here, and "+are(len(other))))
	case len(other) > 0:
		found = append(found, d.neverWritten(other, " for its sheet"))
	}
	return append(found, d.cautionsMissing(w.uses(p.Machine), p.Machine, rules, said)...)
}

// notWritten is a warning of comments that `cut` does not write.
func (d *Tried) notWritten(texts []string, saying string) finding.Finding {
	line := d.lineOf(texts[0])
	return finding.Finding{
		Severity: finding.Warning, Rule: "comments-differ", Where: fmt.Sprintf("%s:%d", d.trial.Name, line), Line: line,
		Message: fmt.Sprintf("%s not in what `cut` writes for its sheet: %s", saying, some(texts)),
		Hint:    "go by the cut sheet, not by this file; or make the program again with `traywright cut`",
	}
}

// strangers warns of comments in a program that does not say whose it is: whoever stands at the
// machine may do what they say.
func (d *Tried) strangers(w *sheetWork, p *plan.Plan, said, own map[string][]string) (found finding.List) {
	var other []string
	for _, key := range slices.Sorted(maps.Keys(said)) {
		for _, text := range said[key] {
			if text != "" && !says(own[key], text) && w.sets(p.Machine, key, text, own) == "" {
				other = append(other, strings.TrimPrefix(key+": "+text, ": "))
			}
		}
	}
	if len(other) > 0 {
		found = append(found, d.notWritten(other, are(len(other))))
	}
	return found
}

// neverWritten is the error of comments that `cut` does not write in a program that says it was
// written here: whoever stands at the machine takes them for its word.
func (d *Tried) neverWritten(texts []string, where string) finding.Finding {
	line := d.lineOf(texts[0])
	slices.Sort(texts)
	texts = slices.Compact(texts)
	const most = 8 // judged, no source
	more := len(texts) - most
	texts = texts[:min(most, len(texts))]
	for i, text := range texts {
		texts[i] = fmt.Sprintf("%q (line %s)", text, strings.Trim(strings.ReplaceAll(fmt.Sprint(d.linesOf(text)), " ", ", "), "[]"))
	}
	if more > 0 {
		texts = append(texts, fmt.Sprintf("%d more", more))
	}
	return finding.Finding{
		Rule: "comments-differ", Where: fmt.Sprintf("%s:%d", d.trial.Name, line), Line: line,
		Message: fmt.Sprintf("says that it was written here, and `cut` does not write%s: %s", where, strings.Join(texts, ", ")),
		Hint:    "take it out with its brackets, or its semicolon; or make the program again with `traywright cut`",
	}
}

// neededMissing are errors of a program that leaves out what whoever stands at the machine goes by,
// where nothing else in it says it: how it is set up, and what its end leaves to a hand.
func (d *Tried) neededMissing(said, own map[string][]string) (found finding.List) {
	for _, key := range slices.Concat(handWords, aimKeys, []string{"current"}) {
		none := func(in []string) func(string) bool { return func(text string) bool { return says(in, text) } }
		missing := slices.DeleteFunc(slices.Clone(own[key]), none(said[key]))
		if other := slices.DeleteFunc(slices.Clone(said[key]), none(own[key])); len(missing) > len(other) { // which is told
			found = append(found, finding.Finding{
				Rule: "words-missing", Where: d.trial.Name, Message: fmt.Sprintf("its comments leave out what a hand goes by: %q", key+": "+strings.Join(missing, ", ")),
				Hint: "write it there again, or make the program again with `traywright cut`",
			})
		}
	}
	return found
}

// made is how often `cut` says that a sheet is made, which counts those that are alike.
func made(w *sheetWork, p *plan.Plan) string {
	works := worksOf(p)
	for _, other := range works {
		if other.lay(p) != nil {
			return ""
		}
	}
	for _, one := range alike(works, p.Machine) {
		if one.name == w.name {
			return page.MadeText(one.makes)
		}
	}
	return ""
}

var numberWord = regexp.MustCompile(`-?\d+(\.\d+)?`)

// saidMM is how near two numbers of comments are that say the same, mm: rounding, and a way that
// is said otherwise.
const saidMM = 0.05

// sameThing reports whether two texts have the same numbers, in their order, and begin with one word.
func sameThing(a, b string) bool {
	first := func(text string) string { return strings.ToLower(strings.TrimRight(strings.Fields(text)[0], ",")) }
	return (numberWord.MatchString(first(a)) || first(a) == first(b)) && slices.EqualFunc(numberWord.FindAllString(a, -1), numberWord.FindAllString(b, -1), func(a, b string) bool {
		x, _ := strconv.ParseFloat(a, 64)
		y, _ := strconv.ParseFloat(b, 64)
		return math.Abs(x-y) <= saidMM
	})
}

func are(n int) string {
	if n == 1 {
		return "one comment is"
	}
	return fmt.Sprintf("%d comments are", n)
}

// some are the first of a list, in quotation marks.
func some(list []string) string {
	text := strconv.Quote(list[0])
	if n := len(list) - 1; n > 0 {
		text += fmt.Sprintf(" and %d more", n)
	}
	return text
}
