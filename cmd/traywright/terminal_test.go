package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestNamesDoNotSteerTheTerminal gives files names that a terminal would obey: colours, a
// bell, the one-byte form of an escape, and letters that turn the line around.
func TestNamesDoNotSteerTheTerminal(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("such names cannot be there")
	}
	dir := t.TempDir()
	for _, hostile := range []string{"\x1b[31mred", "bell\a", "csi\u009b31m", "turned\u202Egnp"} {
		program := filepath.Join(dir, hostile+".ngc")
		require.NoError(t, os.WriteFile(program, []byte("G21 G90\nM2\n"), 0o600))
		for _, args := range [][]string{
			{"dryrun", program}, {"dryrun", program + "no"}, {"check", program}, {"cut", program, "--out", filepath.Join(dir, hostile)},
			{hostile}, {"check", "--" + hostile}, {"dryrun", program, "--json"},
		} {
			var out, talk bytes.Buffer
			run(context.Background(), append([]string{"traywright"}, args...), nil, &out, &talk)
			require.NotEmpty(t, out.String()+talk.String())
			for _, r := range out.String() + talk.String() {
				assert.False(t, r != '\n' && r != '\t' && unicode.In(r, unicode.Cc, unicode.Bidi_Control), "%q prints %q", args, r)
			}
		}
	}
}

// Nor does a name begin a line that looks like another finding.
func TestNamesBeginNoFindingOfTheirOwn(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "a\nnote:\tall is well")
	for _, args := range [][]string{{"dryrun", name}, {"check", name}, {"kerf", name}, {"measure", name, "--out", dir}, {"check", name, "--profiles", name}} {
		var out, talk bytes.Buffer
		run(context.Background(), append([]string{"traywright"}, args...), nil, &out, &talk)
		assert.Contains(t, talk.String(), `a\u000anote:\u0009all is well`, "%q", args)
		assert.NotContains(t, talk.String(), "\nnote:", "%q", args)
	}
}
