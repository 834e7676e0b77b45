package proof_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
)

const markMM = 1.5

// anchor is a mark in the free foam of the small tray: a line and an arc.
func anchor() geometry.Path {
	return geometry.NewPath(geometry.Vertex{Point: geometry.Point{X: 8, Y: 58}}, geometry.Vertex{Point: geometry.Point{X: 24, Y: 58}, Bulge: 0.5},
		geometry.Vertex{Point: geometry.Point{X: 34, Y: 58}})
}

// engraving is the moves of a mark at a height; for a beam, with its power.
func engraving(p geometry.Path, z, power float64, m process.Point) process.Op {
	op := process.Op{Kind: process.Mark, Name: "marks", RPM: 18000, Passes: 1}
	first := p.Vertices()[0].Point
	op.Moves = append(op.Moves, process.Move{To: process.Point{Point: first, Z: m.Z}})
	if z < 0 {
		op.Moves = append(op.Moves, process.Move{Kind: process.Line, To: process.Point{Point: first, Z: z}, FeedMMPerMin: 300})
	}
	for s := range p.Segments() {
		move := process.Move{Kind: process.Line, To: process.Point{Point: s.B, Z: z}, FeedMMPerMin: 900, PowerPercent: power}
		if s.IsArc() {
			move.Kind, move.Center = process.CCW, s.Center()
		}
		op.Moves = append(op.Moves, move)
	}
	op.Moves = append(op.Moves, process.Move{To: process.Point{Point: p.Vertices()[len(p.Vertices())-1].Point, Z: m.Z}})
	return op
}

func routerMarked(p geometry.Path, depth float64) process.Op {
	op := engraving(p, -depth, 0, process.Point{Z: 5})
	op.Tool, op.KerfMM = routerMachine().Tools[0], cutterMM
	return op
}

// markedSlowly is a cutter's limits at the feed of the marks here.
func markedSlowly() []proof.Limits {
	list := routerLimits()
	list[0].FeedMMPerMin = 900
	return list
}

func laserMarked(p geometry.Path, power float64) process.Op {
	op := engraving(p, 0, power, process.Point{})
	op.Tool, op.KerfMM = laserMachine().Tools[0], kerfMM
	return op
}

// A cutter's marks: where and as deep as planned they are right, and every other
// mark is told.
func TestCutterMarks(t *testing.T) {
	moved := func(dx, dy float64) geometry.Path { return anchor().Transform(geometry.Translate(dx, dy)) }
	for name, c := range map[string]struct {
		marks []process.Op
		rules string
	}{
		"as planned":    {[]process.Op{routerMarked(anchor(), markMM)}, ""},
		"left out":      {nil, "mark-missing"},
		"half of it":    {[]process.Op{routerMarked(geometry.NewPath(anchor().Vertices()[:2]...), markMM)}, "mark-missing"},
		"too shallow":   {[]process.Op{routerMarked(anchor(), 1)}, "mark-missing"},
		"too deep":      {[]process.Op{routerMarked(anchor(), 2)}, "mark-too-deep"},
		"elsewhere":     {[]process.Op{routerMarked(moved(2, 0), markMM)}, "mark-missing stray-cut"},
		"twice":         {[]process.Op{routerMarked(anchor(), markMM), routerMarked(moved(0, 7), markMM)}, "stray-cut"},
		"into a pocket": {[]process.Op{routerMarked(anchor(), markMM), routerMarked(moved(2, -9), markMM)}, "overcut stray-cut"},
	} {
		t.Run(name, func(t *testing.T) {
			p, w := routerTray()
			w.MarkDepthMM, w.Marks = markMM, []proof.WantedMark{{Path: anchor(), WidthMM: cutterMM}}
			w.MarkLimits = markedSlowly()
			p.Ops = append(c.marks, p.Ops...)
			r := proof.Run("", text(t, p, routerMachine()), routerSetup(), &w)
			for rule := range strings.FieldsSeq(c.rules) {
				assert.Contains(t, rulesOf(r), rule, "%v", r.Findings)
			}
			assert.Equal(t, c.rules == "", r.OK, "%v", r.Findings)
		})
	}
}

