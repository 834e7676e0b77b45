package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/urfave/cli/v2"

	"traywright/cam/job"
)

// asProgram is the test itself under the name of one of TestMain's programs.
func asProgram(t *testing.T, name string, args ...string) *exec.Cmd {
	program, err := os.Executable()
	require.NoError(t, err)
	named := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.Symlink(program, named))
	return exec.Command(named, args...)
}

// longProgram writes a program whose dry run takes many seconds.
func longProgram(t *testing.T, name string) {
	text := "G21 G90 G17 G94\nS18000 M3\nG0 X300 Y150 Z5\nG1 Z-5 F300\nF900\n" + strings.Repeat("G3 X300 Y150 I-140 J0\n", 60_000) + "G0 Z5\nM5\nM2\n"
	require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
}

// The first interrupt ends the work soon, with the usual code and nothing written or
// left over.
func TestTheFirstInterruptEndsTheWork(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("interrupts cannot be sent there")
	}
	for _, signal := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
		dir := t.TempDir()
		longProgram(t, filepath.Join(dir, "long.ngc"))
		var out, talk bytes.Buffer
		var exit *exec.ExitError
		var began time.Time
		for wait := 500 * time.Millisecond; ; wait *= 2 {
			c := asProgram(t, "traywright", "dryrun", "long.ngc", "--kerf", "3", "--out", "drawn", "--json")
			c.Dir, c.Stdout, c.Stderr = dir, &out, &talk
			require.NoError(t, c.Start())
			time.Sleep(wait)
			require.NoError(t, c.Process.Signal(signal))
			began = time.Now()
			require.ErrorAs(t, c.Wait(), &exit)
			if exit.ExitCode() != -1 || wait > 4*time.Second { // ended by the system, as a busy one does before the program listens
				break
			}
		}
		assert.Equal(t, exitUsage, exit.ExitCode(), talk.String())
		assert.Contains(t, talk.String(), "error: stopped; nothing was written")
		assert.JSONEq(t, `{"schema_version": 1, "findings": [{"severity": "error", "rule": "", "where": "", "message": "stopped; nothing was written", "hint": ""}]}`, out.String())
		assert.Less(t, time.Since(began), 5*time.Second)
		assert.Equal(t, []string{"long.ngc"}, names(t, dir))
	}
}

// A roster of thousands has nothing whole for minutes, and is given up as well.
func TestTheFirstInterruptEndsAnArrangement(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("interrupts cannot be sent there")
	}
	dir := t.TempDir()
	roster := "id,count,length,width,height\n"
	for i := range 900 {
		roster += fmt.Sprintf("p%d,%d,%d,%d,%d\n", i, 1+i%4, 15+i%45, 15+i*7%35, 8+i%16)
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "roster.csv"), []byte(roster), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.yaml"), []byte("machine: bench-router\nroster: roster.csv\ncase: {inside: [350, 250, 31.75]}\n"+
		"tray_defaults: {layers: [{foam: pe-30, thickness: 1 in}, {foam: pe-45, thickness: 1/4 in}]}\ncases: [{name: A}]\n"), 0o600))
	c := asProgram(t, "traywright", "arrange", "job.yaml")
	var talk bytes.Buffer
	c.Dir, c.Stderr = dir, &talk
	require.NoError(t, c.Start())
	time.Sleep(4 * time.Second)
	require.NoError(t, c.Process.Signal(os.Interrupt))
	began := time.Now()
	var exit *exec.ExitError
	require.ErrorAs(t, c.Wait(), &exit)
	assert.Contains(t, talk.String(), "error: stopped; nothing was written")
	assert.Less(t, time.Since(began), 20*time.Second, "three seconds, and a busy machine")
	assert.Equal(t, []string{"job.yaml", "roster.csv"}, names(t, dir))
}

// What a search that was cut short refuses may have a place that it did not look for.
func TestAnInterruptedArrangementRefusesNothing(t *testing.T) {
	name := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(name), "roster.csv"), []byte("id,count,length,width,height\nking,1,30,30,40\n"), 0o600))
	require.NoError(t, os.WriteFile(name, []byte("machine: bench-router\nroster: roster.csv\ncase: {inside: [200, 150, 20]}\n"+
		"tray_defaults: {layers: [{foam: pe-30, thickness: 1 in}]}\ncases: [{name: A}]\n"), 0o600))
	s := newSession(nil, io.Discard, io.Discard)
	ctx, stop := context.WithCancel(context.Background())
	c := cli.NewContext(cli.NewApp(), flag.NewFlagSet("arrange", flag.ContinueOnError), &cli.Context{Context: ctx})
	request, err := s.plainRequest(c, name)
	require.NoError(t, err)
	result, _, err := s.runArrange(c, request, earlier{})
	require.NoError(t, err)
	require.True(t, result.Findings.Failed(), "it is refused: %v", result.Findings)
	stop()
	_, _, err = s.runArrange(c, request, earlier{})
	assert.Equal(t, errStopped, err)
}

