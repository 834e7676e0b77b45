package arrange

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/profiles"
)

// FileName is the arrangement's own, beside its job.
const FileName = "arrangement.yaml"

// The first lines of an arrangement: whose it is, and what it was made from.
const (
	jobMark  = "# of job: "
	madeMark = "# made from: "
)

// Fingerprint is a sum of all in a job that an arrangement depends on: the
// roster's measures, trays with the labels and emblems on their foam, cases and
// defaults, without names, weights and places in files.
func Fingerprint(j *job.Job, process profiles.Process) string {
	plain := struct {
		Units    any
		Process  profiles.Process
		Roster   []job.Piece
		Defaults job.Tray
		Trays    []job.Tray
		Cases    []job.Case
		Said     []job.Layer `json:",omitempty"` // of sheets that are chosen: arrangements were made once that had none of it
	}{Units: j.Units, Process: process, Roster: slices.Clone(j.Roster), Cases: slices.Clone(j.Cases)}
	for i := range plain.Roster {
		p := &plain.Roster[i]
		p.Position, p.Name, p.WeightG = finding.Position{}, "", 0
	}
	chooses := slices.ContainsFunc(j.Cases, func(c job.Case) bool { return len(c.Stack) == 0 })
	plain.Defaults = bare(j.Defaults, chooses)
	for _, l := range plain.Defaults.Layers {
		if chooses && (l.Measured > 0 || l.ZZero != "") {
			plain.Said = append(plain.Said, l)
		}
	}
	for _, t := range j.Trays {
		plain.Trays = append(plain.Trays, bare(t, chooses))
	}
	for i := range plain.Cases {
		c := &plain.Cases[i]
		c.Position, c.Inside.Position, c.StackPositions, c.Copies = finding.Position{}, finding.Position{}, nil, 0
	}
	text, err := json.Marshal(plain)
	if err != nil {
		return "" // never of plain values; and it fits nothing
	}
	return job.Digest(text)
}

// bare is a tray without what does not matter to its arrangement; how high its sheets really are does where a stack is chosen,
// and that the defaults count before a case where trays are.
func bare(t job.Tray, chooses bool) job.Tray {
	t.Position = finding.Position{}
	t.OwnCorner, t.OwnEase = t.OwnCorner && chooses, t.OwnEase && chooses
	if len(t.Labels) == 0 {
		t.Label = ""
	}
	t.Layers, t.Pockets = slices.Clone(t.Layers), slices.Clone(t.Pockets)
	t.Labels, t.Emblems = slices.Clone(t.Labels), slices.Clone(t.Emblems)
	for i := range t.Layers {
		t.Layers[i].Position = finding.Position{}
		if !chooses {
			t.Layers[i].Measured = 0
		}
	}
	for i := range t.Pockets {
		t.Pockets[i].Position = finding.Position{}
	}
	for i := range t.Labels {
		t.Labels[i].Position = finding.Position{}
	}
	for i := range t.Emblems {
		t.Emblems[i].Position = finding.Position{}
	}
	return t
}

// MadeFrom is the fingerprint of the job that an arrangement file was made
// from, "" where it has none.
func MadeFrom(text []byte) string { return marked(text, madeMark) }

// JobOf is the file name of the job that an arrangement file was made from, ""
// where it has none.
func JobOf(text []byte) string { return marked(text, jobMark) }

// marked is the rest of the first line that begins with a mark.
func marked(text []byte, mark string) string {
	for line := range strings.Lines(string(text)) {
		if rest, ok := strings.CutPrefix(line, mark); ok {
			return strings.TrimSpace(rest)
		}
		if !strings.HasPrefix(line, "#") {
			break
		}
	}
	return ""
}

// Apply fills an arrangement into the job that it was made from: the pockets of
// trays that hold pieces, the trays that were chosen, and the stacks. All else
// stays as the job has it.
func Apply(j, arrangement *job.Job) *job.Job {
	out := *j
	out.Trays, out.Cases = slices.Clone(j.Trays), slices.Clone(j.Cases)
	for _, t := range arrangement.Trays {
		i := trayAt(out.Trays, t.ID)
		switch {
		case i < 0:
			if t.Label != "" { // it may change; a filler has none
				t.Label = cmp.Or(j.Defaults.Label, t.Label)
			}
			out.Trays = append(out.Trays, t)
		case len(out.Trays[i].Holds) > 0:
			out.Trays[i].Pockets, out.Trays[i].Holds = t.Pockets, nil
		default:
			takeTurns(&out.Trays[i], t)
		}
	}
	for i := range out.Cases {
		c := &out.Cases[i]
		at := caseAt(arrangement.Cases, c.Name)
		if len(c.Stack) == 0 && at >= 0 {
			c.Stack, c.StackPositions = arrangement.Cases[at].Stack, arrangement.Cases[at].StackPositions
		}
	}
	markChosen(&out, j)
	return &out
}

// markChosen notes what of an arranged job is not in the job itself, so that hints name
// what can be changed there.
func markChosen(out, j *job.Job) {
	for i := range out.Trays {
		t := &out.Trays[i]
		at := trayAt(j.Trays, t.ID)
		asked, begin := "on its tray", 0
		switch {
		case at < 0:
			t.Chosen, asked = true, "under `tray_defaults`"
		case len(j.Trays[at].Holds) == 0:
			continue
		default:
			begin = len(j.Trays[at].Pockets)
		}
		t.Pockets = slices.Clone(t.Pockets)
		for k := begin; k < len(t.Pockets); k++ {
			t.Pockets[k].Asked = asked
		}
	}
	for i := range out.Cases {
		out.Cases[i].Chosen = i < len(j.Cases) && len(j.Cases[i].Stack) == 0
	}
}
