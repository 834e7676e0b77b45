package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A report whose sums and seal are right takes no stranger's files away: their names are none of ours, or
// what they hold is no picture of ours.
func TestASealedForgeryTakesNothing(t *testing.T) {
	dir := t.TempDir()
	for _, f := range sealedFolder(t, someFile("thesis.txt", "ten years"), someFile("photo.png", "one summer"), someFile("saw.png", "my own saw"), someFile("coupon.ngc", "cut")) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, f.Path), f.Data, 0o600))
	}
	s, err := lookInto(dir)
	require.NoError(t, err)
	var names []string
	for _, p := range s.persons {
		names = append(names, p.path)
	}
	assert.ElementsMatch(t, []string{"thesis.txt", "photo.png", "saw.png"}, names)
}
