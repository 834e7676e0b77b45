package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
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
// that a mutant fares alike each time.
func (b bench) start(p pkg, binary string, args ...string) *exec.Cmd {
	shell := []string{"-c", fmt.Sprintf(`ulimit -v %d; exec "$0" "$@"`, memory), binary}
	cmd := exec.Command("sh", append(shell, args...)...)
	cmd.Dir = filepath.Join(b.tree, p.folder)
	cmd.Env = append(os.Environ(), "RAPID_SEED=1", "RAPID_NOFAILFILE=true", "RAPID_SHRINKTIME=1ms")
	return cmd
}

// test draws mutants until count of them have compiled, and tests those.
func (b bench) test(p pkg, mutants []mutant, count int) (*tally, error) {
	s, err := b.measure(p)
	if err != nil {
		return nil, err
	}
	shared := filepath.Join(b.folder, "shared.test")
	var t tally
	wrong := map[int]bool{}
	drawn := 0
	for drawn-len(wrong) < count && drawn < len(mutants) {
		drawn = min(count+len(wrong), len(mutants))
		if err := b.buildTogether(p, mutants[:drawn], wrong, shared); err != nil {
			return nil, err
		}
	}
	for i, m := range mutants[:drawn] {
		if wrong[i] {
			t.count(unbuilt)
			continue
		}
		binary := shared
		if !m.together() {
			binary = b.alone(p, i)
		}
		tests := s.reaching(m)
		o, err := b.try(p, i, binary, tests)
		if err != nil {
			return nil, err
		}
		t.count(o)
		switch {
		case o == survived && len(tests) == 0:
			t.unreached++
			fmt.Println(m, "(no test runs it)")
		case o == survived:
			fmt.Println(m)
		}
	}
	return &t, nil
}

// try runs the tests that reach a mutant: the quick ones together, then the others.
func (b bench) try(p pkg, number int, binary string, tests []test) (outcome, error) {
	if err := os.WriteFile(b.now(), []byte(strconv.Itoa(number)), 0o644); err != nil {
		return survived, err
	}
	slow := slices.IndexFunc(tests, func(t test) bool { return t.took > time.Second })
	if slow < 0 {
		slow = len(tests)
	}
	for _, part := range [][]test{tests[:slow], tests[slow:]} {
		if len(part) == 0 {
			continue
		}
		limit := 20 * time.Second
		for _, t := range part {
			limit += 5 * t.took
		}
		out, err := b.start(p, binary, append(only(part), "-test.timeout", limit.String())...).CombinedOutput()
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
