// Mutate says how much of a package its own tests hold: it changes one operator
// or constant at a time, runs the package's short tests, and counts the changes
// that turned them red.
//
//	go run ./.ci/mutate [-n 30 | -total 300] [-seed 1] FILE|FOLDER...
//
// Changes are drawn at random, the same for the same seed, from the files named
// and from all files of the folders named that are compiled on this system: -n for each package, or -total over
// all of them, each package its share of the places that can be changed. Nothing
// in the tree is touched: one copy of it is made, and the changes are laid over
// that copy when it is compiled, once for all changes of a package. What does not
// compile is no mutant, and another is drawn. A change that cannot alter what the program does may be listed in
// equivalent.txt by whoever has looked at it.
package main

import (
	"flag"
	"fmt"
	"go/build"
	"hash/fnv"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

func main() {
	count := flag.Int("n", 30, "mutants for each package")
	together := flag.Int("total", 0, "mutants over all packages, spread by their size, instead of -n")
	seed := flag.Uint64("seed", 1, "of the draw")
	list := flag.Bool("list", false, "say what would be changed, and test nothing")
	flag.Parse()
	if flag.NArg() == 0 {
		flag.Usage()
		os.Exit(2)
	}
	if err := run(flag.Args(), *count, *together, *seed, *list); err != nil {
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.Exit(1)
	}
}

func run(names []string, count, together int, seed uint64, list bool) error {
	packages, err := readPackages(names)
	if err != nil {
		return err
	}
	known, err := readEquivalent(filepath.Join(".ci", "mutate", "equivalent.txt"))
	if err != nil {
		return err
	}
	var b bench
	if !list {
		if b, err = newBench(); err != nil {
			return err
		}
		defer b.close()
	}
	all := make([][]mutant, len(packages))
	for i, p := range packages {
		own := fnv.New64a()
		own.Write([]byte(p.folder))
		if all[i], err = p.mutants(rand.New(rand.NewPCG(seed, own.Sum64())), known); err != nil {
			return err
		}
	}
	counts := spread(all, count, together)
	var total tally
	for i, p := range packages {
		if list {
			for _, m := range all[i][:min(counts[i], len(all[i]))] {
				fmt.Println(m)
			}
			continue
		}
		if counts[i] == 0 {
			continue
		}
		t, err := b.test(p, all[i], counts[i])
		if err != nil {
			return err
		}
		fmt.Println(p.folder+":", t)
		total.add(t)
	}
	if !list && len(packages) > 1 {
		fmt.Println("all:", &total)
	}
	return nil
}

// spread says how many mutants each package gets: count, or its share of the
// mutants together, rounded so that they sum up to it.
func spread(all [][]mutant, count, together int) []int {
	places := 0
	for _, list := range all {
		places += len(list)
	}
	counts := make([]int, len(all))
	before := 0
	for i, list := range all {
		if together == 0 {
			counts[i] = count
			continue
		}
		after := before + len(list)
		counts[i] = after*together/places - before*together/places
		before = after
	}
	return counts
}

// tally counts what became of the mutants of a package.
type tally struct{ killed, timedOut, survived, unbuilt int }

func (t *tally) add(o *tally) {
	t.killed += o.killed
	t.timedOut += o.timedOut
	t.survived += o.survived
	t.unbuilt += o.unbuilt
}

func (t *tally) count(o outcome) {
	switch o {
	case killed:
		t.killed++
	case timedOut:
		t.timedOut++
	case survived:
		t.survived++
	case unbuilt:
		t.unbuilt++
	}
}

// String names the share killed; a test that ended at its time counts as red.
func (t *tally) String() string {
	dead := t.killed + t.timedOut
	all := dead + t.survived
	return fmt.Sprintf("%d of %d killed, %.0f %% (%d by the time limit; %d did not compile)",
		dead, all, 100*float64(dead)/float64(max(1, all)), t.timedOut, t.unbuilt)
}

// pkg is a folder of the tree and those of its files that may be changed.
type pkg struct {
	folder string // from the tree's top, with slashes
	files  []string
}

// builtHere says whether a file is compiled on this system: no test can notice what
// happens to another system's.
func builtHere(file string) bool {
	built, err := build.Default.MatchFile(filepath.Split(file))
	return built && err == nil
}

// readPackages groups files and folders by package.
func readPackages(names []string) ([]pkg, error) {
	files := map[string][]string{}
	for _, name := range names {
		found := []string{name}
		if info, err := os.Stat(name); err != nil {
			return nil, err
		} else if info.IsDir() {
			if found, err = filepath.Glob(filepath.Join(name, "*.go")); err != nil {
				return nil, err
			}
		}
		for _, f := range found {
			if strings.HasSuffix(f, ".go") && !strings.HasSuffix(f, "_test.go") && builtHere(f) {
				folder := filepath.ToSlash(filepath.Dir(f))
				files[folder] = append(files[folder], filepath.ToSlash(filepath.Clean(f)))
			}
		}
	}
	var packages []pkg
	for folder, list := range files {
		slices.Sort(list)
		packages = append(packages, pkg{folder, slices.Compact(list)})
	}
	slices.SortFunc(packages, func(a, b pkg) int { return strings.Compare(a.folder, b.folder) })
	if len(packages) == 0 {
		return nil, fmt.Errorf("no Go files in %s", strings.Join(names, ", "))
	}
	return packages, nil
}
