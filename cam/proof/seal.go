package proof

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"

	"traywright/cam/proof/read"
	"traywright/geometry"
	"traywright/profiles"
)

// A seal is three sums in a program's opening comments: of its own moves, of the plan
// that they were proved against, and of its other comments, by which a hand sets tool,
// stick-out and zero. It tells whether the file is still the one that was proved. It is no
// signature: whoever can edit a program can write a new seal, and a program that was
// changed may be as good as before, or better.

// How the opening comments name the sums.
const (
	movesKey = "seal of moves"
	planKey  = "seal of plan"
	wordsKey = "seal of words"
)

// sealDigits of a SHA-256, in hex: enough that no two programs ever share them.
const sealDigits = 32

// aSeal is a comment, in small letters, that is a seal and nothing else.
var aSeal = regexp.MustCompile(fmt.Sprintf("^(%s|%s|%s): [0-9a-f]{%d}$", movesKey, planKey, wordsKey, sealDigits))

// MovesSeal is the sum of all that a program, or its body alone, tells a controller:
// comments, blanks, capitals and line numbers make no difference.
func MovesSeal(text []byte) string { return digits(sha256.Sum256(read.Canonical(text))) }

// WordsSeal is the sum of all comments of a program but its seals: blanks make no
// difference, and neither does the kind of brackets that they stand in.
func WordsSeal(text []byte) string {
	sum := sha256.New()
	for _, c := range read.Words(text) {
		if !aSeal.MatchString(strings.ToLower(c)) {
			fmt.Fprintln(sum, c)
		}
	}
	return digits([sha256.Size]byte(sum.Sum(nil)))
}

// Comments are a program's comments in their order, without the blanks that change nothing.
func Comments(text []byte) []string { return read.Words(text) }

func digits(sum [sha256.Size]byte) string { return hex.EncodeToString(sum[:])[:sealDigits] }

// PlanSeal is the sum of what a program is held against: machine, foam, shapes,
// depths and limits, but no names. Lengths count to a ten thousandth of a mm, as
// they are printed, so that every machine finds the same.
func PlanSeal(s Setup, want *Wanted) string {
	w := planWriter{sha256.New()}
	m := s.Machine
	x, y := m.Scale()
	c := m.Controller
	w.say("machine", m.ID, m.Process, m.ZZero, profiles.On(c.Air), c.Arcs != profiles.Chords, s.Tool)
	if held := []any{c.Arcs, c.ChordMM, c.LaserOn, c.WholePower}; c.Class != profiles.PC || c.Arcs == profiles.Chords || c.LaserOn == "M4" || c.WholePower {
		w.say("controller", append(held, c.Class, c.DwellUnit)...)
	}
	w.numbers("machine", x, y, m.Controller.PowerScale, m.MaxFeedMMPerMin.Value, m.MaxRPM.Value, m.TravelMM[0].Value, m.TravelMM[1].Value, m.TravelMM[2].Value)
	if c.PathToleranceMM > 0 {
		w.numbers("corners", c.PathToleranceMM)
	}
	if m.StandoffMM.Value > 0 || m.RiseS.Value > 0 || m.ZCounts == profiles.ZDown || c.LeastPowerPercent > 0 {
		w.say("head", m.ZCounts)
		w.numbers("head", m.StandoffMM.Value, m.RiseS.Value, c.LeastPowerPercent)
	}
	for _, t := range m.Tools {
		w.say("tool", t.Number)
		w.numbers("tool", t.DiameterMM.Value, t.Reach(), t.FluteMM.Value)
		if t.TrailMM.Value > 0 {
			w.numbers("blade", t.TrailMM.Value)
		}
		if t.Turned() {
			w.numbers("turned", t.ChordMM.Value, t.GougeMM.Value, t.SlantDegrees.Value, m.ASign(), m.TurnRPM.Value)
		}
	}
	for _, c := range m.Clamps {
		w.numbers("clamp", c.XMM, c.YMM, c.LengthMM, c.WidthMM, c.HeightMM)
	}
	w.numbers("foam", s.ThicknessMM, s.BreakthroughMM, s.TaperDegrees, s.SpinUpSeconds)
	w.kerfs(s.KerfMM)
	for _, e := range s.Before {
		w.say("before", MovesSeal(e.Text), e.Tool)
	}
	for _, l := range s.Layers {
		w.numbers("layer", l.ThicknessMM)
		w.kerfs(l.KerfMM)
	}
	w.wanted(want)
	var sum [sha256.Size]byte
	w.Sum(sum[:0])
	return digits(sum)
}

