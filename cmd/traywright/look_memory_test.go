package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var changeCount = flag.Int("changes", 60, "random changes of a job's files that are looked at")

var number = regexp.MustCompile(`\b\d+(\.\d+)?\b`)

// changedAtRandom is a text with one of its numbers, or one line, another: lines are lost, small
// pockets come, into which a cutter has to go straight down, and labels are spelt anew.
func changedAtRandom(r *rand.Rand, text string) string {
	lines := strings.Split(text, "\n")
	i := r.IntN(len(lines))
	for n := 0; n < 5 && !strings.Contains(lines[i], "round:"); n++ { // mostly
		i = r.IntN(len(lines))
	}
	switch where := number.FindAllStringIndex(lines[i], -1); {
	case r.IntN(12) == 0:
		lines = append(lines[:i], lines[i+1:]...)
	case strings.Contains(lines[i], "label"):
		lines[i] = strings.Replace(lines[i], "{game}", string("ABGKMQRWaegms"[r.IntN(13)])+"{game}", 1)
	case strings.Contains(lines[i], "- {for:") && r.IntN(3) == 0:
		lines[i] += fmt.Sprintf("\n      - {at: [%d, %d], round: %.1f, depth: %d, access: none}", 10+r.IntN(230), 60+r.IntN(90), 3.3+r.Float64(), 5+r.IntN(10))
	case len(where) > 0:
		at := where[r.IntN(len(where))]
		was, _ := strconv.ParseFloat(lines[i][at[0]:at[1]], 64)
		lines[i] = lines[i][:at[0]] + strconv.FormatFloat(was+float64(r.IntN(9)-4)/2, 'f', -1, 64) + lines[i][at[1]:]
	}
	return strings.Join(lines, "\n")
}

// smallPockets is a job of a few trays with labels, and with pockets into which a cutter goes straight down.
func smallPockets() string {
	var b strings.Builder
	b.WriteString("game: Tide\nmachine: bench-router\nroster: roster.csv\nshop_rules: shop-rules.yaml\ntray_defaults: {wall: 6, edge: 10, fit: easy, layers: [{foam: pe-30, thickness: 30}]}\ntrays:\n")
	for i := range 3 {
		fmt.Fprintf(&b, `  - id: tray-%d
    label: "{game} %[1]d"
    size: [250, 190]
    labels:
      - {at: [14, 154], height: 20}
    pockets:
      - {for: deckhand, at: [12, 14], notch: n}
      - {for: bosun, at: [%[2]d, 14], notch: n}
      - {at: [200, 100], round: %.1[3]f, depth: 9, access: none}
`, i+1, 90+20*i, 3.3+0.1*float64(i))
	}
	return b.String()
}

// However a job has come to be what it is, the page shows what it would of a job that nobody has
// looked at before: nothing that is kept from one state to the next is out of date. A program that has seen none of it
// tells the last state's findings alike, word by word.
func TestWhatIsKeptIsNeverOutOfDate(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS("../../testdata/tidewrack")))
	path := filepath.Join(dir, "job.yaml")
	require.NoError(t, os.WriteFile(path, []byte(smallPockets()), 0o644))
	feed, _ := lookedAtFile(t, path)
	r := rand.New(rand.NewPCG(21, 1))
	before := map[string][]string{}
	refused, straight, shown := 0, 0, 0
	for range *changeCount {
		name := []string{"job.yaml", "job.yaml", "job.yaml", "job.yaml", "roster.csv", "shop-rules.yaml"}[r.IntN(6)]
		text := string(readText(filepath.Join(dir, name)))
		before[name] = append(before[name], text)
		after := changedAtRandom(r, text)
		if r.IntN(3) == 0 || feed.now.Refused {
			after = before[name][r.IntN(len(before[name]))] // back to what it once was
		}
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(after), 0o644))
		require.NoError(t, feed.again(t.Context()))
		feed.stopTrying()
		anew := newLookFeed(feed.s, feed.c, path)
		fresh, err := anew.draft(t.Context(), readTexts(path))
		require.NoError(t, err)
		kept, err := feed.draft(t.Context(), readTexts(path))
		require.NoError(t, err)
		require.Equal(t, string(fresh.page()), string(kept.page()), after)
		require.Equal(t, fresh.found, kept.found, after)
		require.Equal(t, fresh.result.Wrong(), kept.result.Wrong())
		if feed.now.Refused {
			refused++
		} else {
			shown++
			require.Equal(t, string(fresh.page()), string(feed.page()))
		}
		if strings.Contains(fmt.Sprint(fresh.found), "goes straight down") {
			straight++
		}
	}
	assert.Greater(t, min(refused, straight, shown), *changeCount/10, "%d refused, %d told of a cutter that goes straight down, %d shown", refused, straight, shown)
	_, here, _ := typed("check", path, "--json")
	there, _ := asProgram(t, "traywright", "check", path, "--json").Output()
	assert.Equal(t, string(there), here)
}

// What was planned while somebody wrote is not shown when a step of the page has come between.
func TestWhatWasPlannedAheadIsOfTheTextThatStands(t *testing.T) {
	feed, s, path := lookedAt(t, handsJob)
	feed.stopTrying()
	feed.ahead = feed.draftNow(t.Context())
	require.True(t, posted(t, s, "/edit", lookChange{Sum: feed.now.Sum, At: "job.yaml:11:9", Key: "depth", Value: "1/2"}).Done)
	feed.stopTrying()
	shown := feed.now
	require.NoError(t, feed.again(t.Context()))
	assert.Equal(t, shown, feed.now)
	require.NoError(t, os.WriteFile(path, []byte(handsJob), 0o644))
	feed.ahead = feed.draftNow(t.Context())
	require.NoError(t, feed.again(t.Context()))
	feed.stopTrying()
	assert.Equal(t, sumOf([]byte(handsJob)), feed.now.Sum)
}
