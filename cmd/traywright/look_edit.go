package main

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"traywright/cam/edit"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
)

// What a hand does on the page, written into the job's own text: one value, at once, if the
// job that comes of it is not refused. What cannot be done is told, and nothing is written.

// lookChange is what the page asks for: a pocket's entry moved, one of its keys or of its
// tray's set. Sum is of the text that the page has seen.
type lookChange struct {
	Sum   string      `json:"sum"`
	At    string      `json:"at"`   // FILE:LINE:COLUMN of the entry
	Move  *[2]float64 `json:"move"` // mm
	Key   string      `json:"key"`
	Value string      `json:"value"`
}

// lookTold is what came of it.
type lookTold struct {
	Done bool         `json:"done"`
	Told finding.List `json:"told"`
}

func lookNo(why, hint string) lookTold {
	return lookTold{Told: finding.List{{Rule: "not-edited", Message: why, Hint: hint}}}
}

// lookStep is a text before and after a change.
type lookStep struct{ before, after []byte }

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
	if sum := sumOf(readJobText(f.path)); sum != c.Sum || sum != sumOf(f.text) {
		return lookNo(changedMeanwhile, "look at what is shown now, and do it again")
	}
	if f.planned == nil {
		return lookNo("the job is refused as it is", "mend what is told first, in the file or by taking the last step back")
	}
	after, err := f.changed(c)
	if err != nil {
		return lookTold{Told: asFindings(err)}
	}
	return f.write(ctx, after, append(f.steps, lookStep{f.text, after}))
}

// undo takes the last change back, as long as the text is still what that made of it.
func (f *lookFeed) undo(ctx context.Context) lookTold {
	f.work.Lock()
	defer f.work.Unlock()
	if len(f.steps) == 0 {
		return lookNo("there is no step to take back", "")
	}
	last := f.steps[len(f.steps)-1]
	if !bytes.Equal(readJobText(f.path), last.after) || !bytes.Equal(f.text, last.after) {
		return lookNo(changedMeanwhile, "take it back in the file yourself")
	}
	return f.write(ctx, last.before, f.steps[:len(f.steps)-1])
}

