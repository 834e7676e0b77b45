package page

import (
	_ "embed"
	"fmt"
	"io"
	"strings"
	"text/template"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

//go:embed meet.md.tmpl
var meetMarkdown string

var meetTemplate = template.Must(template.New("meet").Funcs(template.FuncMap{"md": markdown, "next": next, "duration": finding.Duration}).Parse(meetMarkdown))

// Meet is the instruction sheet of an air cut; lengths are mm.
type Meet struct {
	Machine          profiles.Machine
	Unit             units.Unit
	Programs         []MeetProgram
	HeightMM, LiftMM float64 // of all moves above Z zero; up from there and back
	MarginMM         float64 // from the ends of the travel
	Squares          []float64
	Share            float64 // of the fastest feed
	RPM              float64 // 0 where nothing turns
	NoRecipe         bool    // it has none for any foam
}

// MeetProgram is one of its programs.
type MeetProgram struct {
	File    string
	Seconds float64
}

// Notes are what each program says of itself.
func (s Meet) Notes() []string {
	return []string{"air cut: no foam, nothing on the bed, a hand on the stop", s.nothing()}
}

// nothing says what of the machine cuts nothing, and why.
func (s Meet) nothing() string {
	_, said := s.Machine.Process.Traits().Idle()
	return said
}

// Markdown writes the sheet. The error is w's.
func (s Meet) Markdown(w io.Writer) error { return meetTemplate.Execute(w, meetText{s}) }

// meetText is the sheet as its template asks for it.
type meetText struct{ Meet }

// Is the machine's nature.
func (s meetText) Is() profiles.Traits { return s.Machine.Process.Traits() }

// Nothing says why nothing is cut.
func (s meetText) Nothing() string { return s.nothing() }

// NoTrail reports whether nobody has said how far a blade's tip trails.
func (s meetText) NoTrail() bool {
	return s.Is().Blade && s.Machine.Tools[0].TrailMM.Value <= 0 && !s.Turned()
}

// Turned reports whether an axis turns the blade.
func (s meetText) Turned() bool { return s.Machine.Tools[0].Turned() }

// OnBed reports whether Z is zeroed on the bed.
func (s meetText) OnBed() bool { return s.Machine.ZZero == profiles.ZBed }

// Length prints a length.
func (s meetText) Length(mm float64) string { return Length(mm, s.Unit) }

// StartMM is how high the head stands at the start: the first move goes up to the height of
// all others, and one that goes down by as much does not reach the bed.
func (s meetText) StartMM() float64 { return 0.75 * s.HeightMM }

// UpMM is how far it goes up from Z zero at most.
func (s meetText) UpMM() float64 { return s.HeightMM + s.LiftMM }

// CountsIn warns of a program in another unit than the sheet's; "" where both are one.
func (s meetText) CountsIn() string { return countsIn(s.Machine.Controller, s.Unit) }

// Printer reports whether the controller is one as printers have them.
func (s meetText) Printer() bool { return s.Machine.Controller.Class == profiles.Printer }

// MotorsOff is what such a one may do while it stands.
func (s meetText) MotorsOff() string { return motorsOff }

// Corner is the upper right corner that it goes to.
func (s meetText) Corner() string {
	t := s.Machine.TravelMM
	return fmt.Sprintf("X %s, Y %s", s.Length(t[0].Value-s.MarginMM), s.Length(t[1].Value-s.MarginMM))
}

// Sides names the squares.
func (s meetText) Sides() string {
	var list []string
	for _, side := range s.Squares {
		list = append(list, s.Length(side))
	}
	return strings.Join(list, ", ")
}

// Percent is the part of the fastest feed.
func (s meetText) Percent() string { return fmt.Sprintf("%.0f %%", 100*s.Share) }
