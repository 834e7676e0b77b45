package main

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"io/fs"
	"regexp"
	"strings"
	"text/template"
	"unicode"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles"
)

var (
	exampleFlag = &cli.BoolFlag{Name: "example", Usage: "write the example, and ask nothing"}
	insideFlag  = &cli.StringFlag{Name: "inside", Usage: "the case's inside, as `L x W x H`, the height that is left for foam: \"320 x 220 x 80\""}
	haveFlag    = &cli.StringSliceFlag{Name: "foam", Usage: "a foam that you have, as `\"FOAM THICKNESS\"`: \"pe-30 1 in\"; may be given more than once, the pieces' foam first, the base last"}
	withFlag    = &cli.StringFlag{Name: "machine", Usage: "what cuts, as `NAME`; traywright profiles lists the machines"}
	pieceFlag   = &cli.StringSliceFlag{Name: "piece", Usage: "a piece, as `\"NAME COUNT L x W x H\"`: \"knight 4 25 x 25 x 32\"; may be given more than once"}
)

//go:embed start_job.yaml.tmpl
var ownJobText string

var ownJobTemplate = template.Must(template.New("job").Parse(ownJobText))

// ownStart is what was said of a job of one's own, lengths as they were typed.
type ownStart struct {
	*answers
	catalog *profiles.Catalog
	Units   units.Unit // of bare numbers
	Inside  []string
	Layers  []ownLayer
	Machine string
	pieces  [][]string
}

// Wall and Edge are the least foam that every layer's foam holds by.
func (o *ownStart) Wall() string {
	return o.most(func(f profiles.Foam) profiles.Number { return f.LeastWallMM })
}

func (o *ownStart) Edge() string {
	return o.most(func(f profiles.Foam) profiles.Number { return f.LeastEdgeMM })
}

func (o *ownStart) most(of func(profiles.Foam) profiles.Number) string {
	mm := 0.0
	for _, l := range o.Layers {
		f, _ := o.catalog.Foam(l.Foam)
		mm = max(mm, of(f).Value)
	}
	return o.show(mm)
}

type ownLayer struct{ Foam, Thickness string }

// unused refuses words for a job of one's own beside --example, which has none of them.
func unused(c *cli.Context) error {
	for _, f := range []cli.Flag{insideFlag, haveFlag, withFlag, pieceFlag} {
		if name := f.Names()[0]; c.Bool(exampleFlag.Name) && c.IsSet(name) {
			return usage("--example has its own case, foams, machine and pieces, and --"+name+" would be lost", "leave one of the two out")
		}
	}
	return nil
}

// asks reports whether start asks, rather than writing its example.
func (s *session) asks(c *cli.Context) bool {
	if c.Bool(exampleFlag.Name) {
		return false
	}
	for _, f := range []cli.Flag{insideFlag, haveFlag, withFlag, pieceFlag} {
		if c.IsSet(f.Names()[0]) {
			return true
		}
	}
	return s.typed()
}

// ownFiles asks for what a job begins with, and makes its files: nobody else's pieces are in them.
func (s *session) ownFiles(c *cli.Context) ([]cam.File, error) {
	catalog, err := profiles.Shipped()
	if err != nil {
		return nil, err
	}
	own := &ownStart{answers: s.answers(c), catalog: catalog}
	if err := own.ask(own.inUnits()); err != nil {
		return nil, err
	}
	if err := own.ask(own.inside()); err != nil {
		return nil, err
	}
	if err := own.askList(haveFlag.Name, own.foam(), true); err != nil {
		return nil, err
	}
	if err := own.ask(own.machineName()); err != nil {
		return nil, err
	}
	if err := own.askList(pieceFlag.Name, own.piece(), false); err != nil {
		return nil, err
	}
	own.Units = own.unit
	var text bytes.Buffer
	if err := ownJobTemplate.Execute(&text, own); err != nil {
		return nil, err
	}
	rules, err := fs.ReadFile(job.Starter(own.unit), "shop-rules.yaml")
	if err != nil {
		return nil, err
	}
	roster, err := own.roster()
	return []cam.File{{Path: "job.yaml", Data: text.Bytes()}, {Path: "roster.csv", Data: roster}, {Path: "shop-rules.yaml", Data: rules}}, err
}

