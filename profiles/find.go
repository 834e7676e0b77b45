package profiles

import (
	"fmt"
	"strings"

	"traywright/cam/finding"
)

// FindMachine looks up the machine that somebody named in a place, such as
// "job.yaml:3:10" or "--machine". A name that nobody knows is the finding then, and
// counts as an input that cannot be read; it names the nearest where one is near.
func (c *Catalog) FindMachine(name, where string) (Machine, finding.List) {
	if m, ok := c.Machine(name); ok {
		return m, nil
	}
	f := unknown("machine", name, where, sortedKeys(c.machines))
	if like := c.ofProcess(name); len(like) > 0 {
		f.Hint = "did you mean " + strings.Join(like, " or ") + "? " + f.Hint
	}
	return Machine{}, finding.List{f}
}

// ofProcess are the machines of a process, for whoever names that where a machine is asked for.
func (c *Catalog) ofProcess(name string) (list []string) {
	for _, m := range c.Machines() {
		if strings.EqualFold(string(m.Process), name) {
			list = append(list, m.ID)
		}
	}
	return list
}

// FindFoam looks up a foam, as FindMachine does a machine.
func (c *Catalog) FindFoam(name, where string) (Foam, finding.List) {
	if f, ok := c.Foam(name); ok {
		return f, nil
	}
	return Foam{}, finding.List{unknown("foam", name, where, sortedKeys(c.foams))}
}

func unknown(what, name, where string, known []string) finding.Finding {
	hint := fmt.Sprintf("`traywright profiles` lists the %ss; --profiles adds your own", what)
	if ask := finding.DidYouMean(name, known); ask != "" {
		hint = ask + " " + hint
	}
	return finding.Finding{Unread: true, Rule: "unknown-" + what, Where: where, Message: fmt.Sprintf("there is no %s %q", what, name), Hint: hint}
}
