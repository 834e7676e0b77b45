package cam

import (
	"context"
	"fmt"
	"math"
	"path"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/drawing"
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/process"
	"traywright/cam/safety"
	"traywright/geometry"
	"traywright/profiles"
)

// drawnFiles are the drawings of a job of one tray, by name without folder.
func drawnFiles(t *testing.T, text string, o Options, change func(*profiles.Machine)) map[string]string {
	t.Helper()
	j, found, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
	require.NoError(t, err)
	require.False(t, found.Failed(), "%v", found)
	c, err := profiles.Shipped()
	require.NoError(t, err)
	rules := []safety.Rules{{Permits: []safety.Permit{{Foam: "pe-30", Process: profiles.Laser, When: "lid closed"}}}}
	p, found := decide(Request{Job: j, Catalog: c, Unit: j.Units, Rules: rules})
	require.False(t, found.Failed(), "%v", found)
	if change != nil {
		change(&p.Machine)
	}
	files := map[string]string{}
	for _, w := range sheetsOf(p) {
		require.NoError(t, w.lay(p))
		require.NoError(t, w.drawings(p, o))
		for _, f := range w.files {
			files[path.Base(f.Path)] = string(f.Data)
		}
	}
	return files
}

func names(files map[string]string, ending string) (list []string) {
	for name := range files {
		if strings.HasSuffix(name, ending) {
			list = append(list, strings.TrimSuffix(name, ending))
		}
	}
	return list
}

// layerColours are the layers that a DXF drawing of R2000 declares, and their colours.
func layerColours(text string) map[string]string {
	layers := map[string]string{}
	for _, part := range strings.Split(text, "AcDbLayerTableRecord\r\n2\r\n")[1:] {
		lines := strings.Split(part, "\r\n") // name, 70, flags, 62, colour
		layers[lines[0]] = lines[4]
	}
	delete(layers, "0")
	return layers
}

// The machine has T1 of 3.175 mm for the shallow pockets and T2 of 6 mm for what goes
// through 2 in of foam: see profiles/data.
const twoTools = `
machine: bench-router
trays:
  - id: a
    size: [140, 100]
    layers: [{foam: pe-30, thickness: 2 in}, {foam: pe-45, thickness: 1/4 in}]
    pockets:
      - {at: [14, 14], size: [30, 30], corner: 4, depth: 12.7}
      - {at: [60, 14], size: [30, 30], corner: 4, depth: 20}
      - {at: [14, 60], size: [20, 20], corner: 4, depth: 12.7}
      - {at: [56, 56], size: [34, 34], corner: 4, depth: 52}
`

func TestDrawingsOfARouter(t *testing.T) {
	files := drawnFiles(t, twoTools, Options{}, nil)
	assert.ElementsMatch(t, []string{
		"a-1-pe-30-50.8mm-t1", "a-1-pe-30-50.8mm-t2", "a-1-pe-30-50.8mm-finished", "a-2-pe-45-6.35mm", "a-2-pe-45-6.35mm-finished",
	}, names(files, ".dxf"))
	assert.ElementsMatch(t, names(files, ".dxf"), names(files, ".svg"))
	// A depth has its colour on every sheet of the job: the pocket of 52 mm ends 1.2 mm down in the base.
	assert.Equal(t, map[string]string{"POCKET-12.7MM": "140", "POCKET-20MM": "233"}, layerColours(files["a-1-pe-30-50.8mm-t1.dxf"]))
	assert.Equal(t, map[string]string{"POCKET-49.5MM": "53", "OUTLINE": "7"}, layerColours(files["a-1-pe-30-50.8mm-t2.dxf"]), "the groove round a plug ends on its skin")
	assert.Equal(t, map[string]string{"POCKET-1.2MM": "40", "OUTLINE": "7"}, layerColours(files["a-2-pe-45-6.35mm.dxf"]))
	assert.Equal(t, map[string]string{"FINISHED-12.7MM": "122", "FINISHED-20MM": "122", "FINISHED": "122"}, layerColours(files["a-1-pe-30-50.8mm-finished.dxf"]))
	assert.Contains(t, files["a-1-pe-30-50.8mm-t1.svg"], "the kerf of flat-3 taken off")
	assert.Contains(t, files["a-1-pe-30-50.8mm-t2.svg"], "the kerf of flat-6 taken off")
	for name, text := range files {
		assert.Equal(t, strings.Contains(name, "finished"), strings.Contains(text, "FINISHED"), name)
	}
	assert.Contains(t, files["a-1-pe-30-50.8mm-t1.svg"], `<g id="POCKET-12.7MM"`)
}

