package main

import (
	"flag"
	"fmt"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/profiles/strict"
)

var updateReadme = flag.Bool("update-readme", false, "make the tables of keys in README.md again")

// tables are README's tables of keys: `keys pocket` is one of a whole group, `keys tool.helix
// machine.rise_s` of single keys.
var tables = regexp.MustCompile(`(?s)<!-- keys ([^>]*) -->\n.*?<!-- end of keys -->`)

// README's tables of keys are what `keys` prints; go test ./cmd/traywright -run ReadmeKeys
// -update-readme makes them again.
func TestReadmeKeys(t *testing.T) {
	text := readme(t)
	found := tables.FindAllStringSubmatch(text, -1)
	require.GreaterOrEqual(t, len(found), 8)
	made := text
	for _, m := range found {
		made = strings.Replace(made, m[0], "<!-- keys "+m[1]+" -->\n"+keyTable(t, strings.Fields(m[1]))+"<!-- end of keys -->", 1)
	}
	if *updateReadme {
		require.NoError(t, os.WriteFile("../../README.md", []byte(made), 0o644))
		return
	}
	assert.Equal(t, made, text)
}

// keyTable is a table of keys in Markdown.
func keyTable(t *testing.T, names []string) string {
	var b strings.Builder
	if whole, err := groupsNamed(names[0]); err == nil && len(names) == 1 {
		b.WriteString("| key | takes | left out | meaning |\n|---|---|---|---|\n")
		for _, r := range whole[0].Rows {
			fmt.Fprintf(&b, "| `%s` | %s\n", r.Key, rowText(r))
		}
		return b.String()
	}
	b.WriteString("| key | of | takes | left out | meaning |\n|---|---|---|---|---|\n")
	for _, name := range names {
		group, key, _ := strings.Cut(name, ".")
		groups, err := groupsNamed(group)
		require.NoError(t, err, name)
		rows := 0
		for _, r := range groups[0].Rows {
			if r.Key == key {
				rows++
				fmt.Fprintf(&b, "| `%s` | %s | %s\n", key, group, rowText(r))
			}
		}
		require.Equal(t, 1, rows, name)
	}
	return b.String()
}

// rowText is a row's cells behind its name.
func rowText(r strict.Row) string {
	takes := r.Form.Words
	if r.Form.Unit != "" && r.Form.Unit != "job's units" {
		takes += ", " + r.Form.Unit
	}
	return takes + " | " + r.Default + " | " + r.Means + " |"
}

// Wherever README lists what `schema` prints, it lists what the program knows, in the program's order.
func TestReadmeNamesEverySchema(t *testing.T) {
	inTicks := regexp.MustCompile("`([a-z-]+)`")
	for _, list := range []string{"(?s)`traywright schema (job` \\(or .*?)\\) the same as a JSON Schema", "(?m)^\\| `traywright schema NAME` \\| the JSON Schema of (.*) \\|$"} {
		found := regexp.MustCompile(list).FindStringSubmatch(readme(t))
		require.NotNil(t, found, list)
		var names []string
		for _, m := range inTicks.FindAllStringSubmatch(strings.Replace(found[1], "job`", "`job`", 1), -1) {
			names = append(names, m[1])
		}
		assert.Equal(t, documentNames(), names)
	}
}
