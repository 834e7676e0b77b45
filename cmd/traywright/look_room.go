package main

import (
	"cmp"
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"traywright/cam/arrange"
	"traywright/cam/edit"
	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry/units"
)

// Where a hand may put something, and what of it can be set.

// lookEntry is an entry of the job, or of the arrangement beside it, and what may be done with it.
type lookEntry struct {
	plan.Moves
	edit.Entry
	text     []byte // that it stands in
	arranged bool   // `arrange` chose its place: it stands in the arrangement
}

// jobRefused is why nothing is told of an entry.
var jobRefused = lookNo("the job is refused", "").Told

// entry is the entry at FILE:LINE:COLUMN.
func (f *lookFeed) entry(at string) (e lookEntry, err error) {
	byHand := func(why, hint string) error {
		return finding.List{{Rule: "edit-by-hand", Where: at, Message: why, Hint: hint}}
	}
	if f.planned == nil {
		return e, jobRefused
	}
	position := positionOf(at)
	e.arranged = position.File == arrange.FileName && f.texts.placed != nil
	if position.File != filepath.Base(f.path) && !e.arranged {
		return e, byHand("this pocket is not written in the job's own file", "change it where it is written")
	}
	moves, ok, err := f.planned.MovesOf(position)
	if err != nil || !ok {
		return e, byHand("this entry is in no single tray, and is not moved here", "change its line in the file")
	}
	if e.arranged && (moves.Pocket == nil || moves.Pocket.Asked == "") {
		return e, byHand("this is placed by "+filepath.Base(f.path)+" itself, and the arrangement has it as it is there", "move it in "+filepath.Base(f.path)+", and arrange again: `traywright arrange "+asTyped(f.path)+"`")
	}
	e.Moves, e.Entry, e.text = moves, edit.Entry{At: position, Bare: f.planned.Job.Units}, *f.texts.of(e.arranged)
	return e, nil
}

// positionOf is a place as a page has it; the zero one of anything else.
func positionOf(at string) finding.Position {
	parts := strings.Split(at, ":")
	if len(parts) < 3 {
		return finding.Position{}
	}
	n := len(parts)
	line, err := strconv.Atoi(parts[n-2])
	column, err2 := strconv.Atoi(parts[n-1])
	if err != nil || err2 != nil {
		return finding.Position{}
	}
	return finding.Position{File: strings.Join(parts[:n-2], ":"), Line: line, Column: column}
}

// lookRoom is where an entry may go, and what of it can be changed, as it is written.
type lookRoom struct {
	lookTold
	Sum     string         `json:"sum"`
	Allowed [][][2]float64 `json:"allowed"` // moves, mm
	At      [2]float64     `json:"at"`
	Steps   [2]float64     `json:"steps"`
	Pockets []int          `json:"pockets"` // that move together
	Marks   []int          `json:"marks"`
	Values  []lookValue    `json:"values"`
	Else    string         `json:"else"` // where all else of it is changed
}

// lookValue is one value that can be set. Line is where it stands for others as well, and is
// changed by hand; then it is not set here.
type lookValue struct {
	Key     string `json:"key"`
	Written string `json:"written"`
	Of      string `json:"of"`
	Now     string `json:"now"` // what holds where nothing is written
	Line    string `json:"line"`

	in     edit.Entry // that has it, or is to have it
	before string     // the key that it is written before
}

// room answers where the entry at a place may go.
func (f *lookFeed) room(at string) lookRoom {
	f.work.Lock()
	defer f.work.Unlock()
	e, err := f.entry(at)
	if err != nil {
		return noRoom(err)
	}
	r, err := f.roomOf(e)
	if err != nil {
		return noRoom(err)
	}
	r.Values, r.Else = f.values(e), fmt.Sprintf("%s:%d", e.Entry.At.File, e.Entry.At.Line)
	return r
}

// noRoom says why none is told.
func noRoom(err error) lookRoom { return lookRoom{lookTold: lookTold{Told: asFindings(err)}} }

// roomOf is an entry's room as the page has it.
func (f *lookFeed) roomOf(e lookEntry) (lookRoom, error) {
	steps, err := edit.Steps(e.text, e.Entry)
	r := lookRoom{
		lookTold: lookTold{Done: true, Told: finding.List{}}, Sum: f.texts.sum(), Allowed: [][][2]float64{}, Pockets: append([]int{}, e.Pockets...), Marks: append([]int{}, e.Marks...),
		At: [2]float64{e.X.MM(), e.Y.MM()}, Steps: [2]float64{steps[0].MM(), steps[1].MM()},
	}
	for _, c := range e.Allowed.Contours() {
		var points [][2]float64
		for _, v := range c.Vertices() {
			points = append(points, [2]float64{v.X, v.Y})
		}
		r.Allowed = append(r.Allowed, points)
	}
	return r, err
}

// values are what can be set of an entry and its tray.
func (f *lookFeed) values(e lookEntry) (list []lookValue) {
	add := func(in edit.Entry, of, key, now, before string) {
		list = append(list, lookValue{Key: key, Written: edit.Written(e.text, in, key), Of: of, Now: now, in: in, before: before})
	}
	line := fmt.Sprintf("line %d", e.Entry.At.Line)
	switch {
	case e.arranged:
		add(e.Entry, line, "pin", "false", "")
	case e.Pocket == nil:
		add(e.Entry, line, "turn", "0", "at")
		if e.Label != nil {
			high, _ := units.FromMM(e.Tray.Marks[e.Marks[0]].HeightMM)
			add(e.Entry, line, "height", high.Format(e.Bare), "at")
		}
	default:
		add(e.Entry, line, "depth", e.Tray.Pockets[e.Pockets[0]].Depth.Format(e.Bare), "at")
		add(e.Entry, line, "fit", cmp.Or(e.Source.Fit, "snug"), "at")
		add(e.Entry, line, "turn", "0", "at")
		tray, of := edit.Entry{At: e.Source.Position, Bare: e.Bare}, "tray "+e.Source.ID
		add(tray, of, "wall", e.Source.Wall.Format(e.Bare), "pockets")
		add(tray, of, "edge", e.Source.Edge.Format(e.Bare), "pockets")
		all := f.planned.Job.Defaults
		given := map[string]bool{"fit": e.Source.Fit != "", "wall": all.Wall != 0, "edge": all.Edge != 0}
		for i, v := range list {
			if v.Written == "" && given[v.Key] {
				list[i].Line = f.sharedAt(v.Key, tray)
			}
		}
	}
	return list
}

// sharedAt is the line where a tray's pockets, or all trays, have a value.
func (f *lookFeed) sharedAt(key string, tray edit.Entry) string {
	line := edit.LineOf(f.texts.job, "tray_defaults", key)
	if edit.Written(f.texts.job, tray, key) != "" {
		line = tray.At.Line
	}
	return fmt.Sprintf("%s:%d", filepath.Base(f.path), line)
}

// shared is why a value that stands for others as well is not set here.
func (v lookValue) shared(to string) error {
	by, here := "several trays", "tray"
	if v.Key == "fit" {
		by, here = "the pockets of its tray", "pocket"
	}
	return finding.List{{Rule: "edit-by-hand", Where: v.in.At.String(), Message: "`" + v.Key + "` is shared by " + by + ", and is not changed for one of them",
		Hint: "write `" + v.Key + ": " + to + "` into this " + here + " to change it there alone, or change it where it stands for all"}}
}
