package page_test

import (
	"bytes"
	"context"
	"image/png"
	"io/fs"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/safety"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Jobs of every process, cut, and their pages as they were looked at: all words of the cut sheet, and
// those pictures, templates and scenes of look.html in which each process has something of its own.
var madeJobs = []struct {
	folder, name string
	unit         units.Unit
	printed      page.Printed
	pages        []string // of the folder that is made
}{
	{"testdata/jobs", "router", units.Inch, page.Printed{}, []string{"overview.png", "crew/crew-block.png", "riders/riders-1-pe-30-25.4mm.png", "templates.pdf", "look.html"}},
	{"testdata/jobs", "laser", units.Millimetre, page.Printed{}, []string{"saw.png", "sheets/sheet-1-p1-pe-30-12.7mm.png"}},
	{"../../.ci/outside", "dowels", units.Millimetre, page.Printed{}, []string{"overview.png", "sheets/sheet-1-pe-30-12.7mm.png", "look.html"}},
	{"../../.ci/outside", "wire", units.Millimetre, page.Printed{}, []string{"stores/stores-1-xps-32-20mm.png", "look.html"}},
	{"../../.ci/outside", "blade", units.Millimetre, page.Printed{}, []string{"pad/pad-1-eva-90-3mm.png"}},
	{"../../.ci/outside", "tight", units.Millimetre, page.Printed{}, []string{"tokens/tokens-1-pe-30-25.4mm.png"}},
	{"../../.ci/outside", "hand", units.Millimetre, page.Printed{ShortMM: 99.4, LongMM: 99.6}, []string{"templates.pdf"}},
}

// made is a job's folder as `cut` fills it.
func made(t *testing.T, folder fs.FS, name string, unit units.Unit, o cam.Options) map[string][]byte {
	t.Helper()
	j, found, err := job.Load(folder, name+".yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	c, err := profiles.Shipped()
	require.NoError(t, err)
	r := cam.Request{Job: j, Catalog: c, Unit: unit}
	if j.ShopRules != "" {
		text, err := fs.ReadFile(folder, j.ShopRules)
		require.NoError(t, err)
		rules, err := safety.ReadRules(j.ShopRules, text)
		require.NoError(t, err)
		r.Rules = []safety.Rules{rules}
	}
	result, err := cam.Cut(context.Background(), r, o)
	require.NoError(t, err)
	require.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
	files := map[string][]byte{}
	for _, f := range result.Files {
		files[f.Path] = f.Data
	}
	return files
}

var scene = regexp.MustCompile(`(?s)<script[^>]* id="?scene"?>(.*?)</script>`)

func TestPagesOfJobsAsLookedAt(t *testing.T) {
	page.ButNotRaced(t)
	for _, m := range madeJobs {
		files := made(t, os.DirFS(m.folder), m.name, m.unit, cam.Options{Printed: m.printed})
		page.TextAsLookedAt(t, "made-"+m.name+".md", strings.Split(string(files[page.CutSheetName]), "<!-- seal")[0])
		for _, path := range m.pages {
			name, data := "made-"+m.name+"-"+strings.ReplaceAll(path, "/", "-"), files[path]
			require.NotEmpty(t, data, path)
			switch {
			case strings.HasSuffix(path, ".png"):
				im, err := png.Decode(bytes.NewReader(data))
				require.NoError(t, err)
				page.SameAsLookedAt(t, strings.TrimSuffix(name, ".png"), im)
			case strings.HasSuffix(path, ".pdf"):
				page.TextAsLookedAt(t, name+".txt", page.PagesOf(data))
			default:
				found := scene.FindSubmatch(data)
				require.NotNil(t, found, path)
				page.TextAsLookedAt(t, name+".txt", strings.ReplaceAll(string(found[1]), "},", "},\n"))
			}
		}
		assert.NotEmpty(t, files["report.json"])
	}
}
