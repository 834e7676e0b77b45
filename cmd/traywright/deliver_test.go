package main

import (
	"context"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
)

// errDead is what every call answers once the program is dead.
var errDead = errors.New("the program was killed")

// mortal is a disk on which the program dies before its call number `last`+1: no
// later call does anything any more, as if it had been killed. Without
// exchanges it is a file system that has none.
type mortal struct {
	disk
	last, calls int
	exchanges   bool
	fails       error // instead of death: the one call answers this, and life goes on
}

func (m *mortal) lives() error {
	m.calls++
	switch {
	case m.fails != nil && m.calls == m.last+1:
		return m.fails
	case m.fails == nil && m.calls > m.last:
		return errDead
	}
	return nil
}

func (m *mortal) Mkdir(name string, mode fs.FileMode) error {
	return unlessDead(m.lives(), func() error { return m.disk.Mkdir(name, mode) })
}

func (m *mortal) Create(name string) (*os.File, error) {
	if err := m.lives(); err != nil {
		return nil, err
	}
	return m.disk.Create(name)
}

func (m *mortal) Chmod(name string, mode fs.FileMode) error {
	return unlessDead(m.lives(), func() error { return m.disk.Chmod(name, mode) })
}

func (m *mortal) Link(from, to string) error {
	if !m.exchanges { // such file systems have no second names either
		return errors.ErrUnsupported
	}
	return unlessDead(m.lives(), func() error { return m.disk.Link(from, to) })
}

func (m *mortal) Symlink(to, name string) error {
	return unlessDead(m.lives(), func() error { return m.disk.Symlink(to, name) })
}

func (m *mortal) Rename(from, to string) error {
	return unlessDead(m.lives(), func() error { return m.disk.Rename(from, to) })
}

func (m *mortal) Exchange(a, b string) error {
	if !m.exchanges {
		return errors.ErrUnsupported
	}
	return unlessDead(m.lives(), func() error { return m.disk.Exchange(a, b) })
}

func (m *mortal) Remove(name string) error {
	return unlessDead(m.lives(), func() error { return m.disk.Remove(name) })
}

func unlessDead(err error, then func() error) error {
	if err != nil {
		return err
	}
	return then()
}

// on runs something on another disk.
func on(d disk, f func() error) error {
	before := onDisk
	onDisk = d
	defer func() { onDisk = before }()
	return f()
}

// sealedFolder is a folder's files with their report.
func sealedFolder(t *testing.T, files ...cam.File) []cam.File {
	report := cam.Report{SchemaVersion: cam.SchemaVersion}
	for _, f := range files {
		report.Files = append(report.Files, cam.FileReport{Path: f.Path, SHA256: cam.Sum(f.Data)})
	}
	text, err := report.JSON()
	require.NoError(t, err)
	return append([]cam.File{{Path: cam.ReportName, Data: text}}, files...)
}

// someFile is a table or a drawing as a run signs it; any other file is as given.
func someFile(path, text string) cam.File {
	data := []byte(text)
	switch filepath.Ext(path) {
	case ".csv":
		data = fmt.Appendf(data, "# seal: %s\n", cam.Sum(data))
	case ".svg":
		data = fmt.Appendf(data, "<!-- seal: %s -->\n", cam.Sum(data))
	}
	return cam.File{Path: path, Data: data}
}

var seals = regexp.MustCompile(`(# |<!-- )seal: [0-9a-f]{64}( -->)?\n`)

// tree is every name below a folder with what is in it, but for seals; of a hidden one its name alone.
func tree(t *testing.T, dir string) map[string]string {
	all := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil || path == dir {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		name = filepath.ToSlash(name)
		if strings.HasPrefix(e.Name(), ".") {
			all[name] = "hidden"
			if e.IsDir() {
				return fs.SkipDir
			}
			return nil
		}
		if e.IsDir() {
			all[name] = "a folder"
			return nil
		}
		if e.Type()&fs.ModeSymlink != 0 {
			all[name], err = os.Readlink(path)
			return err
		}
		text, err := os.ReadFile(path)
		all[name] = seals.ReplaceAllString(string(text), "")
		return err
	}))
	return all
}

func quiet() *session { return newSession(strings.NewReader(""), io.Discard, io.Discard) }

// writes delivers files into a folder.
func writes(dir string, keep bool, files []cam.File) error {
	return quiet().deliver(context.Background(), func(d *delivery) error {
		_, err := d.folder(outputFolder{flag: "out", dir: dir, keep: keep}, files)
		return err
	}, func() error { return nil })
}

func saves(list ...namedFile) error {
	return quiet().deliver(context.Background(), func(d *delivery) error { return d.files(list) }, func() error { return nil })
}

// endings runs something once for every call at which it can be stopped, until it
// is no longer, and says how many there were.
func endings(t *testing.T, exchanges bool, one func(t *testing.T, m *mortal) error) int {
	for n := 0; ; n++ {
		m := &mortal{disk: system{}, last: n, exchanges: exchanges}
		err := one(t, m)
		if t.Failed() {
			t.Fatalf("stopped at call %d", n+1)
		}
		if m.calls <= n {
			require.NoError(t, err)
			return n
		}
	}
}

