package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/safety"
	"traywright/profiles"
	"traywright/profiles/strict"
)

// fileKind is a kind of file whose keys are known.
type fileKind struct {
	name, title string
	keys        func() *strict.Group
}

// documents are those that `keys` and `schema` know, in the order of their use.
var documents = []fileKind{
	{"job", "a job of traywright", job.Keys},
	{"roster", "a row of a roster, its columns as keys", job.RosterKeys},
	{"profiles", "profiles: foams, machines, tools and recipes", profiles.Keys},
	{"shop-rules", "shop rules", safety.Keys},
	{"arrangement", "an arranged job, in the format of a job", job.Keys},
	{"report", "report.json", cam.ReportKeys},
	{"lens", "a lens that was measured", cam.LensKeys},
}

func documentNames() []string {
	var names []string
	for _, d := range documents {
		names = append(names, d.name)
	}
	return names
}

// documentNamed is the kind of file of that name.
func documentNamed(name string) (fileKind, error) {
	for _, d := range documents {
		if d.name == name {
			return d, nil
		}
	}
	return fileKind{}, usage(fmt.Sprintf("there is no kind of file %s", finding.Quote(name)), finding.Suggest(name, documentNames()))
}

func schemaCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "schema",
		Usage:     "print the JSON Schema of a kind of file, for an editor",
		ArgsUsage: strings.Join(documentNames(), "|"),
		Description: "JSON Schema draft 2020-12, of a YAML file as of a JSON one. What hangs on several values, or on another file, only\n" +
			"`traywright check` can say.\n" +
			"Example: traywright schema job > job.schema.json",
		Flags: talkFlags(),
		Action: func(c *cli.Context) error {
			s.settle(c)
			name, err := oneArgument(c, "a kind of file ("+strings.Join(documentNames(), ", ")+")")
			if err != nil {
				return err
			}
			d, err := documentNamed(name)
			if err != nil {
				return err
			}
			return s.write(d.keys().Schema(d.title))
		},
	})
}

func keysCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "keys",
		Usage:     "print every key of a job, a roster, profiles, shop rules, the report and a lens: type, unit, default and meaning",
		ArgsUsage: strings.Join(documentNames(), "|"),
		Description: "With a kind of file, its keys; with one group of them, such as pocket or recipe, those alone.\n" +
			"Example: traywright keys pocket",
		Flags: talkFlags(),
		Action: func(c *cli.Context) error {
			s.settle(c)
			if c.NArg() > 1 {
				return usage(fmt.Sprintf("keys takes one name, and got %d", c.NArg()), "traywright keys job")
			}
			groups, err := groupsNamed(c.Args().First())
			if err != nil {
				return err
			}
			if c.Bool(jsonFlag.Name) {
				return s.write(groupRows(groups))
			}
			for i, g := range groups {
				if i > 0 {
					fmt.Fprintln(s.out)
				}
				fmt.Fprint(s.out, groupText(g))
			}
			return nil
		},
	})
}

// write prints one JSON document.
func (s *session) write(document any) error {
	text, err := finding.JSON(document)
	if err == nil {
		_, err = s.out.Write(text)
	}
	return err
}

// groupsNamed are the groups of a kind of file, or the one of that name; without a name, all.
func groupsNamed(name string) ([]*strict.Group, error) {
	var all []*strict.Group
	known := documentNames()
	for _, d := range documents {
		below := d.keys().Reach()
		switch d.name {
		case name:
			return below, nil
		case "arrangement":
			continue
		}
		for _, g := range below {
			if g.Name == name {
				return []*strict.Group{g}, nil
			}
			if !slices.Contains(known, g.Name) {
				known = append(known, g.Name)
			}
		}
		all = append(all, below...)
	}
	if name != "" {
		return nil, usage(fmt.Sprintf("there are no keys of %s", finding.Quote(name)), finding.Suggest(name, known))
	}
	return all, nil
}

// keyRow is a key as --json prints it.
type keyRow struct {
	Group   string `json:"group"`
	Key     string `json:"key"`
	Type    string `json:"type"`
	Unit    string `json:"unit"`
	Default string `json:"default"`
	Needed  bool   `json:"needed"`
	Meaning string `json:"meaning"`
}

func groupRows(groups []*strict.Group) []keyRow {
	list := []keyRow{}
	for _, g := range groups {
		for _, r := range g.Rows {
			row := keyRow{g.Name, r.Key, strings.ReplaceAll(r.Form.Words, "`", ""), r.Form.Unit, r.Default, r.Default == strict.Needed, r.Means}
			if row.Needed {
				row.Default = ""
			}
			list = append(list, row)
		}
	}
	return list
}

// groupText is a group for a person, within 80 columns.
func groupText(g *strict.Group) string {
	const under = "      "
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s\n", g.Name, g.At)
	for _, r := range g.Rows {
		what := r.Form.Words
		if r.Form.Unit != "" {
			what += "; in " + r.Form.Unit
		}
		switch r.Default {
		case "":
		case strict.Needed:
			what += "; needed"
		default:
			what += "; left out: " + r.Default
		}
		b.WriteString(folded("  "+r.Key+"  ", under, strings.ReplaceAll(what, "`", "")))
		b.WriteString(folded(under, under, r.Means))
	}
	return b.String()
}

// folded is a text behind its beginning, in lines of at most 80 columns, those below
// behind an indent.
func folded(begin, indent, text string) string {
	const width = 80
	var b strings.Builder
	line := begin
	for i, word := range strings.Fields(text) {
		if i > 0 && len([]rune(line))+1+len([]rune(word)) > width {
			b.WriteString(line + "\n")
			line = indent + word
			continue
		}
		if i > 0 {
			line += " "
		}
		line += word
	}
	return b.String() + strings.TrimRight(line, " ") + "\n"
}
