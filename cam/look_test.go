package cam_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
)

const (
	nastyName = `</script><script>document.title = "taken"</script>`
	nastyMark = `<img src=x onerror=alert(1)>`
)

// nastyResult cuts a job whose names are markup, with a router that takes two tools.
func nastyResult(t *testing.T) cam.Result {
	quoted, err := json.Marshal(nastyName)
	require.NoError(t, err)
	text := "game: " + string(quoted) + `
machine: bench-router
roster: roster.csv
trays:
  - id: crew
    label: ` + string(quoted) + `
    size: [120, 80]
    layers: [{foam: pe-30, thickness: 1 in}]
    pockets:
      - {for: a, at: [14, 14], fit: snug}
      - {for: b, at: [70, 20], fit: snug}
`
	r, found := artRequest(t, text, fstest.MapFS{"roster.csv": file("id,name,count,length,width,height\na," + nastyMark + ",1,40,40,20\nb,שלום 海,1,20,20,10\n")})
	require.Empty(t, found)
	result, err := cam.Cut(context.Background(), r, cam.Options{})
	require.NoError(t, err)
	require.NotEmpty(t, result.Files, "%v", result.Report.Findings)
	return result
}

// embedded is what stands in a script of the page that is data (HTML Living Standard 4.12.1).
func embedded(t *testing.T, page []byte, id string) string {
	found := regexp.MustCompile(`(?s)<script type="application/json" id="` + id + `">(.*?)</script>`).FindSubmatch(page)
	require.NotNil(t, found, id)
	return string(found[1])
}

// Whatever people call their things, it is text: the page has the scripts that it should
// have, runs the one that its policy names, and shows each name as written.
func TestNamesOnTheLookStayText(t *testing.T) {
	page := fileNamed(t, nastyResult(t), "look.html")
	assert.Equal(t, 4, bytes.Count(page, []byte("<script")))
	assert.Equal(t, 4, bytes.Count(page, []byte("</script>")))
	assert.NotContains(t, string(page), "<img")
	assert.Contains(t, string(page), "<title>&lt;/script&gt;&lt;script&gt;")
	for _, id := range []string{"report", "programs", "scene"} {
		data := embedded(t, page, id)
		assert.True(t, json.Valid([]byte(data)), id)
		assert.NotContains(t, data, "<", id)
	}
	assert.Contains(t, embedded(t, page, "scene"), "שלום 海")
}

// The policy (W3C Content Security Policy Level 3) lets nothing in from outside and names the
// page's one script and its styles by their hashes; no other address stands in the page.
func TestTheLookNeedsNothingElse(t *testing.T) {
	page := string(fileNamed(t, nastyResult(t), "look.html"))
	policy := regexp.MustCompile(`Content-Security-Policy" content="([^"]*)"`).FindStringSubmatch(page)
	require.NotNil(t, policy)
	assert.True(t, strings.HasPrefix(policy[1], "default-src &#39;none&#39;; "), policy[1])
	for directive, element := range map[string]string{"script-src": "script", "style-src": "style"} {
		text := regexp.MustCompile(`(?s)<` + element + `>(.*?)</` + element + `>`).FindStringSubmatch(page)
		require.NotNil(t, text, element)
		sum := sha256.Sum256([]byte(text[1]))
		want := directive + " 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
		assert.Contains(t, strings.NewReplacer("&#39;", "'", "&#43;", "+").Replace(policy[1]), want)
	}
	assert.NotRegexp(t, `(?i)(src|href)\s*=\s*["']?(https?:)?//`, page)
	assert.NotRegexp(t, `(?i)\son[a-z]+\s*=\s*"|\sstyle\s*=`, strings.Split(page, "<script")[0])
}

// The report in the page is the folder's, without the page itself, which no report in it can
// sum; every program is in it as it is in the folder.
func TestTheLookHasReportAndPrograms(t *testing.T) {
	result := nastyResult(t)
	page := fileNamed(t, result, "look.html")
	var inside, beside map[string]any
	require.NoError(t, json.Unmarshal([]byte(embedded(t, page, "report")), &inside))
	require.NoError(t, json.Unmarshal(fileNamed(t, result, "report.json"), &beside))
	files := beside["files"].([]any)
	own := files[len(files)-1].(map[string]any)
	assert.Equal(t, []any{"look.html", "html", cam.Sum(page)}, []any{own["path"], own["kind"], own["sha256"]})
	beside["files"] = files[:len(files)-1]
	delete(inside, "seal")
	delete(beside, "seal")
	assert.Equal(t, beside, inside)
	var programs map[string]string
	require.NoError(t, json.Unmarshal([]byte(embedded(t, page, "programs")), &programs))
	n := 0
	for _, f := range result.Report.Files {
		if f.Kind == "gcode" {
			n++
			assert.Equal(t, string(fileNamed(t, result, f.Path)), programs[f.Path])
		}
	}
	assert.Len(t, programs, n)
	assert.Positive(t, n)
}

// The ribbon's bands are all of a program's time, in its order, and the moves on it are those
// of the dry run; each pocket's card has the time that its bands take.
func TestTheLookKeepsTheDryRunsClock(t *testing.T) {
	result := nastyResult(t)
	var scene struct {
		Setups []struct {
			Programs []struct {
				Path    string
				Seconds float64
				Ends    []int
				Bands   []struct {
					Name     string
					From, To float64
					Pockets  []int
				}
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(embedded(t, fileNamed(t, result, "look.html"), "scene")), &scene))
	seen := map[int]bool{}
	for _, s := range scene.Setups {
		for _, p := range s.Programs {
			at, sum := 0.0, 0
			for _, b := range p.Bands {
				assert.Equal(t, at, b.From)
				assert.Greater(t, b.To, b.From, b.Name)
				at = b.To
				for _, i := range b.Pockets {
					seen[i] = true
				}
			}
			for _, n := range p.Ends {
				assert.GreaterOrEqual(t, n, 0)
				sum += n
			}
			assert.Equal(t, p.Seconds, at)
			assert.LessOrEqual(t, float64(sum)/100, p.Seconds+0.01)
			for _, d := range result.Report.DryRun {
				if d.Path == p.Path {
					assert.InDelta(t, d.Seconds, p.Seconds, 0.06)
				}
			}
		}
	}
	assert.Equal(t, map[int]bool{0: true, 1: true}, seen)
}