// Where the plan does not say where its marks are, any of their depth may be there.
func TestMarksOfUnknownPlaces(t *testing.T) {
	p, w := routerTray()
	w.MarkDepthMM, w.MarkLimits = markMM, markedSlowly()
	p.Ops = append([]process.Op{routerMarked(anchor(), markMM)}, p.Ops...)
	assert.True(t, proof.Run("", text(t, p, routerMachine()), routerSetup(), &w).OK)
}

// A beam's marks take nothing away, and are held against the plan all the same.
func TestBeamMarks(t *testing.T) {
	moved := anchor().Transform(geometry.Translate(3, 0))
	off := anchor().Transform(geometry.Translate(0, 20))
	for name, c := range map[string]struct {
		marks []process.Op
		rules string
	}{
		"as planned":     {[]process.Op{laserMarked(anchor(), 6)}, ""},
		"left out":       {nil, "mark-missing"},
		"elsewhere":      {[]process.Op{laserMarked(moved, 6)}, "mark-missing stray-mark"},
		"off the foam":   {[]process.Op{laserMarked(anchor(), 6), laserMarked(off, 6)}, "stray-mark"},
		"at full power":  {[]process.Op{laserMarked(anchor(), 60)}, "mark-missing mark-too-deep"},
		"one more there": {[]process.Op{laserMarked(anchor(), 6), laserMarked(moved, 6)}, "stray-mark"},
		"twice":          {[]process.Op{laserMarked(anchor(), 6), laserMarked(anchor(), 6)}, "marked-again"},
	} {
		t.Run(name, func(t *testing.T) {
			p, w := laserTray()
			w.Marks, w.MarkLimits = []proof.WantedMark{{Path: anchor(), WidthMM: kerfMM}}, markLimits()
			p.Ops = append(c.marks, p.Ops...)
			r := proof.Run("", text(t, p, laserMachine()), laserSetup(), &w)
			for rule := range strings.FieldsSeq(c.rules) {
				assert.Contains(t, rulesOf(r), rule, "%v", r.Findings)
			}
			assert.Equal(t, c.rules == "", r.OK, "%v", r.Findings)
		})
	}
}

// A picture that is longer to engrave than everything that is cut stays a
// picture: what is usual is what cuts.
func TestLongMarksStayMarks(t *testing.T) {
	p, w := laserTray()
	w.Marks = []proof.WantedMark{}
	var marks []process.Op
	for i := range 60 {
		line := anchor().Transform(geometry.Translate(0, 0.1*float64(i)-3))
		marks = append(marks, laserMarked(line, 6))
		w.Marks = append(w.Marks, proof.WantedMark{Path: line, WidthMM: kerfMM})
	}
	p.Ops = append(marks, p.Ops...)
	program := text(t, p, laserMachine())
	without := proof.Run("", program, laserSetup(), unlimited(w))
	assert.True(t, without.OK, "%v", without.Findings)
	w.MarkLimits = markLimits()
	with := proof.Run("", program, laserSetup(), &w)
	assert.True(t, with.OK, "%v", with.Findings)
}

// markLimits is how the beam's marks above are made.
func markLimits() []proof.Limits {
	return []proof.Limits{{FeedMMPerMin: 900, PowerPercent: 6, FocusMM: []float64{0}}}
}

// unlimited is a plan that says what is wanted and not how.
func unlimited(w proof.Wanted) *proof.Wanted {
	w.Cuts = slices.Clone(w.Cuts)
	for i := range w.Cuts {
		w.Cuts[i].Limits = nil
	}
	w.OutlineLimits, w.MarkLimits = nil, nil
	return &w
}
