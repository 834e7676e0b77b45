package pack

import (
	"context"
	"encoding/json"
	"flag"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The published instances are not part of the project. With their files at hand:
//
//	go test ./geometry/pack -run Published -v -strip FILE -bins FILE -budget 1s
//
// A file is a list of instances in JSON; published names the fields.
var (
	stripFile   = flag.String("strip", "", "strip instances: Hopper & Turton, EJOR 128 (2001) 34-57")
	binsFile    = flag.String("bins", "", "bin instances: Berkey & Wang 1987, Martello & Vigo 1998")
	sheetsFile  = flag.String("sheets", "", "instances of sheets of several sizes: Pisinger & Sigurd, Discrete Optimization 2 (2005) 154-167, and others")
	perInstance = flag.Duration("budget", time.Second, "time for each instance")
)

// published is one instance, with the best answer that is known of it.
type published struct {
	Name        string     `json:"name"`
	Rects       [][2]int64 `json:"rects"`
	StripLength int64      `json:"width"`
	StripBest   int64      `json:"optimal_height"`
	BinLength   int64      `json:"bin_width"`
	BinWidth    int64      `json:"bin_height"`
	BinsBest    int        `json:"best_known_rotation"`
}

func (p published) items() []Item {
	var items []Item
	for _, r := range p.Rects {
		items = append(items, Item{Length: r[0], Width: r[1]})
	}
	return items
}

func readPublished(t *testing.T, file string) []published {
	if file == "" {
		t.Skip("no file of published instances named")
	}
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	var list []published
	require.NoError(t, json.Unmarshal(text, &list))
	require.NotEmpty(t, list)
	return list
}

// searchAll searches until the budget ends it.
var searchAll = Options{Steps: math.MaxInt, Seed: 1}

func TestPublishedStrips(t *testing.T) {
	list, gaps := readPublished(t, *stripFile), 0.0
	for _, p := range list {
		ctx, cancel := context.WithTimeout(context.Background(), *perInstance)
		r, err := Strip(ctx, p.items(), p.StripLength, searchAll)
		cancel()
		require.NoError(t, err, p.Name)
		requireSound(t, p.items(), r.Placements, p.StripLength, r.Height, searchAll)
		gap := 100 * float64(r.Height-p.StripBest) / float64(p.StripBest)
		t.Logf("%s: %d items, height %d, best %d, gap %.2f %%", p.Name, len(p.Rects), r.Height, p.StripBest, gap)
		gaps += gap
	}
	mean := gaps / float64(len(list))
	t.Logf("mean gap of %d strips, %v each: %.2f %%", len(list), *perInstance, mean)
	assert.LessOrEqual(t, mean, 0.9)
}

func TestPublishedBins(t *testing.T) {
	list := readPublished(t, *binsFile)
	bins, best, bound := 0, 0, 0
	for _, p := range list {
		ctx, cancel := context.WithTimeout(context.Background(), *perInstance)
		r, err := Bins(ctx, p.items(), p.BinLength, p.BinWidth, searchAll)
		cancel()
		require.NoError(t, err, p.Name)
		bins, best, bound = bins+r.Bins, best+p.BinsBest, bound+r.LowerBound
	}
	over := 100 * float64(bins-best) / float64(best)
	t.Logf("%d instances, %v each: %d bins, best known %d, %.2f %% over; our lower bounds sum up to %d", len(list), *perInstance, bins, best, over, bound)
	assert.LessOrEqual(t, over, 0.5)
}

// ofSheets is a published instance of sheets of several sizes.
type ofSheets struct {
	Name string `json:"name"`
	Kerf int64  `json:"kerf"`
	Bins []struct {
		W, H, Cost int64
		Count      int
	} `json:"bins"`
	Items []struct {
		W, H  int64
		Count int
	} `json:"items"`
	Bound  int64 `json:"lower_bound"`
	Best   int64 `json:"best_known"`
	Greedy int64 `json:"plain_greedy"`
}

func (p ofSheets) take() (items []Item, sheets []Sheet) {
	for _, it := range p.Items {
		for range it.Count {
			items = append(items, Item{Length: it.W, Width: it.H})
		}
	}
	for _, b := range p.Bins {
		sheets = append(sheets, Sheet{b.W, b.H, b.Cost, b.Count, false, nil})
	}
	return items, sheets
}

func TestPublishedSheets(t *testing.T) {
	if *sheetsFile == "" {
		t.Skip("no file of published instances named")
	}
	text, err := os.ReadFile(*sheetsFile)
	require.NoError(t, err)
	var file struct{ Instances []ofSheets }
	require.NoError(t, json.Unmarshal(text, &file))
	require.NotEmpty(t, file.Instances)
	gaps := 0.0
	for _, p := range file.Instances {
		items, sheets := p.take()
		o := searchAll
		o.Spacing = p.Kerf
		ctx, cancel := context.WithTimeout(context.Background(), *perInstance)
		r, err := Sheets(ctx, items, sheets, o)
		cancel()
		require.NoError(t, err, p.Name)
		requireOnSheets(t, items, sheets, r, o)
		gap := 100 * float64(r.Cost-p.Best) / float64(p.Best)
		t.Logf("%-18s %3d items: cost %6d, best known %6d, gap %6.2f %%, bound %6d (published %6d), plain greedy %6d", p.Name, len(items), r.Cost, p.Best, gap, r.LowerBound, p.Bound, p.Greedy)
		assert.LessOrEqual(t, r.Cost, p.Greedy, p.Name)
		assert.LessOrEqual(t, r.LowerBound, p.Best, p.Name)
		if !strings.Contains(p.Name, "perfect_100") {
			gaps += gap
			assert.LessOrEqual(t, gap, 10.0, p.Name)
		}
	}
	mean := gaps / float64(len(file.Instances)-1)
	t.Logf("mean gap but for the perfect one, %v each: %.2f %%", *perInstance, mean)
	assert.LessOrEqual(t, mean, 0.8)
}