// Whether a machine goes by a drawing's layers or by its paths, what overlaps a deeper pocket
// comes before it, and the outline last; within a layer the order is the program's.
func TestPathsOfADrawingAreInAnOrderToCutIn(t *testing.T) {
	p := func(kind process.OpKind, depth, x float64) process.Drawn {
		return process.Drawn{Kind: kind, DepthMM: depth, Contour: geometry.Rectangle(geometry.Box{Min: geometry.Point{X: x}, Max: geometry.Point{X: x + 1, Y: 1}}, 0)}
	}
	l := layers{depthsMM: []float64{5, 12.5}, depths: page.DepthLines()}
	d := l.cutting([]process.Drawn{p(process.Mark, 0, 0), p(process.Pocket, 0, 1), p(process.Pocket, 12.5, 2), p(process.Pocket, 5, 3), p(process.Pocket, 0, 4), p(process.Pocket, 5, 5), p(process.Outline, 0, 6)})
	var order []string
	for _, path := range d.Paths {
		order = append(order, fmt.Sprintf("%s %g", path.Layer, path.Contour.Bounds().Min.X))
	}
	assert.Equal(t, []string{"MARK 0", "POCKET-5MM 3", "POCKET-5MM 5", "POCKET-12.5MM 2", "POCKET 1", "POCKET 4", "OUTLINE 6"}, order)
	var names []string
	for _, layer := range d.Layers {
		names = append(names, layer.Name)
	}
	assert.Equal(t, []string{"MARK", "POCKET-5MM", "POCKET-12.5MM", "POCKET", "OUTLINE"}, names)
}

func TestColoursOfAProfile(t *testing.T) {
	files := drawnFiles(t, twoTools, Options{}, func(m *profiles.Machine) {
		m.DXFColours = profiles.DXFColours{Mark: 1, Pocket: 140, Outline: 2, Finished: 9}
	})
	assert.Equal(t, map[string]string{"POCKET-49.5MM": "44", "OUTLINE": "2"}, layerColours(files["a-1-pe-30-50.8mm-t2.dxf"]))
	assert.Equal(t, map[string]string{"POCKET-12.7MM": "233", "POCKET-20MM": "53"}, layerColours(files["a-1-pe-30-50.8mm-t1.dxf"]), "no depth has a colour that the profile gives away")
	assert.Equal(t, "9", layerColours(files["a-1-pe-30-50.8mm-finished.dxf"])["FINISHED"])
	assert.Contains(t, files["a-1-pe-30-50.8mm-t2.svg"], `<g id="OUTLINE" fill="none" stroke="#FFFF00"`, "SVG alike: 2 is yellow")
	assert.Contains(t, files["a-1-pe-30-50.8mm-finished.svg"], `<g id="FINISHED" fill="none" stroke="#C0C0C0"`)

	files = drawnFiles(t, twoTools, Options{}, func(m *profiles.Machine) {
		m.DXFColours = profiles.DXFColours{Mark: 1, Pocket: 3, Outline: 2, Depths: []int{5, 6, 4}}
	})
	assert.Equal(t, map[string]string{"POCKET-12.7MM": "6", "POCKET-20MM": "4"}, layerColours(files["a-1-pe-30-50.8mm-t1.dxf"]), "5 is that of 1.2 mm, in the sheet below")
	assert.Contains(t, files["a-1-pe-30-50.8mm-t1.svg"], `<g id="POCKET-12.7MM" fill="none" stroke="#FF00FF"`)
}

// However many depths a job has, and whatever a profile takes, no two layers of a drawing have
// one colour, by number or as shown: a machine would cut one as the other.
func TestNoTwoLayersHaveOneColour(t *testing.T) {
	for _, own := range []profiles.DXFColours{{}, {Mark: 1, Pocket: 34, Outline: 2}, {Mark: 163, Pocket: 7, Outline: 30, Bridged: 40}, {Mark: 1, Pocket: 2, Outline: 3, Bridged: 4, Depths: []int{140, 40, 53}}} {
		l := layers{depthsMM: make([]float64, 40)}
		l.colour(own)
		seen := map[string]bool{}
		for _, c := range append([]page.LineColour{l.mark, l.pocket, l.outline, l.bridged}, l.depths...) {
			assert.False(t, seen[c.Stroke] || seen[fmt.Sprint(c.Index)] || c.Index < 1, "%v of %v", c, own)
			seen[c.Stroke], seen[fmt.Sprint(c.Index)] = true, true
		}
		assert.Len(t, l.depths, 40)
	}
	l := layers{}
	l.colour(profiles.DXFColours{Mark: 5, Pocket: 1, Outline: 7, Bridged: 6})
	assert.Equal(t, page.LineColour{Stroke: "#FF00FF", Index: 6}, l.bridged)
}

