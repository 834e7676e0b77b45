package cam_test

import (
	"bufio"
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rooms of the house, the top floor first: a room imports rooms below it only.
// DEVELOPERS.md says what each is for.
var rooms = []string{
	"cmd/traywright", "cam", "cam/page", "cam/proof", "cam/gcode", "cam/process", "cam/stock", "cam/arrange", "cam/kerf",
	"cam/plan", "cam/safety", "cam/job", "cam/edit", "cam/drawing", "profiles", "cam/finding", "geometry",
}

// roomOf is the floor of a package: that of the room it lies in.
func roomOf(path string) (floor int, ok bool) {
	path = strings.TrimPrefix(path, "traywright/")
	if path == "cam" {
		return slices.Index(rooms, path), true
	}
	for {
		if i := slices.Index(rooms, path); i >= 0 && path != "cam" {
			return i, true
		}
		slash := strings.LastIndexByte(path, '/')
		if slash < 0 {
			return 0, false
		}
		path = path[:slash]
	}
}

func TestImportsPointDownTheHouse(t *testing.T) {
	list, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, "traywright/...").Output()
	require.NoError(t, err)
	seen := 0
	for line := range strings.Lines(string(list)) {
		words := strings.Fields(line)
		from, ok := roomOf(words[0])
		if !assert.True(t, ok, "%s is in no room", words[0]) {
			continue
		}
		for _, to := range words[1:] {
			if !strings.HasPrefix(to, "traywright/") {
				assert.False(t, rooms[from] == "geometry" && strings.Contains(strings.Split(to, "/")[0], ".") && words[0] == "traywright/geometry",
					"%s imports %s, and geometry stands on the standard library alone", words[0], to)
				continue
			}
			below, ok := roomOf(to)
			assert.True(t, ok && below >= from, "%s imports %s, which is above it", words[0], to)
			assert.False(t, rooms[from] == "cam/proof" && (rooms[below] == "cam/process" || rooms[below] == "cam/gcode"), "%s imports %s: the proof doubts", words[0], to)
			seen++
		}
	}
	assert.Greater(t, seen, 50)
}

// source calls f with every Go file of the program that is no test.
func source(t *testing.T, f func(path string, text []byte)) {
	files := 0
	for _, top := range []string{"cam", "cmd", "geometry", "profiles"} {
		require.NoError(t, filepath.WalkDir(filepath.Join("..", top), func(path string, d fs.DirEntry, err error) error {
			if err == nil && strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, "_test.go") {
				files++
				f(filepath.ToSlash(strings.TrimPrefix(path, ".."+string(filepath.Separator))), readFile(t, path))
			}
			return err
		}))
	}
	assert.Greater(t, files, 200)
}

// A file tells one story and a function one thing.
func TestFilesAndFunctionsAreShort(t *testing.T) {
	const mostOfFile, mostOfFunction = 400, 50
	source(t, func(path string, text []byte) {
		assert.LessOrEqual(t, bytes.Count(text, []byte("\n")), mostOfFile, path)
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, text, 0)
		require.NoError(t, err)
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				lines := set.Position(f.End()).Line - set.Position(f.Pos()).Line + 1
				assert.LessOrEqual(t, lines, mostOfFunction, "%s: %s", path, f.Name.Name)
			}
		}
	})
}

// What differs between processes stands in cam/process and profiles. Outside of
// them a process is compared where rules about processes are matched, and hardly
// anywhere else.
func TestProcessesAreComparedBehindTheirDoor(t *testing.T) {
	compared := regexp.MustCompile(`Process\b(\(\))? *[!=]= |[!=]= [\w.]*Process\b|[!=]= profiles\.(Router|Laser|Knife|HotWire)\b|switch [^{]*Process\b|case .*profiles\.(Router|Laser|Knife|HotWire)\b`)
	var places []string
	source(t, func(path string, text []byte) {
		if strings.HasPrefix(path, "profiles/") || strings.HasPrefix(path, "cam/process/") {
			return
		}
		for s, n := bufio.NewScanner(bytes.NewReader(text)), 1; s.Scan(); n++ {
			if compared.MatchString(s.Text()) {
				places = append(places, fmt.Sprintf("%s:%d: %s", path, n, strings.TrimSpace(s.Text())))
			}
		}
	})
	assert.LessOrEqual(t, len(places), 8, strings.Join(places, "\n"))
}

// A finding's rule is a name for people and for programs outside: what is done
// next never hangs on it.
func TestNothingHangsOnTheNameOfARule(t *testing.T) {
	asked := regexp.MustCompile(`\.Rule *[!=]= |switch [^{]*\.Rule\b`)
	source(t, func(path string, text []byte) {
		for s, n := bufio.NewScanner(bytes.NewReader(text)), 1; s.Scan(); n++ {
			assert.False(t, asked.MatchString(s.Text()), "%s:%d: %s", path, n, s.Text())
		}
	})
}

func readFile(t *testing.T, path string) []byte {
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return text
}
