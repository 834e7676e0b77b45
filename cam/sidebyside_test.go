package cam_test

import (
	"bytes"
	"context"
	"regexp"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"

	"traywright/cam"
)

// Whoever cuts several jobs at once gets what each gives alone: programs, pages and
// pictures. The gate runs this under the race detector.
func TestSideBySide(t *testing.T) {
	drawn, found := artRequest(t, coverJob(`{at: [20, 20], height: 30, font: harbour.ttf, make: outline}`, `{picture: buoy.png, at: [20, 70], width: 80}`),
		fstest.MapFS{"buoy.png": {Data: lifebuoy(t)}, "harbour.ttf": {Data: gobold.TTF}})
	require.Empty(t, found)
	requests := []cam.Request{drawn, scaledRequest(t, "bench-router", "", ""), scaledRequest(t, "bench-laser", "0.997", "1.004")}
	cut := func(r cam.Request) string {
		result, err := cam.Cut(context.Background(), r, cam.Options{})
		if !assert.NoError(t, err) {
			return ""
		}
		var all strings.Builder
		for _, f := range result.Files {
			all.WriteString(f.Path)
			all.Write(f.Data)
			if strings.HasSuffix(f.Path, ".ngc") {
				tried, _ := cam.Try(cam.Trial{Name: f.Path, Text: f.Data, Rules: r.Rules}, r.Catalog, nil)
				assert.True(t, tried.OK, "%v", tried.Findings)
			}
		}
		return all.String()
	}
	var alone []string
	for _, r := range requests {
		alone = append(alone, cut(r))
	}
	var together sync.WaitGroup
	for range 2 {
		for i, r := range requests {
			together.Go(func() { assert.True(t, alone[i] == cut(r), "job %d is another one beside others", i) })
		}
	}
	together.Wait()
}

// Whatever starts a goroutine is known here, because the gate's race detector watches
// what runs these: the sheets of a job and the bands of a dry run, in TestSideBySide and in
// the demonstration, and the interrupt, in its own tests.
func TestGoroutinesAreKnown(t *testing.T) {
	starts := regexp.MustCompile(`(?m)^\s*go (func|\w+[.(])|\.Go\(`)
	var files []string
	source(t, func(path string, text []byte) {
		if starts.Match(text) {
			files = append(files, path)
		}
	})
	assert.Equal(t, []string{"cam/each.go", "cam/proof/foam.go", "cmd/traywright/interrupt.go", "cmd/traywright/look.go", "cmd/traywright/look_feed.go"}, files)
	gate := readFile(t, "../.ci/run")
	for _, watched := range []string{"go build -race -o", "go test -race -count=1 -run SideBySide ./cam", "go test -race -count=1 -run 'Interrupt|Until|Killed|TestLook' -short ./cmd/traywright"} {
		assert.True(t, bytes.Contains(gate, []byte(watched)), watched)
	}
}
