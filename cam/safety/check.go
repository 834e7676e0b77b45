package safety

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/profiles"
)

// Check holds every use against the safety table and the rules, and the rules
// against what is known. An error refuses the job. Each finding that a rule
// decided names the rule's file and line.
func Check(uses []Use, c *profiles.Catalog, rules []Rules) finding.List {
	if c == nil {
		c = &profiles.Catalog{}
	}
	var found finding.List
	for _, r := range rules {
		found = append(found, checkRules(r, c)...)
	}
	for _, u := range uses {
		found = append(found, checkUse(u, c, rules)...)
	}
	found = append(found, tellWeak(uses, c, rules)...)
	return append(found, tellRequires(uses, rules)...)
}

// checkUse holds one use against the table and the rules. What no permit opens is
// said once, and nothing beside it: whatever else is wrong could be put right, and
// that would be of no use.
func checkUse(u Use, c *profiles.Catalog, rules []Rules) finding.List {
	if f, refused := Refusal(u, c); refused {
		return finding.List{f}
	}
	found := checkSpoken(u, c, rules)
	if found.Failed() {
		return found
	}
	found = append(found, checkTable(u, c.Safety(u.Foam.Kind, u.Machine.Process), rules)...)
	found = append(found, checkForbids(u, c, rules)...)
	return append(found, checkDepth(u, rules)...)
}

// Barred reports whether a foam may not go under a machine whatever permits there
// are: the table refuses it, or its profile speaks of another chemistry and nobody
// vouches for it.
func Barred(u Use, c *profiles.Catalog, rules []Rules) bool {
	_, refused := Refusal(u, c)
	return refused || checkSpoken(u, c, rules).Failed()
}

// Refusal is why a use is refused whoever asks, and whether it is. An answer of
// the table that is none of the known ones refuses.
func Refusal(u Use, c *profiles.Catalog) (finding.Finding, bool) {
	switch v := c.Safety(u.Foam.Kind, u.Machine.Process); v.Answer {
	default:
		return refusal(u, v, c), true
	case profiles.Allowed, profiles.Caution, profiles.OwnerWord:
	}
	if !u.Block || !hot(u.Machine.Process) {
		return finding.Finding{}, false
	}
	return finding.Finding{
		Rule: "glued-block", Where: u.Where,
		Message: u.what() + " is refused as a glued block: nobody can say what the glue gives off, and it burns",
		Hint:    "no permit opens this; cut sheets and glue them afterwards, or cut the block with a router",
	}, true
}

// what names a foam under a process; either may have been left unnamed.
func (u Use) what() string {
	foam, machine := u.Foam.ID, "machine "+u.Machine.ID
	if foam == "" {
		foam = "a foam that nobody has named"
	}
	if u.Machine.ID == "" {
		machine = "no machine is named"
	}
	return fmt.Sprintf("%s under %s (%s)", foam, theProcess(u.Machine.Process), machine)
}

// unnamed is what would name what has been left unnamed, or "".
func (u Use) unnamed() string {
	switch {
	case u.Foam.ID == "" && u.Machine.ID == "":
		return "if they are known, say which they are, with --foam NAME and --machine NAME"
	case u.Foam.ID == "":
		return "if it is known, say which it is with --foam NAME"
	case u.Machine.ID == "":
		return "say which machine it is for with --machine NAME"
	}
	return ""
}

func theProcess(p profiles.Process) string {
	switch p {
	case profiles.HotWire:
		return "a hot wire"
	case "":
		return "an unknown process"
	}
	return "a " + string(p)
}

// checkTable is what the table says of what it does not refuse, and the permits
// that it asks for.
func checkTable(u Use, v profiles.Verdict, rules []Rules) finding.List {
	switch {
	case v.Answer == profiles.OwnerWord:
		return checkPermits(u, v, rules)
	case u.unnamed() != "":
		return finding.List{{
			Severity: finding.Warning, Rule: "not-named", Where: u.Where,
			Message: fmt.Sprintf("%s: judged by what is known of it, which is less than the person at the machine has to know: %s", u.what(), v.Reason), Hint: u.unnamed(),
		}}
	case v.Answer == profiles.Caution:
		return finding.List{{
			Severity: finding.Warning, Rule: "caution", Where: u.Where,
			Message: u.what() + ": " + v.Reason + " (" + sources(v) + ")", Hint: "take the care that the cut sheet lists",
		}}
	}
	return nil
}

// hot is whether foam gets hot by itself under a process.
func hot(p profiles.Process) bool { return p.Traits().Hot }

