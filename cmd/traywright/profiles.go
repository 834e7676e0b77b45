package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"testing/fstest"

	"github.com/urfave/cli/v2"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
)

func profilesCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "profiles",
		Usage:     "list foams, machines, tools and recipes; with a name, every number and its source",
		ArgsUsage: "[NAME...]",
		Description: "A NAME is a foam, a machine, `safety` for the table of what may be cut how, or `controllers` for the\n" +
			"classes of controller that programs are written for, each key with its value.\n" +
			"--yaml prints a machine, its tools and its recipes as a file that loads again as it is,\n" +
			"under the name that --as gives, to change and keep in a folder of yours for --profiles.\n" +
			"Example: traywright profiles pe-30 bench-router\n" +
			"Example: traywright profiles --yaml bench-router --as mine > mine.yaml",
		Flags:       talkFlags(profilesFlag, plainUnits, yamlFlag, asFlag),
		Subcommands: []*cli.Command{newProfileCommand(s), trialCommand(s)},
		Action: func(c *cli.Context) error {
			s.settle(c)
			catalog, err := readCatalog(c)
			if err != nil {
				return err
			}
			unit, err := chosenUnit(c, units.Millimetre)
			if err != nil {
				return err
			}
			w := profileWriter{s.columns(2), catalog, unit}
			if name := c.String(yamlFlag.Name); name != "" {
				return s.machineFile(c, catalog, name)
			}
			if c.Bool(jsonFlag.Name) {
				return w.json(s.out, c.Args().Slice())
			}
			for _, name := range c.Args().Slice() {
				if err := w.one(name); err != nil {
					return err
				}
			}
			if c.NArg() == 0 {
				w.list()
			}
			return w.Flush()
		},
	})
}

var (
	yamlFlag = &cli.StringFlag{Name: "yaml", Usage: "print the `MACHINE`, its tools and its recipes as a profile file"}
	asFlag   = &cli.StringFlag{Name: "as", Usage: "with --yaml: under this `NAME`"}
)

// machineFile prints a machine as a file, once it has been read back.
func (s *session) machineFile(c *cli.Context, catalog *profiles.Catalog, name string) error {
	if c.Bool(jsonFlag.Name) || c.NArg() > 0 {
		return usage("--yaml prints one machine and nothing else", "leave out --json and other names")
	}
	m, found := catalog.FindMachine(name, "--"+yamlFlag.Name)
	if found.Failed() {
		return found
	}
	as := cmp.Or(c.String(asFlag.Name), name)
	if _, taken := catalog.Machine(as); taken && as != name {
		return usage(fmt.Sprintf("there is a machine %q already", as), "give --as a name of its own")
	}
	text := catalog.MachineFile(m, as)
	if err := catalog.Add(fstest.MapFS{"machine.yaml": {Data: text}}); err != nil {
		var found finding.List
		if errors.As(err, &found) {
			return usage(fmt.Sprintf("--%s %q: %s", asFlag.Name, as, found[0].Message), found[0].Hint)
		}
		return err
	}
	_, err := s.out.Write(text)
	return err
}

var zeroMeans = map[profiles.ZZero]string{
	profiles.ZTop: "the program's Z is 0 on the foam's top",
	profiles.ZBed: "the program's Z is 0 on what the foam lies on: the bed, or the board on it",
}

// profileWriter prints profiles as tables.
type profileWriter struct {
	*columns
	catalog *profiles.Catalog
	unit    units.Unit
}

// profileJSON is profiles as JSON. Lengths are mm, and names end in their unit.
type profileJSON struct {
	Foams    []profiles.Foam    `json:"foams"`
	Machines []profiles.Machine `json:"machines"`
	Recipes  []profiles.Recipe  `json:"recipes"`
	Safety   []profiles.Verdict `json:"safety"`

	Controllers []profiles.Controller `json:"controllers"`
}

// json prints what has the names, each with its recipes and verdicts; without
// names everything.
func (w profileWriter) json(out io.Writer, names []string) error {
	all := profileJSON{w.catalog.Foams(), w.catalog.Machines(), w.catalog.Recipes(), w.catalog.SafetyTable(), profiles.Controllers()}
	if len(names) > 0 {
		chosen := profileJSON{[]profiles.Foam{}, []profiles.Machine{}, []profiles.Recipe{}, []profiles.Verdict{}, []profiles.Controller{}}
		for _, name := range names {
			if err := chosen.take(name, all, w.catalog); err != nil {
				return err
			}
		}
		all = chosen
	}
	return writeJSON(out, all)
}

