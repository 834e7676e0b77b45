package page_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"image/png"
	"io/fs"
	"maps"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/page"
	"traywright/geometry/units"
	"traywright/testdata/lookedat"
)

// madeJob is a job of one process, cut, and what is looked at of each: pictures in which it has something of its own,
// sentences of its cut sheet, of its look.html and of its paper, and its templates page by page.
type madeJob struct {
	folder, name           string
	unit                   units.Unit
	printed                page.Printed
	pictures               []string
	sentences, look, paper []string
}

var madeJobs = []madeJob{
	{"testdata/jobs", "router", units.Inch, page.Printed{}, []string{"overview.png", "crew/crew-block.png", "riders/riders-1-pe-30-25.4mm.png"}, routerSentences, routerLook, routerPaper},
	{"testdata/jobs", "laser", units.Millimetre, page.Printed{}, []string{"saw.png", "sheets/sheet-1-p1-pe-30-12.7mm.png"}, laserSentences, nil, nil},
	{"testdata/jobs", "dowels", units.Millimetre, page.Printed{}, []string{"overview.png", "sheets/sheet-1-pe-30-12.7mm.png"}, dowelSentences, nil, nil},
	{"../../.ci/outside", "wire", units.Millimetre, page.Printed{}, []string{"stores/stores-1-xps-32-20mm.png"}, nil, nil, nil},
	{"../../.ci/outside", "blade", units.Millimetre, page.Printed{}, []string{"pad/pad-1-eva-90-3mm.png"}, bladeSentences, nil, nil},
	{"../../.ci/outside", "tight", units.Millimetre, page.Printed{}, []string{"tokens/tokens-1-pe-30-25.4mm.png"}, tightSentences, nil, nil},
	{"../../.ci/outside", "hand", units.Millimetre, page.Printed{Short: 0.994, Long: 0.996}, nil, handSentences, nil, nil},
}

// made is a job's folder as `cut` fills it.
func made(t *testing.T, folder fs.FS, name string, unit units.Unit, o cam.Options) map[string][]byte {
	t.Helper()
	j, c, rules := lookedat.Job(t, folder, name)
	result, err := cam.Cut(context.Background(), cam.Request{Job: j, Catalog: c, Rules: rules, Unit: unit}, o)
	require.NoError(t, err)
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	files := map[string][]byte{}
	for _, f := range result.Files {
		files[f.Path] = f.Data
	}
	return files
}

func TestPagesOfARouterAsLookedAt(t *testing.T)        { pagesAsLookedAt(t, "router") }
func TestPagesOfALaserAsLookedAt(t *testing.T)         { pagesAsLookedAt(t, "laser") }
func TestPagesWithDowelsAsLookedAt(t *testing.T)       { pagesAsLookedAt(t, "dowels") }
func TestPagesOfAWireAsLookedAt(t *testing.T)          { pagesAsLookedAt(t, "wire") }
func TestPagesOfATrailingBladeAsLookedAt(t *testing.T) { pagesAsLookedAt(t, "blade") }
func TestPagesOfATurnedBladeAsLookedAt(t *testing.T)   { pagesAsLookedAt(t, "tight") }
func TestPagesOfAHandAsLookedAt(t *testing.T)          { pagesAsLookedAt(t, "hand") }

func pagesAsLookedAt(t *testing.T, name string) {
	page.ButNotRaced(t)
	m := madeJobs[slices.IndexFunc(madeJobs, func(m madeJob) bool { return m.name == name })]
	files := made(t, os.DirFS(m.folder), m.name, m.unit, cam.Options{Printed: m.printed})
	sheet := strings.Split(string(files[page.CutSheetName]), "<!-- seal")[0]
	if m.sentences == nil {
		lookedat.Text(t, "made-"+m.name+".md", sheet)
	}
	for _, s := range m.sentences {
		assert.Contains(t, sheet, s)
	}
	look, paper := string(files["look.html"]), page.WordsOf(files["cut-sheet.pdf"])
	for _, s := range m.look {
		assert.Contains(t, html.UnescapeString(look), s)
	}
	for _, s := range m.paper {
		assert.Contains(t, paper, s)
	}
	for _, path := range m.pictures {
		im, err := png.Decode(bytes.NewReader(files[path]))
		require.NoError(t, err, path)
		page.SameAsLookedAt(t, "made-"+m.name+"-"+strings.TrimSuffix(strings.ReplaceAll(path, "/", "-"), ".png"), im)
	}
	said := sceneOf(t, files["look.html"])
	for i, p := range strings.Split(page.PagesOf(files["templates.pdf"]), "0 J\n")[1:] {
		said += fmt.Sprintf("template %d: %s\n", i+1, drawn(p))
	}
	lookedat.Text(t, "made-"+m.name+".txt", said)
}

var scene = regexp.MustCompile(`(?s)<script[^>]* id="?scene"?>(.*?)</script>`)

var lengths = regexp.MustCompile(`_mm|^(box|holes|pockets|ends|from|to|first|rows|columns|seconds)$`)

// sceneOf is what look.html draws: of each length in it how often it is there, and their sum.
func sceneOf(t *testing.T, look []byte) string {
	found := scene.FindSubmatch(look)
	require.NotNil(t, found)
	var all any
	require.NoError(t, json.Unmarshal(found[1], &all))
	sums, counts := map[string]float64{}, map[string]int{}
	addUp("scene", all, sums, counts)
	var said strings.Builder
	for _, key := range slices.Sorted(maps.Keys(counts)) {
		if sums[key] == 0 || !lengths.MatchString(key) {
			continue
		}
		fmt.Fprintf(&said, "%s %d", key, counts[key])
		fmt.Fprintf(&said, " = %.1f; ", sums[key])
	}
	return said.String() + "\n"
}

// addUp counts the values under each key, and sums those that are numbers.
func addUp(key string, v any, sums map[string]float64, counts map[string]int) {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			addUp(k, x, sums, counts)
		}
	case []any:
		for _, x := range v {
			addUp(key, x, sums, counts)
		}
	case float64:
		sums[key] += math.Round(v*100) / 100
		counts[key]++
	default:
		counts[key]++
	}
}

var drawing = regexp.MustCompile(`(?m)^(-?[\d.]+) (-?[\d.]+) (m|l)\b|^.* c$|Tj`)

// drawn is what is drawn on a page of a PDF, in mm (a point is 1/72 in).
func drawn(page string) string {
	var at [2]float64
	lines, curves, words, mm := 0, 0, 0, 0.0
	low, high := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{}
	for _, m := range drawing.FindAllStringSubmatch(page, -1) {
		if m[3] == "" {
			if m[0] == "Tj" {
				words++
			} else {
				curves++
			}
			continue
		}
		var to [2]float64
		for i := range to {
			to[i], _ = strconv.ParseFloat(m[i+1], 64)
			to[i] *= 25.4 / 72
			low[i], high[i] = min(low[i], to[i]), max(high[i], to[i])
		}
		if m[3] == "l" {
			lines, mm = lines+1, mm+math.Hypot(to[0]-at[0], to[1]-at[1])
		}
		at = to
	}
	return fmt.Sprintf("%d lines, %.1f mm, from %.1f to %.1f, %d curves, %d texts", lines, mm, low, high, curves, words)
}
