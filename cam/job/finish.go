package job

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// finish makes a job of a draft: defaults and cases filled in, and everything
// that can be told from the user's own files checked.
func (d *draft) finish(l *log) *Job {
	j := d.Job
	f := finisher{
		log: l, draft: d,
		pieces: map[string]*Piece{}, groups: map[string]bool{}, trays: map[string]*trayDraft{}, homes: map[string][]*Case{}, ids: map[string]finding.Position{},
	}
	if !f.checkPockets() {
		return &j
	}
	for i := range d.Roster {
		f.pieces[d.Roster[i].ID], f.groups[d.Roster[i].Group] = &d.Roster[i], true
	}
	f.drawPieces()
	f.checkIDs()
	f.eachCase()
	f.book = f.newBook()
	j.Cases = f.finishCases()
	j.Defaults = d.defaults.Tray
	j.Defaults.Each, j.Defaults.OwnCorner, j.Defaults.OwnEase = d.defaults.eachAt.Line > 0, d.defaults.cornerGiven, d.defaults.easeGiven
	f.checkChosen(j.Cases)
	f.checkDowels()
	j.Defaults.Habits, j.Defaults.Dowel, j.Defaults.Ears = d.defaults.habits(), d.defaults.diameter(), d.defaults.ears()
	j.Defaults.Layers = slices.Clone(j.Defaults.Layers)
	j.Defaults.Labels, j.Defaults.Emblems = d.defaults.marks()
	j.Trays = make([]Tray, len(d.trays))
	for i := range d.trays {
		j.Trays[i] = f.finishTray(&d.trays[i])
	}
	f.askUnits(&j)
	return &j
}

// finisher looks things up while a job is finished.
type finisher struct {
	*log
	*draft
	pieces map[string]*Piece
	groups map[string]bool // of pieces
	trays  map[string]*trayDraft
	homes  map[string][]*Case          // by tray id, the cases that stack it
	ids    map[string]finding.Position // of trays and halves, that are taken
	book   *nameBook
	// The first case without a stack: trays that no case stacks may be meant for it.
	stackless *Case
}

// checkPockets counts the pockets of the whole job, before anything is done for
// each of them.
func (f *finisher) checkPockets() bool {
	n := 0
	for i := range f.draft.trays {
		for _, p := range f.draft.trays[i].pockets {
			grid := p.Columns * p.Rows
			if n += grid; n > mostPockets {
				f.Fail(p.Position, "too-many-pockets", fmt.Sprintf("with the %d pockets here the job has %d, more than %d", grid, n, mostPockets), "make the grid smaller, or make it two jobs")
				return false
			}
		}
	}
	return true
}

const idHint = "an id is made of a-z, 0-9 and single -, such as stores-2, and has at most 40 characters"

// checkIDs looks at the trays' ids. A tray in halves takes the ids ID-1 and
// ID-2.
func (f *finisher) checkIDs() {
	open := slices.ContainsFunc(f.draft.cases, func(c caseDraft) bool { return len(c.Stack) == 0 })
	if len(f.draft.trays) == 0 && !(open && f.rosterKnown) {
		f.Fail(f.draft.at, "no-trays", "the job has no trays", "write `trays:` with a list of them")
	}
	for i := range f.draft.trays {
		t := &f.draft.trays[i]
		if t.ID == "" {
			f.Fail(t.Position, "tray-without-id", "this tray has no `id`", idHint)
			continue
		}
		if !strict.IsID(t.ID) {
			f.Fail(t.idAt, "bad-id", finding.Quote(t.ID)+" is no id for a tray", idHint)
		} else if strict.IsDevice(t.ID) {
			f.Fail(t.idAt, "device-id", "Windows keeps the name "+finding.Quote(t.ID)+" for a device, so no folder there can have it", "call the tray "+t.ID+"-tray, say; the folder in the output has its id")
		}
		ids := []string{t.ID}
		if t.Halves == 2 {
			ids = append(ids, t.ID+"-1", t.ID+"-2")
		}
		for _, id := range ids {
			if at, ok := f.ids[id]; ok {
				f.Fail(t.idAt, "duplicate-id", fmt.Sprintf("the tray id %s is taken by the tray in line %d", finding.Quote(id), at.Line), "give each tray an id of its own; a tray in halves takes two more, with -1 and -2")
				break
			}
			f.ids[id] = t.idAt
		}
		if f.trays[t.ID] == nil {
			f.trays[t.ID] = t
		}
	}
}

