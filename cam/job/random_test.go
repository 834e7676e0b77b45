package job_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// Any job that can be written is read as what was meant: a random job is
// rendered, each length in a unit of its own, and read back.
func TestLoadRandomJobs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := writer{t: t}
		want := w.job()
		got, found, err := job.Load(folder("job.yaml", w.yaml.String(), "roster.csv", w.csv.String()), "job.yaml")
		require.NoError(t, err)
		require.Equal(t, asked(want), rules(found), "%s", w.yaml.String())
		require.Equal(t, want, forget(got), "%s", w.yaml.String())
	})
}

// asked is what a reader says of a random job: in inches, once, whether pieces of more
// than half a foot each way are meant in mm; nothing here is longer than two feet.
func asked(j *job.Job) []string {
	for _, p := range j.Roster {
		if j.Units == units.Inch && min(p.Length, p.Width, p.Height) > 152_400_000 {
			return []string{"warning unit-meant"}
		}
	}
	return nil
}

func rules(found finding.List) []string {
	var names []string
	for _, f := range found {
		names = append(names, f.Severity.String()+" "+f.Rule)
	}
	return names
}

// forget takes the places out of a job.
func forget(j *job.Job) *job.Job {
	var none finding.Position
	j.MachinePosition = none
	for i := range j.Roster {
		j.Roster[i].Position = none
	}
	for i := range j.Trays {
		t := &j.Trays[i]
		t.Position = none
		for k := range t.Layers {
			t.Layers[k].Position = none
		}
		for k := range t.Pockets {
			t.Pockets[k].Position = none
		}
	}
	for i := range j.Cases {
		j.Cases[i].Position, j.Cases[i].StackPositions, j.Cases[i].Inside.Position = none, nil, none
	}
	return j
}

// writer makes up a job and writes it down at the same time.
type writer struct {
	t         *rapid.T
	unit      units.Unit
	yaml, csv strings.Builder
}

func (w *writer) int(name string, least, most int) int {
	return rapid.IntRange(least, most).Draw(w.t, name)
}

func (w *writer) bool(name string) bool { return rapid.Bool().Draw(w.t, name) }

// length is a length above 0, and one of the ways to write it.
func (w *writer) length(name string) (units.Length, string) {
	l := units.Length(rapid.Int64Range(1, 500_000_000).Draw(w.t, name))
	if w.bool("sixty-fourths") {
		l = l/396_875*396_875 + 396_875
	}
	text := l.Format(units.Millimetre)
	switch w.int("form", 0, 4) {
	case 0:
		if w.unit == units.Millimetre {
			text = strings.TrimSuffix(text, " mm")
		}
	case 1:
		if l%396_875 == 0 {
			text = strings.Replace(l.Format(units.Inch), " in", `"`, 1)
		}
	case 2:
		text = fmt.Sprintf("'%s'", strings.ReplaceAll(text, " ", ""))
	}
	return l, text
}

// key writes a length that a group may have.
func (w *writer) key(indent, name string) units.Length {
	if !w.bool(name + "?") {
		return 0
	}
	l, text := w.length(name)
	fmt.Fprintf(&w.yaml, "%s%s: %s\n", indent, name, text)
	return l
}

func (w *writer) name(name string) string {
	text := rapid.StringMatching(`[a-zA-Z\p{Greek}:#{}\[\]"' ,&*!|>%@-]{0,12}[a-z]`).Draw(w.t, name)
	return strings.Join(strings.Fields(text), " ")
}

