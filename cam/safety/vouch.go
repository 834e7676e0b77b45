package safety

import (
	"fmt"
	"slices"

	"traywright/cam/finding"
	"traywright/profiles"
)

// A foam whose row speaks of another chemistry than it states (its name says
// vinyl, its kind is pe) is one of two things: mislabelled, or a lie. Where the
// table is stricter for what it speaks of, nothing is cut until the owner has
// vouched for the kind, naming both and how they know. A vouch opens nothing else:
// the foam is then judged by its kind, with all that the table asks for it.

// contradictions are the chemistries that a foam speaks of, and that the table is
// stricter about, under this process, than about the kind that it states. Of a word
// that may be two of them, one is enough.
func contradictions(u Use, c *profiles.Catalog) []profiles.Spoken {
	own := c.Safety(u.Foam.Kind, u.Machine.Process)
	against := slices.DeleteFunc(c.Speaks(u.Foam), func(s profiles.Spoken) bool {
		return !stricter(c.Safety(s.Kind, u.Machine.Process).Answer, own.Answer)
	})
	return slices.CompactFunc(against, func(a, b profiles.Spoken) bool { return a.Word == b.Word })
}

// stricter is whether an answer of the table is stricter than another.
func stricter(a, b profiles.Answer) bool {
	order := []profiles.Answer{profiles.Allowed, profiles.Caution, profiles.OwnerWord}
	rank := func(a profiles.Answer) int {
		if i := slices.Index(order, a); i >= 0 {
			return i
		}
		return len(order) // refused, and what nobody knows
	}
	return rank(a) > rank(b)
}

// checkSpoken tells of every contradiction: an error where nobody vouches for the
// kind, and heat or the owner's word is at stake; else a warning.
func checkSpoken(u Use, c *profiles.Catalog, rules []Rules) finding.List {
	var found finding.List
	for _, s := range contradictions(u, c) {
		v := c.Safety(s.Kind, u.Machine.Process)
		f := finding.Finding{
			Rule: "kind-contradicted", Where: u.Where,
			Message: fmt.Sprintf("%s: its profile speaks of %q, which is %s, and says kind: %s; %s is %s under %s: %s (%s)",
				u.what(), s.Word, s.Kind, u.Foam.Kind, s.Kind, answerText(v.Answer), theProcess(u.Machine.Process), v.Reason, sources(v)),
			Hint: fmt.Sprintf(`if it is %s, write kind: %[1]s; if it is not, the machine's owner vouches for it in the shop rules, with how they know in the place of the dots: vouches: [{foam: %s, is: %s, although: %[1]s, because: "..."}]`,
				s.Kind, u.Foam.ID, u.Foam.Kind),
		}
		switch by := vouchedBy(u, s.Kind, rules); {
		case by != "":
			f.Severity = finding.Warning
			f.Message = fmt.Sprintf("%s: its profile speaks of %q, which is %s; it is taken for %s by %s", u.what(), s.Word, s.Kind, u.Foam.Kind, by)
			f.Hint = "look at the foam and at its data sheet before you cut it"
		case v.Answer == profiles.Caution:
			f.Severity = finding.Warning
		}
		found = append(found, f)
	}
	return found
}

var answers = map[profiles.Answer]string{profiles.Allowed: "allowed", profiles.Caution: "a matter of caution", profiles.OwnerWord: "left to the owner's word"}

func answerText(a profiles.Answer) string {
	if text, ok := answers[a]; ok {
		return text
	}
	return "refused"
}

// vouchedBy is the rule that vouches for a foam's kind although it speaks of
// another, with its reason, or "".
func vouchedBy(u Use, although string, rules []Rules) string {
	for _, r := range rules {
		for _, v := range r.Vouches {
			if v.covers(u) && v.Although == although {
				return fmt.Sprintf("%s, because: %s", r.rule(v.Line), v.Because)
			}
		}
	}
	return ""
}

func (v Vouch) covers(u Use) bool {
	return v.Foam == u.Foam.ID && v.Is == u.Foam.Kind && saysSomething(v.Because)
}

// vouch tells of vouches that open nothing.
func (k *ruleCheck) vouch(v Vouch) {
	at := place{v.Line, v.Column}
	if !k.foam(finding.Warning, at, v.Foam) || !k.kind(finding.Warning, at, v.Is) || !k.kind(finding.Warning, at, v.Although) {
		return
	}
	foam, _ := k.catalog.Foam(v.Foam)
	what := fmt.Sprintf("the vouch for %s", v.Foam)
	switch {
	case foam.Kind != v.Is:
		k.add(finding.Warning, at, "vouch-opens-nothing", fmt.Sprintf("%s opens nothing: its profile says kind: %s, and not %s", what, foam.Kind, v.Is), "look whether the profile has been changed since")
	case !saysSomething(v.Because):
		k.add(finding.Warning, at, "vouch-opens-nothing", fmt.Sprintf("%s opens nothing, because %q says not how anybody knows", what, v.Because),
			`its owner writes because: "..." with how they know, such as "the seller's data sheet says so"; `+needsWords)
	case !slices.ContainsFunc(k.catalog.Speaks(foam), func(s profiles.Spoken) bool { return s.Kind == v.Although }):
		k.add(finding.Note, at, "vouch-not-needed", fmt.Sprintf("%s is not needed: its profile does not speak of %s", what, v.Although), "nothing else depends on it; it may stay")
	}
}
