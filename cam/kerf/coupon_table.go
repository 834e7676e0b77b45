package kerf

import (
	"fmt"
	"strconv"
	"strings"

	"traywright/geometry/units"
)

// TableName is the file of the table to fill in.
const TableName = CouponID + ".csv"

// Table is the table to fill in, a row for each square and axis, as `kerf` reads
// it; the lines that begin with # say how to measure.
// More are the other pieces of the same coupon.
func (c *Coupon) Table(more ...*Coupon) []byte {
	var b strings.Builder
	for _, line := range c.tableNotes(more) {
		b.WriteString(strings.TrimRight("# "+line, " ") + "\n")
	}
	b.WriteString(strings.Join(c.columns(), ",") + "\n")
	for _, c := range append([]*Coupon{c}, more...) {
		for _, axis := range []string{"x", "y"} {
			for _, s := range c.Squares {
				for _, face := range c.Faces() {
					b.WriteString(strings.Join(c.tableRow(s, axis, face), ",") + "\n")
				}
			}
		}
	}
	return []byte(b.String())
}

// columns are the contract's, and those that this coupon gives more.
func (c *Coupon) columns() []string {
	list := []string{"foam", "thickness", "machine", "axis", "size", "hole", "plug", "tool", "note"}
	if c.Spec.Taper {
		list = append(list, "face")
	}
	if c.Spec.Ladder.Key != "" {
		list = append(list, c.Spec.Ladder.Key)
	}
	if wayOf(c.Machine).melts {
		list = append(list, "current")
	}
	return list
}

// Faces are where a square is measured: the foam's top and bottom, or one that
// has no name.
func (c *Coupon) Faces() []string {
	if c.Spec.Taper {
		return []string{"top", "bottom"}
	}
	return []string{""}
}

func (c *Coupon) tableRow(s Square, axis, face string) []string {
	u := c.Spec.Units
	row := []string{c.Foam.ID, c.Spec.Thickness.Exact(u), c.Machine.ID, axis, s.Size.Cell(u), "", "", c.Tool.ID, "square " + s.Label}
	if face != "" {
		row = append(row, face)
	}
	if key := c.Spec.Ladder.Key; key != "" {
		value := strconv.FormatFloat(c.Groups[s.Group].Value, 'f', -1, 64)
		if unit := rungOf(key).unit; strings.HasPrefix(unit, "mm") && u == units.Inch {
			value += " " + unit
		}
		row = append(row, value)
	}
	if wayOf(c.Machine).melts {
		row = append(row, strconv.FormatFloat(c.Recipe.CurrentA.Value, 'f', -1, 64))
	}
	return row
}

// Command is what to run beside the table when it has been filled in.
func (c *Coupon) Command() string {
	text := "traywright kerf " + TableName
	if c.Spec.Profiles != "" {
		text += " --profiles " + c.Spec.Profiles
	}
	return text
}

// tableNotes say how to measure, in plain words.
func (c *Coupon) tableNotes(more []*Coupon) []string {
	beside := ""
	if c.Spec.Profiles != "" {
		beside = " in this table's folder"
	}
	list := []string{
		fmt.Sprintf("Coupon of %s, cut on %s. Fill in hole and plug, then run%s", c.cutOf(more), c.Machine.ID, beside),
		"    " + c.Command(),
		"units: " + c.Spec.Units.String(),
		"scale: " + c.scale(),
		"date:",
	}
	for _, line := range c.howToMeasure(more) {
		list = append(list, wrapped("- "+line, 100)...)
	}
	return list
}

// cutOf is the foams and tools of all pieces.
func (c *Coupon) cutOf(more []*Coupon) string {
	var list []string
	for _, c := range append([]*Coupon{c}, more...) {
		list = addText(list, fmt.Sprintf("%s, %s thick, with %s", c.Foam.ID, c.Spec.Thickness.Exact(c.Spec.Units), c.Tool.ID))
	}
	return strings.Join(list, "; ")
}

// howToMeasure is for all pieces, each line once.
func (c *Coupon) howToMeasure(more []*Coupon) (list []string) {
	for _, c := range append([]*Coupon{c}, more...) {
		for _, line := range c.HowToMeasure() {
			list = addText(list, line)
		}
	}
	return list
}

