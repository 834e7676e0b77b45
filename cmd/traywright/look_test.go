package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/urfave/cli/v2"
)

const lookJob = `machine: bench-router
trays:
  - id: crew
    size: [120, 80]
    layers: [{foam: pe-30, thickness: 1 in}]
    pockets:
      - {at: [14, 14], size: [30, 20]}
      - {at: [60, 20], size: [30, 20]} # the second
`

// lookedAt is a feed of a job in a folder of its own, and its server.
func lookedAt(t *testing.T, text string, flags ...string) (*lookFeed, *lookServer, string) {
	path := inFolder(t, map[string]string{"job.yaml": text})
	feed, server := lookedAtFile(t, path, flags...)
	return feed, server, path
}

// lookedAtFile is the same of a job that is there.
func lookedAtFile(t testing.TB, path string, flags ...string) (*lookFeed, *lookServer) {
	s := newSession(nil, &bytes.Buffer{}, &bytes.Buffer{})
	var feed *lookFeed
	app := newApp(s)
	for _, c := range app.Commands {
		if c.Name == "look" {
			c.Action = func(c *cli.Context) error { feed = newLookFeed(s, c, path); return feed.begin() }
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	t.Cleanup(stop)
	require.NoError(t, app.RunContext(ctx, append([]string{"traywright", "look"}, append(flags, path)...)))
	return feed, newLookServer("127.0.0.1:4711", feed)
}

// asked is what a server says to a request of the page itself, changed as a case says.
func asked(s *lookServer, method, target string, change func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, target, strings.NewReader("{}"))
	r.Host = s.host
	r.AddCookie(&http.Cookie{Name: s.named, Value: s.cookie})
	r.Header.Set("Sec-Fetch-Site", "same-origin")
	if method != http.MethodGet {
		r.Header.Set("Origin", "http://"+s.host)
		r.Header.Set("Content-Type", "application/json")
	}
	change(r)
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// Whoever is not the page of this run is told nothing: another host (a name that an attacker
// lets point here is one), another page, no cookie or a wrong one, a wrong token; and there is
// no file to be had, by whatever path.
func TestLookAnswersItsOwnPageAlone(t *testing.T) {
	_, s, _ := lookedAt(t, lookJob)
	header := func(name, value string) func(*http.Request) {
		return func(r *http.Request) { r.Header.Set(name, value) }
	}
	host := func(name string) func(*http.Request) { return func(r *http.Request) { r.Host = name } }
	none := func(*http.Request) {}
	for _, c := range []struct {
		name, method, target string
		change               func(*http.Request)
		code                 int
	}{
		{"the page", "GET", "/", none, 200},
		{"its state", "GET", "/state?seen=0", none, 200},
		{"a person's own tab", "GET", "/", header("Sec-Fetch-Site", "none"), 200},
		{"another name for this computer", "GET", "/", host("localhost:4711"), 403},
		{"an attacker's name", "GET", "/", host("127.evil.com:4711"), 403},
		{"a name that begins alike", "GET", "/", host("127.0.0.1.evil.com:4711"), 403},
		{"another port", "GET", "/", host("127.0.0.1:80"), 403},
		{"no port", "GET", "/", host("127.0.0.1"), 403},
		{"no host", "GET", "/", host(""), 403},
		{"another page's origin", "GET", "/state?seen=0", header("Origin", "http://evil.com"), 403},
		{"a sandboxed page", "GET", "/state?seen=0", header("Origin", "null"), 403},
		{"the same host by https", "GET", "/state?seen=0", header("Origin", "https://127.0.0.1:4711"), 403},
		{"another page's request", "GET", "/state?seen=0", header("Sec-Fetch-Site", "cross-site"), 403},
		{"a page of another port", "GET", "/state?seen=0", header("Sec-Fetch-Site", "same-site"), 403},
		{"no cookie", "GET", "/", func(r *http.Request) { r.Header.Del("Cookie") }, 403},
		{"an empty cookie", "GET", "/state?seen=0", header("Cookie", s.named+"="), 403},
		{"another run's cookie", "GET", "/state?seen=0", header("Cookie", s.named+"=AAAA"), 403},
		{"a wrong token", "GET", "/?token=AAAA", none, 403},
		{"an empty token", "GET", "/?token=", none, 403},
		{"a cookie for a token", "GET", "/?token=" + s.cookie, none, 403},
		{"the job", "GET", "/job.yaml", none, 404},
		{"a path upwards", "GET", "/../../etc/passwd", none, 404},
		{"the same, hidden", "GET", "/%2e%2e/%2e%2e/etc/passwd", none, 404},
		{"a path by another slash", "GET", `/..%5c..%5cetc`, none, 404},
		{"a post to a page", "POST", "/", none, 405},
		{"a post without an origin", "POST", "/state?seen=0", func(r *http.Request) { r.Header.Del("Origin") }, 403},
		{"an origin twice", "POST", "/state?seen=0", func(r *http.Request) { r.Header.Add("Origin", "http://"+s.host) }, 403},
		{"no number", "GET", "/state?seen=x", none, 400},
	} {
		w := asked(s, c.method, c.target, c.change)
		code := w.Code
		if code == http.StatusTemporaryRedirect || code == http.StatusMovedPermanently { // to a clean path, where nothing is
			code = asked(s, c.method, w.Header().Get("Location"), none).Code
		}
		assert.Equal(t, c.code, code, c.name)
		assert.NotContains(t, w.Body.String(), s.token, c.name)
		assert.NotContains(t, w.Body.String(), s.cookie, c.name)
		if c.code != 200 {
			assert.Less(t, w.Body.Len(), 200, c.name)
		}
		for name, value := range lookHeaders {
			assert.Equal(t, value, w.Header().Get(name), c.name)
		}
	}
}

// The token opens the page once it is typed, and is then gone from the address; each run has
// one of its own, of 128 bits or more (crypto/rand.Text).
func TestLookTradesItsTokenForACookie(t *testing.T) {
	feed, s, _ := lookedAt(t, lookJob)
	w := asked(s, "GET", "/?token="+s.token, func(r *http.Request) { r.Header.Del("Cookie") })
	require.Equal(t, http.StatusSeeOther, w.Code)
	assert.Equal(t, "/", w.Header().Get("Location"))
	cookies := w.Result().Cookies()
	require.Len(t, cookies, 1)
	assert.Equal(t, []any{s.cookie, true, http.SameSiteStrictMode, "/", ""}, []any{cookies[0].Value, cookies[0].HttpOnly, cookies[0].SameSite, cookies[0].Path, cookies[0].Domain})
	other := newLookServer(s.host, feed)
	assert.NotEqual(t, s.token, other.token)
	assert.NotEqual(t, s.token, s.cookie)
	assert.GreaterOrEqual(t, len(s.token), 26)
}

// Two runs are looked at in one browser, which keeps one cookie of a name for all ports of a host:
// the second run's does not take the first one's place.
func TestTwoRunsAreLookedAtInOneBrowser(t *testing.T) {
	feed, one, _ := lookedAt(t, lookJob)
	other := newLookServer("127.0.0.1:4712", feed)
	kept := map[string]string{}
	for _, s := range []*lookServer{one, other} {
		for _, c := range asked(s, "GET", "/?token="+s.token, func(*http.Request) {}).Result().Cookies() {
			kept[c.Name] = c.Value
		}
	}
	for _, s := range []*lookServer{one, other} {
		w := asked(s, "GET", "/", func(r *http.Request) {
			r.Header.Del("Cookie")
			for name, value := range kept {
				r.AddCookie(&http.Cookie{Name: name, Value: value})
			}
		})
		assert.Equal(t, 200, w.Code, s.host)
	}
}

// stateOf is the first state behind one that was seen.
func stateOf(t *testing.T, s *lookServer, seen int) (state lookState) {
	w := asked(s, "GET", "/state?seen="+jsonText(t, seen), func(*http.Request) {})
	require.Equal(t, 200, w.Code)
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &state))
	return state
}

