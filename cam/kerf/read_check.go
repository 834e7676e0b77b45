package kerf

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/safety"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Drop is a reading that the user leaves out: a line of the file, the whole of
// it when Part is "".
type Drop struct {
	Line int
	Part Part
}

// ParseDrop reads "12", "12:hole" or "12:plug". The finding says that it is none of
// them; whose text it is, its caller knows.
func ParseDrop(text string) (Drop, finding.List) {
	number, part, parted := strings.Cut(text, ":")
	line, err := strconv.Atoi(number)
	d := Drop{line, Part(part)}
	if err != nil || line < 1 || parted && d.Part != HolePart && d.Part != PlugPart {
		return Drop{}, finding.List{{Rule: "no-reading", Message: fmt.Sprintf("%q names no reading", text), Hint: "write the number of a line, or 12:hole, or 12:plug"}}
	}
	return d, nil
}

// dropped is the rows without what was dropped.
func dropped(r *Readings, drop []Drop) ([]Reading, finding.List) {
	rows := slices.Clone(r.Rows)
	var found finding.List
	for _, d := range drop {
		i := slices.IndexFunc(rows, func(row Reading) bool { return row.At.Line == d.Line })
		if i < 0 {
			found = append(found, finding.Finding{
				Rule: "no-such-reading", Where: r.File, Message: fmt.Sprintf("line %d, which is to be dropped, is no row of measurements", d.Line),
				Hint: "a line is counted from the top of the file, comments too",
			})
			continue
		}
		if d.Part != PlugPart {
			rows[i].Hole = Measure{}
		}
		if d.Part != HolePart {
			rows[i].Plug = Measure{}
		}
		found = append(found, finding.Finding{
			Severity: finding.Note, Rule: "dropped", Where: rows[i].At.String(), Message: strings.TrimSpace(string(d.Part) + " left out, as you asked"),
			Hint: "say in a note why",
		})
	}
	return rows, found
}

// check is what is wrong with the rows one by one and with each other. It
// returns the rows that can be fitted, with their tools filled in.
func check(r *Readings, rows []Reading, c *profiles.Catalog) ([]Reading, finding.List) {
	k := checker{file: r.File, unit: r.Bare, catalog: c, told: map[string]bool{}}
	var good []Reading
	for _, row := range rows {
		before := len(k.found)
		k.names(&row)
		k.impossible(row)
		if !k.found[before:].Failed() && row.Machine != "" {
			good = append(good, row)
		}
	}
	k.twice(good)
	k.empty(good)
	k.steps(good)
	return good, k.found
}

type checker struct {
	file    string
	unit    units.Unit // of the table
	catalog *profiles.Catalog
	found   finding.List
	told    map[string]bool
}

func (k *checker) say(s finding.Severity, where, rule, message, hint string) {
	k.found = append(k.found, finding.Finding{Severity: s, Rule: rule, Where: where, Message: message, Hint: hint})
}

// once says a thing that every row has the first time it is seen, and fails the row each time.
func (k *checker) once(row *Reading, f finding.Finding) {
	if !k.told[f.Message] {
		k.told[f.Message] = true
		f.Where = row.At.String()
		k.found = append(k.found, f)
	}
	row.Machine = ""
}

// names looks the row's foam, machine and tool up, and finds the tool where
// there is but one.
func (k *checker) names(row *Reading) {
	foam, unknown := k.catalog.FindFoam(row.Foam, "")
	for _, f := range unknown {
		k.once(row, f)
	}
	if row.Machine == "" {
		return
	}
	m, unknown := k.catalog.FindMachine(row.Machine, "")
	if unknown != nil {
		k.once(row, unknown[0])
		return
	}
	if f, is := safety.Refusal(safety.Use{Foam: foam, Machine: m}, k.catalog); is && foam.ID != "" {
		k.once(row, f)
		return
	}
	if row.Tool == "" {
		row.Tool = k.likelyTool(*row, m)
	}
	if _, ok := m.Tool(row.Tool); !ok {
		k.once(row, finding.Finding{Rule: "unknown-tool", Message: fmt.Sprintf("machine %s has no tool %q", m.ID, row.Tool), Hint: "add a column `tool`; it has " + toolIDs(m)})
	}
}

// likelyTool is the tool of a row that names none: the one with a recipe for the
// foam, of several the one whose diameter is nearest to what the row says was
// lost, and that is told; "" for none.
func (k *checker) likelyTool(row Reading, m profiles.Machine) string {
	with := k.toolsFor(row.Foam, m)
	switch len(with) {
	case 0:
		return ""
	case 1:
		return with[0].ID
	}
	lost := row.roughKerfMM()
	likely := slices.MinFunc(with, func(a, b profiles.Tool) int {
		return cmp.Compare(math.Abs(a.DiameterMM.Value-lost), math.Abs(b.DiameterMM.Value-lost))
	})
	if message := fmt.Sprintf("the table names no tool: by what was lost it was cut with %s, %s", likely.ID, likely.Name); !k.told[message] {
		k.told[message] = true
		k.say(finding.Note, row.At.String(), "tool-assumed", message, "if it was another, add a column `tool`; the machine has "+toolIDs(m))
	}
	return likely.ID
}

// toolsFor are those with a recipe for the foam, or the machine's only one.
func (k *checker) toolsFor(foam string, m profiles.Machine) (with []profiles.Tool) {
	for _, t := range m.Tools {
		if _, ok := k.catalog.Recipe(foam, m.ID, t.ID); ok || len(m.Tools) == 1 {
			with = append(with, t)
		}
	}
	return with
}

