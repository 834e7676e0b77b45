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
	"traywright/cam/gcode"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/cam/safety"
)

// A program that says it was written here is held against what `cut` would say of its sheet now,
// with its seals or without: a hand goes by every number in it, and by every caution that is not
// there.

// sayings are a program's comments, wherever they stand, by what comes before their colon in
// small letters; "" for what has none. What begins with "+" goes on with the one before.
func sayings(text []byte) map[string][]string {
	list := map[string][]string{}
	last := ""
	for _, c := range proof.Comments(text) {
		if more, goesOn := strings.CutPrefix(c, "+ "); goesOn && len(list[last]) > 0 {
			list[last][len(list[last])-1] += " " + more
			continue
		}
		key, value, ok := strings.Cut(c, ":")
		if last = strings.ToLower(strings.TrimSpace(key)); !ok {
			last, value = "", c
		}
		list[last] = append(list[last], strings.TrimSpace(value))
	}
	for _, key := range slices.Sorted(maps.Keys(list)) {
		if key != "" && slices.Contains(list[key], "") { // all that it says comes before its colon
			list[""] = append(list[""], key+":")
		}
	}
	return list
}

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

// judgedKeys are those of which something else tells, or that may well be another's: what a
// recipe says, and where the job lies.
var judgedKeys = slices.Concat(handWords, []string{"caution", "required", inSpindle, "foam", "machine", "kerf", "scale", "job", "recipe",
	"seal of moves", "seal of plan", "seal of words"})

// judgedForms are how `cut` writes what of the judged nothing else reads: words in another form have not been judged.
var judgedForms = map[string]*regexp.Regexp{
	"kerf": regexp.MustCompile(`^T\d+ [\d.]+ mm$`), "scale": regexp.MustCompile(`^X [\d.]+ Y [\d.]+(, measured;|$)`),
	"recipe": regexp.MustCompile(`^\S+ with \S.*: `), "job": regexp.MustCompile(`\.\w+$`),
	"seal of moves": sealDigits, "seal of plan": sealDigits, "seal of words": sealDigits,
}

var sealDigits = regexp.MustCompile(`^[0-9a-f]+$`)

// judged reports whether something else tells of a comment.
func judged(key, text string) bool {
	form := judgedForms[key]
	return slices.Contains(judgedKeys, key) && (form == nil || form.MatchString(text))
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

// commentsDiffer are errors where such a program has another number than `cut` would write, or
// leaves out a caution of the safety table; and one warning of all that it says beside.
func (d *Tried) commentsDiffer(w *sheetWork, p *plan.Plan, rules []safety.Rules, said, own map[string][]string) (found finding.List) {
	var other []string
	scaled := !slices.Equal(said["scale"], own["scale"]) // told with the profile's numbers; where the moves go follows from it
	for _, key := range slices.Sorted(maps.Keys(said)) {
		for _, text := range said[key] {
			switch {
			case text == "" || judged(key, text) || scaled && slices.Contains(scaledKeys, key) || says(own[key], text):
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
	for _, key := range aimKeys {
		if len(own[key]) > len(said[key]) {
			found = append(found, d.aimMissing(key+": "+strings.Join(own[key], ", ")))
		}
	}
	if len(other) > 0 {
		found = append(found, d.notWritten(other, "the opening comments say that this program was written here, and "+are(len(other))))
	}
	return append(found, d.cautionsMissing(w, p, rules, said["caution"])...)
}

// notWritten is a warning of comments that `cut` does not write.
func (d *Tried) notWritten(texts []string, saying string) finding.Finding {
	line := lineOf(d.trial.Text, texts[0])
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

// aimMissing tells a program that does not say which way its blade points before it runs: nothing in its moves does.
func (d *Tried) aimMissing(text string) finding.Finding {
	return finding.Finding{
		Rule: "aim-missing", Where: d.trial.Name, Message: fmt.Sprintf("its comments leave out how the blade has to stand: %q", text),
		Hint: "write it there again, or make the program again with `traywright cut`",
	}
}

// cautionsMissing are the cautions that are not said: an error each of the safety table, and a
// warning each of the owner's rules, which may be newer.
func (d *Tried) cautionsMissing(w *sheetWork, p *plan.Plan, rules []safety.Rules, said []string) (found finding.List) {
	uses := w.uses(p.Machine)
	as := func(rules []safety.Rules) []string { // as a program's comments say them
		h := gcode.Header{Cautions: safety.Cautions(uses, rules)}
		return sayings(gcode.Opening(w.program, w.stats, h, w.sheet.On(p.Machine)))["caution"]
	}
	table := as(nil)
	for _, text := range as(rules) {
		if says(placeless(said), placeless([]string{text})[0]) {
			continue
		}
		f := finding.Finding{
			Severity: finding.Warning, Rule: "caution-missing", Where: d.trial.Name,
			Message: fmt.Sprintf("its comments leave out a caution: %q", text),
			Hint:    "make the program again with `traywright cut`, and heed the cut sheet until then",
		}
		if says(table, text) {
			f.Severity = finding.Error
		}
		found = append(found, f)
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
