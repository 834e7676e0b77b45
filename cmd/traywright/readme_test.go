package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/urfave/cli/v2"
)

func readme(t *testing.T) string {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	return string(text)
}

// The first job of the README is one that the program accepts, with the
// demonstration's roster and rules.
func TestReadmeJob(t *testing.T) {
	_, rest, found := strings.Cut(readme(t), "```yaml\n")
	require.True(t, found)
	job, _, _ := strings.Cut(rest, "```")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(job), 0o644))
	for _, name := range []string{"roster.csv", "shop-rules.yaml"} {
		data, err := os.ReadFile("../../testdata/tidewrack/" + name)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o644))
	}
	var out, talk bytes.Buffer
	code := run(context.Background(), []string{"traywright", "check", filepath.Join(dir, "job.yaml"), "--quiet"}, nil, &out, &talk)
	assert.Equal(t, exitDone, code, talk.String())
}

// shown are the lines of README that show a file, a command, what it prints, or a row of
// a table, and its headings.
var shown = regexp.MustCompile("(?ms)^```.*?^```|(?-s)^(    |\\||<!--|#).*$")

// words is text with one blank wherever there is room between two words.
func words(text string) string { return strings.Join(strings.Fields(text), " ") }

// What the scripts readme_* quote stands in README word for word, the tests that they
// name are there, and they leave no sentence out.
func TestReadmePromises(t *testing.T) {
	files, err := filepath.Glob("testdata/script/readme_*.txtar")
	require.NoError(t, err)
	var script []byte
	for _, file := range files {
		one, err := os.ReadFile(file)
		require.NoError(t, err)
		script = append(script, one...)
	}
	text, known := words(readme(t)), testNames(t)
	var quotes []string
	for _, block := range regexp.MustCompile(`(?m)(^#> .*\n)+`).FindAllString(string(script), -1) {
		quote := words(strings.ReplaceAll("\n"+block, "\n#> ", "\n"))
		assert.True(t, strings.Contains(text, quote), "README does not say: %s", quote)
		quotes = append(quotes, quote)
	}
	for _, line := range regexp.MustCompile(`(?m)^#= (.*)$`).FindAllStringSubmatch(string(script), -1) {
		for _, name := range strings.Fields(line[1]) {
			assert.True(t, known[name], "no test, script or check is called %s", name)
		}
	}
	slices.SortStableFunc(quotes, func(a, b string) int { return len(b) - len(a) }) // none before one that it stands in
	left := words(shown.ReplaceAllString(readme(t), ""))
	for _, quote := range quotes {
		left = strings.ReplaceAll(left, quote, "")
	}
	assert.Empty(t, strings.TrimSpace(left), "README: nothing holds this")
}

// testNames are the project's tests, its scripts, and the outside checks of the gate.
func testNames(t *testing.T) map[string]bool {
	names := map[string]bool{}
	root := os.DirFS("../..")
	require.NoError(t, fs.WalkDir(root, ".", func(path string, _ fs.DirEntry, err error) error {
		if script, ok := strings.CutSuffix(path, ".txtar"); ok {
			names[filepath.Base(script)] = true
		}
		if strings.HasPrefix(path, ".ci/outside/") {
			names[filepath.Base(path)] = true
		}
		if err != nil || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := fs.ReadFile(root, path)
		for _, m := range regexp.MustCompile(`(?m)^func (Test\w+)\(`).FindAllSubmatch(text, -1) {
			names[string(m[1])] = true
		}
		return err
	}))
	return names
}

