package arrange

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// renamed is the earlier arrangement with its cases and trays called as the job calls them now, where it is certain which is
// which: one that is gone and one that is new have all else in common, and neither has it with another. Told are those
// in which something is pinned.
func (in Input) renamed() (*job.Job, finding.List) {
	if in.Previous == nil {
		return nil, nil
	}
	r := renaming{Input: in}
	out := *in.Previous
	out.Trays, out.Cases = slices.Clone(out.Trays), slices.Clone(out.Cases)
	r.out = &out
	for _, p := range pairs(len(out.Cases), len(in.Job.Cases), r.sameCase) {
		r.renameCase(p[0], &in.Job.Cases[p[1]])
	}
	for _, p := range pairs(len(out.Trays), len(in.Job.Trays), r.sameTray) {
		was, now := out.Trays[p[0]].ID, &in.Job.Trays[p[1]]
		r.tell(now.Position, "tray "+now.ID, was, was)
		r.renameTray(was, now.ID)
	}
	return r.out, r.found
}

// pairs are those of so many things before and after that are the same, where that can be said of one alone.
func pairs(before, after int, same func(o, n int) bool) (list [][2]int) {
	for o := range before {
		for n := range after {
			only := same(o, n)
			for other := 0; only && other < max(before, after); other++ {
				only = (other >= before || other == o || !same(other, n)) && (other >= after || other == n || !same(o, other))
			}
			if only {
				list = append(list, [2]int{o, n})
			}
		}
	}
	return list
}

type renaming struct {
	Input
	out   *job.Job
	found finding.List
}

// sameCase reports whether a case that is gone may be one that is new: of the same size, and for what was in it.
func (r *renaming) sameCase(o, n int) bool {
	old, now := r.Previous.Cases[o], r.Job.Cases[n]
	a, b := old.Inside, now.Inside
	a.Position, b.Position = finding.Position{}, finding.Position{}
	if a != b || len(now.Stack) > 0 || caseAt(r.Job.Cases, old.Name) >= 0 || caseAt(r.Previous.Cases, now.Name) >= 0 {
		return false
	}
	return !slices.ContainsFunc(old.Stack, func(id string) bool {
		return !r.chosenTray(id) && trayAt(r.Job.Trays, id) < 0
	}) && (len(now.Holds) == 0 || r.holdsAll(old.Stack, now.Holds))
}

// sameTray reports whether a tray of the job that is gone may be one that is new.
func (r *renaming) sameTray(o, n int) bool {
	old, now := r.out.Trays[o], r.Job.Trays[n]
	if trayAt(r.Job.Trays, old.ID) >= 0 || trayAt(r.out.Trays, now.ID) >= 0 || r.chosenTray(old.ID) || len(now.Holds) == 0 {
		return false
	}
	return old.Length == now.Length && old.Width == now.Width && sameSheets(old.Layers, now.Layers) && r.holdsAll([]string{old.ID}, now.Holds)
}

// chosenTray reports whether an earlier tray is called as those are that are chosen for a case.
func (r *renaming) chosenTray(id string) bool {
	return slices.ContainsFunc(append(slices.Clip(r.Previous.Cases), r.out.Cases...), func(c job.Case) bool {
		return strings.HasPrefix(id, job.Slug(c.Name)+"-")
	})
}

// holdsAll reports whether all that has a pocket in these trays is a piece that is named, or of a group that is.
func (r *renaming) holdsAll(trays, names []string) bool {
	for _, t := range r.out.Trays {
		for _, k := range t.Pockets {
			at := slices.IndexFunc(r.Job.Roster, func(p job.Piece) bool { return p.ID == k.For })
			if slices.Contains(trays, t.ID) && at >= 0 && !slices.Contains(names, k.For) && !slices.Contains(names, r.Job.Roster[at].Group) {
				return false
			}
		}
	}
	return true
}

// renameCase calls an earlier case, and the trays that were chosen for it, as they are called now.
func (r *renaming) renameCase(o int, now *job.Case) {
	c := &r.out.Cases[o]
	was, is := job.Slug(c.Name)+"-", job.Slug(now.Name)+"-"
	stack := slices.Clone(c.Stack)
	r.tell(now.Position, fmt.Sprintf("case %q", now.Name), c.Name, stack...)
	c.Name = now.Name
	for _, id := range stack {
		if rest, chosen := strings.CutPrefix(id, was); chosen {
			r.renameTray(id, is+rest)
		}
	}
}

// renameTray calls an earlier tray otherwise, unless another is called so.
func (r *renaming) renameTray(was, is string) {
	if trayAt(r.out.Trays, is) >= 0 {
		return
	}
	if i := trayAt(r.out.Trays, was); i >= 0 {
		r.out.Trays[i].ID = is
	}
	for i := range r.out.Cases {
		c := &r.out.Cases[i]
		c.Stack = slices.Clone(c.Stack)
		for k := range c.Stack {
			if c.Stack[k] == was {
				c.Stack[k] = is
			}
		}
	}
}

// tell notes what is taken for what, where pins depend on it.
func (r *renaming) tell(at finding.Position, now, was string, trays ...string) {
	n := 0
	for _, t := range r.out.Trays {
		if slices.Contains(trays, t.ID) {
			n += len(r.pinned(t.Pockets))
		}
	}
	if n > 0 {
		r.found = append(r.found, finding.Finding{Severity: finding.Note, Rule: "taken-for", Where: at.String(),
			Message: fmt.Sprintf("%s is taken for %s of the earlier arrangement, which is gone and was like it: what is pinned there stays", now, was),
			Hint:    "nothing to do where it was renamed; else arrange afresh with --force"})
	}
}
