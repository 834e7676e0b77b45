package main

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// No command and no flag is missing in what shells complete, nor in the manual.
func TestManualsAreWhole(t *testing.T) {
	app := newApp(newSession(nil, nil, nil))
	app.Setup()
	manual, err := app.ToManWithSection(1)
	require.NoError(t, err)
	for _, shell := range []string{"bash", "zsh", "fish"} {
		script, err := completionFor(app, shell)
		require.NoError(t, err)
		flags := 0
		for _, c := range described(app.VisibleCommands(), "") {
			assert.True(t, strings.Contains(script, c.Name), "%s: %s", shell, c.Name)
			for _, sub := range c.Subs {
				assert.Contains(t, script, sub.Path, shell)
				for _, f := range sub.Flags {
					assert.Contains(t, script, f.Long(), "%s: %s", shell, sub.Path)
				}
			}
			assert.True(t, strings.Contains(manual, "\n.SH "+c.Name), c.Name)
			for _, f := range c.Flags {
				flags++
				assert.True(t, strings.Contains(script, strings.TrimPrefix(f.Name, "--")), "%s: %s %s", shell, c.Name, f.Name)
				assert.True(t, strings.Contains(manual, `\fB`+f.Name+`\fP`), f.Name)
			}
		}
		assert.Greater(t, flags, 50)
	}
}

// `man safety` and `man readme` are the documents as they stand; after a change of one, go test
// ./cmd/traywright -run ReadmePages -update-readme copies it.
func TestReadmePagesAreInTheProgram(t *testing.T) {
	for page, file := range map[string]string{"safety": "SAFETY.md", "readme": "README.md"} {
		text, err := os.ReadFile("../../" + file)
		require.NoError(t, err)
		if *updateReadme {
			require.NoError(t, os.WriteFile("docs/"+file, text, 0o644))
			continue
		}
		code, out, talk := typed("man", page)
		assert.Equal(t, exitDone, code, talk)
		assert.True(t, out == string(text), "%s: go test ./cmd/traywright -run ReadmePages -update-readme", file)
	}
}
