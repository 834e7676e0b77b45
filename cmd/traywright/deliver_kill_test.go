package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/finding"
)

// killed runs the program under strace, which kills it as it enters its n-th call
// that renames, and reports whether it came that far.
func killed(t *testing.T, n int, args ...string) bool {
	program := asProgram(t, "traywright", args...)
	const calls = "rename,renameat,renameat2"
	c := exec.Command("strace", append([]string{"-f", "-qq", "-o", os.DevNull, "-e", "trace=" + calls,
		"-e", "inject=" + calls + ":signal=KILL:when=" + strconv.Itoa(n)}, program.Args...)...)
	talk, err := c.CombinedOutput()
	if err == nil {
		return false
	}
	require.NotContains(t, string(talk), "error:")
	return true
}

// The whole program, killed by the system at every call that renames: what it was
// about to replace is there, old or new, and the next run leaves only the new.
func TestKilledAtEveryRename(t *testing.T) {
	if exec.Command("strace", "-qq", "-o", os.DevNull, "true").Run() != nil {
		t.Skip("strace is not here, or may not trace")
	}
	const job = "machine: bench-router\nroster: roster.csv\ntrays:\n  - id: a\n    size: [100, 80]\n    layers: [{foam: pe-30, thickness: 1 in}]\n"
	const readings = "foam,thickness,machine,axis,size,hole,plug\n" +
		"pe-30,25.4,bench-laser,x,20,20.31,19.62\npe-30,25.4,bench-laser,x,40,40.36,39.63\npe-30,25.4,bench-laser,x,60,60.32,59.60\n"
	for _, c := range []struct {
		name        string
		first, then []string
		proof       string // a file that is there, whole, at every moment
		changed     string // an input of then, after first
	}{
		{"a folder", []string{"cut", "cut.yaml", "--out", "out"}, []string{"cut", "cut.yaml", "--out", "out", "--dxf", "r12"}, "out/report.json", ""},
		{"an arrangement", []string{"arrange", "holds.yaml"}, []string{"arrange", "holds.yaml", "--force", "--seed", "7"}, "arrangement.yaml", "wall: 9\n"},
		{"a measured kerf", []string{"kerf", "k.csv", "--save", "mine"}, []string{"kerf", "k.csv", "--save", "mine", "--force", "--date", "2026-03-01"}, "mine/kerf-bench-laser-beam-pe-30.yaml", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			renames := 0
			for n := 1; ; n++ {
				t.Chdir(t.TempDir())
				for name, text := range map[string]string{
					"cut.yaml":   job + "    pockets: [{for: crab, at: [20, 20], size: [40, 20]}]\n",
					"holds.yaml": job + "    holds: [crab]\n",
					"roster.csv": "id,count,length,width,height\ncrab,2,20,15,12\n",
					"k.csv":      readings,
				} {
					require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
				}
				code, _, talk := typed(c.first...)
				require.Equal(t, exitDone, code, talk)
				if c.changed != "" {
					text, err := os.ReadFile("holds.yaml")
					require.NoError(t, err)
					require.NoError(t, os.WriteFile("holds.yaml", append(text, "    "+c.changed...), 0o644))
				}
				old, err := os.ReadFile(c.proof)
				require.NoError(t, err)
				over := !killed(t, n, c.then...)
				now, err := os.ReadFile(c.proof)
				require.NoError(t, err, "killed at rename %d", n)

				code, _, talk = typed(c.then...)
				require.Equal(t, exitDone, code, talk)
				fresh, err := os.ReadFile(c.proof)
				require.NoError(t, err)
				require.NotEqual(t, string(old), string(fresh), "the test changes nothing")
				assert.Contains(t, []string{string(old), string(fresh)}, string(now), "killed at rename %d", n)
				left, err := filepath.Glob(".traywright-*")
				require.NoError(t, err)
				inside, err := filepath.Glob("*/.traywright-*")
				require.NoError(t, err)
				assert.Empty(t, append(left, inside...))
				if over {
					break
				}
				renames++
			}
			assert.Positive(t, renames)
		})
	}
}

// A report with a good seal may name what it likes: what lies outside its folder is
// never touched, and what in it is no plain file of that sum is a person's.
func TestAForgedSealReachesNothingOutside(t *testing.T) {
	parent := t.TempDir()
	in := func(name string) string { return filepath.Join(parent, name) }
	require.NoError(t, os.MkdirAll(in("out/deep"), 0o755))
	require.NoError(t, os.WriteFile(in("victim"), []byte("theirs"), 0o644))
	require.NoError(t, os.WriteFile(in("out/deep/other"), []byte("theirs, not as the report has it"), 0o644))
	require.NoError(t, os.Symlink(in("victim"), in("out/link")))
	require.NoError(t, os.Symlink(parent, in("out/up")))
	report := cam.Report{SchemaVersion: cam.SchemaVersion}
	for _, path := range []string{"../victim", "/" + in("victim"), "deep/../../victim", "up/victim", "link", "deep/other", "deep", ".", ""} {
		report.Files = append(report.Files, cam.FileReport{Path: path, SHA256: cam.Sum([]byte("theirs"))})
	}
	text, err := report.JSON()
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(in("out/report.json"), text, 0o644))
	before := tree(t, parent)
	fresh := sealedFolder(t, someFile("a.ngc", "new"))
	var found finding.List
	require.ErrorAs(t, writes(in("out"), false, fresh), &found)
	require.Equal(t, "not-ours", found[0].Rule)
	assert.Equal(t, before, tree(t, parent))
	require.NoError(t, writes(in("out"), true, fresh))
	now := tree(t, parent)
	assert.Equal(t, "theirs", now["victim"])
	assert.Equal(t, before["out/deep/other"], now["out/deep/other"])
	assert.Equal(t, in("victim"), now["out/link"])
	assert.Equal(t, "new", now["out/a.ngc"])
}