// The second one ends a program that does not heed the first, at once.
func TestTheSecondInterruptEndsTheProgram(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("interrupts cannot be sent there")
	}
	c := asProgram(t, "stubborn")
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	require.Equal(t, "running\n", line)
	ended := make(chan error, 1)
	go func() { ended <- c.Wait() }()
	require.NoError(t, c.Process.Signal(os.Interrupt))
	select {
	case <-ended:
		t.Fatal("the first interrupt ended it")
	case <-time.After(300 * time.Millisecond):
	}
	// A busy machine may not have let it heed the first one yet: as a hand would, this presses again until it ends.
	again, limit := time.NewTicker(100*time.Millisecond), time.After(time.Minute)
	defer again.Stop()
	for {
		select {
		case err := <-ended:
			var exit *exec.ExitError
			require.ErrorAs(t, err, &exit)
			return
		case <-again.C:
			_ = c.Process.Signal(os.Interrupt) // it may have ended by now
		case <-limit:
			require.NoError(t, c.Process.Kill())
			t.Fatal("no further interrupt ended it")
		}
	}
}

// Work that does not heed the interrupt is given up; what was ready is taken.
func TestUntil(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	failed := errors.New("a fault of its own")
	_, err := until(ctx, func() (int, error) { return 0, failed })
	require.ErrorIs(t, err, failed)
	n, err := until(ctx, func() (int, error) { return 7, nil })
	require.NoError(t, err)
	require.Equal(t, 7, n)
	for range 100 {
		ctx, stop := context.WithCancel(context.Background())
		release := make(chan bool)
		stop()
		_, err = until(ctx, func() (int, error) { <-release; return 0, nil })
		require.Equal(t, errStopped, err)
		close(release)
	}
	stop()
	n, err = untilSoon(ctx, time.Minute, func() (int, error) { time.Sleep(10 * time.Millisecond); return 8, nil })
	require.NoError(t, err, "what is ready soon is taken")
	require.Equal(t, 8, n)
}

// An interrupt that comes while the folder is filled leaves nothing of it; one that
// comes when it has its place is too late.
func TestAnInterruptLeavesNothingHalfWritten(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "out")
	old := sealedFolder(t, someFile("coupon.csv", "old"))
	require.NoError(t, writes(dir, false, old))
	before := tree(t, parent)
	fresh := sealedFolder(t, someFile("coupon.csv", "new"), someFile("coupon-2.csv", "new"))
	interrupted := func(after int) error {
		ctx, stop := context.WithCancel(context.Background())
		m := &counting{disk: system{}, call: func(n int) {
			if n == after {
				stop()
			}
		}}
		return on(m, func() error {
			return quiet().deliver(ctx, func(d *delivery) error {
				_, err := d.folder(outputFolder{flag: "out", dir: dir}, fresh)
				return err
			}, func() error { return nil })
		})
	}
	stopped := 0
	for n := 1; n < 40; n++ {
		err := interrupted(n)
		if err != nil {
			stopped++
			require.Equal(t, errStopped, err)
			require.Equal(t, before, tree(t, parent), "interrupted at call %d", n)
			continue
		}
		now := tree(t, parent)
		require.Equal(t, "new", now["out/coupon.csv"])
		require.NoError(t, writes(dir, false, old))
	}
	assert.Greater(t, stopped, 3)
	assert.Less(t, stopped, 30)
}

// counting tells of every call that makes or renames.
type counting struct {
	disk
	n    int
	call func(int)
}

func (c *counting) count() { c.n++; c.call(c.n) }

func (c *counting) Create(name string) (*os.File, error) { c.count(); return c.disk.Create(name) }
func (c *counting) Exchange(a, b string) error           { c.count(); return c.disk.Exchange(a, b) }
func (c *counting) Remove(name string) error             { c.count(); return c.disk.Remove(name) }

// stuckFolder opens nothing before it is let go.
type stuckFolder struct{ opened, release chan struct{} }

func (f stuckFolder) Open(string) (fs.File, error) {
	close(f.opened)
	<-f.release
	return nil, fs.ErrNotExist
}

// A drawing that takes long to read keeps nobody waiting who has had enough.
func TestAnInterruptEndsTheReadingOfDrawings(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	c := cli.NewContext(cli.NewApp(), flag.NewFlagSet("check", flag.ContinueOnError), &cli.Context{Context: ctx})
	folder := stuckFolder{make(chan struct{}), make(chan struct{})}
	defer close(folder.release)
	go func() {
		<-folder.opened
		cancel()
	}()
	s := newSession(nil, io.Discard, io.Discard)
	j := &job.Job{Trays: []job.Tray{{Pockets: []job.Pocket{{OutlineFile: "long.dxf"}}}}}
	_, err := s.hang(c, "job.yaml", folder, j)
	assert.ErrorIs(t, err, errStopped)
}
