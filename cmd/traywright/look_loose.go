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
)

// Pieces of the roster that no tray holds, and how a hand puts one into a tray.

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

// place answers where a piece may be put into a tray.
func (f *lookFeed) place(ctx context.Context, piece, tray string) lookPlace {
	f.work.Lock()
	defer f.work.Unlock()
	e, err := f.beside(ctx, piece, tray)
	if err != nil {
		return lookPlace{lookRoom: noRoom(err)}
	}
	r, err := f.roomOf(e)
	if err != nil {
		return lookPlace{lookRoom: noRoom(err)}
	}
	b := e.Tray.Pockets[e.Pockets[0]].Box
	return lookPlace{r, [4]float64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y}}
}

// besideTray is how far to the right of its tray a pocket lies that has no place yet.
const besideTray = 1000 * 1_000_000 // a metre

// beside is a pocket for a piece planned beside a tray, from where its room is told.
func (f *lookFeed) beside(ctx context.Context, piece, tray string) (e lookEntry, err error) {
	t, err := f.taker(piece, tray)
	if err != nil {
		return e, err
	}
	e.Bare = f.planned.Job.Units
	e.text, e.Entry.At, err = edit.Add(f.texts.job, edit.Entry{At: t.Position, Bare: e.Bare}, piece, t.Length+besideTray, 0)
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
	if err == nil && !ok {
		err = byArrange(f.path, piece, "a pocket for "+finding.Quote(piece)+" cannot be planned here", e.Entry.At)
	}
	return e, err
}

// taker is the tray of the job that a piece may be put into by hand.
func (f *lookFeed) taker(piece, tray string) (*job.Tray, error) {
	if f.planned == nil {
		return nil, jobRefused
	}
	j := f.planned.Job
	if !slices.ContainsFunc(j.Roster, func(p job.Piece) bool { return p.ID == piece }) {
		return nil, lookNo("there is no piece "+finding.Quote(piece)+" on the roster", "").Told
	}
	i := slices.IndexFunc(j.Trays, func(t job.Tray) bool { return t.ID == tray })
	if i < 0 {
		return nil, lookNo("there is no such tray in the job", "choose another tray").Told
	}
	t := &j.Trays[i]
	if t.Chosen || slices.ContainsFunc(t.Pockets, func(p job.Pocket) bool { return p.Asked != "" }) {
		return nil, byArrange(f.path, piece, "`arrange` places the pockets of tray "+t.ID, t.Position)
	}
	return t, nil
}

// byArrange says how `arrange` gives a piece a place.
func byArrange(path, piece, why string, at finding.Position) error {
	return finding.List{{Rule: "edit-by-hand", Where: at.String(), Message: why, Hint: fmt.Sprintf("name `%s` in the `holds` of a tray in %s, and run `traywright arrange %s`", piece, filepath.Base(path), asTyped(path))}}
}

// added are the texts with a pocket for a piece in a tray, as far from beside it as the change says.
func (f *lookFeed) added(ctx context.Context, c lookChange) (lookTexts, error) {
	if c.Move == nil {
		return f.texts, lookNo("that is no move", "").Told
	}
	e, err := f.beside(ctx, c.Piece, c.Tray)
	if err != nil {
		return f.texts, err
	}
	x, y, err := e.moved(*c.Move)
	if err != nil {
		return f.texts, err
	}
	text, _, err := edit.Add(f.texts.job, edit.Entry{At: e.Source.Position, Bare: e.Bare}, c.Piece, x, y)
	return lookTexts{text, f.texts.placed}, err
}
