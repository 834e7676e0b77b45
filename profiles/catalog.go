package profiles

import (
	"cmp"
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"slices"
	"sync"

	"traywright/cam/finding"
	"traywright/profiles/strict"
)

//go:embed data/*.yaml
var shipped embed.FS

// recipeKey is what a recipe is looked up by.
type recipeKey struct{ foam, machine, tool string }

func keyOf(r Recipe) recipeKey { return recipeKey{r.Foam, r.Machine, r.Tool} }

func (k recipeKey) String() string {
	return fmt.Sprintf("recipe for %s on %s with %s", k.foam, k.machine, k.tool)
}

// Catalog is everything that is known. The zero Catalog knows nothing and
// refuses every foam under every process.
type Catalog struct {
	foams    map[string]Foam
	machines map[string]Machine
	recipes  map[recipeKey]Recipe
	safety   map[cell]Verdict
	kinds    []string
	spoken   []spoken // how foams speak of their chemistry
	replaced []string
	shipped  *Catalog   // as it was before any folder; nil for none
	below    []*Catalog // as it was before each folder, the shipped one first
}

// Shipped is the catalog that is part of the program, read once: what is laid over the one that it
// returns is not in the next. An error is a fault of the program.
func Shipped() (*Catalog, error) {
	c, err := shippedOnce()
	if err != nil {
		return nil, err
	}
	own := *c // to lay something over it makes new maps
	return &own, nil
}

var shippedOnce = sync.OnceValues(readShipped)

func readShipped() (*Catalog, error) {
	data, err := fs.Sub(shipped, "data")
	if err != nil {
		return nil, err
	}
	r, err := readFolder(data)
	if err != nil {
		return nil, err
	}
	c := &Catalog{}
	if problems := c.laySafety(r); len(problems) > 0 {
		return nil, problems
	}
	if err := c.lay(r); err != nil {
		return nil, err
	}
	before := *c
	c.shipped = &before
	return c, nil
}

// Add reads a folder of profiles, every .yaml file at its top, over the
// catalog. A row replaces the one with the same key; Replaced says which. The
// safety table is not for a folder to change, nor is the chemistry of a foam or
// the process of a machine that ships: shop rules make it stricter, and nothing makes it looser. On an
// error, a finding.List where a file is at fault, the catalog is as it was.
func (c *Catalog) Add(fsys fs.FS) error {
	r, err := readFolder(fsys)
	if err != nil {
		return err
	}
	var tables []finding.Position
	for _, v := range r.verdicts {
		tables = append(tables, v.at)
	}
	for _, v := range r.spoken {
		tables = append(tables, v.at)
	}
	if len(tables) > 0 {
		return finding.List{fault(tables[0], "safety-table", "the safety table cannot be changed by profiles", "what the owner of a machine allows and forbids goes into the shop rules")}
	}
	before := *c
	if err := c.lay(r); err != nil {
		return err
	}
	c.below = append(slices.Clone(c.below), &before)
	return nil
}

// readFolder reads every file of a folder, in the order of their names.
func readFolder(fsys fs.FS) (rows, error) {
	names, err := fs.Glob(fsys, "*.yaml")
	if err != nil {
		return rows{}, err
	}
	if len(names) == 0 {
		return rows{}, errors.New("the profiles folder has no .yaml file in it")
	}
	var all rows
	var problems finding.List
	for _, name := range names {
		data, err := readFile(fsys, name)
		if err != nil {
			return rows{}, err
		}
		r, err := readRows(path.Base(name), data)
		var found finding.List
		if errors.As(err, &found) {
			problems = append(problems, found...)
		}
		all.add(r)
	}
	if len(problems) > 0 {
		return rows{}, problems
	}
	return all, nil
}

// readFile reads a file, but no more of it than is too much already.
func readFile(fsys fs.FS, name string) ([]byte, error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, strict.MostBytes+1))
}

func (r *rows) add(s rows) {
	r.foams = append(r.foams, s.foams...)
	r.machines = append(r.machines, s.machines...)
	r.recipes = append(r.recipes, s.recipes...)
	r.measured = append(r.measured, s.measured...)
	r.scales = append(r.scales, s.scales...)
	r.verdicts = append(r.verdicts, s.verdicts...)
	r.spoken = append(r.spoken, s.spoken...)
}