// take adds what has a name, and what belongs to it, each once.
func (p *profileJSON) take(name string, all profileJSON, c *profiles.Catalog) error {
	kind := ""
	if f, ok := c.Foam(name); ok {
		kind = f.Kind
		p.Foams = append(p.Foams, f)
	} else if m, ok := c.Machine(name); ok {
		p.Machines = append(p.Machines, m)
	} else if name == controllersName {
		p.Controllers = all.Controllers
	} else if name != safetyName {
		return noSuchProfile(name, c)
	}
	for _, r := range all.Recipes {
		if (r.Foam == name || r.Machine == name) && !slices.ContainsFunc(p.Recipes, r.IsOf) {
			p.Recipes = append(p.Recipes, r)
		}
	}
	for _, v := range all.Safety {
		if (v.Kind == kind || name == safetyName) && !slices.Contains(p.Safety, v) {
			p.Safety = append(p.Safety, v)
		}
	}
	return nil
}

// Names among the profiles: of the safety table, and of the shipped controllers.
const (
	safetyName      = "safety"
	controllersName = "controllers"
)

func noSuchProfile(name string, c *profiles.Catalog) error {
	known := []string{safetyName, controllersName}
	for _, f := range c.Foams() {
		known = append(known, f.ID)
	}
	for _, m := range c.Machines() {
		known = append(known, m.ID)
	}
	hint := cmp.Or(finding.DidYouMean(name, known), "`traywright profiles` lists them")
	return usage(fmt.Sprintf("there is no foam or machine %q", name), hint)
}

func (w profileWriter) row(cells ...string) { fmt.Fprintln(w, strings.Join(cells, "\t")) }

// list names everything, a line each.
func (w profileWriter) list() {
	w.row("FOAM", "KIND", "WHAT IT IS")
	for _, f := range w.catalog.Foams() {
		w.row(f.ID, f.Kind, f.Name)
	}
	w.row()
	w.row("MACHINE", "PROCESS", "WHAT IT IS", "TOOLS")
	for _, m := range w.catalog.Machines() {
		var tools []string
		for _, t := range m.Tools {
			tools = append(tools, t.ID)
		}
		w.row(m.ID, string(m.Process), m.Name, strings.Join(tools, ", "))
	}
	w.row()
	w.row("CONTROLLER", "WHAT IT IS")
	for _, c := range profiles.Controllers() {
		w.row(string(c.Class), c.Name)
	}
	w.row()
	w.row("RECIPES ON", "WITH", "FOR")
	for _, m := range w.catalog.Machines() {
		for _, t := range m.Tools {
			if foams := w.foamsFor(m.ID, t.ID); foams != "" {
				w.row(m.ID, t.ID, foams)
			}
		}
	}
	w.row()
	w.row("`traywright profiles NAME` shows every number of a foam or machine and where it is from;")
	w.row("`traywright profiles safety` shows which foam may be cut how, `traywright profiles controllers` what each of them takes.")
}

func (w profileWriter) foamsFor(machine, tool string) string {
	var foams []string
	for _, r := range w.catalog.Recipes() {
		if r.Machine == machine && r.Tool == tool {
			foams = append(foams, r.Foam)
		}
	}
	return strings.Join(foams, ", ")
}

// one prints what has the name.
func (w profileWriter) one(name string) error {
	switch name {
	case safetyName:
		w.safety()
		return nil
	case controllersName:
		w.controllers()
		return nil
	}
	if f, ok := w.catalog.Foam(name); ok {
		w.foam(f)
		return nil
	}
	if m, ok := w.catalog.Machine(name); ok {
		w.machine(m)
		return nil
	}
	return noSuchProfile(name, w.catalog)
}

func (w profileWriter) numbers(list []profiles.Named) {
	for _, n := range list {
		w.row("  "+n.Key, w.number(n), n.Source)
	}
}

// number is a number as its file has it, and in inches beside it where it is one of mm
// and they are asked for.
func (w profileWriter) number(n profiles.Named) string {
	text := fmt.Sprintf("%g", n.Value)
	if w.unit != units.Inch {
		return text
	}
	for _, end := range [][2]string{{"_mm", "in"}, {"mm_per_pass", "in"}, {"_mm_per_min", "in/min"}, {"_mm_per_s2", "in/s2"}} {
		if strings.HasSuffix(n.Key, end[0]) {
			return fmt.Sprintf("%s (%.4g %s)", text, n.Value/units.InchMM, end[1])
		}
	}
	return text
}

