package kerf

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/profiles"
	"traywright/profiles/strict"
)

// JudgeScales says of each scale whether programs are corrected for it, and by
// how much that moves the largest part.
func JudgeScales(file string, scales []Scale) finding.List {
	var found finding.List
	say := func(s Scale, severity finding.Severity, rule, message, hint string) {
		found = append(found, finding.Finding{Severity: severity, Rule: rule, Where: fmt.Sprintf("%s: %s along %s", file, s.Machine, s.Axis), Message: message, Hint: hint})
	}
	for _, s := range scales {
		for _, name := range s.Again {
			say(s, finding.Note, "coupon-again", "the readings of "+name+" take the place of those that were saved of it", "if it is another coupon, say when it was measured: --date, or a column `date`")
		}
		was := math.Abs(s.Measured.Value-1) > s.Measured.HalfWidth
		switch {
		case s.Odd != "":
			say(s, finding.Warning, "coupons-differ", fmt.Sprintf("the coupon %s does not go with the others, farther off than chance explains: the scale stays at %s", s.Odd, plainNumber(s.Next)),
				"measure it again; if the machine itself has changed, move "+scaleFile(s.Machine)+" out of the folder of profiles, and save what was measured since")
		case s.Applied:
			say(s, finding.Note, "scale-applied", s.moves(), "with --save programs are corrected for it")
		case s.Next != s.InForce:
			say(s, finding.Warning, "scale-taken-back", fmt.Sprintf("by %s a programmed mm comes out as %s mm (%s), and %s was in force: that was chance", coupons(len(s.RestsOn)), s.Sure.ratio(), percent(s.Confidence), plainNumber(s.InForce)),
				"with --save the machine counts as true")
		case was:
			say(s, finding.Note, "scale-not-applied", fmt.Sprintf("%s leaves 1 out, as one axis in twenty does by chance: it is not corrected for", s.Measured.ratio()),
				fmt.Sprintf("cut and measure another coupon, of any foam and with any tool: a single one needs %s, several need %s", percent(sureOfOne), percent(sureOfMany)))
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
		coupons(len(s.RestsOn)), s.Sure.ratio(), percent(s.Confidence), s.LongestMM, math.Abs(s.MovesMM), way)
}

// ratio is a scale with its half-width.
func (e Estimate) ratio() string { return fmt.Sprintf("%.5f ± %.5f", e.Value, e.HalfWidth) }

func coupons(n int) string {
	if n == 1 {
		return "one coupon"
	}
	return fmt.Sprintf("%d coupons", n)
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
		var b strings.Builder
		rests := ""
		fmt.Fprintf(&b, "scales:\n  - machine: %s\n", id)
		for _, s := range scales {
			if s.Machine == id {
				b.WriteString(s.row())
				for _, r := range s.RestsOn {
					rests += readingRow(r)
				}
			}
		}
		if rests != "" {
			b.WriteString("    rests_on:\n" + rests)
		}
		text := job.Seal(ProfileHead+"# take the file away and the machine counts as true. A later coupon is added to these.\n", []byte(b.String()))
		files = append(files, ProfileFile{Name: scaleFile(id), Data: text, Adds: true})
	}
	return files
}

func scaleFile(machine string) string { return "scale-" + machine + ".yaml" }

// row is the scale's own line; none where the machine counts as true.
func (s Scale) row() string {
	source := fmt.Sprintf("measured: %s ± %s (%s), %s, n = %d", plainNumber(roundTo(s.Sure.Value, s.step())), plainNumber(roundUp(s.Sure.HalfWidth, s.step())),
		percent(s.Confidence), coupons(len(s.RestsOn)), s.lengths())
	value := roundTo(s.Next, s.step())
	switch {
	case s.Applied:
	case s.Next == 1:
		return ""
	default:
		value, source = s.Next, cut("as it was in force: "+strings.TrimPrefix(s.kept.Source, "as it was in force: "), 700)
	}
	return fmt.Sprintf("    scale_%s: {value: %s, source: %s}\n", s.Axis, plainNumber(value), strict.Quote(source))
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

// readingRow is a coupon's line: what it said, and how well it could.
func readingRow(r profiles.ScaleReading) string {
	return fmt.Sprintf("      - {coupon: %s, axis: %s, scale: %s, standard_error: %s, deviation_mm: %s, degrees_of_freedom: %s, lengths: %d}\n",
		strict.Quote(r.Coupon), r.Axis, plainNumber(r.Scale), plainNumber(r.StandardError), plainNumber(r.DeviationMM), plainNumber(r.DegreesOfFreedom), r.Lengths)
}
