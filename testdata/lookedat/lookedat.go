// Package lookedat is for tests: jobs, and what they become held against what somebody has looked at.
// It lies in testdata because it is no room of the house, and nothing of the program.
package lookedat

import (
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/cam/safety"
	"traywright/profiles"
)

// Anew asks to write what was looked at anew:
//
//	go test ./cam/page -run AsLookedAt -looked-at
var Anew = flag.Bool("looked-at", false, "take what is made now for what was looked at")

// Text holds a text against the one that was looked at.
func Text(t *testing.T, name, said string) {
	t.Helper()
	file := File(name)
	if *Anew {
		require.NoError(t, os.WriteFile(file, []byte(said), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), said, name)
}

// File is where a package keeps what was looked at.
func File(name string) string { return filepath.Join("testdata", "looked-at", name) }

// Job is a job of a folder with the shipped profiles and its owner's rules.
func Job(t *testing.T, folder fs.FS, name string) (*job.Job, *profiles.Catalog, []safety.Rules) {
	t.Helper()
	j, found, err := job.Load(folder, name+".yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	c, err := profiles.Shipped()
	require.NoError(t, err)
	if j.ShopRules == "" {
		return j, c, nil
	}
	text, err := fs.ReadFile(folder, j.ShopRules)
	require.NoError(t, err)
	rules, err := safety.ReadRules(j.ShopRules, text)
	require.NoError(t, err)
	return j, c, []safety.Rules{rules}
}
