package cam

import (
	"regexp"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/gcode"
	"traywright/cam/proof"
	"traywright/profiles"
)

// Without a job nobody knows what `cut` would say of a program. It is still known how it says things.

// shortForms are how `cut` writes what is never broken into lines, but where a controller's are very
// short.
var shortForms = map[string]*regexp.Regexp{
	"thickness": lengthForm, "breakthrough": lengthForm, "passes": regexp.MustCompile(`^\d+$`), "x": extentForm, "y": extentForm, "z": extentForm,
	"layer":      regexp.MustCompile(`^(\d+ of \d+, counted from the top|1 of 1, a sheet with \d+ parts?|all, glued into one block)$`),
	"program":    regexp.MustCompile(`^\d+ of \d+ for this sheet, a tool each$`),
	"z zero":     regexp.MustCompile(`^(bed, positive up|top of the foam, positive (up|down))$`),
	"skin":       regexp.MustCompile(`^[\d.]+ mm left under the outline, to cut with a knife$`),
	"plugs":      regexp.MustCompile(`^\d+ stands? on [\d.]+ mm, to cut with a knife and lift out$`),
	"left":       regexp.MustCompile(`^\d+ places uncut, [\d.]+ mm in all, to cut by hand$`),
	"bridges":    regexp.MustCompile(`^\d+ of [\d.]+ mm left in the cuts, to snap by hand$`),
	"full power": regexp.MustCompile(`^s[\d.]+, as the controller's own setting has to be$`),
	"time":       regexp.MustCompile(`^` + durationForm + ` estimated, not less than ` + durationForm + ` at the feeds written$`),
	"current":    regexp.MustCompile(`^[\d.]+ a through the wire, which a hand sets at its supply$`),
	"kerf":       regexp.MustCompile(`^t\d+ [\d.]+ mm$`), "stick-out": regexp.MustCompile(`^t\d+ [\d.]+ mm$`),
	"seal of moves": aSum, "seal of plan": aSum, "seal of words": aSum,
}

// durationForm is what finding.Duration writes.
const durationForm = `(?:\d+ h \d\d min|(?:\d+ min )?\d+ s|not known)`

var (
	lengthForm = regexp.MustCompile(`^[\d.]+ mm$`)
	extentForm = regexp.MustCompile(`^-?[\d.]+ to -?[\d.]+ mm$`)
)

// alone judges the comments of a program that says that it was written here, where there is no job.
func (d *Tried) alone(c *profiles.Catalog) finding.List {
	sealed := d.header["seal of moves"] != "" || d.header["seal of words"] != ""
	said := map[string][]string{}
	for key, text := range d.header {
		said[key] = []string{text}
	}
	ours := claims(said) && slices.ContainsFunc([]string{"tray", "z zero", "caution"}, func(key string) bool { return d.header[key] != "" })
	switch {
	case !sealed && !ours:
		return nil
	case !sealed:
		return append(finding.List{{
			Severity: finding.Warning, Rule: "no-seal", Where: d.trial.Name,
			Message: "says that it was written here, and has no seal any more: nobody can say whose its comments are",
			Hint:    "give its job with --job, which has them held against what `cut` writes; or set the machine up by the cut sheet",
		}}, append(d.unwritten(), d.cautionsAlone(c)...)...)
	case d.header["seal of words"] == proof.WordsSeal(d.trial.Text):
		return nil
	}
	return append(d.unwritten(), d.cautionsAlone(c)...)
}

// unwritten is the error of comments that are none of `cut`'s, whatever the job. Lines that begin with
// "+" go on with what may be a text of the user's, and may have been moved.
func (d *Tried) unwritten() finding.List {
	var other []string
	comments := proof.Comments(d.trial.Text)
	for i, c := range comments {
		key, text, ok := strings.Cut(c, ":")
		key = strings.ToLower(strings.TrimSpace(key))
		form := shortForms[key]
		broken := i+1 < len(comments) && strings.HasPrefix(comments[i+1], "+ ")
		switch {
		case strings.HasPrefix(c, "+ ") || mute.MatchString(c):
		case !ok || !slices.Contains(gcode.Keys, key) || form != nil && !broken && !form.MatchString(strings.ToLower(strings.TrimSpace(text))):
			other = append(other, c)
		}
	}
	if len(other) == 0 {
		return nil
	}
	return finding.List{d.neverWritten(other, "")}
}