// A laser burns whatever it is shown: the finished sizes come when they are asked for.
func TestDrawingsOfALaser(t *testing.T) {
	const text = `
machine: bench-laser
trays:
  - id: a
    size: [140, 100]
    layers: [{foam: pe-30, thickness: 1/2 in}]
    pockets: [{at: [14, 14], size: [30, 30]}]
    labels: [{text: "o", at: [80, 20], height: 30}]
`
	assert.Equal(t, []string{"a-1-pe-30-12.7mm"}, names(drawnFiles(t, text, Options{}, nil), ".dxf"))
	files := drawnFiles(t, text, Options{Finished: true}, nil)
	assert.ElementsMatch(t, []string{"a-1-pe-30-12.7mm", "a-1-pe-30-12.7mm-finished"}, names(files, ".dxf"))
	assert.Equal(t, map[string]string{"MARK": "163", "POCKET": "30", "OUTLINE": "7"}, layerColours(files["a-1-pe-30-12.7mm.dxf"]))
	pieces, err := drawing.DXF.Read(context.Background(), []byte(files["a-1-pe-30-12.7mm.dxf"]))
	require.NoError(t, err)
	assert.Len(t, pieces, 3)
	assert.Equal(t, 3, strings.Count(files["a-1-pe-30-12.7mm.dxf"], "\r\n70\r\n1\r\n10\r\n"), "the stroke of an o is closed, and so are pocket and outline")
}

func TestClosed(t *testing.T) {
	p := func(x, y float64) geometry.Vertex { return geometry.Vertex{Point: geometry.Point{X: x, Y: y}} }
	open := drawing.Path{Open: geometry.NewPath(p(0, 0), p(10, 0), p(10, 10))}
	assert.Equal(t, open, closed(open))
	loop := closed(drawing.Path{Open: geometry.NewPath(p(0, 0), p(10, 0), p(10, 10), p(0, 0))})
	assert.Equal(t, geometry.NewContour(p(0, 0), p(10, 0), p(10, 10)), loop.Contour)
	there := drawing.Path{Open: geometry.NewPath(p(0, 0), p(0, 0))}
	assert.Equal(t, there, closed(there))
}

func TestToolRuns(t *testing.T) {
	tool := func(id string) process.Drawn { return process.Drawn{Tool: profiles.Tool{ID: id}} }
	runs := toolRuns([]process.Drawn{tool("a"), tool("a"), tool("b"), tool("a")})
	require.Len(t, runs, 3)
	assert.Len(t, runs[0], 2)
	assert.Empty(t, toolRuns(nil))
}

// An arc of a radius under 0.1 mm is straight in drawings as it is in programs (write_arcs.go, judged, no source): its place
// within 0.002 mm, and what is larger stays an arc.
func TestSmallArcsAreStraightInDrawingsToo(t *testing.T) {
	rounded := func(r float64) geometry.Contour {
		quarter := math.Tan(math.Pi / 8)
		at := func(x, y, bulge float64) geometry.Vertex {
			return geometry.Vertex{Point: geometry.Point{X: x, Y: y}, Bulge: bulge}
		}
		return geometry.NewContour(at(r, 0, 0), at(20-r, 0, quarter), at(20, r, 0), at(20, 12-r, quarter), at(20-r, 12, 0), at(r, 12, quarter), at(0, 12-r, 0), at(0, r, quarter))
	}
	small, large := rounded(0.05), rounded(5)
	arcs := func(p drawing.Path) (n int) {
		for s := range p.Contour.Segments() {
			if s.IsArc() {
				n++
			}
		}
		return n
	}
	assert.Equal(t, 4, arcs(turnable(drawing.Path{Contour: large})))
	got := turnable(drawing.Path{Contour: small})
	assert.Zero(t, arcs(got))
	assert.InDelta(t, small.Area(), got.Contour.Area(), 4*0.05*math.Pi/2*0.002)
	open := turnable(drawing.Path{Open: geometry.NewPath(geometry.Vertex{Bulge: 1}, geometry.Vertex{Point: geometry.Point{X: 0.1}})}).Open.Vertices()
	assert.Greater(t, len(open), 3)
	assert.Equal(t, geometry.Point{X: 0.1}, open[len(open)-1].Point)

	for _, c := range []geometry.Contour{small, large} {
		var w sheetWork
		d := drawing.Drawing{Layers: []drawing.Layer{{Name: "A", Stroke: "#000000", Index: 7}}, Paths: []drawing.Path{{Layer: "A", Contour: c}}}
		require.NoError(t, w.writeDrawing(d, geometry.Point{}, "a", "", drawing.R2000))
		require.Len(t, w.files, 2)
		for i, arc := range []string{"\n42\r\n0.414", " A "} { // a bulge of tan(pi/8); SVG's word for an arc
			assert.Equal(t, c.Len() == large.Len() && c.Area() == large.Area(), strings.Contains(string(w.files[i].Data), arc), w.files[i].Path)
		}
	}
}

