package cam

import (
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/profiles"
)

var (
	roughJobs  = flag.Int("rough-jobs", 40, "random jobs of several sheets to rough or not")
	firstRough = flag.Uint64("first-rough", 1, "number of the first of them")
)

// No job takes longer with its roughings than without, changes of tools counted, by the clock that times its programs; and
// what they are said to save is no more than they do. Without is the same job in which each pocket names the tool that
// makes its wall. The programs of both pass the dry run.
func TestNoJobTakesLongerForItsRoughings(t *testing.T) {
	jobs, roughed := *roughJobs, 0
	if testing.Short() {
		jobs = min(jobs, 10)
	}
	for n := range uint64(jobs) {
		seed := *firstRough + n
		j := randomSheets(rand.New(rand.NewPCG(seed, 77)))
		with, ok := timed(t, j.text(nil))
		if !ok || with.roughed == 0 {
			continue
		}
		roughed++
		plain, ok := timed(t, j.text(with.tools))
		require.True(t, ok, "job %d:\n%s", seed, j.text(with.tools))
		if plain.roughed > 0 {
			continue // a pocket through two layers, which no one tool makes
		}
		saved := plain.seconds - with.seconds
		assert.GreaterOrEqual(t, saved, 0.0, "job %d:\n%s", seed, j.text(nil))
		assert.GreaterOrEqual(t, saved, with.said, "job %d:\n%s", seed, j.text(nil))
		assert.Positive(t, with.said)
		t.Logf("job %d: %d pockets roughed, %.0f s instead of %.0f s, %.0f s said to be saved", seed, with.roughed, with.seconds, plain.seconds, with.said)
	}
	assert.Greater(t, roughed, jobs/15, "some have something to rough")
}

// someTrays are trays of one or two layers in one to three copies each, with pockets to their depths, some laid on stock.
type someTrays struct {
	heads   []string
	pockets [][]string
	tail    string
}

// text is the job; tools names one for each pocket.
func (j someTrays) text(tools [][]string) string {
	var b strings.Builder
	b.WriteString("machine: bench-router\nunits: mm\ntrays:\n")
	for i, pockets := range j.pockets {
		b.WriteString(j.heads[i])
		for k, p := range pockets {
			if tools != nil && tools[i][k] != "" {
				p += ", tool: " + tools[i][k]
			}
			fmt.Fprintf(&b, "      - {for: p%d, %s}\n", k, p)
		}
	}
	return b.String() + j.tail
}

func randomSheets(r *rand.Rand) (j someTrays) {
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	j.tail = "cases:\n"
	stock := r.IntN(4) == 0
	for n := range 1 + r.IntN(4) {
		thick := []float64{12.7, 20, 25.4, 50.8}[r.IntN(4)]
		layers, high := fmt.Sprintf("{foam: %s, thickness: %g}", pick("pe-30", "pe-30", "pe-45"), thick), thick
		if r.IntN(2) == 0 {
			layers, high = layers+", {foam: pe-45, thickness: 6.35}", high+6.35
		}
		head := fmt.Sprintf("  - id: t%d\n    corner: 6\n    edge: 12\n    wall: 8\n    layers: [%s]\n", n, layers)
		if r.IntN(3) == 0 {
			head += fmt.Sprintf("    labels: [{text: %q, at: [14, 156], height: 24}]\n", pick("A", "Gull", "O"))
		}
		head += pick("", "", "    tool: flat-6\n") + "    pockets:\n"
		j.heads, j.pockets = append(j.heads, head), append(j.pockets, nil)
		count := 1 + r.IntN(6)
		for i := range count {
			x, y, length, width := 14+64*float64(i%3), 14+70*float64(i/3), 30+25*r.Float64(), 30+31*r.Float64()
			if count <= 2 {
				x, y, length, width = 14+98*float64(i), 14, 50+38*r.Float64(), 60+70*r.Float64()
			}
			shape := pick(fmt.Sprintf("size: [%.3f, %.3f]", length, width), fmt.Sprintf("size: [%.3f, %.3f], corner: %.2f", length, width, 1.7+6*r.Float64()), fmt.Sprintf("round: %.3f", min(length, width)))
			deep := fmt.Sprintf("%.2f", min(0.95*thick, 5+17*r.Float64()))
			j.pockets[n] = append(j.pockets[n], fmt.Sprintf("at: [%.3f, %.3f], %s, depth: %s", x, y, shape, pick(deep, deep, deep, "through")))
		}
		j.tail += fmt.Sprintf("  - {name: c%d, inside: [%d, %d, %g], stack: [t%d], copies: %d}\n", n, 210+r.IntN(50), 190+r.IntN(10), high, n, 1+r.IntN(3))
	}
	if stock {
		j.tail += "stock:\n  margin: 8\n  sheets:\n"
		for _, t := range []string{"12.7", "20", "25.4", "50.8", "6.35"} {
			j.tail += fmt.Sprintf("    - {foam: pe-30, thickness: %s, size: [1000, 500], price: 9}\n    - {foam: pe-45, thickness: %s, size: [1000, 500], price: 9}\n", t, t)
		}
	}
	return j
}

// timedJob is what a job takes, its changes of tools included.
type timedJob struct {
	seconds, said float64
	roughed       int
	tools         [][]string // of each tray's pockets
}

// timed is a job's time; not of one that the plan refuses.
func timed(t *testing.T, text string) (timedJob, bool) {
	c, err := profiles.Shipped()
	require.NoError(t, err)
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v\n%s", found, text)
	p, found := decide(Request{Job: j, Catalog: c, Unit: j.Units})
	if found.Failed() {
		return timedJob{}, false
	}
	layout, found, err := layOut(context.Background(), p)
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v\n%s", found, text)
	result := timedJob{said: p.RoughingSavesS + layout.RoughingSavesS, tools: toolsOf(p)}
	list := works(p, layout)
	require.NoError(t, layEach(context.Background(), list, p))
	list = eachTool(leastChanges(alike(list, p.Machine)))
	var totals TotalsReport
	var files []FileReport
	for _, w := range list {
		seconds, _ := proof.Time(w.body, p.Machine)
		files = append(files, FileReport{Seconds: seconds, Made: w.made()})
		if w.sheet.Roughed() > 0 {
			run := proof.Run(w.path(), w.body, w.setup(p.Machine), w.wanted(p.Machine))
			require.True(t, run.OK, "%s: %v\n%s", w.path(), run.Findings, text)
		}
	}
	totals.add(files, list)
	result.seconds, result.roughed = totals.Seconds+plan.ChangeSeconds*float64(totals.ToolChanges), totals.roughed
	return result, true
}

// toolsOf are the tools that make the walls of each tray's pockets; "" where two do, each in its layer.
func toolsOf(p *plan.Plan) (list [][]string) {
	for _, tray := range p.Trays {
		tools := make([]string, len(tray.Pockets))
		for _, s := range tray.Sheets {
			for _, c := range s.Cuts {
				for _, k := range c.Pockets {
					if tools[k] != "" && tools[k] != c.Tool.ID {
						tools[k] = "two"
						continue
					}
					tools[k] = c.Tool.ID
				}
			}
		}
		for k := range tools {
			tools[k] = strings.TrimPrefix(tools[k], "two")
		}
		list = append(list, tools)
	}
	return list
}
