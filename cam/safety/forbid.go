package safety

import (
	"fmt"
	"slices"

	"traywright/cam/finding"
	"traywright/profiles"
)

// checkForbids tells of every rule that shuts a use out, and of those that would if
// they did not go by a name alone, which a copy gets by.
func checkForbids(u Use, c *profiles.Catalog, rules []Rules) finding.List {
	var found finding.List
	for _, r := range rules {
		kinds := kindsOf(u, c, []Rules{r}) // who forbids listens to nobody else's vouch
		for _, f := range r.Forbids {
			switch i := slices.IndexFunc(kinds, func(kind string) bool { return f.covers(u.as(kind)) }); {
			case i == 0:
				found = append(found, forbidden(u, r.rule(f.Line), ""))
			case i > 0:
				found = append(found, forbidden(u, r.rule(f.Line), fmt.Sprintf(", for its profile speaks of %s", kinds[i])))
			default:
				found = append(found, f.checkCopy(u, kinds, c, r.rule(f.Line))...)
			}
		}
	}
	return found
}

// kindsOf are the chemistries that a foam may be: the one that it states, then those
// that its profile speaks of and nobody has vouched that it is not.
func kindsOf(u Use, c *profiles.Catalog, rules []Rules) []string {
	kinds := []string{u.Foam.Kind}
	for _, s := range c.Speaks(u.Foam) {
		if s.Kind != u.Foam.Kind && vouchedBy(u, s.Kind, rules) == "" {
			kinds = append(kinds, s.Kind)
		}
	}
	return kinds
}

// as is the use of a foam of another kind.
func (u Use) as(kind string) Use {
	u.Foam.Kind = kind
	return u
}

func forbidden(u Use, rule, why string) finding.Finding {
	hint := "choose another foam or another machine; the line is for whoever wrote it to change"
	if name := u.unnamed(); name != "" {
		hint = "it may be what the line forbids; " + name
	}
	return finding.Finding{Rule: "forbidden", Where: u.Where, Message: fmt.Sprintf("%s is forbidden by %s%s", u.what(), rule, why), Hint: hint}
}

// checkCopy tells of a use that a rule would shut out if it forbade the kind of the
// foam that it names, or the process of the machine.
func (f Forbid) checkCopy(u Use, kinds []string, c *profiles.Catalog, rule string) finding.List {
	warn := func(message, hint string) finding.List {
		return finding.List{{
			Severity: finding.Warning, Rule: "like-what-is-forbidden", Where: u.Where, Message: u.what() + " " + message + ", which " + rule + " forbids by its name alone",
			Hint: "see that this is not the same under another name; owners who mean " + hint,
		}}
	}
	like := f
	if foam, known := c.Foam(f.Foam); known && foam.ID != u.Foam.ID && slices.Contains(kinds, foam.Kind) {
		if like.Foam = ""; like.covers(u) {
			return warn(fmt.Sprintf("is of the kind %s, as is %s", foam.Kind, foam.ID), "the chemistry forbid its kind, as in forbids: [{kind: "+foam.Kind+"}]")
		}
	}
	like = f
	if m, known := c.Machine(f.Machine); known && m.ID != u.Machine.ID && u.Machine.CutsBy(m.Process) {
		if like.Machine = ""; like.covers(u) {
			return warn(fmt.Sprintf("is on a %s, as is %s", m.Process, m.ID), fmt.Sprintf("every machine of its sort forbid the process, as in forbids: [{process: %s}]", m.Process))
		}
	}
	return nil
}
