package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/urfave/cli/v2"

	"traywright/geometry/units"
	"traywright/profiles"
)

func profilesCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "profiles",
		Usage:     "list foams, machines, tools and recipes; with a name, every number and its source",
		ArgsUsage: "[NAME...]",
		Description: "A NAME is a foam, a machine, or `safety` for the table of what may be cut how.\n" +
			"Example: traywright profiles pe-30 bench-router",
		Flags: talkFlags(profilesFlag, unitsFlag),
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
			w := profileWriter{tabwriter.NewWriter(s.out, 0, 0, 2, ' ', 0), catalog, unit}
			if c.Bool(jsonFlag.Name) {
				return w.json(s.out)
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

// profileWriter prints profiles as tables.
type profileWriter struct {
	*tabwriter.Writer
	catalog *profiles.Catalog
	unit    units.Unit
}

func (w profileWriter) json(out io.Writer) error {
	e := json.NewEncoder(out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(struct {
		Foams    []profiles.Foam    `json:"foams"`
		Machines []profiles.Machine `json:"machines"`
		Recipes  []profiles.Recipe  `json:"recipes"`
		Safety   []profiles.Verdict `json:"safety"`
	}{w.catalog.Foams(), w.catalog.Machines(), w.catalog.Recipes(), w.catalog.SafetyTable()})
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
	w.row("`traywright profiles safety` shows which foam may be cut how.")
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
	if name == "safety" {
		w.safety()
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
	hint := "`traywright profiles` lists them"
	if near := w.catalog.NearestFoam(name); near != "" {
		hint = "did you mean " + near + "?"
	} else if near := w.catalog.NearestMachine(name); near != "" {
		hint = "did you mean " + near + "?"
	}
	return usageError{fmt.Sprintf("there is no foam or machine %q", name), hint}
}

func (w profileWriter) numbers(list []profiles.Named) {
	for _, n := range list {
		w.row("  "+n.Key, fmt.Sprintf("%g", n.Value), n.Source)
	}
}

func (w profileWriter) foam(f profiles.Foam) {
	fmt.Fprintf(w, "%s: %s (kind %s)\n", f.ID, f.Name, f.Kind)
	w.numbers(f.Numbers())
	if f.Cells.Value != "" {
		w.row("  cells", f.Cells.Value, f.Cells.Source)
	}
	var stock []string
	for _, l := range f.Thicknesses {
		stock = append(stock, l.Format(w.unit))
	}
	w.row("  thicknesses", strings.Join(stock, ", "), f.StockSource)
	for _, p := range profiles.Processes() {
		v := w.catalog.Safety(f.Kind, p)
		w.row("  "+string(p), string(v.Answer), v.Reason+" ("+v.Source+")")
	}
	for _, r := range w.catalog.Recipes() {
		if r.Foam == f.ID {
			fmt.Fprintf(w, "  recipe on %s with %s\n", r.Machine, r.Tool)
			w.numbers(r.Numbers())
		}
	}
}

func (w profileWriter) machine(m profiles.Machine) {
	fmt.Fprintf(w, "%s: %s (%s)\n", m.ID, m.Name, m.Process)
	w.numbers(m.Numbers())
	w.row("  z_zero", string(m.ZZero), "where the program's Z is 0")
	w.row("  tool_change", m.Controller.ToolChange, "what its controller understands")
	for _, t := range m.Tools {
		fmt.Fprintf(w, "  tool %s, T%d: %s\n", t.ID, t.Number, t.Name)
		w.numbers(t.Numbers())
		if foams := w.foamsFor(m.ID, t.ID); foams != "" {
			w.row("  recipes for", foams)
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
