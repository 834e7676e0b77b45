package main

import (
	"cmp"
	"context"
	"fmt"
	"path/filepath"
	"slices"

	"traywright/cam/edit"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
)

// Pieces of the roster that no tray holds, and how a hand puts one into a tray, or a pocket into another.

// lookLoose is a piece, and how many of it have no pocket.
type lookLoose struct {
	ID      string `json:"id"`
	Name    string `json:"name"`
	Missing int    `json:"missing"`
	At      string `json:"at"` // its row
}

func looseOf(p *plan.Plan) []lookLoose {
	list := []lookLoose{}
	if p == nil {
		return list
	}
	for _, l := range p.Loose() {
		list = append(list, lookLoose{l.Piece.ID, cmp.Or(l.Piece.Name, l.Piece.ID), l.Missing, l.Piece.Position.String()})
	}
	return list
}

// lookPlace is where a new pocket for a piece may go, and how large it is: Box is where it lies
// while it is not moved, beside the tray.
type lookPlace struct {
	lookRoom
	Box [4]float64 `json:"box"`
}

// place answers where what a change brings may be put into its tray.
func (f *lookFeed) place(ctx context.Context, c lookChange) lookPlace {
	f.work.Lock()
	defer f.work.Unlock()
	e, err := f.beside(ctx, c)
	if err != nil {
		return lookPlace{lookRoom: noRoom(err)}
	}
	r, err := f.roomOf(e)
	if err != nil {
		return lookPlace{lookRoom: noRoom(err)}
	}
	b := e.Tray.Pockets[e.Pockets[0]].Box
	for _, k := range e.Pockets {
		b = b.Union(e.Tray.Pockets[k].Box)
	}
	return lookPlace{r, [4]float64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y}}
}

// besideTray is how far to the right of its tray a pocket lies that has no place yet.
const besideTray = 1000 * 1_000_000 // a metre

// beside is what a change brings, planned beside its tray, from where its room is told.
func (f *lookFeed) beside(ctx context.Context, c lookChange) (e lookEntry, err error) {
	t, err := f.taker(c)
	if err != nil {
		return e, err
	}
	e.Bare = f.planned.Job.Units
	x, err := f.onGrid(c, t.Length+besideTray)
	if err != nil {
		return e, err
	}
	e.text, e.Entry.At, err = f.brought(c, t, x, 0)
	if err != nil {
		return e, err
	}
	d, err := f.draft(ctx, lookTexts{e.text, f.texts.placed})
	if err != nil {
		return e, err
	}
	ok := false
	if d.result.Plan != nil {
		e.Moves, ok, err = d.result.Plan.MovesOf(e.Entry.At)
	}
	switch {
	case err != nil || ok:
	case c.Piece == "":
		err = lookNo("this pocket cannot be planned in tray "+t.ID, "move its line in the file yourself").Told
	default:
		err = byArrange(f.path, c.Piece, "a pocket for "+finding.Quote(c.Piece)+" cannot be planned here", e.Entry.At)
	}
	return e, err
}

// onGrid is a length or a little more, so that what a change brings can be written there as it is written now.
func (f *lookFeed) onGrid(c lookChange, x units.Length) (units.Length, error) {
	if c.Piece != "" {
		return x, nil
	}
	steps, err := edit.Steps(f.texts.job, edit.Entry{At: positionOf(c.At), Bare: f.planned.Job.Units})
	if err != nil {
		return 0, err
	}
	return (x + steps[0] - 1) / steps[0] * steps[0], nil
}

// brought is the job's text with what a change brings into a tray: a new pocket for its piece, or the one whose entry it names.
func (f *lookFeed) brought(c lookChange, t *job.Tray, x, y units.Length) ([]byte, finding.Position, error) {
	into := edit.Entry{At: t.Position, Bare: f.planned.Job.Units}
	if c.Piece != "" {
		return edit.Add(f.texts.job, into, c.Piece, x, y)
	}
	return edit.Carry(f.texts.job, edit.Entry{At: positionOf(c.At), Bare: into.Bare}, into, x, y)
}

// taker is the tray of the job into which a change may bring something by hand.
func (f *lookFeed) taker(c lookChange) (*job.Tray, error) {
	if f.planned == nil {
		return nil, jobRefused
	}
	j := f.planned.Job
	what := c.Piece
	if what == "" {
		e, err := f.entry(c.At)
		switch {
		case err != nil:
			return nil, err
		case e.Pocket == nil:
			return nil, lookNo("labels and emblems stay on their tray", "write it into the other tray in the file").Told
		case e.arranged:
			return nil, byArrange(f.path, cmp.Or(e.Pocket.For, "its piece"), "`arrange` chose this pocket's tray", e.Entry.At)
		case e.Source.ID == c.Tray:
			return nil, lookNo("it is in this tray already", "choose another tray").Told
		}
		what = cmp.Or(e.Pocket.For, "its piece")
	} else if !slices.ContainsFunc(j.Roster, func(p job.Piece) bool { return p.ID == what }) {
		return nil, lookNo("there is no piece "+finding.Quote(what)+" on the roster", "").Told
	}
	i := slices.IndexFunc(j.Trays, func(t job.Tray) bool { return t.ID == c.Tray })
	if i < 0 {
		return nil, lookNo("there is no such tray in the job", "choose another tray").Told
	}
	t := &j.Trays[i]
	if t.Chosen || slices.ContainsFunc(t.Pockets, func(p job.Pocket) bool { return p.Asked != "" }) {
		return nil, byArrange(f.path, what, "`arrange` places the pockets of tray "+t.ID, t.Position)
	}
	return t, nil
}

// byArrange says how `arrange` gives a piece a place.
func byArrange(path, piece, why string, at finding.Position) error {
	return finding.List{{Rule: "edit-by-hand", Where: at.String(), Message: why, Hint: fmt.Sprintf("name `%s` in the `holds` of a tray in %s, and run `traywright arrange %s`", piece, filepath.Base(path), asTyped(path))}}
}

// added are the texts with what a change brings into a tray, as far from beside it as the change says.
func (f *lookFeed) added(ctx context.Context, c lookChange) (lookTexts, error) {
	if c.Move == nil {
		return f.texts, lookNo("that is no move", "").Told
	}
	e, err := f.beside(ctx, c)
	if err != nil {
		return f.texts, err
	}
	x, y, err := e.moved(*c.Move)
	if err != nil {
		return f.texts, err
	}
	t, err := f.taker(c)
	if err != nil {
		return f.texts, err
	}
	text, _, err := f.brought(c, t, x, y)
	return lookTexts{text, f.texts.placed}, err
}