// Every flag that README's table gives a command is one of it; every command takes what
// README says that every one takes; and the examples of the help pages are such as the
// program takes: known flags, and no argument too many, such as half a length that
// nobody put in quotes.
func TestReadmeFlags(t *testing.T) {
	app := newApp(&session{})
	takes := func(c *cli.Command, name string) bool {
		return slices.ContainsFunc(c.Flags, func(f cli.Flag) bool { return slices.Contains(f.Names(), name) })
	}
	commands, names := allCommands(app)
	for i, c := range commands {
		for _, name := range []string{"quiet", "no-color"} {
			assert.True(t, takes(c, name), "%s --%s", names[i], name)
		}
		assert.Equal(t, !slices.Contains([]string{"start", "completion", "man"}, names[i]), takes(c, "json"), names[i])
		for _, name := range []string{"machine", "profiles", "shop-rules", "units"} {
			assert.True(t, takes(c, name) || !slices.Contains([]string{"check", "arrange", "cut", "dryrun"}, names[i]), "%s --%s", names[i], name)
		}
		row := regexp.MustCompile("(?m)^\\| `traywright " + names[i] + "[ `].*$").FindString(readme(t))
		require.NotEmpty(t, row, names[i])
		for _, m := range regexp.MustCompile(`--([a-z0-9-]+)`).FindAllStringSubmatch(row, -1) {
			assert.True(t, takes(c, m[1]), "README: %s --%s", names[i], m[1])
		}
		examples := regexp.MustCompile(`(?m)^Example: (.*)$`).FindAllStringSubmatch(c.Description, -1)
		assert.NotEmpty(t, examples, names[i])
		for _, m := range examples {
			for one := range strings.SplitSeq(m[1], " && ") {
				one, _, _ = strings.Cut(one, " > ")
				args := regexp.MustCompile(`"[^"]*"|\S+`).FindAllString(one, -1)
				ordered, err := flagsFirst(app, args)
				require.NoError(t, err, one)
				at := slices.Index(ordered, "--")
				assert.True(t, at < 0 || args[1] == "profiles" || at == len(ordered)-2, "%s: %q", one, ordered)
			}
		}
	}
	assert.Len(t, commands, strings.Count(readme(t), "\n| `traywright "))
}

// allCommands are the commands and those below them, and how each is typed.
func allCommands(app *cli.App) (commands []*cli.Command, names []string) {
	for _, c := range app.Commands {
		commands, names = append(commands, c), append(names, c.Name)
		for _, sub := range c.Subcommands {
			commands, names = append(commands, sub), append(names, c.Name+" "+sub.Name)
		}
	}
	return commands, names
}

// A program of as many lines as README says is read to its end, one of a line more is
// not, nor one of a byte more than 64 MiB.
func TestReadmeLargestProgram(t *testing.T) {
	file := filepath.Join(t.TempDir(), "long.nc")
	for lines, code := range map[int]int{1_000_000: exitDone, 1_000_001: exitRefused} {
		require.NoError(t, os.WriteFile(file, []byte("G21 G90 G17 G94\n"+strings.Repeat("\n", lines-2)+"M2\n"), 0o644))
		got, _, talk := typed("dryrun", file)
		assert.Equal(t, code, got, "%d lines: %s", lines, talk)
	}
	require.NoError(t, os.Truncate(file, 64<<20+1))
	code, _, talk := typed("dryrun", file)
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, "64 MiB are the most")
}

// Of all files of the program only those of `look` know a network, and in them nothing but
// what answers a page on this computer.
func TestOnlyTheLookKnowsTheNet(t *testing.T) {
	var found []string
	require.NoError(t, fs.WalkDir(os.DirFS("../.."), ".", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || strings.HasPrefix(path, ".ci/") || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := fs.ReadFile(os.DirFS("../.."), path)
		if regexp.MustCompile(`"net(/[a-z]+)?"`).Match(text) {
			found = append(found, path)
			assert.NotRegexp(t, `net\.Dial|http\.(Get|Post|Head|Client|DefaultClient|NewRequest)`, string(text), path)
		}
		return err
	}))
	assert.Equal(t, []string{"cmd/traywright/look.go", "cmd/traywright/look_server.go"}, found)
}

// A report names every file of its folder but itself, each with its SHA-256.
func TestTheReportSumsEveryFile(t *testing.T) {
	dir := t.TempDir()
	code, _, talk := typed("start", filepath.Join(dir, "job"))
	require.Equal(t, exitDone, code, talk)
	out := filepath.Join(dir, "out")
	code, _, talk = typed("cut", filepath.Join(dir, "job", "job.yaml"), "--out", out)
	require.Equal(t, exitDone, code, talk)
	var report struct {
		Files []struct{ Path, SHA256 string }
	}
	data, err := os.ReadFile(filepath.Join(out, "report.json"))
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &report))
	said := map[string]string{"report.json": ""}
	for _, f := range report.Files {
		said[f.Path] = f.SHA256
	}
	found := map[string]string{"report.json": ""}
	require.NoError(t, fs.WalkDir(os.DirFS(out), ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || path == "report.json" {
			return err
		}
		data, err := os.ReadFile(filepath.Join(out, path))
		sum := sha256.Sum256(data)
		found[path] = hex.EncodeToString(sum[:])
		return err
	}))
	assert.Equal(t, found, said)
}

