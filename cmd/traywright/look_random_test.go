package main

import (
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/edit"
	"traywright/cam/finding"
	"traywright/geometry"
	"traywright/geometry/units"
)

var dragCount = flag.Int("drags", 500, "random drags and edits to try")

// valuesIn are the values of a YAML text by their paths, a place being one, as another reader of YAML has them.
func valuesIn(t *testing.T, text []byte) map[string]string {
	var all any
	require.NoError(t, yaml.Unmarshal(text, &all))
	values := map[string]string{}
	var walk func(path string, v any)
	walk = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for key, held := range v {
				walk(path+"."+key, held)
			}
		case []any:
			if strings.HasSuffix(path, ".at") {
				values[path] = fmt.Sprint(v)
				return
			}
			for i, held := range v {
				walk(fmt.Sprintf("%s[%d]", path, i), held)
			}
		default:
			values[path] = fmt.Sprint(v)
		}
	}
	walk("", all)
	return values
}

// others are the paths at which two texts' values differ.
func others(t *testing.T, before, after []byte) (paths []string) {
	was, is := valuesIn(t, before), valuesIn(t, after)
	for path := range maps.Keys(was) {
		if _, there := is[path]; !there {
			paths = append(paths, path)
		}
	}
	for path, v := range is {
		if old, there := was[path]; !there || old != v {
			paths = append(paths, path)
		}
	}
	return paths
}

// hand is somebody who tries what comes to mind on the page of a job.
type hand struct {
	t       *testing.T
	r       *rand.Rand
	feed    *lookFeed
	s       *lookServer
	path    string
	done    map[string]int // what was written, by its key
	refused int
}

// entries are where pockets and labels of the first tray stand now; what an anchor shares is for another test.
func (h *hand) entries() (list []string) {
	tray := h.feed.planned.Job.Trays[0]
	for _, p := range tray.Pockets[:min(4, len(tray.Pockets))] {
		list = append(list, p.Position.String())
	}
	for _, l := range tray.Labels {
		list = append(list, l.Position.String())
	}
	return list
}

// drag asks for a move onto the unit's grid, inside of the limits or a little beyond.
func (h *hand) drag(at string, room lookRoom) {
	allowed := polygons(room.Allowed)
	b := allowed.Bounds().Grow(0.5)
	move := [2]float64{}
	for i, low := range [2]float64{b.Min.X, b.Min.Y} {
		wide := [2]float64{b.Width(), b.Height()}[i]
		move[i] = float64(int((room.At[i]+low+h.r.Float64()*wide)/room.Steps[i]))*room.Steps[i] - room.At[i]
	}
	to := geometry.Point{X: move[0], Y: move[1]}
	near := geometry.NewWalls(allowed).DistanceTo(to, 1) < 1e-4
	done := h.ask(lookChange{Sum: room.Sum, At: at, Move: &move}, "at", !near)
	if !near {
		require.Equal(h.t, allowed.Contains(to), done, "%s by %v", at, move)
	}
	if done {
		now := h.feed.room(at).At
		require.InDelta(h.t, room.At[0]+move[0], now[0], 1e-5)
		require.InDelta(h.t, room.At[1]+move[1], now[1], 1e-5)
	}
}

// set asks for a value as people write them, good or not.
func (h *hand) set(at string, room lookRoom) {
	v := room.Values[h.r.IntN(len(room.Values))]
	mm := h.r.Float64() * 20
	written := []string{fmt.Sprintf("%.2f mm", mm), fmt.Sprintf("%.1f mm", mm/3), fmt.Sprintf("%d/16\"", 1+h.r.IntN(20)), fmt.Sprintf("%.2f in", mm/25.4), "nothing", "-1 mm", "1000 mm"}[h.r.IntN(7)]
	switch v.Key {
	case "turn":
		written = fmt.Sprint(h.r.IntN(24) * 15)
	case "fit":
		written = []string{"tight", "snug", "easy", "loose"}[h.r.IntN(4)]
	}
	h.ask(lookChange{Sum: room.Sum, At: at, Key: v.Key, Value: written}, v.Key, v.Line == "")
}

// ask asks for a change, and holds what comes of it against the file and against `check`.
func (h *hand) ask(c lookChange, key string, judged bool) bool {
	t := h.t
	before := readText(h.path)
	told := posted(t, h.s, "/edit", c)
	after := readText(h.path)
	h.feed.stopTrying()
	if !told.Done {
		h.refused++
		require.Equal(t, string(before), string(after))
		if wanted, ok := h.wanted(c); ok && judged {
			code, _ := h.checked(wanted)
			require.True(t, code != exitDone || c.Move != nil && h.lying(wanted, c.At), "%+v: %v\n%s", c, told.Told, wanted)
		}
		return false
	}
	paths := others(t, before, after)
	if !slices.Equal(before, after) {
		require.Len(t, paths, 1, "%+v\n%s", c, after)
		require.True(t, strings.HasSuffix(paths[0], "."+key), paths[0])
		require.Equal(t, strings.Count(string(before), "#"), strings.Count(string(after), "#"))
		h.done[key]++
	}
	code, report := h.checked(after)
	require.Equal(t, exitDone, code, "%s", after)
	var page struct{ Findings finding.List }
	require.NoError(t, json.Unmarshal([]byte(lookedReport(t, h.feed.page())), &page))
	require.Equal(t, findingsOf(report), findingsOf(page.Findings))
	return true
}

