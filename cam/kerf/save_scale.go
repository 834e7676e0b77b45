package kerf

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/profiles"
)

// JudgeScales says of each scale whether programs are corrected for it, and by
// how much that moves the largest part.
func JudgeScales(file string, scales []Scale) finding.List {
	var found finding.List
	say := func(s Scale, severity finding.Severity, rule, message, hint string) {
		found = append(found, finding.Finding{Severity: severity, Rule: rule, Where: fmt.Sprintf("%s: %s along %s", file, s.Machine, s.Axis), Message: message, Hint: hint})
	}
	for _, s := range scales {
		found = append(found, s.judge(fmt.Sprintf("%s: %s along %s", file, s.Machine, s.Axis))...)
		was := math.Abs(s.Measured.Value-1) > s.Measured.HalfWidth
		switch {
		case s.Odd != "":
			say(s, finding.Warning, "coupons-differ", fmt.Sprintf("%s: this does not go with the other days' coupons, farther off than chance explains: the scale stays at %s", s.Odd, plainNumber(s.Next)),
				"measure it again; if the machine itself has changed, move "+scaleFile(s.Machine)+" out of the folder of profiles, and save what was measured since")
		case s.Applied:
			say(s, finding.Note, "scale-applied", s.moves(), "with --save programs are corrected for it")
		case s.Next != s.InForce:
			say(s, finding.Warning, "scale-taken-back", fmt.Sprintf("by %s a programmed mm comes out as %s mm (%s), and %s was in force: that was chance", s.coupons(), s.Sure.ratio(), percent(s.Confidence), plainNumber(s.InForce)),
				"with --save the machine counts as true")
		case was:
			say(s, finding.Note, "scale-not-applied", fmt.Sprintf("%s leaves 1 out, as one axis in twenty does by chance: it is not corrected for", s.Measured.ratio()),
				fmt.Sprintf("cut and measure another coupon on another day, of any foam and with any tool: coupons of one day need %s, those of several %s; say when each was measured (--date), or all count as one day's", percent(sureOfOne), percent(sureOfMany)))
		}
	}
	return found
}

// moves is what the scale does to the largest part that the machine makes.
func (s Scale) moves() string {
	way := "long"
	if s.MovesMM < 0 {
		way = "short"
	}
	return fmt.Sprintf("by %s a programmed mm comes out as %s mm (%s): the largest part, %.4g mm, would be %.2f mm too %s",
		s.coupons(), s.Sure.ratio(), percent(s.Confidence), s.LongestMM, math.Abs(s.MovesMM), way)
}

// ratio is a scale with its half-width.
func (e Estimate) ratio() string { return fmt.Sprintf("%.5f ± %.5f", e.Value, e.HalfWidth) }

// coupons is what the scale rests on, in words.
func (s Scale) coupons() string {
	text := "one coupon"
	if n := len(s.RestsOn); n > 1 {
		text = fmt.Sprintf("%d coupons", n)
	}
	if s.Days > 1 {
		return fmt.Sprintf("%s of %d days", text, s.Days)
	}
	return text + " of one day"
}

func percent(confidence float64) string { return plainNumber(100*confidence) + " %" }

// scaleFiles are the machines' files: the scale that is applied, and every
// coupon that it rests on.
func scaleFiles(scales []Scale) []ProfileFile {
	var files []ProfileFile
	var ids []string
	for _, s := range scales {
		ids = addText(ids, s.Machine)
	}
	for _, id := range ids {
		m := profiles.Machine{ID: id}
		for _, s := range scales {
			switch {
			case s.Machine != id:
				continue
			case s.Axis == axisX:
				m.ScaleX = s.number()
			default:
				m.ScaleY = s.number()
			}
			m.ScaleReadings = append(m.ScaleReadings, s.RestsOn...)
		}
		files = append(files, scaleFileOf(m))
	}
	return files
}

// scaleFileOf is a `scales:` row of a machine, with what it rests on.
func scaleFileOf(m profiles.Machine) ProfileFile {
	text := job.Seal(ProfileHead+"# take the file away and the machine counts as true. A later coupon is added to these.\n", profiles.ScalesRow(m))
	return ProfileFile{Name: scaleFile(m.ID), Data: text, Adds: true, machine: &m}
}

func scaleFile(machine string) string { return "scale-" + machine + ".yaml" }

// number is the scale as it is saved; none where the machine counts as true.
func (s Scale) number() profiles.Number {
	switch {
	case s.Applied:
		return profiles.Number{Value: roundTo(s.Next, s.step()), Source: fmt.Sprintf("measured: %s ± %s (%s), %s, n = %d",
			plainNumber(roundTo(s.Sure.Value, s.step())), plainNumber(roundUp(s.Sure.HalfWidth, s.step())), percent(s.Confidence), s.coupons(), s.lengths())}
	case s.Next == 1:
		return profiles.Number{}
	}
	return profiles.Number{Value: s.Next, Source: cut("as it was in force: "+strings.TrimPrefix(s.kept.Source, "as it was in force: "), 700)}
}

func (s Scale) step() float64 { return worth(s.Sure.HalfWidth, 1e-6, 1e-4) }

// lengths is how many readings the scale rests on.
func (s Scale) lengths() int {
	n := 0
	for _, r := range s.RestsOn {
		n += r.Lengths
	}
	return n
}
