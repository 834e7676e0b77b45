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

// tier is tests that are run together, and how long they took on the code as it is.
type tier struct {
	names []string
	took  time.Duration
}

var passed = regexp.MustCompile(`(?m)^--- PASS: (\w+) \(([0-9.]+)s\)$`)

// measure runs a package's tests as they are.
func (b bench) measure(p pkg, binary string) ([]tier, error) {
	if err := os.WriteFile(b.now(), nil, 0o644); err != nil {
		return nil, err
	}
	out, err := b.start(p, binary, "-test.v", "-test.timeout", "30m").CombinedOutput()
	if err != nil {
		return nil, fmt.Errorf("%s: its tests fail as they are: %w\n%s", p.folder, err, out)
	}
	list := make([]tier, len(tiers))
	for _, m := range passed.FindAllSubmatch(out, -1) {
		took, err := time.ParseDuration(string(m[2]) + "s")
		if err != nil {
			return nil, err
		}
		i := slices.IndexFunc(tiers, func(most time.Duration) bool { return took <= most })
		list[i].names = append(list[i].names, string(m[1]))
		list[i].took += took
	}
	return slices.DeleteFunc(list, func(t tier) bool { return len(t.names) == 0 }), nil
}

// test draws mutants until count of them have compiled, and tests those.
func (b bench) test(p pkg, mutants []mutant, count int) (*tally, error) {
	shared := filepath.Join(b.folder, "shared.test")
	wrong := map[int]bool{}
	drawn := 0
	for drawn-len(wrong) < count && drawn < len(mutants) {
		drawn = min(count+len(wrong), len(mutants))
		if err := b.buildTogether(p, mutants[:drawn], wrong, shared); err != nil {
			return nil, err
		}
	}
	list, err := b.measure(p, shared)
	if err != nil {
		return nil, err
	}
	var t tally
	for i, m := range mutants[:drawn] {
		if wrong[i] {
			t.count(unbuilt)
			continue
		}
		binary := shared
		if !m.together() {
			binary = b.alone(p, i)
		}
		o, err := b.try(p, i, binary, list)
		if err != nil {
			return nil, err
		}
		t.count(o)
		if o == survived {
			fmt.Println(m)
		}
	}
	return &t, nil
}

// try runs the tests on a mutant.
func (b bench) try(p pkg, number int, binary string, list []tier) (outcome, error) {
	if err := os.WriteFile(b.now(), []byte(strconv.Itoa(number)), 0o644); err != nil {
		return survived, err
	}
	for _, t := range list {
		limit := 30*time.Second + 10*t.took
		out, err := b.start(p, binary, "-test.failfast", "-test.run", "^("+strings.Join(t.names, "|")+")$", "-test.timeout", limit.String()).CombinedOutput()
		switch {
		case err == nil:
		case bytes.Contains(out, []byte("panic: test timed out after")):
			return timedOut, nil
		default:
			return killed, nil
		}
	}
	return survived, nil
}