// What README shows of a check is what the check prints: line for line, "..." for what it
// leaves out.
func TestReadmeSampleIsWhatIsPrinted(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(text), "    $ traywright check testdata/tidewrack/job.yaml\n")
	require.True(t, found)
	sample, _, _ := strings.Cut(rest, "\n## ")
	code, printed, talk := typed("check", "../../testdata/tidewrack/job.yaml")
	require.Equal(t, exitDone, code, talk)
	var lines []string
	for line := range strings.Lines(printed) {
		lines = append(lines, strings.TrimSpace(line))
	}
	shown := 0
	for line := range strings.Lines(sample) {
		if line = strings.TrimSpace(line); line != "" && line != "..." {
			shown++
			assert.Contains(t, lines, line)
		}
	}
	assert.Greater(t, shown, 8)
}

// README's commands work one after the other, from an empty folder. What is asked at a
// terminal flags say here; a photograph and a coupon that was measured are not at hand.
func TestReadmeCommandsOneAfterTheOther(t *testing.T) {
	said := map[string]string{
		"start my-trays": ` --inside "320 x 220 x 38.1" --foam "pe-30 1 in" --foam "pe-45 1/4 in" --machine bench-router --piece "knight 4 25 x 25 x 22"`,
		"profiles new":   ` --name mine --process router --travel "400 x 300 x 80" --cutter "6 reach 40 flutes 2"`,
	}
	ends := map[string]int{"outline kraken.jpg": exitUsage, "measure table.jpg": exitUsage, "measure --grid": exitUsage, "kerf coupon": exitRefused, "kerf coupons": exitRefused, "measure sheets/": exitRefused}
	text := readme(t)
	t.Chdir(t.TempDir())
	pockets := regexp.MustCompile(`(?m)^    (foam,.*,hole\n)((?:    .*\n)+)`).FindString(text)
	require.NoError(t, os.WriteFile("pockets.csv", []byte(strings.ReplaceAll(pockets, "    ", "")), 0o644))
	for _, m := range regexp.MustCompile(`(?m)^    traywright (.*)$`).FindAllStringSubmatch(text, -1) {
		line, want := m[1], exitDone
		for begins, more := range said {
			if strings.HasPrefix(line, begins) {
				line += more
			}
		}
		for begins, code := range ends {
			if strings.HasPrefix(line, begins) {
				want = code
			}
		}
		line, into, printed := strings.Cut(line, " > ")
		code, out, talk := typed(wordsOf(line)...)
		assert.Equal(t, want, code, "%s\n%s", m[1], talk)
		if printed {
			assert.NoFileExists(t, into, m[1])
			assert.NoError(t, os.WriteFile(into, []byte(out), 0o644))
		}
	}
}

// wordsOf are the words of a command as a shell would part them.
func wordsOf(line string) (list []string) {
	for _, a := range regexp.MustCompile(`"[^"]*"|\S+`).FindAllString(line, -1) {
		list = append(list, strings.Trim(a, `"`))
	}
	return list
}

// README's picture is what its first command makes; go test ./cmd/traywright -run ReadmePicture
// -update-readme makes it again.
func TestReadmePicture(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("drawn on amd64; elsewhere a shade may round the other way")
	}
	const picture = "../../testdata/tidewrack/overview.png"
	require.Contains(t, readme(t), "](testdata/tidewrack/overview.png)")
	out := filepath.Join(t.TempDir(), "out")
	code, _, talk := typed("cut", "../../testdata/tidewrack/job.yaml", "--out", out, "--quiet")
	require.Equal(t, exitDone, code, talk)
	made, err := os.ReadFile(filepath.Join(out, "overview.png"))
	require.NoError(t, err)
	if *updateReadme {
		require.NoError(t, os.WriteFile(picture, made, 0o644))
	}
	shown, err := os.ReadFile(picture)
	require.NoError(t, err)
	assert.True(t, bytes.Equal(made, shown), "the demo's overview is another")
	files := 0
	require.NoError(t, filepath.WalkDir(out, func(_ string, e fs.DirEntry, err error) error {
		if err == nil && !e.IsDir() {
			files++
		}
		return err
	}))
	assert.Contains(t, readme(t), fmt.Sprintf("one of the %d files that the first line below writes", files))
}
