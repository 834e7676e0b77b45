package main

import (
	"bufio"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

const handsJob = `machine: bench-router
units: in
tray_defaults: {edge: 0.25}
trays:
  - id: crew # the crew's own
    size: [8, 6]
    corner: 3/4
    wall: 1/4
    layers: [{foam: pe-30, thickness: 1}]
    pockets:
      - {for: a, at: [1/2, 1/2], size: [1, 1.5], notch: e, notch_width: 0.8} # first
      - {at: [12 mm, 90 mm], round: 1 1/4}
      - at: ['3"', 0.5]  # on lines of its own
        size: [1, 1]
        turn: 30
      - {at: [2, 4], size: [5/8, 5/8], grid: [3, 1], pitch: [1.25, 0]}
      - {at: &shared [6, 4.5], size: [0.5, 0.5]}
`

// posted is what a server says to a document of the page.
func posted(t *testing.T, s *lookServer, path string, document any) (told lookTold) {
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(jsonText(t, document)))
	r.Host = s.host
	r.AddCookie(&http.Cookie{Name: s.named, Value: s.cookie})
	r.Header.Set("Origin", "http://"+s.host)
	r.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	require.Equal(t, 200, w.Code, w.Body.String())
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &told))
	return told
}

func polygons(list [][][2]float64) geometry.Region {
	var all []geometry.Contour
	for _, points := range list {
		var corners []geometry.Point
		for _, p := range points {
			corners = append(corners, geometry.Point{X: p[0], Y: p[1]})
		}
		all = append(all, geometry.Polygon(corners...))
	}
	return geometry.NewRegion(all...)
}

// What is shared, changed meanwhile, refused or written elsewhere is told, and nothing is written.
func TestWhatCannotBeEditedIsTold(t *testing.T) {
	feed, s, path := lookedAt(t, handsJob)
	sum := feed.now.Sum
	for name, c := range map[string]struct {
		change lookChange
		told   string
	}{
		"an anchor":        {lookChange{Sum: sum, At: "job.yaml:17:9", Move: &[2]float64{-3.175, 0}}, "anchor"},
		"of every tray":    {lookChange{Sum: sum, At: "job.yaml:11:9", Key: "edge", Value: "1/2"}, "shared by several trays"},
		"another text":     {lookChange{Sum: "abc", At: "job.yaml:11:9", Key: "depth", Value: "1/2"}, "changed meanwhile"},
		"too deep":         {lookChange{Sum: sum, At: "job.yaml:11:9", Key: "depth", Value: "3"}, "deep"},
		"too thick a wall": {lookChange{Sum: sum, At: "job.yaml:11:9", Key: "wall", Value: "4"}, "wall"},
		"no value":         {lookChange{Sum: sum, At: "job.yaml:11:9", Key: "depth", Value: "1}, {"}, "no value"},
		"no key":           {lookChange{Sum: sum, At: "job.yaml:11:9", Key: "notch", Value: "n"}, "not changed here"},
		"no entry":         {lookChange{Sum: sum, At: "job.yaml:10:9", Key: "depth", Value: "1"}, "not moved here"},
		"another file":     {lookChange{Sum: sum, At: "arrangement.yaml:11:9", Key: "depth", Value: "1"}, "the job's own file"},
		"no move":          {lookChange{Sum: sum, At: "job.yaml:11:9", Move: &[2]float64{1e300, 0}}, "no move"},
	} {
		told := posted(t, s, "/edit", c.change)
		assert.False(t, told.Done, name)
		assert.Contains(t, jsonText(t, told.Told), c.told, name)
		assert.Equal(t, handsJob, string(readText(path)), name)
	}
	assert.Contains(t, jsonText(t, posted(t, s, "/undo", struct{}{}).Told), "no step")
	require.True(t, posted(t, s, "/edit", lookChange{Sum: sum, At: "job.yaml:11:9", Key: "depth", Value: "1/2"}).Done)
	assert.Contains(t, string(readText(path)), "{for: a, depth: 1/2, at: [1/2, 1/2]")
	require.NoError(t, os.WriteFile(path, []byte(handsJob+"# mine\n"), 0o644))
	assert.Contains(t, jsonText(t, posted(t, s, "/undo", struct{}{}).Told), "changed meanwhile")
	assert.Equal(t, handsJob+"# mine\n", string(readText(path)), "what a person wrote stays")
	assert.Equal(t, []string{"job.yaml"}, names(t, filepath.Dir(path)), "nothing is left beside it")
}

