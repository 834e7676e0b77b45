package arrange

import (
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
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
		begun := m.done
		next := m.nextOpen(i)
		low := m.fillCase(c, wanted[i], next > 0)
		for next > 0 && low.over > 0 {
			stay, goOn := lastGroup(wanted[i])
			if len(stay) == 0 {
				low = m.fillCase(c, wanted[i], false)
				break
			}
			wanted[i], wanted[next] = stay, append(goOn, wanted[next]...)
			low = m.fillCase(c, stay, true)
		}
		if low.over > 0 {
			m.tooLow(c, low)
		}
		m.advance(begun + caseParts)
	}
}

// lack is by how much a case is too low for its trays, cover and bases.
type lack struct {
	over  units.Length
	trays int
}

// fillCase chooses the trays of one case: those of an earlier arrangement, or
// trays of the job that hold nothing else than what the case is for, and new
// ones for the rest. Where the case is too low for them under another case's cover, it gets
// one of its own; where it still is, nothing is done. Where what it has no room for
// can go on, no trays are laid out that their volume alone shows to be too high.
func (m *maker) fillCase(c *job.Case, wanted []*job.Piece, goesOn bool) lack {
	if m.keepCase(c, wanted) {
		return lack{}
	}
	low := m.mendOrChoose(c, wanted, goesOn)
	if low.over > 0 && !goesOn {
		m.ownCover = true
		low = m.mendOrChoose(c, wanted, goesOn)
		m.ownCover = false
	}
	return low
}

// mendOrChoose is fillCase where not all is kept as it is: as much as can be is, or nothing.
func (m *maker) mendOrChoose(c *job.Case, wanted []*job.Piece, goesOn bool) (low lack) {
	before := len(m.found)
	for _, mending := range []bool{true, false} {
		if mending && len(m.stackOf(*c)) == 0 {
			continue
		}
		for _, inches := range []bool{true, false} {
			if inches && m.Job.Units != units.Inch {
				continue
			}
			m.found, m.inches = m.found[:before], inches
			clear(m.toldOf)
			if low = m.chooseTrays(c, wanted, goesOn, mending); len(c.Stack) > 0 { // it is filled
				return low
			}
		}
	}
	return low
}

// chooseTrays chooses them once; mending says that as much as can be is. What is wrong is reported.
func (m *maker) chooseTrays(c *job.Case, wanted []*job.Piece, goesOn, mending bool) lack {
	k := m.begin(c)
	k.mending, k.goesOn = mending, goesOn
	k.reuse(wanted)
	k.leave(wanted)
	k.stand()
	if !k.ready() {
		return lack{}
	}
	if over := k.leastHeight() - k.roomForNew(); goesOn && over > 0 {
		return lack{over: over}
	}
	if !k.layOut() {
		return lack{}
	}
	if mending {
		if k.afresh(c, wanted) < len(k.trays) {
			return lack{}
		}
		k.bound = k.boundOfTrays(c, k.trays, wanted)
	}
	return k.stackUp()
}

// afresh is how many new trays the case takes when it is laid out afresh, where mending it takes more of them than there
// were. Nothing is done.
func (k *choosing) afresh(c *job.Case, wanted []*job.Piece) int {
	if len(k.trays) <= len(k.standing) {
		return len(k.trays)
	}
	n := k.begin(c)
	n.reuse(wanted)
	n.leave(wanted)
	n.stand()
	if !n.layOut() {
		return len(k.trays)
	}
	return len(n.trays)
}

// choosing is a case while its trays are chosen.
type choosing struct {
	*maker
	c             *job.Case
	model         job.Tray     // what a new tray begins as
	pad, under    supply       // of the model's first layer and its last
	base          units.Length // thickness of the sheet under each new pad
	reused, cover []*job.Tray  // trays of the job that go in
	rest          []kind       // what is for new trays
	trays         []chosen     // the new trays
	standing      []chosen     // those of them that an earlier arrangement has begun
	mending       bool         // they keep what they can
	goesOn        bool         // what has no room may go on to another case
	bound         int          // no layout of what is in them has fewer
	padsFor       map[units.Length]units.Length
}