// askList asks one thing after the other until there is no more; the flags' words, where there are
// any, are all there is.
func (o *ownStart) askList(flag string, q question, needed bool) error {
	list := o.c.StringSlice(flag)
	for _, text := range list {
		if err := q.take(text); err != nil {
			return usage(fmt.Sprintf("--%s: %v", flag, err), q.about)
		}
	}
	q.flag = "" // what is asked for now is no flag's word
	for done := len(list) > 0; !done; needed = false {
		one := q
		if !needed {
			one.fallback = noMore
			one.take = func(text string) error {
				if done = text == noMore; done {
					return nil
				}
				return q.take(text)
			}
		}
		if err := o.ask(one); err != nil {
			return err
		}
		q.ask = "another, written so too"
	}
	return nil
}

func (o *ownStart) inside() question {
	return question{insideFlag.Name, "the inside of your case, length x width x height, such as " + o.example("320 x 220 x 80", "12 1/2 x 8 3/4 x 3"),
		"Measure at the bottom, wall to wall, three times each way, and take the least. The height is what is left for foam: floor to lid, the lid shut.",
		"", false, func(text string) (err error) { o.Inside, err = o.threeOf(text); return err }, false}
}

func (o *ownStart) foam() question {
	return question{haveFlag.Name, "a foam that you have and how thick it is, such as pe-30 " + o.example("25.4", "1"),
		"One of " + strings.Join(foamNames(o.catalog), ", ") + ". What the pieces lie in comes first, what lies under them last: " +
			"a thin firm sheet makes a good base. Never a guess: which foam burns how hangs on its name; `traywright profiles safety` is the table.",
		"", false, func(text string) error {
			name, thickness, _ := strings.Cut(strings.TrimSpace(text), " ")
			if _, known := o.catalog.Foam(name); !known {
				return fmt.Errorf("%s is no foam that is known: %s", finding.Quote(name), finding.Suggest(name, foamNames(o.catalog)))
			}
			if _, err := o.length(thickness); err != nil {
				return fmt.Errorf("%q says no thickness behind the foam: %v", text, err)
			}
			o.Layers = append(o.Layers, ownLayer{name, strings.TrimSpace(thickness)})
			return nil
		}, false}
}

func foamNames(c *profiles.Catalog) []string {
	var names []string
	for _, f := range c.Foams() {
		names = append(names, f.ID)
	}
	return names
}

func (o *ownStart) machineName() question {
	names := []string{}
	for _, m := range o.catalog.Machines() {
		names = append(names, m.ID)
	}
	return question{withFlag.Name, "what cuts: " + strings.Join(names, ", "),
		"by-hand is a knife and printed templates. The others are benches that nobody owns, to plan with: bench-router turns a cutter, bench-laser burns, bench-hotwire melts, " +
			"bench-drag-knife drags a blade, bench-knife has one that an axis turns. For a machine of your own: take by-hand now, run `traywright profiles new --save` with a folder beside the job, " +
			"and name both in the job, as its comments say.",
		"by-hand", false, func(text string) error {
			if _, known := o.catalog.Machine(text); !known {
				return fmt.Errorf("%s is no machine that ships: %s", finding.Quote(text), finding.Suggest(text, names))
			}
			o.Machine = text
			return nil
		}, false}
}

func (o *ownStart) piece() question {
	return question{pieceFlag.Name, "a piece, its name, how many, and length x width x height, such as knight 4 " + o.example("25 x 25 x 32", "1-1/4 x 1-1/4 x 7/8"),
		"The box around the piece as it stands, as measured. `arrange` may lay it down; `pose` in the roster says otherwise. The roster takes more of them later.",
		noMore, false, func(text string) error {
			p, err := o.pieceOf(text)
			if err != nil {
				return err
			}
			id := strings.ToLower(strings.Join(strings.Fields(p.name), "-"))
			for _, other := range o.pieces {
				if other[0] == id {
					return fmt.Errorf("there is a piece %s already", finding.Quote(p.name))
				}
			}
			o.pieces = append(o.pieces, append([]string{id, p.name, "pieces", p.count}, p.sizes...))
			return nil
		}, false}
}

