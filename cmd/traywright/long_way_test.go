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

// A way beyond 100 m is told in metres; it was "not known".
func TestALongWayIsTold(t *testing.T) {
	file := filepath.Join(t.TempDir(), "long.ngc")
	text := "G21 G90 G17 G94\nS18000 M3\nG4 P3\nG0 Z5\nG0 X10 Y10\nG1 Z-2 F300\n" + strings.Repeat("G1 X310 F1500\nG1 X10\n", 200) + "G0 Z5\nM5\nM2\n"
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	var out, talk bytes.Buffer
	run(context.Background(), []string{"traywright", "dryrun", file, "--machine", "bench-router", "--foam", "pe-30", "--kerf", "3.175"}, nil, &out, &talk)
	assert.Contains(t, out.String(), "cut 120.01 m, rapid ")
}