func (f *finisher) finishCases() []Case {
	cases := make([]Case, len(f.draft.cases))
	names := map[string]finding.Position{}
	for i, d := range f.draft.cases {
		c := &cases[i]
		*c = d.Case
		in := d.inside.or(f.inside)
		c.Inside = in.Inside
		f.checkCase(c, in.insideGiven, names)
		f.checkHolds(c.Holds, d.holdsPositions)
		if len(c.Stack) > 0 && len(c.Holds) > 0 {
			f.Fail(d.holdsPositions[0], "stack-and-holds", fmt.Sprintf("case %s has a `stack` and `holds`", finding.Quote(c.Name)), "keep the stack, whose trays say what they hold; or `holds`, and `arrange` chooses the trays")
		}
		for _, id := range append(c.Stack[:len(c.Stack):len(c.Stack)], f.madeFor(c)...) {
			if homes := f.homes[id]; len(homes) == 0 || homes[len(homes)-1] != c {
				f.homes[id] = append(homes, c)
			}
		}
	}
	return cases
}

func (f *finisher) checkCase(c *Case, insideGiven bool, names map[string]finding.Position) {
	what := "case " + finding.Quote(c.Name)
	if c.Name == "" {
		what = "this case"
		f.Fail(c.Position, "case-without-name", "this case has no `name`", "give it one; labels can use it as {case}")
	} else if at, ok := names[c.Name]; ok {
		f.Fail(c.Position, "duplicate-case", fmt.Sprintf("%s is here a second time; it is in line %d already", what, at.Line), "give it another name, or use `copies`")
	}
	names[c.Name] = c.Position
	if !insideGiven {
		f.Fail(c.Position, "case-without-inside", what+" has no `inside`, and the job has no `case`", "write `inside: [length, width, height]`")
	}
	if len(c.Stack) == 0 {
		f.stackless = cmp.Or(f.stackless, c)
	}
	for i, id := range c.Stack {
		if f.trays[id] == nil {
			f.Fail(c.StackPositions[i], "unknown-tray", "there is no tray "+finding.Quote(id), f.suggestTray(id))
		}
	}
}

func (f *finisher) suggestTray(id string) string {
	ids := make([]string, len(f.draft.trays))
	for i, t := range f.draft.trays {
		ids[i] = t.ID
	}
	return f.suggest(id, ids)
}

func (f *finisher) finishTray(d *trayDraft) Tray {
	t := d.Tray
	if t.Halves == 0 {
		t.Halves = 1
	}
	f.sizeTray(d, &t)
	if d.again { // what is wrong with the rest has been told
		told := f.log
		f.log = &log{Log: finding.Log{First: told.First}}
		defer func() { f.log = told }()
	}
	f.checkTexts(d)
	f.checkHolds(d.Holds, d.holdsPositions)
	if len(t.Layers) == 0 {
		f.Fail(t.Position, "tray-without-layers", f.name(d)+" has no `layers`", "list them from top to bottom: [{foam: pe-30, thickness: 1 in}]")
	}
	// What comes from tray_defaults is shared until here.
	t.Layers, t.Holds = slices.Clone(t.Layers), slices.Clone(t.Holds)
	t.Habits, t.Dowel, t.Ears = d.habits(), d.diameter(), d.ears()
	t.Pockets = make([]Pocket, len(d.pockets))
	for i := range d.pockets {
		t.Pockets[i] = f.finishPocket(d, d.pockets[i])
	}
	t.Labels, t.Emblems = d.marks()
	return t
}

func (f *finisher) name(d *trayDraft) string {
	if d.ID == "" {
		return "this tray"
	}
	return "tray " + finding.Quote(d.ID)
}

// sizeTray gives a tray its outline: from its own size, from the cases that
// stack it, or from the job's case. A size that says what the case says is no
// fault.
func (f *finisher) sizeTray(d *trayDraft, t *Tray) {
	in, given := f.inside.Inside, f.inside.insideGiven
	if homes := f.homes[d.ID]; len(homes) > 0 {
		in, given = homes[0].Inside, true
		f.checkHomes(d, homes)
	} else if !given && d.sizeAt.Line == 0 && f.stackless != nil {
		in, given = f.stackless.Inside, true
	}
	switch {
	case d.sizeAt.Line > 0 && given && (d.Length != in.Length || d.Width != in.Width):
		f.Fail(d.sizeAt, "size-and-case", f.name(d)+" has a `size` that is not the inside of its case", "leave `size` out: the tray takes the case's length and width")
	case d.sizeAt.Line == 0 && !given:
		f.Fail(d.Position, "tray-without-size", f.name(d)+" has no size", "write a `case` with its `inside`, or `size: [length, width]`")
	case given:
		t.Length, t.Width, t.Rounding = in.Length, in.Width, in.Corner
		if !d.cornerGiven {
			t.Corner = in.Corner
		}
		if !d.easeGiven {
			t.Ease = in.Ease
		}
	}
}