// chosen is a tray while it is chosen for a case.
type chosen struct {
	tray  job.Tray
	f     *filling
	depth units.Length // that its pad needs
	grams float64      // with layers and pieces, pockets not taken off
}

func (m *maker) begin(c *job.Case) *choosing {
	k := &choosing{maker: m, c: c, model: m.model(c), padsFor: map[units.Length]units.Length{}}
	if n := len(k.model.Layers); n > 0 {
		k.pad, k.under = m.stock(0, &k.model), m.stock(n-1, &k.model)
		if n > 1 {
			k.base = k.model.Layers[n-1].Real()
		}
	}
	return k
}

// leave notes what the reused trays leave for new ones.
func (k *choosing) leave(wanted []*job.Piece) {
	for _, p := range wanted {
		n := p.Count
		for _, t := range k.reused {
			n -= k.holds[t.ID][p.ID]
		}
		for _, id := range k.stackOf(*k.c) {
			if len(k.pins[id]) > 0 {
				n -= k.holds[id][p.ID]
			}
		}
		if n <= 0 {
			continue
		}
		one, wrong := k.posesOf(p)
		k.report(wrong)
		if wrong != nil {
			continue
		}
		if len(one.needs) == 0 {
			one.count = n // without layers, which is told
			k.rest = append(k.rest, one)
		}
		k.rest = append(k.rest, one.piles(n)...)
	}
}

// posesKey is all that the poses of a piece in new trays depend on.
type posesKey struct {
	piece         *job.Piece
	length, width units.Length
	corner, ease  units.Length
	inches        bool
}

// poses are those that can be cut, and what speaks against all of them.
type poses struct {
	kind  kind
	wrong *finding.Finding
}

// posesOf is a piece in the poses that can be cut in new trays, found once: what one case has no room
// for is asked for again and again.
func (k *choosing) posesOf(p *job.Piece) (kind, *finding.Finding) {
	t := &k.model
	key := posesKey{p, t.Length, t.Width, t.Corner, t.Ease, k.inches}
	if known, ok := k.poses[key]; ok {
		return known.kind, known.wrong
	}
	one, wrong := k.anyDepth(p, p.Count, t)
	if wrong == nil && len(one.needs) > 0 {
		one.needs, wrong = k.cuttable(one, t, k.leastLayers)
	}
	k.poses[key] = poses{one, wrong}
	return one, wrong
}

// ready reports whether there is something to choose, and of what.
func (k *choosing) ready() bool {
	before := len(k.found)
	if !k.mayBegin() {
		if lacking := k.sheetsLacking(); len(lacking) > 0 { // all at once, in the place of the first that was found out
			k.found = append(k.found[:before], lacking...)
		}
		return false
	}
	return true
}

// mayBegin is ready, of the stock as it is.
func (k *choosing) mayBegin() bool {
	if k.checkStock(); k.found.Failed() {
		return false
	}
	for _, one := range k.rest {
		k.tooDeep(one)
	}
	switch {
	case k.found.Failed():
		return false
	case len(k.rest) == 0 && len(k.reused)+len(k.standing) == 0:
		k.add(finding.Error, k.c.Position, "case-without-pieces", "take the case out, or say with `holds` which pieces and groups it is for",
			"case %q: no piece is left for it", k.c.Name)
		return false
	case len(k.rest) > 0 && len(k.model.Layers) == 0:
		k.add(finding.Error, k.c.Position, "no-layers", "write `layers` under `tray_defaults`: the pad's foam first, the base last",
			"case %q: trays cannot be chosen, because the job does not say of which foams", k.c.Name)
		return false
	}
	return true
}