// Wherever the program is killed, the folder is there whole, old or new; where the
// system cannot exchange two names, there is one moment in which it is away, and the
// next run mends it. That leaves nothing behind.
func TestAKilledRunLeavesTheOldFolderOrTheNew(t *testing.T) {
	old := sealedFolder(t, someFile("coupon.csv", "old"), someFile("gone/gone-block.svg", "old"))
	fresh := sealedFolder(t, someFile("coupon.csv", "new"), someFile("come/come-block.svg", "new"))
	for _, exchanges := range []bool{true, false} {
		t.Run(fmt.Sprint("exchanges ", exchanges), func(t *testing.T) {
			away := 0
			n := endings(t, exchanges, func(t *testing.T, m *mortal) error {
				parent := t.TempDir()
				dir := filepath.Join(parent, "out")
				require.NoError(t, writes(dir, false, old))
				require.NoError(t, os.WriteFile(filepath.Join(dir, "note.txt"), []byte("mine"), 0o644))
				require.NoError(t, os.WriteFile(filepath.Join(dir, "coupon.csv"), []byte("edited"), 0o644))
				before := tree(t, dir)
				err := on(m, func() error { return writes(dir, true, fresh) })

				if _, gone := os.Lstat(dir); gone != nil {
					away++
				} else {
					now := tree(t, dir)
					assert.Equal(t, "mine", now["note.txt"])
					if now["coupon.csv"] == "new" {
						assert.Equal(t, "edited", now["coupon.mine.csv"])
						assert.Equal(t, "new", now["come/come-block.svg"])
						assert.NotContains(t, now, "gone/gone-block.svg")
					} else {
						assert.Equal(t, before, now)
					}
				}
				require.NoError(t, writes(dir, true, fresh))
				now := tree(t, parent)
				assert.Equal(t, "edited", now["out/coupon.mine.csv"])
				assert.Equal(t, "mine", now["out/note.txt"])
				assert.Equal(t, "new", now["out/coupon.csv"])
				assert.Equal(t, []string{"out"}, names(t, parent))
				return err
			})
			assert.Greater(t, n, 20)
			assert.Equal(t, map[bool]int{true: 0, false: 1}[exchanges], away)
		})
	}
}

// A file is what it was or what it is to be, at whichever call the program is killed.
func TestAKilledRunLeavesTheOldFileOrTheNew(t *testing.T) {
	for _, links := range []bool{true, false} {
		n := endings(t, links, func(t *testing.T, m *mortal) error {
			dir := t.TempDir()
			in := func(name string) string { return filepath.Join(dir, name) }
			require.NoError(t, saves(namedFile{in("arrangement.yaml"), []byte("old")}, namedFile{in("arrangement.png"), []byte("old")}))
			write := func() error {
				return saves(namedFile{in("arrangement.png"), []byte("new")}, namedFile{in("arrangement.yaml"), []byte("new")}, namedFile{in("third"), []byte("new")})
			}
			err := on(m, write)
			now := tree(t, dir)
			for _, name := range []string{"arrangement.yaml", "arrangement.png"} {
				assert.Contains(t, []string{"old", "new"}, now[name], name)
			}
			require.NoError(t, write())
			assert.Equal(t, map[string]string{"arrangement.yaml": "new", "arrangement.png": "new", "third": "new"}, tree(t, dir))
			return err
		})
		assert.Greater(t, n, 10)
	}
}

// When one of several cannot take its place, those that did give theirs back: at
// whichever call the disk fails, all is as it was, or all is new.
func TestAFailingCallLeavesAllOrNothing(t *testing.T) {
	full := &fs.PathError{Op: "write", Path: "x", Err: errors.New("no space left on device")}
	old := sealedFolder(t, someFile("coupon.csv", "old"))
	fresh := sealedFolder(t, someFile("coupon.csv", "new"), someFile("b/b-block.svg", "new"))
	for _, exchanges := range []bool{true, false} {
		for n, refused := 0, 0; ; n++ {
			parent := t.TempDir()
			in := func(name string) string { return filepath.Join(parent, name) }
			require.NoError(t, writes(in("out"), false, old))
			require.NoError(t, saves(namedFile{in("p.yaml"), []byte("old")}, namedFile{in("q.yaml"), []byte("old")}))
			before := tree(t, parent)
			m := &mortal{disk: system{}, last: n, exchanges: exchanges, fails: full}
			err := on(m, func() error {
				return quiet().deliver(context.Background(), func(d *delivery) error {
					if err := d.files([]namedFile{{in("p.yaml"), []byte("new")}, {in("r.yaml"), []byte("new")}}); err != nil {
						return err
					}
					if _, err := d.folder(outputFolder{flag: "out", dir: in("out")}, fresh); err != nil {
						return err
					}
					if _, err := d.folder(outputFolder{flag: "out", dir: in("far/new")}, fresh); err != nil {
						return err
					}
					return d.file(in("q.yaml"), []byte("new"))
				}, func() error { return nil })
			})
			if m.calls <= n {
				require.NoError(t, err)
				assert.Greater(t, refused, 20)
				break
			}
			now := tree(t, parent)
			for name := range now {
				if now[name] == "hidden" { // it is swept by the next run
					delete(now, name)
				}
			}
			if err != nil {
				refused++
				delete(now, "far") // an empty folder at worst
				assert.Equal(t, before, now, "call %d failed", n+1)
			} else {
				assert.Equal(t, "new", now["out/b/b-block.svg"]+now["q.yaml"][3:], "call %d failed unnoticed", n+1)
			}
			if t.Failed() {
				return
			}
		}
	}
}