func findingsOf(list finding.List) (told []string) {
	for _, f := range list {
		told = append(told, f.String())
	}
	slices.Sort(told)
	return told
}

// lookedReport is the report that a page has in it.
func lookedReport(t *testing.T, page []byte) string {
	_, behind, ok := strings.Cut(string(page), `id="report">`)
	require.True(t, ok)
	report, _, ok := strings.Cut(behind, "</script>")
	require.True(t, ok)
	return report
}

// wanted is the text that a change would have made, whether or not it may be.
func (h *hand) wanted(c lookChange) ([]byte, bool) {
	e, err := h.feed.entry(c.At)
	require.NoError(h.t, err)
	var after []byte
	if c.Move == nil {
		for _, v := range h.feed.values(e) {
			if v.Key == c.Key {
				after, err = edit.Set(e.text, v.in, v.Key, c.Value, v.before)
			}
		}
	} else {
		x, _ := units.FromMM(c.Move[0])
		y, _ := units.FromMM(c.Move[1])
		after, err = edit.Place(e.text, e.Entry, e.X+x, e.Y+y)
	}
	return after, err == nil
}

// lying reports whether a pocket would lie on another, which a job may ask for (they are joined) and a hand does
// not do by dragging, or beside a label within the label's box, which it keeps off whole.
func (h *hand) lying(text []byte, at string) bool {
	d, err := h.feed.draft(h.t.Context(), lookTexts{job: text})
	require.NoError(h.t, err)
	for _, tray := range d.result.Plan.Trays {
		for i, one := range tray.Marks {
			for _, pocket := range tray.Pockets {
				if meet(pocket.Box.Grow(10), one.Box) && (pocket.Position.String() == at || one.Position.String() == at) {
					return true
				}
			}
			for k, other := range tray.Marks {
				if k != i && meet(other.Box.Grow(10), one.Box) && one.Position.String() == at {
					return true
				}
			}
		}
		for _, one := range tray.Pockets {
			for _, other := range tray.Pockets {
				left, err := geometry.Difference(one.Design, other.Design, 1e-6)
				require.NoError(h.t, err)
				if one.Position.String() == at && other.Position.String() != at && left.Area() < one.Design.Area()-1e-3 {
					return true
				}
			}
		}
	}
	return false
}

func meet(a, b geometry.Box) bool {
	return a.Min.X < b.Max.X && b.Min.X < a.Max.X && a.Min.Y < b.Max.Y && b.Min.Y < a.Max.Y
}

// checked is what `check` says to a text, in a folder of its own beside what it names.
func (h *hand) checked(text []byte) (code int, found finding.List) {
	path := filepath.Join(filepath.Dir(h.path), "tried", "job.yaml")
	require.NoError(h.t, os.WriteFile(path, text, 0o644))
	code, out, _ := typed("check", path, "--json", "--quiet")
	var report struct{ Findings finding.List }
	require.NoError(h.t, json.Unmarshal([]byte(out), &report))
	return code, report.Findings
}

// Random drags and edits through the server, as the page asks for them. After each that is done the
// YAML differs in exactly one value, by another reader, all comments are there, and `check` finds what the page tells; what is
// not done leaves the file as it was, and `check` would have refused it. One step back for each.
func TestRandomDragsAndEditsAreWrittenAsCheckTakesThem(t *testing.T) {
	for name, files := range map[string]map[string]string{
		"inches": {"job.yaml": handsJob},
		"labels": {"job.yaml": looseJob, "roster.csv": looseRoster},
	} {
		t.Run(name, func(t *testing.T) {
			path := inFolder(t, files)
			tried := filepath.Join(filepath.Dir(path), "tried")
			require.NoError(t, os.Mkdir(tried, 0o777))
			for file, text := range files {
				require.NoError(t, os.WriteFile(filepath.Join(tried, file), []byte(text), 0o644))
			}
			feed, s := lookedAtFile(t, path)
			h := &hand{t, rand.New(rand.NewPCG(21, 2)), feed, s, path, map[string]int{}, 0}
			for range *dragCount / 2 {
				at := h.entries()[h.r.IntN(4)]
				room := feed.room(at)
				require.True(t, room.Done, "%v\n%s", room.Told, readText(path))
				if h.r.IntN(2) == 0 {
					h.set(at, room)
				} else {
					h.drag(at, room)
				}
			}
			assert.Greater(t, min(h.done["at"], h.done["turn"], h.refused), *dragCount/40, "%v, %d refused", h.done, h.refused)
			t.Logf("written: %v; refused: %d", h.done, h.refused)
			for range len(feed.steps) {
				require.True(t, posted(t, s, "/undo", struct{}{}).Done)
			}
			assert.Equal(t, files["job.yaml"], string(readText(path)), "one step back for each")
		})
	}
}