// lay lays rows over the catalog if all of them fit together.
func (c *Catalog) lay(r rows) error {
	next := *c
	var problems, found finding.List
	var replaced []string
	note := func(names []string) {
		replaced = append(replaced, names...)
		problems = append(problems, found...)
	}
	var names []string
	next.foams, names, found = merged(c.foams, r.foams, func(f Foam) string { return f.ID }, func(id string) string { return "foam " + id })
	note(names)
	next.machines, names, found = merged(c.machines, r.machines, func(m Machine) string { return m.ID }, func(id string) string { return "machine " + id })
	note(names)
	next.recipes, names, found = merged(c.recipes, r.recipes, keyOf, recipeKey.String)
	note(names)
	next.recipes, names, found = merged(next.recipes, r.measured, keyOf, recipeKey.String)
	note(names)
	found = next.layScales(r.scales)
	note(nil)
	problems = append(problems, c.checkFoams(r.foams)...)
	problems = append(problems, c.checkMachines(r.machines)...)
	problems = append(problems, next.checkRecipes(r.recipes)...)
	problems = append(problems, next.checkRecipes(r.measured)...)
	if len(problems) > 0 {
		return problems
	}
	next.replaced = append(slices.Clone(c.replaced), replaced...)
	*c = next
	return nil
}

// laySafety takes the safety table.
func (c *Catalog) laySafety(r rows) finding.List {
	var problems finding.List
	c.safety, _, problems = merged(c.safety, r.verdicts, func(v Verdict) cell { return cell{v.Kind, v.Process} },
		func(k cell) string { return k.kind + " under " + string(k.process) })
	for _, v := range r.verdicts {
		if !slices.Contains(c.kinds, v.value.Kind) {
			c.kinds = append(c.kinds, v.value.Kind)
		}
	}
	for _, list := range r.spoken {
		for _, s := range list.value {
			if !slices.Contains(c.kinds, s.Kind) {
				problems = append(problems, fault(list.at, "unknown-kind", "there is no kind "+s.Kind, ""))
			}
			c.spoken = append(c.spoken, s)
		}
	}
	return problems
}

// Replaced lists what Add laid over rows that were there: "foam pe-30 (mine.yaml:3)".
func (c *Catalog) Replaced() []string { return slices.Clone(c.replaced) }

// Foam looks a foam up by its id.
func (c *Catalog) Foam(id string) (Foam, bool) {
	f, ok := c.foams[id]
	f.Fits, f.Thicknesses, f.Sizes = maps.Clone(f.Fits), slices.Clone(f.Thicknesses), slices.Clone(f.Sizes)
	return f, ok
}

// Machine looks a machine up by its id.
func (c *Catalog) Machine(id string) (Machine, bool) {
	m, ok := c.machines[id]
	m.Tools, m.Clamps = slices.Clone(m.Tools), slices.Clone(m.Clamps)
	return m, ok
}

// Recipe looks up the settings for a foam on a machine with one of its tools.
func (c *Catalog) Recipe(foam, machine, tool string) (Recipe, bool) {
	r, ok := c.recipes[recipeKey{foam, machine, tool}]
	return r.clone(), ok
}

func (r Recipe) clone() Recipe {
	r.Tested, r.MeasuredIn = slices.Clone(r.Tested), slices.Clone(r.MeasuredIn)
	return r
}

// Foams lists the foams by id.
func (c *Catalog) Foams() []Foam { return all(sortedKeys(c.foams), c.Foam) }

// Machines lists the machines by id.
func (c *Catalog) Machines() []Machine { return all(sortedKeys(c.machines), c.Machine) }

// Recipes lists the recipes by machine, tool and foam.
func (c *Catalog) Recipes() []Recipe {
	var list []Recipe
	for _, r := range c.recipes {
		list = append(list, r.clone())
	}
	slices.SortFunc(list, func(a, b Recipe) int {
		return cmp.Or(cmp.Compare(a.Machine, b.Machine), cmp.Compare(a.Tool, b.Tool), cmp.Compare(a.Foam, b.Foam))
	})
	return list
}

func all[V any](ids []string, look func(string) (V, bool)) []V {
	list := make([]V, len(ids))
	for i, id := range ids {
		list[i], _ = look(id)
	}
	return list
}
