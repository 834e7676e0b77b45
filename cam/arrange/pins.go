package arrange

import (
	"fmt"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// pinning sorts out which pockets of the earlier arrangement stay where a person has them: those of the
// job's own trays become pockets of the job, the others are kept by the id of their chosen tray.
type pinning struct {
	Input
	job    *job.Job
	chosen map[string][]job.Pocket
	all    map[finding.Position]pinned // by their lines
	found  finding.List
}

// pinned is a pocket that stays, and the tray that it is in.
type pinned struct {
	job.Pocket
	tray *job.Tray
}

// pin notes all pins of the earlier arrangement.
func pin(in Input) *pinning {
	j := *in.Job
	p := &pinning{Input: in, job: &j, chosen: map[string][]job.Pocket{}, all: map[finding.Position]pinned{}}
	if in.Previous == nil {
		return p
	}
	j.Trays = slices.Clone(j.Trays)
	for o, old := range in.Previous.Trays {
		i := trayAt(j.Trays, old.ID)
		rest, gone := notOwn(old.Pockets, in.Job, i)
		for _, k := range in.pinned(rest) {
			k.Pin = true
			p.all[k.Position] = pinned{k, &in.Previous.Trays[o]}
			p.place(old.ID, i, k, in.Touched[k.Position.Line] && slices.Contains(gone, k.For))
		}
	}
	return p
}

// place pins a pocket in its tray, the i-th of the job where that is not below 0. Own says that the
// job places a pocket for the same itself, and elsewhere.
func (p *pinning) place(tray string, i int, k job.Pocket, own bool) {
	switch {
	case i >= 0 && (own || len(p.job.Trays[i].Holds) == 0):
		p.wrong(k, fmt.Sprintf("tray %s: this pocket is not where %s has it, which places it itself", tray, p.Input.Job.File),
			"change it in "+p.Input.Job.File+", and give it the same place here")
	case i >= 0:
		p.job.Trays[i].Pockets = append(slices.Clip(p.job.Trays[i].Pockets), k)
	case slices.ContainsFunc(p.job.Cases, func(c job.Case) bool { return slices.Contains(p.stackOf(c), tray) }):
		p.chosen[tray] = append(p.chosen[tray], k)
	default:
		p.wrong(k, fmt.Sprintf("tray %s: this pocket is pinned, and no case of %s is to have this tray any more", tray, p.Input.Job.File),
			p.calledBefore(tray)+"take its line out here, and `arrange` finds its piece a place")
	}
}

// calledBefore says how a tray's pins stay where the case that it was chosen for is gone: nobody can tell which it is now.
func (p *pinning) calledBefore(tray string) string {
	for _, c := range p.Previous.Cases {
		if caseAt(p.job.Cases, c.Name) < 0 && slices.Contains(c.Stack, tray) {
			return fmt.Sprintf("no case is called %q any more: give the one that it was that name in %s again, and its pins stay; or ", c.Name, p.Input.Job.File)
		}
	}
	return ""
}

func (p *pinning) wrong(k job.Pocket, message, hint string) {
	p.found = append(p.found, finding.Finding{Severity: finding.Error, Rule: "pinned-elsewhere", Where: k.Position.String(), Message: message, Hint: hint})
}

// stackOf is the stack that the earlier arrangement chose for a case; none where the job has one, or where the case is now to
// have trays of its own and another before it has one of them.
func (in Input) stackOf(c job.Case) []string {
	if in.Previous == nil || len(c.Stack) > 0 {
		return nil
	}
	var before []string
	for _, d := range in.Previous.Cases {
		if d.Name != c.Name {
			before = append(before, d.Stack...)
			continue
		}
		if in.Job.Defaults.Each && slices.ContainsFunc(d.Stack, func(id string) bool {
			return trayAt(in.Job.Trays, id) < 0 && slices.Contains(before, id)
		}) {
			return nil
		}
		return d.Stack
	}
	return nil
}

// notOwn are pockets of an earlier arrangement that are no copies of those which the job itself has in
// its i-th tray; all of them where it has no such tray. Gone is what those pockets of the job are for
// that have no copy any more.
func notOwn(pockets []job.Pocket, j *job.Job, i int) (rest []job.Pocket, gone []string) {
	if i < 0 {
		return pockets, nil
	}
	copies := map[string]int{}
	for _, p := range pockets {
		copies[placeKey(p)]++
	}
	own := map[string]int{}
	for _, p := range j.Trays[i].Pockets {
		k := placeKey(p)
		if own[k]++; own[k] > copies[k] {
			gone = append(gone, p.For)
		}
	}
	for _, p := range pockets {
		if k := placeKey(p); own[k] > 0 {
			own[k]--
			continue
		}
		rest = append(rest, p)
	}
	return rest, gone
}

// placeKey is where a pocket is and what for: die at 115 mm is not die1 at 15 mm.
func placeKey(p job.Pocket) string {
	return fmt.Sprintln(p.For, p.X, p.Y, p.Shape, p.Length, p.Width, p.Diameter, p.OutlineFile, p.Turn, max(1, p.Columns), max(1, p.Rows), p.PitchX, p.PitchY)
}