// A machine that takes drawings gets them and what to set, and no program, under each process that has paths; where there
// are none, one error says so, and nothing is written.
func TestDrawingMachinesOfEveryProcess(t *testing.T) {
	for _, process := range profiles.Processes() {
		c, err := profiles.Shipped()
		require.NoError(t, err)
		like, ok := c.Like(process, false)
		require.True(t, ok)
		like.Controller = profiles.Controllers()[slices.IndexFunc(profiles.Controllers(), func(k profiles.Controller) bool { return k.Class == profiles.Drawing })]
		err = c.Add(fstest.MapFS{"a.yaml": {Data: c.MachineFile(like, "drawn")}})
		if process.Traits().Wire { // which has to come to each closed line and out again
			require.ErrorContains(t, err, "a drawing of closed lines has no such way")
			continue
		}
		require.NoError(t, err)
		text := "units: mm\nmachine: drawn\ntrays:\n  - id: a\n    size: [60, 40]\n    layers: [{foam: pe-30, thickness: 6}]\n    pockets: [{at: [15, 10], size: [30, 20], depth: through}]\n"
		j, _, err := job.Load(fstest.MapFS{"job.yaml": {Data: []byte(text)}}, "job.yaml")
		require.NoError(t, err)
		rules := []safety.Rules{{Permits: []safety.Permit{{Foam: "pe-30", Process: process, When: "lid closed"}}}}
		result, err := Cut(context.Background(), Request{Job: j, Catalog: c, Unit: j.Units, Rules: rules}, Options{})
		require.NoError(t, err)
		kinds := map[string]int{}
		for _, f := range result.Report.Files {
			kinds[f.Kind]++
		}
		assert.Zero(t, kinds["gcode"], process)
		if process.Traits().ByHand { // it follows templates, whatever is said of a controller
			assert.False(t, result.Report.Findings.Failed(), "%v", result.Report.Findings)
			assert.Positive(t, kinds["pdf"])
			continue
		}
		if !process.Traits().Followed { // not built
			var errors []string
			for _, f := range result.Report.Findings {
				if f.Severity == finding.Error {
					errors = append(errors, f.Message)
				}
			}
			assert.Len(t, errors, 1, process)
			assert.Contains(t, errors[0], "neither as a program nor as a drawing")
			assert.Empty(t, result.Files, process)
			continue
		}
		require.False(t, result.Report.Findings.Failed(), "%s %v", process, result.Report.Findings)
		assert.Positive(t, kinds["dxf"], process)
		sheet := slices.IndexFunc(result.Files, func(f File) bool { return f.Path == "cut-sheet.md" })
		require.GreaterOrEqual(t, sheet, 0)
		assert.Contains(t, string(result.Files[sheet].Data), "there is\nno program", process)
		page := string(result.Files[sheet].Data)
		assert.Regexp(t, `Layer \d of \d to be cut: POCKET, colour .*feed \d+ mm/min`, page, process)
		if process.Traits().Blade { // neither clears nor leaves tabs, and nobody has the program's lines
			assert.Regexp(t, `OUTLINE, .*, down at 300 mm/min. Cut through, 6.3 mm deep\n`, page)
			assert.Contains(t, page, "its lines are where the blade's tip runs, and how far that trails, 0.5 mm, is for its own software to make up for")
			assert.Contains(t, page, "What comes free lies where it was: pocket 1, the tray.")
			assert.NotRegexp(t, `clear all inside|tabs, 0|ramp of|the program moves`, page)
		}
	}
}