// What cannot be shown has not been done.
func TestARunThatCannotPrintTakesAllBack(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "out")
	require.NoError(t, writes(dir, false, sealedFolder(t, someFile("coupon.csv", "old"))))
	before := tree(t, parent)
	err := quiet().deliver(context.Background(), func(d *delivery) error {
		_, err := d.folder(outputFolder{flag: "out", dir: dir}, sealedFolder(t, someFile("coupon.csv", "new")))
		return err
	}, func() error { return errors.New("no space left on device") })
	require.Error(t, err)
	assert.Equal(t, before, tree(t, parent))
}

// A staging that a living run holds is not taken for a leftover, nor is a folder of
// that name without our mark.
func TestSweepTakesWhatIsSurelyOurs(t *testing.T) {
	dir := t.TempDir()
	alive, err := newStaging(dir, "out")
	require.NoError(t, err)
	defer alive.end()
	dead, err := newStaging(dir, "out")
	require.NoError(t, err)
	require.NoError(t, os.MkdirAll(dead.path("new/deep"), 0o755))
	require.NoError(t, os.Chmod(dead.path("new/deep"), 0o500))
	dead.mark.Close()
	require.NoError(t, os.MkdirAll(filepath.Join(dir, ".traywright-notes"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".traywright-notes", markName), []byte("what I think of it"), 0o644))
	require.NoError(t, os.MkdirAll(filepath.Join(dir, ".traywright-photos", "summer"), 0o755))
	require.NoError(t, os.WriteFile(filepath.Join(dir, ".traywright-file"), nil, 0o644))
	sweep(dir)
	assert.ElementsMatch(t, []string{filepath.Base(alive.dir), ".traywright-notes", ".traywright-photos", ".traywright-file"}, names(t, dir))
}

// Between the two renames of a killed run somebody may have made another folder of
// that name: then both stay, for a person to decide.
func TestSweepDecidesNothingForAPerson(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "out")
	s, err := newStaging(parent, "out")
	require.NoError(t, err)
	for _, name := range []string{s.path(oldName), s.path(newName), dir} {
		require.NoError(t, os.Mkdir(name, 0o755))
	}
	s.mark.Close()
	sweep(parent)
	assert.DirExists(t, s.path(oldName))
	assert.DirExists(t, dir)
}

// Nothing but disk.go changes what lies on a disk, else the tests above would not
// reach it.
func TestOnlyDiskTouchesTheDisk(t *testing.T) {
	changing := map[string]bool{}
	for _, name := range strings.Fields("Chmod Chown Chtimes CopyFS Create CreateTemp Lchown Link Mkdir MkdirAll MkdirTemp OpenFile Remove RemoveAll Rename Symlink Truncate WriteFile") {
		changing["os."+name] = true
	}
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	seen := 0
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		ast.Inspect(parsed, func(n ast.Node) bool {
			selector, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			if pkg, ok := selector.X.(*ast.Ident); ok && changing[pkg.Name+"."+selector.Sel.Name] {
				seen++
				reads := name == "plain.go" && selector.Sel.Name == "OpenFile"
				assert.True(t, name == "disk.go" || reads, "%s calls os.%s", name, selector.Sel.Name)
			}
			return true
		})
	}
	assert.Greater(t, seen, 5)
}

// What cannot be put back is named, and left where a person can find it.
func TestWhatCannotBePutBackStays(t *testing.T) {
	parent := t.TempDir()
	name := filepath.Join(parent, "arrangement.yaml")
	require.NoError(t, saves(namedFile{name, []byte("old")}))
	err := quiet().deliver(context.Background(), func(d *delivery) error { return d.file(name, []byte("new")) }, func() error {
		onDisk = &mortal{disk: system{}}
		return errors.New("no space left on device")
	})
	onDisk = system{}
	require.ErrorContains(t, err, "no space left on device; what was there before could not be put back: "+parent)
	kept, _, _ := strings.Cut(strings.TrimPrefix(said(err), "no space left on device; what was there before could not be put back: "), " (")
	require.NoError(t, os.Remove(filepath.Join(filepath.Dir(kept), markName))) // the dead disk could not
	require.NoError(t, saves(namedFile{name, []byte("newer")}))
	text, err := os.ReadFile(kept)
	require.NoError(t, err)
	assert.Equal(t, "old", string(text))
}