// checkHomes finds a tray that would have to have two outlines.
func (f *finisher) checkHomes(d *trayDraft, homes []*Case) {
	outline := func(c *Case) [4]units.Length {
		return [4]units.Length{c.Inside.Length, c.Inside.Width, c.Inside.Corner, c.Inside.Ease}
	}
	for _, c := range homes[1:] {
		if outline(c) != outline(homes[0]) {
			f.Fail(d.Position, "cases-differ", fmt.Sprintf("%s is in the cases %s and %s, whose length, width, corner or ease differ", f.name(d), finding.Quote(homes[0].Name), finding.Quote(c.Name)),
				"write a tray for each, with an id of its own")
			return
		}
	}
}

// checkHolds looks the names of pieces and groups up.
func (f *finisher) checkHolds(holds []string, at []finding.Position) {
	if !f.rosterKnown {
		return
	}
	for i, name := range holds {
		if f.pieces[name] == nil && !f.groups[name] {
			f.Fail(at[i], "unknown-piece", "the roster has no piece and no group "+finding.Quote(name), f.suggest(name, f.held()))
		}
	}
}

func (f *finisher) suggestPiece(id string) string { return f.suggest(id, f.pieceIDs()) }

// held are the names that `holds` takes.
func (f *finisher) held() []string {
	return append(f.pieceIDs(), slices.Sorted(maps.Keys(f.groups))...)
}

func (f *finisher) pieceIDs() []string {
	ids := make([]string, len(f.Roster))
	for i, p := range f.Roster {
		ids[i] = p.ID
	}
	return ids
}

// finishPocket fills in the tray's defaults and finds the pocket's ends.
func (f *finisher) finishPocket(d *trayDraft, p pocketDraft) Pocket {
	wish := p.pocketDefaults.or(d.pocketDefaults)
	p.Relief, p.NotchWidth, p.NotchReach, p.Waste = wish.relief, wish.notchWidth, wish.notchReach, wish.waste
	p.Access, p.Proud = wish.way(), wish.proud
	if p.proud > 0 && p.Access != LiftAccess && p.Access != NoAccess {
		f.Warn(p.Position, "proud-without-lift", "`proud` goes with `access: lift`, which this pocket has not, so it does nothing", "write `access: lift` beside it, or take `proud` out")
	}
	if p.Fit == "" {
		p.Fit = d.Fit
	}
	if p.Tool == "" {
		p.Tool = d.Tool
	}
	piece := f.pieces[p.For]
	if p.Shape == FromPiece && piece != nil && piece.Outline != "" {
		p.Shape, p.OutlineFile = OutlineShape, piece.Outline
	}
	switch p.Shape {
	case FromPiece:
		f.checkPiece(&p, piece)
		length, width := footprint(piece)
		p.Notch = wish.sidesOf(length, width, piece != nil && piece.Shape == Round)
	case RoundShape:
		p.Notch = wish.sidesOf(p.Diameter, p.Diameter, true)
	case OutlineShape:
		if wish.notch.ends || wish.notch.sides {
			f.Fail(wish.notch.at, "notch-of-outline", "which sides of an outline are its ends is not told", "list the sides: n, e, s, w")
		}
		p.Notch = wish.notch.listed
	default:
		p.Notch = wish.sidesOf(p.Length, p.Width, p.Shape == SlotShape)
	}
	return p.Pocket
}

// sidesOf are the sides of a pocket that have a notch. Where one is asked for and no side is named,
// it is where it takes the least room.
func (d pocketDefaults) sidesOf(length, width units.Length, round bool) Side {
	if d.access == NotchAccess && !d.notch.given {
		return NotchSide(length, width, round)
	}
	return d.notch.sidesOf(length, width)
}

// footprint is a piece's length and width as it lies in its pocket.
func footprint(p *Piece) (length, width units.Length) {
	switch {
	case p == nil:
		return 0, 0
	case p.Pose == Lying:
		return p.Length, p.Height
	}
	return p.Length, p.Width
}

// checkPiece wants a piece where nothing else gives the pocket its shape.
func (f *finisher) checkPiece(p *pocketDraft, piece *Piece) {
	const shapes = "give it a `size`, `round`, `slot` or `outline`"
	switch {
	case p.For == "":
		f.Fail(p.Position, "pocket-without-shape", "this pocket has no shape, and is for no piece of a roster", shapes+", or `for` with a piece")
	case piece != nil:
	case !f.rosterGiven:
		f.Fail(p.Position, "pocket-without-shape", "this pocket has no shape, and the job has no roster to take the piece "+finding.Quote(p.For)+" from", shapes+", or write a roster")
	case f.rosterKnown:
		f.Fail(p.Position, "unknown-piece", "this pocket has no shape, and the roster has no piece "+finding.Quote(p.For), shapes+"; "+f.suggestPiece(p.For))
	}
}
