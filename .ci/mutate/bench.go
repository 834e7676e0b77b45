package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
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
	folder  string
	tree    string
	workers int
}

// newBench copies the files that git knows, and new ones that it would take, so
// that work in the tree may go on.
func newBench(workers int) (bench, error) {
	folder, err := os.MkdirTemp("", "mutate-")
	if err != nil {
		return bench{}, err
	}
	b := bench{folder, filepath.Join(folder, "tree"), max(1, workers)}
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

func (b bench) close() { os.RemoveAll(b.folder) }

// memory is what a test may take, in KiB: a mutant that never stops growing is
// killed, and nothing else is.
const memory = 6 << 20

// command is the test of a package. -trimpath lets every copy of the tree share
// one build cache; the seed is pinned, so that a mutant fares alike each time.
func (b bench) command(p pkg, limit time.Duration, overlay string) *exec.Cmd {
	args := []string{
		"test", "-short", "-trimpath", "-vet=off", "-count=1", "-failfast", "-timeout", limit.String(),
		"-exec", fmt.Sprintf(`sh -c 'ulimit -v %d; exec "$0" "$@"'`, memory),
	}
	if overlay != "" {
		args = append(args, "-overlay", overlay)
	}
	cmd := exec.Command("go", append(args, "./"+p.folder)...)
	cmd.Dir = b.tree
	cmd.Env = append(os.Environ(), "RAPID_SEED=1", "RAPID_NOFAILFILE=true", "RAPID_SHRINKTIME=1ms")
	return cmd
}

// test draws mutants until count of them have compiled.
func (b bench) test(p pkg, mutants []mutant, count int) (*tally, error) {
	began := time.Now()
	if out, err := b.command(p, 10*time.Minute, "").CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%s: its tests fail as they are: %w\n%s", p.folder, err, out)
	}
	limit := (20*time.Second + 5*time.Since(began)).Round(time.Second)
	var t tally
	var lock sync.Mutex
	var group sync.WaitGroup
	next, running := 0, 0
	for range b.workers {
		group.Go(func() {
			for {
				lock.Lock()
				if next == len(mutants) || t.killed+t.timedOut+t.survived+running >= count {
					lock.Unlock()
					return
				}
				n := next
				next, running = next+1, running+1
				lock.Unlock()
				o := b.try(p, mutants[n], n, limit)
				lock.Lock()
				running--
				t.count(o)
				if o == survived {
					fmt.Println(mutants[n])
				}
				lock.Unlock()
			}
		})
	}
	group.Wait()
	return &t, nil
}

// try lays one mutant over the tree and tests it.
func (b bench) try(p pkg, m mutant, n int, limit time.Duration) outcome {
	original := filepath.Join(b.tree, m.file)
	changed := filepath.Join(b.folder, fmt.Sprintf("mutant-%d.go", n))
	overlay := changed + ".json"
	body := string(m.source[:m.start]) + m.new + string(m.source[m.end:])
	table, _ := json.Marshal(map[string]map[string]string{"Replace": {original: changed}})
	if os.WriteFile(changed, []byte(body), 0o644) != nil || os.WriteFile(overlay, table, 0o644) != nil {
		return unbuilt
	}
	out, err := b.command(p, limit, overlay).CombinedOutput()
	switch {
	case err == nil:
		return survived
	case bytes.Contains(out, []byte("[build failed]")), bytes.Contains(out, []byte("[setup failed]")):
		return unbuilt
	case bytes.Contains(out, []byte("panic: test timed out after")):
		return timedOut
	}
	return killed
}