// write makes a text the job's file, unless it would be refused, and shows it.
func (f *lookFeed) write(ctx context.Context, after []byte, steps []lookStep) lookTold {
	if bytes.Equal(after, f.text) {
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
	if err == nil {
		err = f.deliverText(ctx, after)
	}
	if err != nil {
		return lookTold{Told: asFindings(err)}
	}
	f.text, f.steps = after, steps
	if err := f.show(f.c.Context, d); err != nil {
		return lookTold{Told: asFindings(err)}
	}
	return lookTold{Done: true, Told: finding.List{}}
}

// deliverText puts a text in the place of the job's, in one step, if that is still the one that
// was read and lies in the job's folder.
func (f *lookFeed) deliverText(ctx context.Context, after []byte) error {
	real, err := filepath.EvalSymlinks(f.path)
	folder, err2 := filepath.EvalSymlinks(filepath.Dir(f.path))
	if err != nil || err2 != nil || !within(folder, real) {
		return usage(f.path+" leads out of its folder, and is not written", "edit the file that it leads to")
	}
	if info, err := os.Stat(real); err == nil && info.Mode().Perm()&0o200 == 0 {
		return usage(f.path+" is read-only, and is not written", "make it one that you may write, or look at a copy of it")
	}
	quiet := *f.s
	quiet.quiet = true
	return quiet.deliver(ctx, func(d *delivery) error {
		if err := d.file(f.path, after); err != nil {
			return err
		}
		if !bytes.Equal(readJobText(f.path), f.text) {
			return usage(changedMeanwhile, "look at what is shown now, and do it again")
		}
		return nil
	}, func() error { return nil })
}

// changed is the text with a change in it.
func (f *lookFeed) changed(c lookChange) ([]byte, error) {
	m, err := f.entry(c.At)
	if err != nil {
		return nil, err
	}
	e := edit.Entry{At: m.Entry.Position, Bare: f.planned.Job.Units}
	switch {
	case c.Move != nil:
		x, err := units.FromMM(c.Move[0])
		y, err2 := units.FromMM(c.Move[1])
		if err != nil || err2 != nil {
			return nil, lookNo("that is no move", "").Told
		}
		if !m.May(geometry.Point{X: c.Move[0], Y: c.Move[1]}) {
			return nil, lookNo("there it would not keep its wall or its edge, or lie on something", "move it less far").Told
		}
		return edit.Place(f.text, e, m.Entry.X+x, m.Entry.Y+y)
	case c.Key == "depth" || c.Key == "turn":
		return edit.Set(f.text, e, c.Key, c.Value, "at")
	case c.Key == "fit":
		if edit.Written(f.text, e, "fit") == "" && m.Source.Fit != "" {
			return nil, shared(e.At, "fit", "the pockets of its tray", "write `fit: "+c.Value+"` into this pocket")
		}
		return edit.Set(f.text, e, "fit", c.Value, "at")
	case c.Key == "wall" || c.Key == "edge":
		tray := edit.Entry{At: m.Source.Position, Bare: e.Bare}
		if edit.Written(f.text, tray, c.Key) == "" && defaultOf(f.planned.Job, c.Key) != 0 {
			return nil, shared(tray.At, c.Key, "several trays", "write `"+c.Key+": "+c.Value+"` into this tray")
		}
		return edit.Set(f.text, tray, c.Key, c.Value, "pockets")
	}
	return nil, lookNo("`"+c.Key+"` is not changed here", "change the line that the card names").Told
}

func defaultOf(j *job.Job, key string) units.Length {
	if key == "wall" {
		return j.Defaults.Wall
	}
	return j.Defaults.Edge
}

func shared(at finding.Position, key, by, hint string) error {
	return finding.List{{Rule: "edit-by-hand", Where: at.String(), Message: "`" + key + "` is shared by " + by + ", and is not changed for one of them", Hint: hint + " to change it there alone, or change it where it stands for all"}}
}

// entry is the entry of `pockets` at a place of the job's own file.
func (f *lookFeed) entry(at string) (plan.Moves, error) {
	parts := strings.Split(at, ":")
	if len(parts) < 3 || strings.Join(parts[:len(parts)-2], ":") != filepath.Base(f.path) {
		return plan.Moves{}, finding.List{{Rule: "edit-by-hand", Where: at, Message: "this pocket is not written in the job's own file", Hint: "`arrange` chose its place: change it there, or write the pocket into the job"}}
	}
	line, err := strconv.Atoi(parts[len(parts)-2])
	column, err2 := strconv.Atoi(parts[len(parts)-1])
	m, ok, err3 := f.planned.MovesOf(finding.Position{File: filepath.Base(f.path), Line: line, Column: column})
	if err != nil || err2 != nil || err3 != nil || !ok {
		return m, finding.List{{Rule: "edit-by-hand", Where: at, Message: "this entry is in no single tray, and is not moved here", Hint: "change its line in the file"}}
	}
	return m, nil
}

// lookRoom is where an entry may go, and what of it can be changed, as it is written.
type lookRoom struct {
	lookTold
	Sum     string         `json:"sum"`
	Allowed [][][2]float64 `json:"allowed"` // moves, mm
	At      [2]float64     `json:"at"`
	Steps   [2]float64     `json:"steps"`
	Pockets []int          `json:"pockets"` // that move together
	Values  [][4]string    `json:"values"`  // key, as written, what it is of, and what holds where nothing is
}

// room answers where the entry at a place may go.
func (f *lookFeed) room(at string) lookRoom {
	f.work.Lock()
	defer f.work.Unlock()
	if f.planned == nil {
		return lookRoom{lookTold: lookNo("the job is refused", "")}
	}
	m, err := f.entry(at)
	if err != nil {
		return lookRoom{lookTold: lookTold{Told: asFindings(err)}}
	}
	e := edit.Entry{At: m.Entry.Position, Bare: f.planned.Job.Units}
	steps, err := edit.Steps(f.text, e)
	if err != nil {
		return lookRoom{lookTold: lookTold{Told: asFindings(err)}}
	}
	r := lookRoom{
		lookTold: lookTold{Done: true, Told: finding.List{}}, Sum: sumOf(f.text), Allowed: [][][2]float64{}, Pockets: m.Pockets,
		At: [2]float64{m.Entry.X.MM(), m.Entry.Y.MM()}, Steps: [2]float64{steps[0].MM(), steps[1].MM()},
	}
	for _, c := range m.Allowed.Contours() {
		var points [][2]float64
		for _, v := range c.Vertices() {
			points = append(points, [2]float64{v.X, v.Y})
		}
		r.Allowed = append(r.Allowed, points)
	}
	r.Values = f.values(m, e)
	return r
}

// values are what can be set of an entry and its tray.
func (f *lookFeed) values(m plan.Moves, e edit.Entry) (list [][4]string) {
	of, depth := fmt.Sprintf("line %d", e.At.Line), m.Tray.Pockets[m.Pockets[0]].Depth.Format(e.Bare)
	for _, v := range [][2]string{{"depth", depth}, {"fit", cmp.Or(m.Source.Fit, "snug")}, {"turn", "0"}} {
		list = append(list, [4]string{v[0], edit.Written(f.text, e, v[0]), of, v[1]})
	}
	tray := edit.Entry{At: m.Source.Position, Bare: e.Bare}
	for _, v := range [][2]string{{"wall", m.Source.Wall.Format(e.Bare)}, {"edge", m.Source.Edge.Format(e.Bare)}} {
		list = append(list, [4]string{v[0], edit.Written(f.text, tray, v[0]), "tray " + m.Source.ID, v[1]})
	}
	return list
}

// asFindings is an error as the page is told it.
func asFindings(err error) finding.List {
	if list, ok := err.(finding.List); ok {
		return list
	}
	return finding.List{{Rule: "not-edited", Message: err.Error()}}
}