func sources(v profiles.Verdict) string {
	s := "source: " + v.Source
	if v.Mark != "read" && v.Mark != "" && !strings.Contains(v.Source, v.Mark) {
		s += ", " + v.Mark
	}
	return s
}

func refusal(u Use, v profiles.Verdict, c *profiles.Catalog) finding.Finding {
	message := fmt.Sprintf("%s is refused: %s", u.what(), v.Reason)
	if v.Products != "" && hot(u.Machine.Process) {
		message += "; heat gives " + v.Products
	}
	hint := "no permit opens this; choose another foam or another machine, such as a knife or a router"
	if own, other := u.ownTool(); other != "" && c.Safety(u.Foam.Kind, profiles.Hand).Answer != profiles.Refused {
		hint = fmt.Sprintf("no permit opens this; take out `tool: %s`: %s cuts it with the %s", other, u.Machine.ID, own)
	}
	if name := u.unnamed(); name != "" {
		hint = "no permit opens this; " + name
	}
	return finding.Finding{Rule: "foam-refused", Where: u.Where, Message: message + " (" + sources(v) + ")", Hint: hint}
}

// ownTool is the tool of the machine's own process, and the one by whose process it cuts here
// instead; "" where it cuts by its own, or has no tool for that.
func (u Use) ownTool() (own, other string) {
	for _, t := range u.Machine.Tools {
		switch {
		case !t.ByAnother() && own == "":
			own = t.ID
		case t.ByAnother() && u.Machine.With(t).CutsLike(u.Machine):
			other = t.ID
		}
	}
	if own == "" {
		return "", ""
	}
	return own, other
}

// checkPermits looks for the owner's word. Every permit that covers the use
// is told, because the conditions of all of them hold.
func checkPermits(u Use, v profiles.Verdict, rules []Rules) finding.List {
	var found finding.List
	for _, r := range rules {
		for _, p := range r.Permits {
			if p.covers(u) {
				found = append(found, finding.Finding{
					Severity: finding.Warning, Boxed: true, Rule: "permitted", Where: u.Where,
					Message: fmt.Sprintf("%s: %s; permitted by %s, when: %s", u.what(), v.Reason, r.rule(p.Line), p.When),
					Hint:    "cut only while every condition is met",
				})
			}
		}
	}
	if len(found) > 0 {
		return found
	}
	return finding.List{{
		Rule: "owners-word-needed", Where: u.Where,
		Message: fmt.Sprintf("%s needs the word of the machine's owner in the shop rules: %s (%s)", u.what(), v.Reason, sources(v)),
		Hint: fmt.Sprintf(`ask the owner for this line under permits in the shop rules (that is a file which the job names, or --shop-rules), with conditions in words in the place of the dots: - {foam: %s, process: %s, when: "..."}`,
			u.Foam.ID, u.Machine.Process),
	}}
}

// tellRequires says what the owners ask for before these uses, a note each.
func tellRequires(uses []Use, rules []Rules) finding.List {
	var found finding.List
	for _, r := range rules {
		for _, q := range r.Requires {
			if slices.ContainsFunc(uses, q.covers) {
				found = append(found, finding.Finding{
					Severity: finding.Note, Boxed: true, Rule: "required", Where: fmt.Sprintf("%s:%d", r.File, q.Line), Message: "required before a cut" + by(r.Owner) + ": " + q.What,
					Hint: "it is a box to tick on the cut sheet",
				})
			}
		}
	}
	return found
}

func by(owner string) string {
	if owner == "" {
		return ""
	}
	return " by " + owner
}

// checkDepth refuses what is deeper than the strictest limit.
func checkDepth(u Use, rules []Rules) finding.List {
	least, rule := strictest(rules, func(l Limits) float64 {
		if !l.cover(u.Foam.ID, u.Machine) {
			return 0
		}
		return l.DepthMM
	})
	if least == 0 || u.DepthMM <= least {
		return nil
	}
	return finding.List{{
		Rule: "too-deep", Where: u.Where,
		Message: fmt.Sprintf("%s: a cut of %.2f mm is deeper than the %.2f mm that %s allows", u.what(), u.DepthMM, least, rule),
		Hint:    "use thinner sheets",
	}}
}

// strictest is the least limit above 0, and the rule that it is from; 0 when
// there is none.
func strictest(rules []Rules, limit func(Limits) float64) (least float64, rule string) {
	for _, r := range rules {
		for _, l := range r.Limits {
			if n := limit(l); n > 0 && (least == 0 || n < least) {
				least, rule = n, r.rule(l.Line)
			}
		}
	}
	return least, rule
}