// quoted is a text as YAML of either quotes.
func (w *writer) quoted(text string) string {
	if w.bool("single") {
		return "'" + strings.ReplaceAll(text, "'", "''") + "'"
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(text) + `"`
}

func (w *writer) job() *job.Job {
	j := &job.Job{File: "job.yaml", Game: w.name("game"), Machine: "bench-router", Cases: []job.Case{}}
	fmt.Fprintf(&w.yaml, "game: %s\nmachine: bench-router\nroster: roster.csv\n", w.quoted(j.Game))
	if w.bool("inches") {
		w.unit, j.Units = units.Inch, units.Inch
		w.yaml.WriteString("units: in\n")
	}
	w.roster(j)
	var inside job.Inside
	inCases := w.bool("cases")
	if inCases {
		inside = w.inside()
	}
	w.yaml.WriteString("trays:\n")
	for i := range w.int("trays", 1, 4) {
		w.tray(j, i, inCases, inside)
	}
	if inCases {
		w.cases(j, inside)
	}
	return j
}

func (w *writer) roster(j *job.Job) {
	w.csv.WriteString("count,id,length,width,height,weight_g\n")
	for i := range w.int("pieces", 1, 3) {
		p := job.Piece{ID: fmt.Sprintf("%s%d", w.name("piece"), i), Count: w.int("count", 1, 9), WeightG: float64(w.int("grams", 0, 99)) / 4}
		var l, b, h string
		p.Length, l = w.length("length")
		p.Width, b = w.length("width")
		p.Height, h = w.length("height")
		quote := func(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }
		bare := func(s string) string { return quote(strings.Trim(s, "'")) }
		fmt.Fprintf(&w.csv, "%d,%s,%s,%s,%s,%v\n", p.Count, quote(p.ID), bare(l), bare(b), bare(h), p.WeightG)
		j.Roster = append(j.Roster, p)
	}
}

func (w *writer) inside() job.Inside {
	var in job.Inside
	var l, b, h string
	in.Length, l = w.length("length")
	in.Width, b = w.length("width")
	in.Height, h = w.length("height")
	fmt.Fprintf(&w.yaml, "case:\n  inside: [%s, %s, %s]\n", l, b, h)
	in.Corner = w.key("  ", "corner")
	in.Ease = w.key("  ", "ease")
	return in
}

func (w *writer) tray(j *job.Job, i int, inCase bool, inside job.Inside) {
	t := job.Tray{ID: fmt.Sprintf("tray-%d", i), Halves: w.int("halves", 1, 2)}
	fmt.Fprintf(&w.yaml, "  - id: %s\n    halves: %d\n", t.ID, t.Halves)
	if inCase {
		t.Length, t.Width, t.Corner, t.Rounding, t.Ease = inside.Length, inside.Width, inside.Corner, inside.Corner, inside.Ease
	} else {
		var l, b string
		t.Length, l = w.length("length")
		t.Width, b = w.length("width")
		fmt.Fprintf(&w.yaml, "    size: [%s, %s]\n", l, b)
	}
	t.Wall, t.Edge = w.key("    ", "wall"), w.key("    ", "edge")
	t.Cut = job.CutMode(w.int("cut", 0, 1))
	fmt.Fprintf(&w.yaml, "    cut: %s\n", [...]string{"sheets", "block"}[t.Cut])
	bridges := w.int("bridges", 0, 1)
	t.NoBridges = bridges == 1
	tight := w.int("tight", 0, 1)
	t.LeaveTight = tight == 1
	fmt.Fprintf(&w.yaml, "    bridges: %s\n    tight_corners: %s\n    layers:\n", [...]string{"auto", "none"}[bridges], [...]string{"refused", "left"}[tight])
	for range w.int("layers", 1, 3) {
		l, text := w.length("thickness")
		t.Layers = append(t.Layers, job.Layer{Foam: "pe-30", Thickness: l})
		fmt.Fprintf(&w.yaml, "      - {foam: pe-30, thickness: %s}\n", text)
	}
	w.yaml.WriteString("    pockets:\n")
	t.Pockets = make([]job.Pocket, w.int("pockets", 1, 4))
	for k := range t.Pockets {
		t.Pockets[k] = w.pocket(j)
	}
	j.Trays = append(j.Trays, t)
}

func (w *writer) pocket(j *job.Job) job.Pocket {
	var p job.Pocket
	var x, y string
	p.X, x = w.length("x")
	p.Y, y = w.length("y")
	fmt.Fprintf(&w.yaml, "      - at: [%s, %s]\n", x, y)
	const in = "        "
	p.Shape = job.ShapeKind(w.int("shape", int(job.FromPiece), int(job.OutlineShape)))
	switch p.Shape {
	case job.FromPiece:
		p.For = j.Roster[w.int("piece", 0, len(j.Roster)-1)].ID
		fmt.Fprintf(&w.yaml, "%sfor: %s\n", in, w.quoted(p.For))
	case job.RoundShape:
		var d string
		p.Diameter, d = w.length("diameter")
		fmt.Fprintf(&w.yaml, "%sround: %s\n", in, d)
	case job.OutlineShape:
		p.OutlineFile = "drawings/kraken.dxf"
		fmt.Fprintf(&w.yaml, "%soutline: %s\n", in, p.OutlineFile)
	default:
		var l, b string
		p.Length, l = w.length("length")
		p.Width, b = w.length("width")
		fmt.Fprintf(&w.yaml, "%s%s: [%s, %s]\n", in, [...]string{job.SizeShape: "size", job.SlotShape: "slot"}[p.Shape], l, b)
		if p.Shape == job.SizeShape {
			p.Corner = w.key(in, "corner")
		}
	}
	if p.Depth = w.key(in, "depth"); p.Depth == 0 && w.bool("through") {
		p.Through = true
		w.yaml.WriteString(in + "depth: through\n")
	}
	w.extras(&p, in)
	return p
}

func (w *writer) extras(p *job.Pocket, in string) {
	p.Columns, p.Rows = w.int("columns", 1, 9), w.int("rows", 1, 9)
	var x, y string
	p.PitchX, x = w.length("pitch x")
	p.PitchY, y = w.length("pitch y")
	fmt.Fprintf(&w.yaml, "%sgrid: [%d, %d]\n%spitch: [%s, %s]\n", in, p.Columns, p.Rows, in, x, y)
	p.Turn = float64(w.int("turn", -720, 720)) / 2
	p.Relief = job.Relief(w.int("relief", 0, 2))
	fmt.Fprintf(&w.yaml, "%sturn: %v\n%srelief: %s\n", in, p.Turn, in, [...]string{"none", "dogbone", "tbone"}[p.Relief])
	var sides []string
	for i, side := range [...]string{"n", "e", "s", "w"} {
		if w.bool(side) {
			p.Notch |= 1 << i
			sides = append(sides, side)
		}
	}
	fmt.Fprintf(&w.yaml, "%snotch: [%s]\n", in, strings.Join(sides, ", "))
	if len(sides) == 0 {
		p.Access = job.NoAccess
	}
	p.NotchWidth, p.NotchReach = w.key(in, "notch_width"), w.key(in, "notch_reach")
}

func (w *writer) cases(j *job.Job, inside job.Inside) {
	w.yaml.WriteString("cases:\n")
	for i := range w.int("cases", 1, 3) {
		c := job.Case{Name: fmt.Sprintf("%s %d", w.name("case"), i), Copies: w.int("copies", 1, 5), Inside: inside}
		for range w.int("stack", 1, 5) {
			c.Stack = append(c.Stack, j.Trays[w.int("tray", 0, len(j.Trays)-1)].ID)
		}
		fmt.Fprintf(&w.yaml, "  - name: %s\n    copies: %d\n    stack: [%s]\n", w.quoted(c.Name), c.Copies, strings.Join(c.Stack, ", "))
		j.Cases = append(j.Cases, c)
	}
}