// roughKerfMM is the kerf that a row alone would give, the machine taken as true.
func (r Reading) roughKerfMM() float64 {
	size, hole, plug := r.Size.MM(), r.Hole.Length.MM(), r.Plug.Length.MM()
	switch {
	case r.Hole.given() && r.Plug.given():
		return (hole - plug) / 2
	case r.Hole.given():
		return hole - size
	case r.Plug.given():
		return size - plug
	}
	return 0
}

func toolIDs(m profiles.Machine) string {
	var ids []string
	for _, t := range m.Tools {
		ids = append(ids, t.ID)
	}
	return strings.Join(ids, ", ")
}

// impossible readings: a piece that is larger than its hole, and what was read
// in inches and written as mm, or the other way round.
func (k *checker) impossible(row Reading) {
	m, _ := k.catalog.Machine(row.Machine)
	if most := below(m, row.Tool); row.Hole.given() && row.Plug.given() && row.Plug.Length >= row.Hole.Length && (most == 0 || -row.roughKerfMM() > most) {
		k.say(finding.Error, row.Plug.At.String(), "plug-larger-than-hole",
			fmt.Sprintf("the piece, %s, is not smaller than the hole that it came out of, %s: the kerf would be %s", row.Plug.Length, row.Hole.Length,
				units.Length(row.Hole.Length-row.Plug.Length)/2),
			fmt.Sprintf("hole and plug may be in each other's column; else measure them again, without pressing the foam, or leave the row out with --drop %d", row.At.Line))
		return
	}
	size, at := row.Hole.Length.MM(), row.Hole.At
	switch {
	case row.Hole.given() && row.Plug.given():
		size = (row.Hole.Length + row.Plug.Length).MM() / 2
	case row.Plug.given():
		size, at = row.Plug.Length.MM(), row.Plug.At
	case !row.Hole.given():
		return
	}
	// A kerf as wide as a third of the square is not taken for a wrong unit.
	ratio := size / row.Size.MM()
	if unitless := math.Max(ratio, 1/ratio) / units.InchMM; unitless > 0.7 && unitless < 1.4 {
		k.say(finding.Error, at.String(), "wrong-units",
			fmt.Sprintf("a square of %s was read as %.4g mm, about 25.4 times off", row.Size, size),
			whichUnits)
	}
}

const whichUnits = "write the unit with the numbers, `20.3 mm` or `0.8 in`, or `# units: in` where the file's line says mm; without such a line begin the file with it"

// twice looks for rows about the same square.
func (k *checker) twice(rows []Reading) {
	type square struct {
		Subject
		Axis Axis
		Face Face
		Size units.Length
		Note string
	}
	seen := map[square][]Reading{}
	for _, row := range rows {
		if !row.Hole.given() && !row.Plug.given() {
			continue
		}
		key := square{row.Subject, row.Axis, row.Face, row.Size, row.Note}
		same := slices.IndexFunc(seen[key], func(old Reading) bool {
			return old.Hole.Length == row.Hole.Length && old.Plug.Length == row.Plug.Length
		})
		switch {
		case same >= 0:
			k.say(finding.Error, row.At.String(), "duplicate-row", fmt.Sprintf("this row is line %d once more", seen[key][same].At.Line),
				"take it out; if it is a second coupon that came out the same, give its rows a note of their own")
		case len(seen[key]) > 0:
			k.say(finding.Note, row.At.String(), "second-reading", fmt.Sprintf("is the square of line %d again, taken as a second reading of it", seen[key][0].At.Line), "")
		}
		seen[key] = append(seen[key], row)
	}
}

// empty says how much is still to be measured.
func (k *checker) empty(rows []Reading) {
	open := 0
	for _, row := range rows {
		if !row.Hole.given() && !row.Plug.given() {
			open++
		}
	}
	switch {
	case len(rows) > 0 && open == len(rows) && !k.found.Failed():
		k.say(finding.Error, k.file, "no-readings", "no hole and no plug is filled in yet", "measure the holes and the pieces of the coupon, and write them into the columns hole and plug")
	case open > 0:
		k.say(finding.Note, k.file, "not-measured", fmt.Sprintf("%d of %d rows have neither hole nor plug and count for nothing", open, len(rows)), "")
	}
}

// steps says what is worth writing down.
func (k *checker) steps(rows []Reading) {
	finest, worth := math.Inf(1), 0.0
	for _, row := range rows {
		for _, m := range [2]Measure{row.Hole, row.Plug} {
			if step := m.Step.MM(); m.given() && step > 0 && step < finest {
				finest, worth = step, profiles.ReadSoftMM(row.Size.MM())
			}
		}
	}
	switch {
	case math.IsInf(finest, 1):
	case finest < worth/2:
		k.say(finding.Note, k.file, "finer-than-foam", fmt.Sprintf("lengths are written to %s; foam of these sizes can be read to %s (ISO 1923), so the last digit is noise", wide(finest, k.unit), wide(worth, k.unit)),
			"it does no harm: the interval comes from how the readings agree, not from their digits; jaws that always press a little shift all of them, and that no interval shows")
	case finest > 2*worth:
		k.say(finding.Note, k.file, "coarser-than-foam", fmt.Sprintf("lengths are written to %s; foam of these sizes can be read to %s (ISO 1923)", wide(finest, k.unit), wide(worth, k.unit)),
			"read one digit more")
	}
}