// scale is what the coupon's program was corrected for, which may not be what a
// profile says by the time that it has been measured.
func (c *Coupon) scale() string {
	x, y := c.Machine.Scale()
	return "X " + strconv.FormatFloat(x, 'f', -1, 64) + " Y " + strconv.FormatFloat(y, 'f', -1, 64)
}

// HowToMeasure is for the table and the page: what to measure, where, and how exactly.
func (c *Coupon) HowToMeasure() []string {
	marked, entered := "is engraved where it fits", "The beam begins near the lower left corner of each square and leaves a slit in the plug there: keep the jaws away from it."
	const pairs = " Opposite sides of a square are a pair of slits: a blade takes hardly any foam, so what hole and plug differ by is what it pressed aside and what came back."
	if c.Machine.Process.Traits().Blade {
		entered = strings.Replace(entered, "beam", "blade", 1) + pairs
	}
	if c.Tool.Turned() {
		marked, entered = "is written on each plug with a pen before it is taken out", "The blade comes down and turns at the corners of each square: keep the jaws away from them."+pairs
	}
	if wayOf(c.Machine).melts {
		marked, entered = "is written on each plug with a pen before it is lifted out", "The wire comes into each square by a slit through its hole's edge: keep the jaws away from it."
	}
	list := []string{
		"A row is one square along one axis: x runs to the right in the picture, y up. The label in the note column " + marked + "; the picture shows which square is which.",
		"hole is the width of the hole in the sheet, plug the width of the piece that came out of it, along the row's axis, in the middle between two corners.",
	}
	if c.SkinMM() > 0 {
		list = append(list, fmt.Sprintf("The plugs stand in their grooves on a skin of %s. When the machine has stopped and the cutter is out of the way, cut each skin with a knife from below along the middle of its groove, take the plug out, and measure hole and plug above the skin's rest. The hole is the whole width from one outer wall to the other.", round(c.SkinMM(), c.Spec.Units)))
	} else {
		list = append(list, entered)
	}
	if c.Spec.Taper {
		list = append(list, "A row's face is where it is measured: top is the side that the beam came from, bottom the side that lay on the bed. Touch the very edge there.")
	}
	if wayOf(c.Machine).melts {
		list = append(list, "current is what the supply was to be set to. Where its display stayed at another number, write that: the kerf hangs on it.")
	}
	if x, y := c.Machine.Scale(); x != 1 || y != 1 {
		list = append(list, fmt.Sprintf("The program is corrected for the machine's measured scale, %.6g along x and %.6g along y: what you measure now is what is left over. The line `scale` tells kerf so: leave it as it is.", x, y))
	}
	return append(list,
		"Use a caliper with its jaws flat on the foam, and close it until it touches all along and no further: a soft plug gives way and reads small, the edge of a hole gives way and reads large. A micrometer is for rigid foam only (ISO 1923).",
		"Soft foam is not exact: read to "+readTo(c.Spec.Units)+" beyond (ISO 1923, after its Chinese adoption GB/T 6342). Write what you read, not what you expect.",
		"Let the foam rest until it is as warm as the room before you measure. Measure twice if you can, turning the piece over, and write the mean.",
		"Leave hole and plug empty where a square did not come out. Numbers are in "+unitName(c.Spec.Units)+"; a number may carry its unit.",
	)
}

func unitName(u units.Unit) string {
	if u == units.Inch {
		return "inches"
	}
	return "mm"
}

// wrapped breaks a text into lines of at most so many letters, indented after
// the first.
func wrapped(text string, most int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case len(line)+1+len(word) > most:
			lines, line = append(lines, line), "  "+word
		default:
			line += " " + word
		}
	}
	return append(lines, line)
}

// readTo is how finely soft foam is read, up to 100 mm and beyond, in words.
func readTo(u units.Unit) string {
	if u == units.Inch {
		return "0.002 in below 0.4 in, to 0.004 in from 0.4 to 4 in, to 0.02 in"
	}
	return "0.05 mm below 10 mm, to 0.1 mm from 10 to 100 mm, to 0.5 mm"
}
