package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The first job of the README is one that the program accepts, with the
// demonstration's roster and rules.
func TestReadmeJob(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(text), "```yaml\n")
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