// typedPiece is one reading of a piece as it was typed.
type typedPiece struct {
	name, count string
	sizes       []string
}

var wholeNumber = regexp.MustCompile(`^\d+$`)

// pieceOf reads name, number and three lengths. The number may be any whole one that lengths follow;
// where two will do (of dragon 1 3 1/2 x ...), no reading is a guess.
func (o *ownStart) pieceOf(text string) (typedPiece, error) {
	why := fmt.Errorf("%q is no name, number and three lengths", text)
	var read []typedPiece
	words := strings.Fields(text)
	for i := 1; i < len(words)-1; i++ {
		lengths := strings.Join(words[i+1:], " ")
		if !wholeNumber.MatchString(words[i]) || len(lengthsIn(lengths)) != 3 || !strings.ContainsAny(lengths[:1], ".0123456789") {
			continue
		}
		sizes, err := o.threeOf(lengths)
		switch {
		case err != nil:
			why = err
		case strings.Trim(words[i], "0") == "":
			why = fmt.Errorf("%q is none of them: how many are there", text)
		default:
			read = append(read, typedPiece{strings.Trim(strings.Join(words[:i], " "), `"`), words[i], sizes})
		}
	}
	switch len(read) {
	case 0:
		return typedPiece{}, why
	case 1:
		return read[0], nil
	}
	a, b := read[0], read[1]
	return a, fmt.Errorf("%q may be %s of %s, %s long, or %s of %s, %s long: write %s for the one, %s for the other", text,
		a.count, a.name, a.sizes[0], b.count, b.name, b.sizes[0], strings.Join(strings.Fields(a.sizes[0]), "-"), strings.Join(strings.Fields(b.name), "-"))
}

// lengthsIn are what stands between the signs of L x W x H.
func lengthsIn(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return r == 'x' || r == 'X' || r == '×' })
}

// threeOf are three lengths as typed, each above 0.
func (o *ownStart) threeOf(text string) ([]string, error) {
	parts := lengthsIn(text)
	if len(parts) != 3 {
		return nil, fmt.Errorf("%q is not three lengths, such as %s", text, o.example("320 x 220 x 80", "12 1/2 x 8 3/4 x 3"))
	}
	bare, other := "", ""
	for i := range parts {
		l, err := o.length(parts[i])
		if err != nil {
			return nil, err
		}
		parts[i] = strings.TrimSpace(parts[i])
		switch {
		case !strings.ContainsFunc(parts[i], unitSign):
			bare = parts[i]
		case !sameMM(l, strings.TrimFunc(parts[i], unitSign), o.answers):
			other = parts[i]
		}
	}
	if bare != "" && other != "" {
		return nil, fmt.Errorf("is %s in %s, and not as %s: write the unit behind each length", bare, o.unit, other)
	}
	return parts, nil
}

// unitSign is a letter or sign of a unit.
func unitSign(r rune) bool { return unicode.IsLetter(r) || strings.ContainsRune("\"″”", r) }

// sameMM reports whether a length without its unit is as long, so that its unit is the job's.
func sameMM(mm float64, number string, a *answers) bool {
	bare, err := a.length(number)
	return err == nil && bare == mm
}

// roster is the table of pieces, to be gone on with.
func (o *ownStart) roster() ([]byte, error) {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# Your pieces, one kind a row. Any spreadsheet writes this: save as CSV, UTF-8.\n"+
		"# Sizes are the box around the piece as you measured it (%s, where no unit stands beside them).\n"+
		"# More columns may stand here: weight_g, shape (rect, round), pose (any, upright, lying).\n", o.unit)
	w := csv.NewWriter(&b)
	err := w.WriteAll(append([][]string{{"id", "name", "group", "count", "length", "width", "height"}}, o.pieces...))
	return b.Bytes(), err
}
