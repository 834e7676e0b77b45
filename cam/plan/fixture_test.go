package plan

import (
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

const inch units.Length = 25_400_000

// mm is a whole number of nanometres; tests write lengths as decimals.
func mm(x float64) units.Length { return units.Length(math.Round(x * 1e6)) }

func layer(foam string, thickness units.Length) job.Layer {
	return job.Layer{Foam: foam, Thickness: thickness}
}

// pad is a tray of 120 x 80 mm: 1 in of pe-30 on 1/4 in of pe-45.
func pad(pockets ...job.Pocket) job.Tray {
	return job.Tray{
		ID: "pad", Label: "{game} {tray}", Length: mm(120), Width: mm(80),
		Layers: []job.Layer{layer("pe-30", inch), layer("pe-45", inch/4)},
		Wall:   mm(6), Edge: mm(10), Fit: "snug", Pockets: pockets,
	}
}

// rect is a pocket with rounded corners, so that a cutter of 3.175 mm makes it as it is.
func rect(x, y, length, width float64) job.Pocket {
	return job.Pocket{X: mm(x), Y: mm(y), Shape: job.SizeShape, Length: mm(length), Width: mm(width), Corner: mm(2), Columns: 1, Rows: 1}
}

func round(x, y, diameter float64) job.Pocket {
	return job.Pocket{X: mm(x), Y: mm(y), Shape: job.RoundShape, Diameter: mm(diameter), Columns: 1, Rows: 1}
}

// with changes a pocket.
func with(p job.Pocket, change func(*job.Pocket)) job.Pocket {
	change(&p)
	return p
}

func piece(id string, count int, length, width, height float64) job.Piece {
	return job.Piece{ID: id, Count: count, Length: mm(length), Width: mm(width), Height: mm(height)}
}

// bench is a job of one tray.
func bench(t job.Tray, roster ...job.Piece) *job.Job {
	return &job.Job{File: "job.yaml", Game: "Tidewrack", Machine: "bench-router", Trays: []job.Tray{t}, Roster: roster}
}

var shipped = sync.OnceValues(profiles.Shipped)

// longEdged gives a machine's cutters edges as long as they reach, 12 diameters of the
// thin one and 10 of the others, so that tests of shapes are no tests of lengths.
func longEdged(m profiles.Machine) {
	for i, d := range []float64{38, 60} {
		if i < len(m.Tools) && m.Process == profiles.Router {
			m.Tools[i].FluteMM, m.Tools[i].StickoutMM, m.Tools[i].ReachMM = profiles.Number{}, profiles.Number{}, profiles.Number{Value: d}
		}
	}
}

// input is the job on one of the shipped machines.
func input(t testing.TB, j *job.Job, machine string) Input {
	t.Helper()
	catalog, err := shipped()
	require.NoError(t, err)
	m, ok := catalog.Machine(machine)
	require.True(t, ok, machine)
	longEdged(m)
	return Input{Job: j, Catalog: catalog, Machine: m, Means: meansOf(m), Recipe: recipesOf(catalog, machine), Pictures: frames(j)}
}

// frames stands for the pictures of a job's emblems: a frame around a square,
// as large as the job asks for.
func frames(j *job.Job) map[job.Picture]geometry.Region {
	pictures := map[job.Picture]geometry.Region{}
	for _, t := range j.Trays {
		for _, e := range t.Emblems {
			size := min(e.Length.MM(), e.Picture.Width.MM())
			if size == 0 {
				size = max(e.Length.MM(), e.Picture.Width.MM())
			}
			pictures[e.Picture] = frame(size)
		}
	}
	return pictures
}

// frame is a square with a square hole of half its side.
func frame(size float64) geometry.Region {
	box := geometry.Box{Max: geometry.Point{X: size, Y: size}}
	return geometry.NewRegion(geometry.Rectangle(box, 0), geometry.Rectangle(box.Grow(-size/4), 0).Reverse())
}

func recipesOf(catalog *profiles.Catalog, machine string) func(foam, tool string) (profiles.Recipe, bool) {
	return func(foam, tool string) (profiles.Recipe, bool) {
		r, ok := catalog.Recipe(foam, machine, tool)
		if r.PowerPercent.Value > 0 {
			r.TaperDegrees.Value = 0.1 // as if somebody had measured it
		}
		return r, ok
	}
}

// make1 leaves out which pockets have no way in: that is tried in TestWaysIn.
func make1(t testing.TB, j *job.Job) (*Plan, finding.List) {
	t.Helper()
	p, found := Make(input(t, j, "bench-router"))
	return p, slices.DeleteFunc(found, func(f finding.Finding) bool { return f.Rule == "no-way-in" })
}

// rules lists what was found, as "error:wall-too-thin", in order.
func rules(found finding.List) string {
	var list []string
	for _, f := range found {
		list = append(list, f.Severity.String()+":"+f.Rule)
	}
	return strings.Join(list, " ")
}

// only is the one finding of a rule.
func only(t testing.TB, found finding.List, rule string) finding.Finding {
	t.Helper()
	var hits []finding.Finding
	for _, f := range found {
		if f.Rule == rule {
			hits = append(hits, f)
		}
	}
	require.Len(t, hits, 1, "%s in %v", rule, found)
	return hits[0]
}

// Bridges: what a beam frees in thin strips is held in one place, its first corner.
func (s stub) Bridges(piece geometry.Contour, _ profiles.Recipe, thicknessMM float64) ([]geometry.Point, float64, int) {
	if b := piece.Bounds(); s.beam && min(b.Width(), b.Height()) < thicknessMM {
		return []geometry.Point{piece.Vertices()[0].Point}, 1, 1
	}
	return nil, 0, 0
}

// stub is a process as the plan sees it: a cutter that stops anywhere, or a beam
// that goes through whole layers in the passes of its recipe.
type stub struct{ beam bool }

func meansOf(m profiles.Machine) Means {
	switch m.Process {
	case profiles.Router:
		return stub{}
	case profiles.Laser:
		return stub{beam: true}
	}
	return nil
}

func (s stub) WholeLayers() bool                                            { return s.beam }
func (s stub) RoundCorners() bool                                           { return !s.beam }
func (s stub) LeastRoundMM(profiles.Tool, profiles.Recipe, float64) float64 { return 0 }
func (s stub) TakesHeight() bool                                            { return !s.beam }

func (stub) Lacks(r profiles.Recipe) string {
	if r.FeedMMPerMin.Value > 0 {
		return ""
	}
	return "feed_mm_per_min"
}

func (stub) Passes(fromMM, toMM float64, layers []Bed) []Pass {
	list := slices.Repeat([]Pass{{FromMM: fromMM, ToMM: toMM}}, max(1, int(layers[0].Recipe.Passes.Value)))
	for k := range list {
		list[k].FocusMM = float64(k) * layers[0].Recipe.FocusStepMM.Value
	}
	return list
}

func (s stub) Hold(bottom profiles.Recipe, thicknessMM float64) (Hold, string) {
	if skin := bottom.SkinMM.Value; s.beam || skin < thicknessMM {
		return Hold{SkinMM: skin}, ""
	}
	return Hold{}, "the skin is all of the sheet"
}

func (s stub) Marking(r profiles.Recipe, layerMM float64) (profiles.Recipe, float64) {
	if s.beam {
		r.PowerPercent.Value *= r.MarkShare.Value
		return r, 0
	}
	return r, min(r.MarkDepthMM.Value, layerMM/2)
}

// framed is four pockets that are one, around an island of 36 x 16 mm.
func framed(deep float64) []job.Pocket {
	var list []job.Pocket
	for _, b := range [][4]float64{{20, 20, 60, 12}, {20, 48, 60, 12}, {20, 20, 12, 40}, {68, 20, 12, 40}} {
		list = append(list, with(rect(b[0], b[1], b[2], b[3]), depth(deep)))
	}
	return list
}
