package profiles

import (
	"fmt"
	"maps"

	"traywright/cam/finding"
	"traywright/profiles/strict"
)

// row is something read, and where.
type row[T any] struct {
	value T
	at    finding.Position
}

// fault is what is wrong with a row: like a text that is no value, it makes the
// whole folder one that cannot be read.
func fault(at finding.Position, rule, message, hint string) finding.Finding {
	return finding.Finding{Unread: true, Rule: rule, Where: at.String(), Message: message, Hint: hint}
}

// rows is what a file holds.
type rows struct {
	foams    []row[Foam]
	machines []row[Machine]
	recipes  []row[Recipe]
	measured []row[Recipe] // laid over recipes
	scales   []row[scale]  // laid over machines
	verdicts []row[Verdict]
	spoken   []row[[]spoken]
}

// readRows reads one profiles file.
func readRows(file string, data []byte) (rows, error) {
	d := strict.Read(file, data)
	top := d.Root().Map(profilesKeys.Names()...)
	var r rows
	for _, v := range top.Get("foams").List() {
		r.foams = append(r.foams, at(v, readFoam(v)))
	}
	for _, v := range top.Get("machines").List() {
		r.machines = append(r.machines, at(v, readMachine(v)))
	}
	for _, v := range top.Get("recipes").List() {
		r.recipes = append(r.recipes, readRecipes(v)...)
	}
	for _, v := range top.Get("measured").List() {
		r.measured = append(r.measured, readRecipes(v)...)
	}
	for _, v := range top.Get("scales").List() {
		r.scales = append(r.scales, at(v, readScale(v)))
	}
	for _, v := range top.Get("safety").List() {
		r.verdicts = append(r.verdicts, readVerdicts(v)...)
	}
	for _, v := range top.Get("spoken").List() {
		r.spoken = append(r.spoken, at(v, readSpoken(v)))
	}
	return r, d.Err()
}

func at[T any](v strict.Value, value T) row[T] { return row[T]{value, v.At()} }

// number reads `3.175`, whose source is the row's, or `{value: 3.175, source:
// "nominal"}`. A number without any source is a problem.
func number(v strict.Value, source string, least, most float64) Number {
	if !v.Present() {
		return Number{}
	}
	if v.IsMap() {
		m := v.Map(sourcedKeys.Names()...)
		return Number{m.Need("value").Number(least, most), m.Need("source").Text()}
	}
	if source == "" {
		v.Fail("has no source", "write {value: ..., source: ...}, or a source for the whole row")
	}
	return Number{v.Number(least, most), source}
}

// word reads one of a few words, alone or as `{value: open, source: ...}`.
func word(v strict.Value, source string, words ...string) Word {
	if v.IsMap() {
		m := v.Map(sourcedKeys.Names()...)
		return Word{m.Need("value").OneOf(words...), m.Need("source").Text()}
	}
	if !v.Present() {
		return Word{}
	}
	if source == "" {
		v.Fail("has no source", "write {value: ..., source: ...}, or a source for the whole row")
	}
	return Word{v.OneOf(words...), source}
}

// take reads a row's numbers.
func take[T any](m strict.Map, source string, into *T, numbers []numberKey[T]) {
	for _, n := range numbers {
		v := m.Get(n.key)
		if n.needed {
			v = m.Need(n.key)
		}
		if v.Present() {
			*n.in(into) = number(v, source, n.least, n.most)
		}
	}
}

// readRecipes reads a group: what several foams have in common on one machine
// with one tool, then each foam's own numbers, which go over them.
func readRecipes(v strict.Value) []row[Recipe] {
	m := v.Map(recipesKeys.Names()...)
	source := m.Need("source").Text()
	common := Recipe{Machine: m.Need("machine").Name(), Tool: m.Need("tool").Name(), Source: source}
	shared := m.Get("common").Map(commonKeys.Names()...)
	take(shared, source, &common, recipeNumbers)
	takeLaps(shared, &common)
	var list []row[Recipe]
	m.Need("foams").Each(func(foam string, v strict.Value) {
		own, source := v.Map(recipeKeys.Names()...), source
		recipe := common
		recipe.Foam = foam
		if s := own.Get("source"); s.Present() {
			source = s.Text()
			recipe.Source = source
		}
		take(own, source, &recipe, recipeNumbers)
		takeLaps(own, &recipe)
		recipe.Tested = readTested(own.Get("tested"), recipe)
		recipe.MeasuredIn = readMeasuredIn(own.Get("measured_in"), recipe)
		recipe, _ = recipe.AsTested()
		list = append(list, at(v, recipe))
	})
	return list
}

// fitNames are the fits that a job may ask for.
var fitNames = []string{"tight", "snug", "easy"}

func readFoam(v strict.Value) Foam {
	m := v.Map(foamKeys.Names()...)
	source := m.Get("source").Text()
	f := Foam{
		ID: m.Need("id").Name(), Name: m.Need("name").Text(), Kind: m.Need("kind").Name(), Notes: m.Get("notes").Text(),
		Source: source, StockSource: m.Get("stock_source").Text(), Thicknesses: readStock(m.Need("thicknesses")), Sizes: readSizes(m.Get("sizes")),
		Fits: map[string]Number{}, Cells: word(m.Get("cells"), source, OpenCells, "closed"), Grain: m.Get("grain").Present() && m.Get("grain").Flag(),
	}
	take(m, source, &f, foamNumbers)
	if f.StockSource == "" {
		f.StockSource = source
	}
	fits := m.Need("fits").Map(fitsKeys.Names()...)
	for _, name := range fitNames {
		f.Fits[name] = number(fits.Need(name), source, -20, 50)
	}
	if f.Fits["tight"].Value > f.Fits["snug"].Value || f.Fits["snug"].Value > f.Fits["easy"].Value {
		m.Get("fits").Fail("the fits do not grow from tight to snug to easy", "write snug no less than tight, and easy no less than snug")
	}
	return f
}

// merged is a copy of a map with the rows laid over it, the keys of those
// replaced, and problems: a key twice in what was read.
func merged[K comparable, T any](old map[K]T, list []row[T], key func(T) K, say func(K) string) (map[K]T, []string, finding.List) {
	result := maps.Clone(old)
	if result == nil {
		result = map[K]T{}
	}
	seen := map[K]finding.Position{}
	var replaced []string
	var problems finding.List
	for _, r := range list {
		k := key(r.value)
		if first, twice := seen[k]; twice {
			problems = append(problems, fault(r.at, "twice", say(k)+" is there twice",
				fmt.Sprintf("the first is at %s:%d", first.File, first.Line)))
			continue
		}
		seen[k] = r.at
		if _, there := old[k]; there {
			replaced = append(replaced, fmt.Sprintf("%s (%s:%d)", say(k), r.at.File, r.at.Line))
		}
		result[k] = r.value
	}
	return result, replaced, problems
}
