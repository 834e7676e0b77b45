package arrange

import (
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// fillCases chooses trays for every case without a stack. What makes one too
// low goes on to the next that does not say what it is for, group by group.
func (m *maker) fillCases() {
	wanted := m.share()
	for i := range m.out.Cases {
		c := &m.out.Cases[i]
		if len(c.Stack) > 0 {
			continue
		}
		found, begun := len(m.found), m.done
		m.fillCase(c, wanted[i])
		for next := m.nextOpen(i); next > 0 && m.tooLowSince(found); {
			stay, goOn := lastGroup(wanted[i])
			if len(stay) == 0 {
				break
			}
			wanted[i], wanted[next] = stay, append(goOn, wanted[next]...)
			m.found = m.found[:found]
			m.fillCase(c, stay)
		}
		m.advance(begun + caseParts)
	}
}

// nextOpen is the next case after one that may take what it has no room for; 0
// for none.
func (m *maker) nextOpen(i int) int {
	open := func(c job.Case) bool { return len(c.Stack) == 0 && len(c.Holds) == 0 }
	for k := i + 1; k < len(m.Job.Cases) && open(m.Job.Cases[i]); k++ {
		if open(m.Job.Cases[k]) {
			return k
		}
	}
	return 0
}

func (m *maker) tooLowSince(found int) bool {
	return slices.ContainsFunc(m.found[found:], func(f finding.Finding) bool { return f.Rule == tooLowRule })
}

const tooLowRule = "case-too-low"

// fillCase chooses the trays of one case: trays of the job that hold nothing
// else than what the case is for, then new ones for the rest.
func (m *maker) fillCase(c *job.Case, wanted []*job.Piece) {
	if m.keepCase(c, wanted) {
		return
	}
	reused, cover := m.reuse(c, wanted)
	var rest []kind
	model := m.model(c)
	for _, p := range wanted {
		n := p.Count
		for _, t := range reused {
			n -= m.holds[t.ID][p.ID]
		}
		if n > 0 {
			if k, ok := m.anyDepth(p, n, &model); ok {
				rest = append(rest, k)
			}
		}
	}
	if m.found.Failed() {
		return
	}
	if len(rest) == 0 && len(reused) == 0 {
		m.add(finding.Error, c.Position, "case-without-pieces", "take the case out, or say with `holds` which pieces and groups it is for",
			"case %q: no piece is left for it", c.Name)
		return
	}
	if len(rest) > 0 && len(model.Layers) == 0 {
		m.add(finding.Error, c.Position, "no-layers", "write `layers` under `tray_defaults`: the pad's foam first, the base last",
			"case %q: trays cannot be chosen, because the job does not say of which foams", c.Name)
		return
	}
	above := heightOf(cover)
	if len(cover) == 0 && len(rest) > 0 {
		above = m.leastCover(model)
	}
	trays, bound := m.choose(c, model, rest, heightOf(reused)+above)
	if trays == nil && len(rest) > 0 {
		return
	}
	m.stackCase(c, model, trays, reused, cover, bound)
}
