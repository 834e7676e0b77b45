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
	arranged bool // `arrange` chose its place: it stands in the arrangement
}

// entry is the entry at FILE:LINE:COLUMN.
func (f *lookFeed) entry(at string) (e lookEntry, err error) {
	byHand := func(why, hint string) error {
		return finding.List{{Rule: "edit-by-hand", Where: at, Message: why, Hint: hint}}
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
	e.Moves, e.Entry = moves, edit.Entry{At: position, Bare: f.planned.Job.Units}
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
}

// room answers where the entry at a place may go.
func (f *lookFeed) room(at string) lookRoom {
	f.work.Lock()
	defer f.work.Unlock()
	if f.planned == nil {
		return lookRoom{lookTold: lookNo("the job is refused", "")}
	}
	e, err := f.entry(at)
	if err != nil {
		return lookRoom{lookTold: lookTold{Told: asFindings(err)}}
	}
	text := f.texts.job
	if e.arranged {
		text = f.texts.placed
	}
	steps, err := edit.Steps(text, e.Entry)
	if err != nil {
		return lookRoom{lookTold: lookTold{Told: asFindings(err)}}
	}
	r := f.roomOf(e, steps)
	r.Values, r.Else = f.values(e), fmt.Sprintf("%s:%d", e.Entry.At.File, e.Entry.At.Line)
	return r
}

// roomOf is an entry's room as the page has it.
func (f *lookFeed) roomOf(e lookEntry, steps [2]units.Length) lookRoom {
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
	return r
}

// values are what can be set of an entry and its tray.
func (f *lookFeed) values(e lookEntry) (list []lookValue) {
	text, of := f.texts.job, fmt.Sprintf("line %d", e.Entry.At.Line)
	own := func(key, now string) {
		list = append(list, lookValue{Key: key, Written: edit.Written(text, e.Entry, key), Of: of, Now: now})
	}
	if e.arranged {
		text = f.texts.placed
		own("pin", "false")
		return list
	}
	if e.Pocket == nil {
		own("turn", "0")
		if e.Label != nil {
			high, _ := units.FromMM(e.Tray.Marks[e.Marks[0]].HeightMM)
			own("height", high.Format(e.Bare))
		}
		return list
	}
	own("depth", e.Tray.Pockets[e.Pockets[0]].Depth.Format(e.Bare))
	own("fit", cmp.Or(e.Source.Fit, "snug"))
	own("turn", "0")
	list[1].Line = f.sharedAt(list[1], e.Source.Fit != "", e.Source.Position)
	tray := edit.Entry{At: e.Source.Position, Bare: e.Bare}
	for _, v := range [][2]string{{"wall", e.Source.Wall.Format(e.Bare)}, {"edge", e.Source.Edge.Format(e.Bare)}} {
		value := lookValue{Key: v[0], Written: edit.Written(text, tray, v[0]), Of: "tray " + e.Source.ID, Now: v[1]}
		value.Line = f.sharedAt(value, defaultOf(f.planned.Job, v[0]) != 0, finding.Position{})
		list = append(list, value)
	}
	return list
}

// sharedAt is the line where a value stands for others as well; "" where it may be set here.
func (f *lookFeed) sharedAt(v lookValue, given bool, tray finding.Position) string {
	if v.Written != "" || !given {
		return ""
	}
	line := edit.LineOf(f.texts.job, "tray_defaults", v.Key)
	if edit.Written(f.texts.job, edit.Entry{At: tray}, v.Key) != "" {
		line = tray.Line
	}
	return fmt.Sprintf("%s:%d", filepath.Base(f.path), line)
}
