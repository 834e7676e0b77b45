package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
)

// placeOf is where the keys of a group stand in a file: before them, and behind. The key is
// alone on the second line.
var placeOf = map[string][2]string{
	"job":          {"", ""},
	"case":         {"case: {", "}"},
	"tray":         {"trays: [{", "}]"},
	"layer":        {"tray_defaults: {layers: [{", "}]}"},
	"pocket":       {"trays: [{pockets: [{", "}]}]"},
	"label":        {"trays: [{labels: [{", "}]}]"},
	"emblem":       {"trays: [{emblems: [{", "}]}]"},
	"cases":        {"cases: [{", "}]"},
	"held":         {"trays: [{holds: [{", "}]}]"},
	"stock":        {"stock: {", "}"},
	"sheet":        {"stock: {sheets: [{", "}]}"},
	"profiles":     {"", ""},
	"sourced":      {"foams: [{density_kg_m3: {", "}}]"},
	"foam":         {"foams: [{", "}]"},
	"fits":         {"foams: [{fits: {", "}}]"},
	"machine":      {"machines: [{", "}]"},
	"controller":   {"machines: [{controller: {", "}}]"},
	"tool":         {"machines: [{tools: [{", "}]}]"},
	"clamp":        {"machines: [{clamps: [{", "}]}]"},
	"dxf_colours":  {"machines: [{dxf_colours: {", "}}]"},
	"recipes":      {"recipes: [{", "}]"},
	"recipe-foams": {"recipes: [{foams: {", "}}]"},
	"common":       {"recipes: [{common: {", "}}]"},
	"recipe":       {"recipes: [{foams: {x: {", "}}}]"},
	"tested":       {"recipes: [{foams: {x: {tested: [{", "}]}}}]"},
	"measured-in":  {"recipes: [{foams: {x: {measured_in: [{", "}]}}}]"},
	"kerf-reading": {"recipes: [{foams: {x: {measured_in: [{rests_on: [{", "}]}]}}}]"},
	"safety":       {"safety: [{", "}]"},
	"heat":         {"safety: [{heat: {", "}}]"},
	"verdict":      {"safety: [{laser: {", "}}]"},
	"spoken":       {"spoken: [{", "}]"},
	"scale":        {"scales: [{", "}]"},
	"reading":      {"scales: [{rests_on: [{", "}]}]"},
	"shop-rules":   {"", ""},
	"permit":       {"permits: [{", "}]"},
	"forbid":       {"forbids: [{", "}]"},
	"limits":       {"limits: {", "}"},
	"require":      {"requires: [{", "}]"},
	"vouch":        {"vouches: [{", "}]"},
}

// kindsOfFile is for each kind of file its name in a folder, and how it is read.
func kindsOfFile(dir string) map[string][2]string {
	return map[string][2]string{
		"job":        {"job.yaml", "check FILE"},
		"profiles":   {"own/own.yaml", "profiles --profiles " + dir + "/own"},
		"shop-rules": {"rules.yaml", "check ../../testdata/tidewrack/job.yaml --shop-rules FILE"},
	}
}

// toldOf is what is told of each of the keys of a group, each on a line of its own from the second on.
func toldOf(t *testing.T, dir string, kind, place [2]string, keys []string) []string {
	t.Helper()
	separator := ",\n"
	if place[1] == "" {
		separator = "\n"
	}
	file := filepath.Join(dir, kind[0])
	require.NoError(t, os.WriteFile(file, []byte(place[0]+"\n"+strings.Join(keys, separator)+"\n"+place[1]+"\n"), 0o644))
	_, _, talk := typed(strings.Fields(strings.ReplaceAll(kind[1], "FILE", file))...)
	told := make([]string, len(keys))
	for i := range keys {
		line := regexp.MustCompile(fmt.Sprintf(`(?m)^.*%s:%d:.*$`, regexp.QuoteMeta(filepath.Base(kind[0])), i+2))
		told[i] = strings.Join(line.FindAllString(talk, -1), "\n")
	}
	return told
}

// Every key that `keys` prints is one that its reader takes: a list of lists, which is the
// value of no key, is told in its line, and not as a key that nobody knows. What `keys` does
// not print no reader takes, for they have their known keys from the same rows; a key that
// nobody knows is told for each group.
func TestReadersTakeWhatKeysPrints(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "own"), 0o755))
	kinds := kindsOfFile(dir)
	for _, d := range documents {
		kind, is := kinds[d.name]
		if !is {
			continue
		}
		for _, g := range d.keys().Reach() {
			place, known := placeOf[g.Name]
			require.True(t, known, "%s: say where it stands", g.Name)
			lines := []string{}
			if g.Any == nil {
				lines = append(lines, "zzzqqq: 1")
			}
			for _, key := range g.Names() {
				lines = append(lines, key+": [[1]]")
			}
			for i, said := range toldOf(t, dir, kind, place, lines) {
				if said == "" { // what can be read is judged only where all can be read
					said = toldOf(t, dir, kind, place, lines[i:i+1])[0]
				}
				if lines[i] == "zzzqqq: 1" {
					assert.Contains(t, said, `has no key "zzzqqq"`, g.Name)
					continue
				}
				assert.NotEmpty(t, said, "%s, %s: nobody reads it", g.Name, lines[i])
				assert.NotContains(t, said, "has no key", "%s, %s", g.Name, lines[i])
			}
		}
	}
}

// The columns of a roster that `keys` prints are those that it may have, and each is read: a
// cell of more text than any may have is told at its place.
func TestARosterTakesWhatKeysPrints(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "job.yaml"), []byte("roster: roster.csv\n"), 0o644))
	told := func(column string) string {
		columns := append([]string{column}, slices.DeleteFunc([]string{"id", "count", "length", "width", "height"}, func(c string) bool { return c == column })...)
		text := strings.Join(columns, ",") + "\n" + strings.Repeat("x", 300) + strings.Repeat(",1", len(columns)-1) + "\n"
		require.NoError(t, os.WriteFile(filepath.Join(dir, "roster.csv"), []byte(text), 0o644))
		_, _, talk := typed("check", filepath.Join(dir, "job.yaml"))
		return talk
	}
	for _, column := range job.RosterKeys().Names() {
		assert.Regexp(t, "roster.csv:2:1: "+column, told(column))
	}
	assert.Contains(t, told("zzzqqq"), `no column "zzzqqq"`)
}

// A name that is near none is answered with all there are, each once.
func TestKnownNamesAreListedOnce(t *testing.T) {
	_, err := groupsNamed("qqqqqqqqqqqq")
	require.Error(t, err)
	_, list, found := strings.Cut(err.Error(), "known are ")
	require.True(t, found, err.Error())
	names := strings.Split(strings.TrimSpace(list), ", ")
	assert.Contains(t, names, "pocket")
	slices.Sort(names)
	assert.Equal(t, slices.Compact(slices.Clone(names)), names)
}
