package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"os"
	"path/filepath"

	"traywright/cam/edit"
	"traywright/cam/finding"
	"traywright/geometry"
	"traywright/geometry/units"
)

// What a hand does on the page, written into the job's own text: one value, at once, if the
// job that comes of it is not refused. What cannot be done is told, and nothing is written.

// lookChange is what the page asks for: an entry moved, one of its keys or of its tray's set, or
// a piece or an entry put into a tray. Sum is of the text that the page has seen.
type lookChange struct {
	Sum   string      `json:"sum"`
	At    string      `json:"at"`   // FILE:LINE:COLUMN of the entry
	Move  *[2]float64 `json:"move"` // mm
	Key   string      `json:"key"`
	Value string      `json:"value"`
	Piece string      `json:"piece"` // of the roster, to be put where the move says
	Tray  string      `json:"tray"`  // into which
}

// lookTold is what came of it.
type lookTold struct {
	Done bool         `json:"done"`
	Told finding.List `json:"told"`
}

func lookNo(why, hint string) lookTold {
	return lookTold{Told: finding.List{{Rule: "not-edited", Message: why, Hint: hint}}}
}

// lookStep is the texts before and after a change.
type lookStep struct{ before, after lookTexts }

// sumOf names a text.
func sumOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:12])
}

const changedMeanwhile = "the job has been changed meanwhile, and nothing was written"

// edit makes a change.
func (f *lookFeed) edit(ctx context.Context, c lookChange) lookTold {
	f.work.Lock()
	defer f.work.Unlock()
	if sum := readTexts(f.path).sum(); sum != c.Sum || sum != f.texts.sum() {
		return lookNo(changedMeanwhile, "look at what is shown now, and do it again")
	}
	if f.planned == nil {
		return lookNo("the job is refused as it is", "mend what is told first, in the file or by taking the last step back")
	}
	after, err := f.changed(ctx, c)
	if err != nil {
		return lookTold{Told: asFindings(err)}
	}
	return f.write(ctx, after, append(f.steps, lookStep{f.texts, after}))
}

// undo takes the last change back, as long as the texts are still what that made of them.
func (f *lookFeed) undo(ctx context.Context) lookTold {
	f.work.Lock()
	defer f.work.Unlock()
	if len(f.steps) == 0 {
		return lookNo("there is no step to take back", "")
	}
	last := f.steps[len(f.steps)-1]
	if !readTexts(f.path).equal(last.after) || !f.texts.equal(last.after) {
		return lookNo(changedMeanwhile, "take it back in the file yourself")
	}
	return f.write(ctx, last.before, f.steps[:len(f.steps)-1])
}

// write makes texts the files', unless the job would be refused, and shows it.
func (f *lookFeed) write(ctx context.Context, after lookTexts, steps []lookStep) lookTold {
	if after.equal(f.texts) {
		return lookTold{Done: true, Told: finding.List{}}
	}
	d, err := f.draft(ctx, after)
	if err == nil && d.found.Failed() {
		var errors finding.List
		for _, found := range d.found {
			if found.Severity == finding.Error {
				errors = append(errors, found)
			}
		}
		return lookTold{Told: errors}
	}
	path, text := f.path, after.job
	if bytes.Equal(text, f.texts.job) {
		path, text = arrangementBeside(f.path), after.placed
	}
	if err == nil {
		err = f.deliverText(ctx, path, text)
	}
	if err != nil {
		return lookTold{Told: asFindings(err)}
	}
	f.texts, f.steps = after, steps
	if err := f.show(f.c.Context, d); err != nil {
		return lookTold{Told: asFindings(err)}
	}
	return lookTold{Done: true, Told: finding.List{}}
}

// deliverText puts a text in the place of a file's, in one step, if both are still those that
// were read and it lies in the job's folder.
func (f *lookFeed) deliverText(ctx context.Context, path string, after []byte) error {
	real, err := filepath.EvalSymlinks(path)
	folder, err2 := filepath.EvalSymlinks(filepath.Dir(path))
	if err != nil || err2 != nil || !within(folder, real) {
		return usage(path+" leads out of its folder, and is not written", "edit the file that it leads to")
	}
	if info, err := os.Stat(real); err == nil && info.Mode().Perm()&0o200 == 0 {
		return usage(path+" is read-only, and is not written", "make it one that you may write, or look at a copy of it")
	}
	quiet := *f.s
	quiet.quiet = true
	return quiet.deliver(ctx, func(d *delivery) error {
		if err := d.file(path, after); err != nil {
			return err
		}
		if !readTexts(f.path).equal(f.texts) {
			return usage(changedMeanwhile, "look at what is shown now, and do it again")
		}
		return nil
	}, func() error { return nil })
}

// changed are the texts with a change in them.
func (f *lookFeed) changed(ctx context.Context, c lookChange) (lookTexts, error) {
	if c.Tray != "" {
		return f.added(ctx, c)
	}
	texts := f.texts
	e, err := f.entry(c.At)
	if err == nil {
		*texts.of(e.arranged), err = f.changedIn(e, c)
	}
	return texts, err
}

// changedIn is the text that an entry stands in, with a change in it. What a hand moves and
// `arrange` had placed is pinned in the same step.
func (f *lookFeed) changedIn(e lookEntry, c lookChange) ([]byte, error) {
	if c.Move != nil {
		x, y, err := e.moved(*c.Move)
		if err != nil {
			return nil, err
		}
		after, err := edit.Place(e.text, e.Entry, x, y)
		if err == nil && e.arranged {
			after, err = edit.Set(after, e.Entry, "pin", "true", "")
		}
		return after, err
	}
	for _, v := range f.values(e) {
		if v.Key != c.Key {
			continue
		}
		if v.Line != "" {
			return nil, v.shared(c.Value)
		}
		return edit.Set(e.text, v.in, v.Key, c.Value, v.before)
	}
	return nil, lookNo("`"+c.Key+"` is not changed here", "change the line that the card names").Told
}

// moved is where an entry is after a move that is allowed.
func (e lookEntry) moved(move [2]float64) (x, y units.Length, err error) {
	x, err = units.FromMM(move[0])
	y, err2 := units.FromMM(move[1])
	if err != nil || err2 != nil {
		return 0, 0, lookNo("that is no move", "").Told
	}
	if !e.May(geometry.Point{X: move[0], Y: move[1]}) {
		return 0, 0, lookNo("there it would not keep its wall or its edge, or lie on something", "move it less far").Told
	}
	return e.X + x, e.Y + y, nil
}

// asFindings is an error as the page is told it.
func asFindings(err error) finding.List {
	if list, ok := err.(finding.List); ok {
		return list
	}
	return finding.List{{Rule: "not-edited", Message: err.Error()}}
}
