package proof

import (
	"regexp"
	"strconv"

	"traywright/cam/finding"
	"traywright/cam/proof/read"
	"traywright/geometry/units"
)

// Other people's programs often list their tools in comments, as a controller's tool
// table does: T3 and D6.35 somewhere behind it. The width counts where neither the
// setup nor the machine says one.

// listed is such a comment: a tool's number and, behind it, its diameter.
var listed = regexp.MustCompile(`(?i)^\s*T\s*0*(\d{1,5})\b.*?[\s,;:(]D(?:IA|IAMETER)?\s*[=:]?\s*(\d+(?:\.\d*)?|\.\d+)\s*(mm|in)?(?:\s|[,;)]|$)`)

// listedTools are the diameters in mm that a program's comments give its tools, in the
// unit that they name, else in the program's. A tool with two is left out.
func listedTools(t read.Trace) map[int]float64 {
	unit := 1.0
	if c, ok := t.First(func(name string) bool { return name == "G20" || name == "G21" }); ok && c.Name == "G20" {
		unit = units.InchMM
	}
	widths := map[int]float64{}
	for _, c := range t.Comments {
		found := listed.FindStringSubmatch(c.Text)
		if found == nil {
			continue
		}
		number, _ := strconv.Atoi(found[1])
		width, err := strconv.ParseFloat(found[2], 64)
		switch found[3] {
		case "":
			width *= unit
		case "in", "IN":
			width *= units.InchMM
		}
		if old, again := widths[number]; err != nil || width > mostListedMM || again && old != width {
			width = 0
		}
		widths[number] = width
	}
	return widths
}

// mostListedMM is the widest that a tool in a list may be.
const mostListedMM = 100

// tellWidth says of a tool's width what is not known for sure.
func (d *run) tellWidth(m Motion, known bool) {
	width, _ := d.width(m.Tool)
	if !known {
		d.warn(m.Line, "width-unknown", "nobody has said how wide %v cuts; its cut is taken as %v wide", toolName(m.Tool), length(guessedMM)).
			hint("give the width with --kerf, or the tool with T and a machine that has it")
		return
	}
	if _, ok := d.setup.KerfMM[0]; ok || d.listed[m.Tool] != width {
		return
	}
	if _, ok := d.setup.KerfMM[m.Tool]; ok {
		return
	}
	if _, ok := d.toolByNumber(m.Tool); !ok {
		d.add(finding.Finding{Severity: finding.Note, Line: m.Line, Rule: "listed-width", Message: d.say("%v is taken to cut %v wide, as the program's own list of tools says", toolName(m.Tool), length(width))}).
			hint("give the width with --kerf, if that is not what is in the spindle")
	}
}
