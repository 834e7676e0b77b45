package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// outcome is what became of a mutant.
type outcome int

const (
	killed outcome = iota
	timedOut
	survived
	unbuilt
)

// bench is the copy of the tree, and how tests run in it.
type bench struct {
	folder string
	tree   string
}

// newBench copies the files that git knows, and new ones that it would take, so
// that work in the tree may go on.
func newBench() (bench, error) {
	folder, err := os.MkdirTemp("", "mutate-")
	if err != nil {
		return bench{}, err
	}
	b := bench{folder, filepath.Join(folder, "tree")}
	out, err := exec.Command("git", "ls-files", "-z", "--cached", "--others", "--exclude-standard").Output()
	if err != nil {
		return b, fmt.Errorf("git ls-files: %w", err)
	}
	for name := range strings.SplitSeq(strings.TrimRight(string(out), "\x00"), "\x00") {
		text, err := os.ReadFile(name)
		if os.IsNotExist(err) {
			continue // deleted, and not committed yet
		}
		if err != nil {
			return b, err
		}
		to := filepath.Join(b.tree, name)
		if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
			return b, err
		}
		if err := os.WriteFile(to, text, 0o644); err != nil {
			return b, err
		}
	}
	return b, nil
}

// now is the file that says which mutant is tested.
func (b bench) now() string { return filepath.Join(b.folder, "now") }

// reached is the file to which tests write the mutants that they come to.
func (b bench) reached() string { return filepath.Join(b.folder, "reached") }

// shared is the binary of all mutants of a package that can share one.
func (b bench) shared() string { return filepath.Join(b.folder, "shared.test") }

// alone is the binary of a mutant that shares none.
func (b bench) alone(p pkg, number int) string {
	return filepath.Join(b.folder, fmt.Sprintf("%s-%d.test", strings.ReplaceAll(p.folder, "/", "-"), number))
}

func (b bench) close() { os.RemoveAll(b.folder) }

// memory is what a test may take, in KiB: a mutant that never stops growing is
// killed, and nothing else is.
const memory = 6 << 20

// build compiles the tests of a package. -trimpath lets every copy of the tree
// share one build cache.
func (b bench) build(p pkg, binary string, flags ...string) ([]byte, error) {
	args := append([]string{"test", "-c", "-trimpath", "-vet=off", "-ldflags=-s -w", "-o", binary}, flags...)
	cmd := exec.Command("go", append(args, "./"+p.folder)...)
	cmd.Dir = b.tree
	return cmd.CombinedOutput()
}

// start is a run of the compiled tests in their folder; the seed is pinned, so
// that a mutant fares alike each time, and half as many cases are drawn as usual:
// what the others would kill counts as alive.
func (b bench) start(p pkg, binary string, args ...string) *exec.Cmd {
	shell := []string{"-c", fmt.Sprintf(`ulimit -v %d; exec "$0" "$@"`, memory), binary, "-test.short"}
	cmd := exec.Command("sh", append(shell, args...)...)
	cmd.Dir = filepath.Join(b.tree, p.folder)
	cmd.Env = append(os.Environ(), "RAPID_SEED=1", "RAPID_CHECKS=50", "RAPID_NOFAILFILE=true", "RAPID_SHRINKTIME=1ms")
	return cmd
}

// tiers are how long a test may take to be run among the first: what quick tests
// kill costs little.
var tiers = []time.Duration{150 * time.Millisecond, 1500 * time.Millisecond, time.Hour}

// test is one of a package's tests, as it goes on the code as it is.
type test struct {
	name    string
	took    time.Duration
	reaches map[int]bool // mutants that are called while it runs
}

var passed = regexp.MustCompile(`(?m)^--- PASS: (\w+) \(([0-9.]+)s\)$`)

var failed = regexp.MustCompile(`(?m)^--- FAIL: (\w+) `)

// measure runs each of a package's tests alone and as they are.
func (b bench) measure(p pkg, binary string) ([]test, error) {
	if err := os.WriteFile(b.now(), nil, 0o644); err != nil {
		return nil, err
	}
	names, err := b.start(p, binary, "-test.list", ".").Output()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", p.folder, err)
	}
	var list []test
	for _, name := range strings.Fields(string(names)) {
		if err := os.RemoveAll(b.reached()); err != nil {
			return nil, err
		}
		out, err := b.start(p, binary, "-test.v", "-test.run", "^"+name+"$", "-test.timeout", "30m").CombinedOutput()
		if err != nil {
			fmt.Printf("%s: %s is left out, it is red as the code is: %v\n", p.folder, name, err)
			continue
		}
		m := passed.FindSubmatch(out)
		if m == nil {
			continue // skipped, or a benchmark
		}
		t := test{name: name, reaches: map[int]bool{}}
		if t.took, err = time.ParseDuration(string(m[2]) + "s"); err != nil {
			return nil, err
		}
		numbers, err := os.ReadFile(b.reached())
		if err != nil && !os.IsNotExist(err) {
			return nil, err
		}
		for _, n := range strings.Fields(string(numbers)) {
			number, err := strconv.Atoi(n)
			if err != nil {
				return nil, err
			}
			t.reaches[number] = true
		}
		list = append(list, t)
	}
	return list, nil
}

// test draws mutants until count of them have compiled, and tests those.
func (b bench) test(p pkg, mutants []mutant, count int) (*tally, error) {
	wrong := map[int]bool{}
	drawn := 0
	for drawn-len(wrong) < count && drawn < len(mutants) {
		drawn = min(count+len(wrong), len(mutants))
		if err := b.buildTogether(p, mutants[:drawn], wrong, b.shared()); err != nil {
			return nil, err
		}
	}
	list, err := b.measure(p, b.shared())
	if err != nil {
		return nil, err
	}
	var t tally
	for i, m := range mutants[:drawn] {
		if wrong[i] {
			t.count(unbuilt)
			continue
		}
		o, err := b.try(p, i, m, list)
		if err != nil {
			return nil, err
		}
		t.count(o)
		if o == survived {
			fmt.Println(m)
			if m.together() && !slices.ContainsFunc(list, func(t test) bool { return t.reaches[i] }) {
				fmt.Println("\tno test comes to it")
			}
		}
	}
	return &t, nil
}

// try runs those tests on a mutant that come to it, the quick ones first.
func (b bench) try(p pkg, number int, m mutant, list []test) (outcome, error) {
	if err := os.WriteFile(b.now(), []byte(strconv.Itoa(number)), 0o644); err != nil {
		return survived, err
	}
	binary := b.shared()
	if !m.together() {
		binary = b.alone(p, number)
	}
	least := time.Duration(-1)
	for _, most := range tiers {
		limit := 15 * time.Second
		var names []string
		for _, t := range list {
			if least < t.took && t.took <= most && (t.reaches[number] || !m.together()) {
				names = append(names, t.name)
				limit += 10 * t.took
			}
		}
		least = most
		if len(names) == 0 {
			continue
		}
		run := func(names ...string) ([]byte, error) {
			return b.start(p, binary, "-test.failfast", "-test.run", "^("+strings.Join(names, "|")+")$", "-test.timeout", limit.String()).CombinedOutput()
		}
		out, err := run(names...)
		if bytes.Contains(out, []byte("panic: test timed out after")) {
			return timedOut, nil
		}
		if red := failed.FindSubmatch(out); err != nil && red != nil {
			_, err = run(string(red[1])) // what is red once only is not red for the change
		} else if err != nil {
			_, err = run(names...)
		}
		if err != nil {
			return killed, nil
		}
	}
	return survived, nil
}