// wanted is all that the foam is held against.
func (w planWriter) wanted(want *Wanted) {
	for _, c := range want.Cuts {
		w.say("cut", c.Through, c.Plug)
		w.numbers("depth", c.DepthMM)
		w.region(c.Shape, c.Bridged)
		w.limits(c.Limits)
	}
	w.numbers("outline", want.OutlineDepthMM, want.MarkDepthMM)
	w.region(want.Outline, want.OutlineBridged)
	if want.Tabs.Count > 0 {
		w.say("tabs", want.Tabs.Count)
		w.numbers("tabs", want.Tabs.WidthMM, want.Tabs.HighMM)
	}
	w.limits(want.OutlineLimits)
	w.limits(want.MarkLimits)
	for _, s := range want.Slits {
		w.numbers("slit", s.WidthMM)
		w.segment(s.segment())
	}
	for _, o := range want.Offcuts {
		w.numbers("offcut", o.Min.X, o.Min.Y, o.Max.X, o.Max.Y)
	}
	for _, k := range want.Marks {
		w.numbers("mark", k.WidthMM)
		for s := range k.Path.Segments() {
			w.segment(s)
		}
	}
}

// planWriter adds values to a sum, each in one way only.
type planWriter struct{ hash.Hash }

func (w planWriter) say(key string, values ...any) { fmt.Fprintln(w, append([]any{key}, values...)...) }

func (w planWriter) numbers(key string, values ...float64) {
	fmt.Fprint(w, key)
	for _, v := range values {
		fmt.Fprintf(w, " %d", int64(math.Round(v*10000)))
	}
	fmt.Fprintln(w)
}

func (w planWriter) kerfs(byTool map[int]float64) {
	for _, tool := range slices.Sorted(maps.Keys(byTool)) {
		w.say("tool", tool)
		w.numbers("kerf", byTool[tool])
	}
}

func (w planWriter) region(r geometry.Region, held Bridges) {
	for _, c := range r.Contours() {
		w.say("contour")
		for s := range c.Segments() {
			w.segment(s)
		}
	}
	for _, at := range held.At {
		w.numbers("bridge", at.X, at.Y, held.WidthMM)
	}
	for _, path := range held.Left {
		w.say("left")
		for s := range path.Segments() {
			w.segment(s)
		}
	}
}

func (w planWriter) segment(s geometry.Segment) {
	w.numbers("segment", s.A.X, s.A.Y, s.B.X, s.B.Y, 1e4*s.Bulge)
}

func (w planWriter) limits(list []Limits) {
	for _, l := range list {
		w.say("limits", l.Tool, l.Passes)
		w.numbers("limits", l.ToMM, l.FeedMMPerMin, l.PlungeMMPerMin, l.StepDownMM, l.RPM, l.PowerPercent, l.MMPerPass)
		w.numbers("focus", l.FocusMM...)
		if l.RampDegrees > 0 {
			w.numbers("ramp", l.RampDegrees)
		}
		if l.WallMM > 0 {
			w.numbers("wall", l.WallMM)
		}
		if l.Kerf != nil {
			w.numbers("kerf", l.Kerf.MM...)
		}
		if l.PauseS > 0 {
			w.numbers("pause", l.PauseS)
		}
	}
}

// Kept is what became of a sealed thing.
type Kept string

const (
	NoSeal  Kept = "none"    // the program names no sum of it
	Same    Kept = "same"    // as it was proved
	Changed Kept = "changed" // since it was proved
	Unasked Kept = "unasked" // of a plan: there is no job to compare with
)

// Seal is whether a program is the one that was proved, and against the plan that
// it is held against now.
type Seal struct{ Moves, Plan, Words Kept }

// seal compares the sums in the header with what is there.
func (d *run) seal(text []byte) Seal {
	s := Seal{Moves: NoSeal, Plan: NoSeal, Words: NoSeal}
	if named := d.result.Header[movesKey]; named != "" {
		s.Moves = kept(named, MovesSeal(text))
	}
	if named := d.result.Header[wordsKey]; named != "" || s.Moves != NoSeal {
		s.Words = kept(named, WordsSeal(text))
	}
	if s.Words == Changed {
		d.warn(1, "words-changed", "the comments are not those that this program was written with: what they say of tool, stick-out, zero, current, foam and skin may be another's").
			hint("set the machine up by the cut sheet, not by this file; or write it again with `traywright cut`")
	}
	switch named := d.result.Header[planKey]; {
	case named == "":
	case d.want == nil:
		s.Plan = Unasked
	default:
		s.Plan = kept(named, PlanSeal(d.setup, d.want))
	}
	return s
}

func kept(named, is string) Kept {
	if strings.EqualFold(named, is) { // a program may be written in capitals
		return Same
	}
	return Changed
}
