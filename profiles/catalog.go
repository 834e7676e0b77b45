package profiles

import (
	"cmp"
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
)

//go:embed data/*.yaml
var shipped embed.FS

// Catalog is every foam, machine and recipe that a run knows, and the safety
// table. The zero value knows nothing.
type Catalog struct {
	foams    []Foam
	machines []Machine
	recipes  []Recipe
	safety   []Verdict
}

// Shipped is the catalog inside the program.
func Shipped() (*Catalog, error) {
	c := &Catalog{}
	data, err := fs.Sub(shipped, "data")
	if err != nil {
		return nil, err
	}
	return c, c.read(data, true)
}

// Add reads every .yaml file at the top of a folder of the user's own, in the
// format of the shipped ones. A row with the key of one that is known takes its
// place. The safety table is not the user's to change: a file that has one is an
// error, and so is an unknown key, a number without a source, or one that no
// machine could mean. After an error the catalog is as it was.
func (c *Catalog) Add(fsys fs.FS) error {
	next := &Catalog{
		foams: slices.Clone(c.foams), machines: slices.Clone(c.machines),
		recipes: slices.Clone(c.recipes), safety: c.safety,
	}
	if err := next.read(fsys, false); err != nil {
		return err
	}
	*c = *next
	return nil
}

// largestFile bounds a profile file.
const largestFile = 1 << 20

func (c *Catalog) read(fsys fs.FS, ours bool) error {
	names, err := fs.Glob(fsys, "*.yaml")
	if err != nil {
		return err
	}
	if len(names) == 0 {
		return fmt.Errorf("there is no .yaml file in the folder of profiles")
	}
	for _, name := range names {
		info, err := fs.Stat(fsys, name)
		if err != nil {
			return err
		}
		if info.Size() > largestFile {
			return fmt.Errorf("%s: a file of profiles may have %d bytes, this one has %d", name, largestFile, info.Size())
		}
		text, err := fs.ReadFile(fsys, name)
		if err != nil {
			return err
		}
		if err := c.take(path.Base(name), text, ours); err != nil {
			return err
		}
	}
	return c.check()
}

// Foam finds a foam by its id.
func (c *Catalog) Foam(id string) (Foam, bool) {
	return find(c.foams, func(f Foam) bool { return f.ID == id })
}

// Machine finds a machine by its id.
func (c *Catalog) Machine(id string) (Machine, bool) {
	return find(c.machines, func(m Machine) bool { return m.ID == id })
}

// Recipe finds the settings for a foam on a machine with a tool, by their ids.
func (c *Catalog) Recipe(foam, machine, tool string) (Recipe, bool) {
	return find(c.recipes, func(r Recipe) bool { return r.Foam == foam && r.Machine == machine && r.Tool == tool })
}

func find[T any](list []T, is func(T) bool) (T, bool) {
	if i := slices.IndexFunc(list, is); i >= 0 {
		return list[i], true
	}
	var none T
	return none, false
}

// Foams lists the foams by id.
func (c *Catalog) Foams() []Foam {
	return sorted(c.foams, func(a, b Foam) int { return cmp.Compare(a.ID, b.ID) })
}

// Machines lists the machines by id.
func (c *Catalog) Machines() []Machine {
	return sorted(c.machines, func(a, b Machine) int { return cmp.Compare(a.ID, b.ID) })
}

// Recipes lists the recipes by machine, tool and foam.
func (c *Catalog) Recipes() []Recipe {
	return sorted(c.recipes, func(a, b Recipe) int {
		return cmp.Or(cmp.Compare(a.Machine, b.Machine), cmp.Compare(a.Tool, b.Tool), cmp.Compare(a.Foam, b.Foam))
	})
}

func sorted[T any](list []T, order func(a, b T) int) []T {
	list = slices.Clone(list)
	slices.SortFunc(list, order)
	return list
}

// put adds a row, or replaces the one with its key.
func put[T any](list []T, row T, same func(T) bool) []T {
	if i := slices.IndexFunc(list, same); i >= 0 {
		list[i] = row
		return list
	}
	return append(list, row)
}

// ToolByNumber finds a machine's tool by its T number.
func (m Machine) ToolByNumber(n int) (Tool, bool) {
	return find(m.Tools, func(t Tool) bool { return t.Number == n })
}

// Tool finds a machine's tool by its id.
func (m Machine) Tool(id string) (Tool, bool) {
	return find(m.Tools, func(t Tool) bool { return t.ID == id })
}