// A job that is a link out of its folder is not written through.
func TestNothingIsWrittenOutsideTheJobsFolder(t *testing.T) {
	feed, _, path := lookedAt(t, handsJob)
	outside := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.Rename(path, outside))
	require.NoError(t, os.Symlink(outside, path))
	told := feed.edit(t.Context(), lookChange{Sum: feed.now.Sum, At: "job.yaml:11:9", Key: "depth", Value: "1/2"})
	assert.False(t, told.Done)
	text, err := os.ReadFile(outside)
	require.NoError(t, err)
	assert.Equal(t, handsJob, string(text))
}

// Who takes the right to write a job away wants it to stay as it is, though its folder would let
// another file take its place.
func TestAReadOnlyJobIsNotWritten(t *testing.T) {
	feed, _, path := lookedAt(t, handsJob)
	require.NoError(t, os.Chmod(path, 0o444))
	told := feed.edit(t.Context(), lookChange{Sum: feed.now.Sum, At: "job.yaml:11:9", Key: "depth", Value: "1/2"})
	assert.False(t, told.Done)
	assert.Contains(t, jsonText(t, told.Told), "read-only")
	assert.Equal(t, handsJob, string(readText(path)))
	require.NoError(t, os.Chmod(path, 0o644))
	assert.True(t, feed.edit(t.Context(), lookChange{Sum: feed.now.Sum, At: "job.yaml:11:9", Key: "depth", Value: "1/2"}).Done)
}

// What somebody else writes is shown though it plans the same, so that the page knows the text that
// it may change: a comment would lock it otherwise.
func TestAfterACommentThePageEditsOn(t *testing.T) {
	feed, s, path := lookedAt(t, handsJob)
	feed.stopTrying()
	first := stateOf(t, s, 0)
	require.NoError(t, os.WriteFile(path, []byte(handsJob+"# mine\n"), 0o644))
	require.NoError(t, feed.again(t.Context()))
	now := stateOf(t, s, first.Version)
	assert.NotEqual(t, first.Sum, now.Sum)
	assert.NotEmpty(t, now.Page, "the page asks anew where its pocket may go")
	require.True(t, posted(t, s, "/edit", lookChange{Sum: now.Sum, At: "job.yaml:11:9", Key: "depth", Value: "1/2"}).Done)
	feed.stopTrying()
	seen := stateOf(t, s, now.Version).Version
	require.NoError(t, feed.again(t.Context()))
	assert.Equal(t, seen, feed.now.Version, "its own step is shown once")
}

// interrupting is a disk on which the user interrupts while a file is made, and which is slow.
type interrupting struct {
	disk
	interrupt func()
}

func (d interrupting) Create(name string) (*os.File, error) {
	d.interrupt()
	time.Sleep(200 * time.Millisecond)
	return d.disk.Create(name)
}

func TestAnInterruptLeavesNothingOfAStepBehind(t *testing.T) {
	path := filepath.Join(t.TempDir(), "job.yaml")
	require.NoError(t, os.WriteFile(path, []byte(handsJob), 0o644))
	ctx, stop := context.WithCancel(context.Background())
	defer func(before disk) { onDisk = before }(onDisk)
	onDisk = interrupting{onDisk, stop}
	out, in := io.Pipe()
	ended := make(chan int)
	go func() {
		ended <- run(ctx, []string{"traywright", "look", path, "--no-open", "--quiet"}, strings.NewReader(""), in, io.Discard)
	}()
	address, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	browser := http.Client{Jar: jar}
	_, err = browser.Get(strings.TrimSpace(address))
	require.NoError(t, err)
	origin := strings.Split(address, "/?")[0]
	r, err := http.NewRequest(http.MethodPost, origin+"/edit", strings.NewReader(jsonText(t, lookChange{Sum: sumOf([]byte(handsJob)), At: "job.yaml:11:9", Key: "depth", Value: "1/2"})))
	require.NoError(t, err)
	r.Header.Set("Origin", origin)
	r.Header.Set("Content-Type", "application/json")
	browser.Do(r) // the answer is lost
	require.Error(t, ctx.Err(), "it was being written")
	assert.Equal(t, exitDone, <-ended)
	assert.Equal(t, []string{"job.yaml"}, names(t, filepath.Dir(path)))
	assert.Equal(t, handsJob, string(readText(path)))
}
