package main

import (
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

// Every key that `keys` prints is one that its reader takes: a list of lists, which is the
// value of no key, is told in its line, and not as a key that nobody knows. What `keys` does
// not print no reader takes, for they have their known keys from the same rows; a key that
// nobody knows is told for each group.
func TestReadersTakeWhatKeysPrints(t *testing.T) {
	dir := t.TempDir()
	told := func(t *testing.T, kind, place [2]string, key, value string) string {
		text := place[0] + "\n" + key + ": " + value + "\n" + place[1] + "\n"
		file := filepath.Join(dir, kind[0])
		require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		_, _, talk := typed(strings.Fields(strings.ReplaceAll(kind[1], "FILE", file))...)
		return strings.Join(regexp.MustCompile(`(?m)^.*`+regexp.QuoteMeta(filepath.Base(kind[0]))+`:2:.*$`).FindAllString(talk, -1), "\n")
	}
	require.NoError(t, os.Mkdir(filepath.Join(dir, "own"), 0o755))
	kinds := map[string][2]string{
		"job":        {"job.yaml", "check FILE"},
		"profiles":   {"own/own.yaml", "profiles --profiles " + dir + "/own"},
		"shop-rules": {"rules.yaml", "check ../../testdata/tidewrack/job.yaml --shop-rules FILE"},
	}
	for _, d := range documents {
		kind, is := kinds[d.name]
		if !is {
			continue
		}
		for _, g := range d.keys().Reach() {
			place, known := placeOf[g.Name]
			require.True(t, known, "%s: say where it stands", g.Name)
			if g.Any == nil {
				assert.Contains(t, told(t, kind, place, "zzzqqq", "1"), `has no key "zzzqqq"`, g.Name)
			}
			for _, r := range g.Rows {
				line := told(t, kind, place, r.Key, "[[1]]")
				assert.NotEmpty(t, line, "%s.%s: nobody reads it", g.Name, r.Key)
				assert.NotContains(t, line, "has no key", "%s.%s", g.Name, r.Key)
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