func jsonText(t *testing.T, v any) string {
	text, err := json.Marshal(v)
	require.NoError(t, err)
	return string(text)
}

// A job that is refused keeps the last good page, and says with its line what is wrong and
// which pocket; one that cannot be read says so too; what is mended is shown again.
func TestLookShowsARefusedJob(t *testing.T) {
	feed, s, path := lookedAt(t, lookJob)
	go feed.run(feed.c.Context)
	first := stateOf(t, s, 0)
	assert.False(t, first.Refused)
	assert.Contains(t, first.Page, `"id":"crew"`)
	write := func(text string) { require.NoError(t, os.WriteFile(path, []byte(text), 0o644)) }

	write(strings.Replace(lookJob, "[60, 20]", "[46, 20]", 1) + "    wall: 6\n")
	refused := stateOf(t, s, first.Version)
	assert.True(t, refused.Refused && refused.Shown)
	assert.Zero(t, len(refused.Page), "it stays what it was")
	require.NotEmpty(t, refused.Findings)
	assert.Contains(t, refused.Findings[0].Where+jsonText(t, refused.Findings), "job.yaml:8:9: tray crew, pocket 2")
	require.Len(t, refused.Wrong, 1)
	assert.Equal(t, "crew", refused.Wrong[0].Tray)

	write(lookJob + "nonsense: 1\n")
	unread := stateOf(t, s, refused.Version)
	assert.True(t, unread.Refused && unread.Shown)
	assert.Contains(t, jsonText(t, unread.Findings), "job.yaml:9:1")

	write(lookJob)
	mended := stateOf(t, s, unread.Version)
	assert.False(t, mended.Refused)
	assert.NotEmpty(t, mended.Page)
}