func (w profileWriter) foam(f profiles.Foam) {
	fmt.Fprintf(w, "%s: %s (kind %s)\n", f.ID, f.Name, f.Kind)
	w.numbers(f.Numbers())
	if f.Cells.Value != "" {
		w.row("  cells", f.Cells.Value, f.Cells.Source)
	}
	var stock []string
	for _, l := range f.Thicknesses {
		stock = append(stock, l.Exact(w.unit))
	}
	w.row("  thicknesses", strings.Join(stock, ", "), f.StockSource)
	var sizes []string
	for _, s := range f.Sizes {
		sizes = append(sizes, s[0].Exact(w.unit)+" x "+s[1].Exact(w.unit))
	}
	if sizes != nil {
		w.row("  sizes", strings.Join(sizes, ", "), f.StockSource)
	}
	if f.Grain {
		w.row("  grain", "along a sheet's length: no layer is turned on it", f.Source)
	}
	for _, p := range profiles.Processes() {
		v := w.catalog.Safety(f.Kind, p)
		w.row("  "+string(p), string(v.Answer), v.Reason+" ("+v.Source+")")
	}
	for _, r := range w.catalog.Recipes() {
		if r.Foam == f.ID {
			fmt.Fprintf(w, "  recipe on %s with %s\n", r.Machine, r.Tool)
			w.numbers(r.Numbers())
			for _, word := range r.Laps() {
				w.row("  "+word[0], word[1], r.Source)
			}
			for _, k := range r.Tested {
				w.row("  tested", fmt.Sprintf("%g ± %g mm", k.KerfMM, k.IntervalMM), fmt.Sprintf("kerf at %g mm/min and %g A; %s", k.FeedMMPerMin, k.CurrentA, r.Source))
			}
			for _, k := range r.MeasuredIn {
				w.row("  measured_in", fmt.Sprintf("%g ± %g mm", k.KerfMM, k.IntervalMM), fmt.Sprintf("kerf in foam of %g mm; %s", k.ThicknessMM, r.Source))
				for _, one := range k.RestsOn {
					w.row("    rests_on", fmt.Sprintf("%g mm", one.KerfMM), fmt.Sprintf("%s: standard error %g mm, %g degrees of freedom, %d lengths", one.Coupon, one.StandardErrorMM, one.DegreesOfFreedom, one.Lengths))
				}
			}
		}
	}
}

func (w profileWriter) machine(m profiles.Machine) {
	fmt.Fprintf(w, "%s: %s (%s)\n", m.ID, m.Name, m.Process)
	w.numbers(m.Numbers())
	if !m.Process.Traits().ByHand {
		w.row("  z_zero", string(m.ZZero), zeroMeans[m.ZZero]+"; "+m.Source)
		if m.ZCounts != "" {
			w.row("  z_counts", string(m.ZCounts), "which way Z counts; "+m.Source)
		}
		if m.ACounts != "" {
			w.row("  a_counts", string(m.ACounts), "which way the A axis counts, seen from above; "+m.Source)
		}
		w.controller(m)
	}
	for _, z := range m.Clamps {
		text := fmt.Sprintf("%g x %g mm at X%g Y%g, %g mm high", z.LengthMM, z.WidthMM, z.XMM, z.YMM, z.HeightMM)
		if w.unit == units.Inch {
			text += fmt.Sprintf(" (%.4g x %.4g in at X%.4g Y%.4g, %.4g in high)", z.LengthMM/units.InchMM, z.WidthMM/units.InchMM, z.XMM/units.InchMM, z.YMM/units.InchMM, z.HeightMM/units.InchMM)
		}
		w.row("  clamp "+z.Name, text, m.Source)
	}
	for _, t := range m.Tools {
		fmt.Fprintf(w, "  tool %s, T%d: %s\n", t.ID, t.Number, t.Name)
		w.numbers(t.Numbers())
		if t.Flutes > 0 {
			w.row("  flutes", strconv.Itoa(t.Flutes), t.DiameterMM.Source) // counted by whoever measured it
		}
		if t.ByAnother() {
			w.row("  process", string(t.Process), "cuts as one, and only where a job names it (tool:); "+m.Source)
		}
		if t.Helix != "" {
			w.row("  helix", string(t.Helix), m.Source)
		}
		if m.Process.Traits().Turning {
			for _, key := range t.NotKnown() {
				w.row("  "+key, "not known", "nobody has said: measure it, and write it into the profile")
			}
		}
		if foams := w.foamsFor(m.ID, t.ID); foams != "" {
			w.row("  recipes for", foams)
		}
	}
}

// controller is what the machine's controller is like, and what differs.
func (w profileWriter) controller(m profiles.Machine) {
	c := m.Controller
	w.row("  controller", string(c.Class), c.Name+"; "+c.Source)
	for _, k := range c.Changed() {
		w.row("  "+k.Key, k.Text, m.Source)
	}
}

// controllers lists the shipped ones, each key with its value.
func (w profileWriter) controllers() {
	for _, c := range profiles.Controllers() {
		fmt.Fprintf(w, "%s: %s\n", c.Class, c.Name)
		w.row("  source", c.Source)
		for _, k := range c.Keys() {
			if k.Text != "0" && k.Text != "[]" {
				w.row("  "+k.Key, k.Text)
			}
		}
	}
}

func (w profileWriter) safety() {
	w.row("KIND", "PROCESS", "ANSWER", "WHY", "SOURCE")
	for _, v := range w.catalog.SafetyTable() {
		source := v.Source
		if v.Mark != "" && !strings.Contains(source, v.Mark) {
			source += ", " + v.Mark
		}
		w.row(v.Kind, string(v.Process), string(v.Answer), v.Reason, source)
	}
}
