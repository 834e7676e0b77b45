package page

import (
	"fmt"
	"image"
	"image/color"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/finding"
	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// faulty is the tray of the fixture, cut as planned, with n things wrong that have
// nothing to do with its walls, each of a kind of its own and said twice.
func faulty(n int) (proof.Result, *proof.Wanted) {
	r, wanted := trayResult()
	r.OK = false
	for i := range n {
		for k := range 2 {
			r.Findings = append(r.Findings, finding.Finding{Rule: fmt.Sprintf("wrong-%d", i), Line: r.Motions[(i*7+k*90)%len(r.Motions)].Line, Message: "is wrong"})
		}
	}
	return r, wanted
}

// A program that fails does not meet its plan, and what was not compared is not
// said to be met.
func TestNoClaimThatWasNotMeasured(t *testing.T) {
	good, wanted := trayResult()
	bad, _ := faulty(1)
	for _, c := range []struct {
		name  string
		r     proof.Result
		o     PictureOptions
		plan  string
		text  string
		fails bool
	}{
		{"as planned", good, routerOptions(wanted), "met to within 0.008 mm", "dry run passes", false},
		{"wrong elsewhere", bad, routerOptions(wanted), "not met; walls and floors differ by up to 0.008 mm", "dry run fails: 2 errors", true},
		{"alone", good, routerOptions(nil), "not compared with one", "dry run passes", false},
		{"alone and wrong", bad, routerOptions(nil), "not compared with one", "dry run fails: 2 errors", true},
		{"nothing read", proof.Result{}, routerOptions(wanted), "not compared: there is no move to read", "dry run fails", true},
		{
			"wrong beside the dry run", good, PictureOptions{Found: finding.List{{Rule: "no-such-sheet", Message: "the job has no such sheet"}, {Severity: finding.Note, Message: "by the way"}}},
			"not compared with one", "dry run fails: 1 error", true,
		},
		{"a warning", good, PictureOptions{Found: finding.List{{Severity: finding.Warning}, {Severity: finding.Warning}}}, "not compared with one", "dry run passes, 2 warnings", false},
	} {
		s := newSheet(setter(t), c.r, c.o)
		facts := s.measured()
		assert.Equal(t, fact{"Plan", c.plan}, facts[len(facts)-1], c.name)
		text, good := s.verdict()
		assert.Equal(t, c.text, text, c.name)
		assert.Equal(t, c.fails, !good, c.name)
	}
	off := good
	off.WorstUndercutMM = 0.06
	facts := newSheet(setter(t), off, routerOptions(wanted)).measured()
	assert.Equal(t, fact{"Plan", "differs by up to 0.060 mm"}, facts[len(facts)-1])
}

// However many errors there are, each is listed once with its word and its line, and
// no legend gives way to them.
func TestAFailedRunShowsItsErrorsAndItsLegends(t *testing.T) {
	r, wanted := faulty(20)
	s, im := drawn(t, r, routerOptions(wanted))
	assert.Len(t, s.flags, 20)
	assert.Len(t, s.findingRows(600), 20)
	for i, f := range s.flags {
		assert.Equal(t, i+1, f.number)
		assert.Equal(t, fmt.Sprintf("error, line %d: is wrong (and 1 more like it)", f.Line), f.text())
		assert.Len(t, f.places, 2, "both are shown where they are")
	}
	titles := map[string]bool{}
	for _, b := range s.blocks(600, s.used) {
		titles[b.title] = true
	}
	for _, title := range []string{"Findings", "Depth below the foam's top", "Marks", "The program says", "On the bed"} {
		assert.True(t, titles[title], title)
	}
	deep := s.shades.colour(fixtureThickness)
	assert.True(t, beside(s, im, deep), "the shade of what is cut through is in the legend")
	assert.True(t, beside(s, im, bluishGreen), "and so is where a cut starts")
}

// beside reports whether a colour is in the notes.
func beside(s *sheet, im *image.RGBA, want color.RGBA) bool {
	for y := range im.Bounds().Dy() {
		for x := int(s.v.on().right()) + 20; x < im.Bounds().Dx(); x++ {
			if im.RGBAAt(x, y) == want {
				return true
			}
		}
	}
	return false
}

// An error is striped in black and yellow, a warning is not, and neither hides its
// number: what the colour-blind and a grey printer leave is the stripes and the word.
func TestErrorsAreStriped(t *testing.T) {
	for severity, striped := range map[finding.Severity]bool{finding.Error: true, finding.Warning: false, finding.Note: false} {
		c := newCanvas(setter(t), 200, 100)
		c.flagAt(20, 80, flag{number: 3, Finding: finding.Finding{Severity: severity}})
		seen := map[color.RGBA]int{}
		for y := range 100 {
			for x := range 200 {
				seen[c.im.RGBAAt(x, y)]++
			}
		}
		assert.Equal(t, striped, seen[yellow] > 100 && seen[black] > 100, severity)
		assert.Greater(t, seen[ink], 20, "its number")
	}
}

// Two findings of one kind share a number; what is far enough apart has a flag each,
// and no flag covers another.
func TestFlagsOfOneKind(t *testing.T) {
	at := func(line int, x, y float64) proof.Motion {
		return proof.Motion{Line: line, On: true, Op: "a", To: proof.Point{Point: geometry.Point{X: x, Y: y}, Z: -1}}
	}
	r := proof.Result{Motions: []proof.Motion{at(1, 0, 0), at(2, 100, 80), at(3, 100.5, 80)}}
	for line := 1; line <= 3; line++ {
		r.Findings = append(r.Findings, finding.Finding{Rule: "deep", Line: line, Message: "too deep"})
	}
	r.Findings = append(r.Findings, finding.Finding{Rule: "slow", Line: 2, Message: "too slow"}, finding.Finding{Rule: "early", Line: 0, Message: "no line"})
	list := flags(r, nil)
	assert.Len(t, list, 3)
	assert.Equal(t, "error, line 1: too deep (and 2 more like it)", list[0].text())
	assert.Len(t, list[0].places, 3)
	assert.Equal(t, []geometry.Point{{X: 100, Y: 80}}, list[1].places)
	assert.Equal(t, "error: no line", list[2].text())
	assert.Empty(t, list[2].places)
}

// What a hand cuts is drawn from the plan, in cells: an edge of theirs is no error to be striped.
func TestAPictureFromThePlanMarksNoDifference(t *testing.T) {
	r, wanted := badTray()
	for process, marked := range map[profiles.Process]bool{profiles.Router: true, profiles.Hand: false} {
		o := routerOptions(wanted)
		o.Machine.Process = process
		s, _ := drawn(t, r, o)
		assert.Equal(t, marked, s.used.over, process)
		assert.Equal(t, marked, s.used.under, process)
	}
}

// A hand sets a wire's supply by what its program says.
func TestAPictureHasTheCurrent(t *testing.T) {
	r, wanted := trayResult()
	r.Header = map[string]string{"current": "1.8 A through the wire"}
	assert.Contains(t, newSheet(setter(t), r, routerOptions(wanted)).said(), fact{"Current", "1.8 A through the wire"})
}