// The roster that `measure` wrote lies beside a report.json, and heights are filled in there; an
// output folder full of pictures does not hide what comes behind it.
func TestARosterInAnOutputFolderIsWatched(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		name = filepath.Join(dir, name)
		require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o777))
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
	}
	for _, name := range []string{"job.yaml", "cut/report.json", "measured/report.json", "measured/roster.csv", "measured/outlines/piece-1.dxf", "profiles/mine.yaml"} {
		write(name, "")
	}
	w := lookWatch{job: filepath.Join(dir, "job.yaml")}
	w.changed()
	require.False(t, w.changed())
	for _, name := range []string{"measured/roster.csv", "measured/outlines/piece-1.dxf"} {
		write(name, "piece-1")
		assert.True(t, w.changed(), name)
	}
	for i := range mostWatched {
		write(fmt.Sprintf("cut/%03d.png", i), "")
	}
	w.changed()
	write("profiles/mine.yaml", "machines: []")
	assert.True(t, w.changed(), "behind a folder that is full")
}

// A job that cannot be read from the start has a page, which waits for it.
func TestLookWaitsForAJobThatReads(t *testing.T) {
	feed, s, path := lookedAt(t, "trays: [")
	go feed.run(feed.c.Context)
	first := stateOf(t, s, 0)
	assert.True(t, first.Refused)
	assert.False(t, first.Shown)
	assert.Contains(t, asked(s, "GET", "/", func(*http.Request) {}).Body.String(), "<html")
	require.NoError(t, os.WriteFile(path, []byte(lookJob), 0o644))
	assert.False(t, stateOf(t, s, first.Version).Refused)
}

// Editors rename a new file over the old one, empty the file and fill it, or write it in
// halves with pauses: no state is ever of half a job, though each half could be read.
func TestLookNeverShowsHalfAJob(t *testing.T) {
	long := lookJob
	for y := 20; y < 60; y += 4 {
		long += "      # a line that says nothing, so that the second half is long enough to be missed\n"
	}
	feed, s, path := lookedAt(t, long)
	go feed.run(feed.c.Context)
	seen := stateOf(t, s, 0).Version
	next := func(x string) string { return strings.Replace(long, "[60, 20]", "["+x+", 20]", 1) }
	pause := func() { time.Sleep(120 * time.Millisecond) }
	for x, write := range map[string]func(text string){
		"61": func(text string) {
			require.NoError(t, os.WriteFile(path+"~", []byte(text), 0o644))
			require.NoError(t, os.Rename(path+"~", path))
		},
		"62": func(text string) {
			require.NoError(t, os.Truncate(path, 0))
			pause()
			require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		},
		"63": func(text string) {
			f, err := os.Create(path)
			require.NoError(t, err)
			half := strings.Index(text, "      - {at: [63")
			f.WriteString(text[:half])
			pause()
			f.WriteString(text[half:])
			require.NoError(t, f.Close())
		},
		"64": func(text string) {
			require.NoError(t, os.Remove(path))
			pause()
			require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
		},
	} {
		write(next(x))
		for {
			state := stateOf(t, s, seen)
			seen = state.Version
			require.False(t, state.Refused, "%s: %v", x, state.Findings)
			if state.Page != "" {
				require.Equal(t, 2, strings.Count(state.Page, `"light":`), "%s: a pocket is missing", x)
			}
			if strings.Contains(state.Page, `"box":[`+x+`,20`) {
				break
			}
		}
	}
}

// The address stands alone on standard output; an interrupt ends the program, and nothing has
// been written.
func TestLookEndsWithAnInterrupt(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("interrupts cannot be sent there")
	}
	for _, flags := range [][]string{nil, {"--json"}} {
		dir := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(dir, "job.yaml"), []byte(lookJob), 0o644))
		c := asProgram(t, "traywright", append([]string{"look", ".", "--no-open", "--quiet"}, flags...)...)
		c.Dir = dir
		out, err := c.StdoutPipe()
		require.NoError(t, err)
		require.NoError(t, c.Start())
		lines := bufio.NewReader(out)
		address, err := lines.ReadString('\n')
		require.NoError(t, err)
		if flags != nil {
			rest, err := lines.ReadString('}')
			require.NoError(t, err)
			var document lookAnswer
			require.NoError(t, json.Unmarshal([]byte(address+rest), &document))
			address = document.Address + "\n"
		}
		assert.Regexp(t, `^http://127\.0\.0\.1:\d+/\?token=\w{26,}\n$`, address)
		answer, err := http.Get("http://" + strings.Split(address, "/")[2])
		require.NoError(t, err)
		answer.Body.Close()
		assert.Equal(t, http.StatusForbidden, answer.StatusCode)
		require.NoError(t, c.Process.Signal(os.Interrupt))
		require.NoError(t, c.Wait(), "it ends as it should")
		assert.Equal(t, []string{"job.yaml"}, names(t, dir))
	}
}
