package arrange

import (
	"fmt"
	"maps"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// model is what a tray chosen for a case begins as.
func (m *maker) model(c *job.Case) job.Tray {
	t := m.Job.Defaults
	t.Position, t.Holds, t.Pockets, t.Halves, t.Chosen = c.Position, nil, nil, 1, true
	t.Length, t.Width, t.Rounding = c.Inside.Length, c.Inside.Width, c.Inside.Corner
	if !t.OwnCorner {
		t.Corner = c.Inside.Corner
	}
	if !t.OwnEase {
		t.Ease = c.Inside.Ease
	}
	t.OwnCorner, t.OwnEase = false, false
	m.keepLabelsFree(c, t)
	return t
}

// widestNumbers are the numbers of chosen trays that room for labels is kept
// for: no other of one or of two digits is drawn wider.
var widestNumbers = []int{8, 28}

// keepLabelsFree notes the room that labels and emblems take in the trays that
// will be chosen for a case.
func (m *maker) keepLabelsFree(c *job.Case, model job.Tray) {
	if _, known := m.taken[caseKey(c)]; known {
		return
	}
	j := *m.Job
	one := *c
	one.Stack, j.Trays = nil, nil
	if len(model.Labels)+len(model.Emblems) > 0 {
		for _, n := range widestNumbers {
			t := model
			m.name(&t, c, n)
			one.Stack, j.Trays = append(one.Stack, t.ID), append(j.Trays, t)
		}
	}
	one.StackPositions, j.Cases = make([]finding.Position, len(one.Stack)), []job.Case{one}
	m.taken[caseKey(c)] = nil
	for _, t := range m.planOf(&j).Trays {
		m.taken[caseKey(c)] = append(m.taken[caseKey(c)], takenIn(t)...)
	}
}

// caseKey is where maker.taken has the trays of a case: no tray has such an id.
func caseKey(c *job.Case) string { return "case " + c.Name }

// reuse finds trays of the job that go into a case: those whose pieces are all
// wanted, one without pockets as the cover, and whatever is made for this case alone.
func (k *choosing) reuse(wanted []*job.Piece) {
	have := map[string]int{}
	for i := range k.out.Trays {
		t := &k.out.Trays[i]
		if t.Length != k.c.Inside.Length || t.Width != k.c.Inside.Width {
			continue
		}
		own := t.Case == k.c.Name
		if t.Case != "" && !own || t.Chosen && t.Each {
			continue
		}
		if len(t.Pockets) == 0 {
			if k.ownCover && t.Chosen && !own {
				continue
			}
			switch first := len(k.cover) == 0; {
			case own && !first && k.cover[0].Case == "":
				k.cover[0] = t
			case own || first:
				k.cover = append(k.cover, t)
			}
			continue
		}
		fits := len(k.holds[t.ID]) > 0
		for _, id := range slices.Sorted(maps.Keys(k.holds[t.ID])) {
			p := k.pieces[id]
			fits = fits && p != nil && slices.Contains(wanted, p) && have[id] < p.Count
		}
		if !fits && !own {
			continue
		}
		for id, n := range k.holds[t.ID] {
			have[id] += n
		}
		k.reused = append(k.reused, t)
	}
}

// name gives the n-th tray chosen for a case its id and its label.
func (m *maker) name(t *job.Tray, c *job.Case, n int) {
	t.ID = fmt.Sprintf("%s-tray-%d", job.Slug(c.Name), n)
	if t.Label == "" {
		t.Label = fmt.Sprintf("%s %d", m.caseLabel(), n)
	}
}

// caseLabel is the label of what is chosen for a case: without the game where the job names none.
func (m *maker) caseLabel() string {
	if m.Job.Game == "" {
		return "{case}"
	}
	return "{game} {case}"
}

// freshID is an id that no tray has.
func (m *maker) freshID(id string) string {
	taken := func(id string) bool {
		return slices.ContainsFunc(m.out.Trays, func(t job.Tray) bool {
			return t.ID == id || t.Halves == 2 && (id == t.ID+"-1" || id == t.ID+"-2")
		})
	}
	for i := 2; taken(id); i++ {
		if next := fmt.Sprintf("%s-%d", id, i); !taken(next) {
			return next
		}
	}
	return id
}
