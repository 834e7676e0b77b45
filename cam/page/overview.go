package page

import (
	"fmt"
	"image"
	"io"
	"math"
	"slices"
	"strings"

	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry/units"
)

// OverviewOptions is what the overview says beside the plan. All of it may be
// left out.
type OverviewOptions struct {
	Title string     // "" is the game, or the job's file
	Lines []string   // caption under the title
	Unit  units.Unit // that lengths are printed in
	// Results are the dry runs of each tray's sheets, by the tray's id, in the
	// order of plan.Tray.Sheets. A tray with one for every sheet is drawn from
	// them, others from the plan.
	Results map[string][]proof.Result
}

// Overview draws the whole job as one wide PNG: every tray from above with what
// its pockets are for, their sizes and walls, and the stack of every case in
// section, all to scale. The page widens with the number of trays. A nil or
// empty plan gives an empty page; the error is w's.
func Overview(w io.Writer, p *plan.Plan, o OverviewOptions) error {
	t, err := newTypesetter()
	if err != nil {
		return err
	}
	if p == nil {
		p = &plan.Plan{}
	}
	page := newOverview(t, p, o).draw()
	defer done(page)
	return encode(w, page)
}

// overview is the picture of a job in the making.
type overview struct {
	*typesetter
	p      *plan.Plan
	o      OverviewOptions
	shades *shades
	foams  []string // ids, in the order they are met

	width, columns int
	span           int     // places that a case takes among the trays; 0: cases have rows of their own
	cell, scale    float64 // width of a tray's place; pixels to the mm
	c              *canvas
	drawn          []trayFoam // of each tray
	codes          []trayCodes
	walls          [][]foamWall
}

func newOverview(t *typesetter, p *plan.Plan, o OverviewOptions) *overview {
	v := &overview{typesetter: t, p: p, o: o}
	v.shades = v.plannedShades()
	for i := range p.Trays {
		v.walls = append(v.walls, walls(&p.Trays[i]))
	}
	v.foams = commonestFoams(p)
	v.layout()
	return v
}

// commonestFoams are the ids of the foams in use, those of most layers first, so
// that the plainest pattern is the foam that is everywhere.
func commonestFoams(p *plan.Plan) []string {
	var ids []string
	layers := map[string]int{}
	for _, tray := range p.Trays {
		for _, l := range tray.Layers {
			if layers[l.Foam.ID] == 0 {
				ids = append(ids, l.Foam.ID)
			}
			layers[l.Foam.ID]++
			if l.Top == 0 && len(tray.Layers) > 1 {
				layers[l.Foam.ID]++ // of two that are as common, the one on top
			}
		}
	}
	slices.SortStableFunc(ids, func(a, b string) int { return layers[b] - layers[a] })
	return ids
}

// plannedShades has a class for each depth of the plan. Through differs from
// tray to tray, so its class is given out by trayFoam.
func (v *overview) plannedShades() *shades {
	var floors []float64
	deepest := 1.0
	for _, tray := range v.p.Trays {
		deepest = math.Max(deepest, tray.Thickness().MM())
		for _, k := range tray.Pockets {
			if d := math.Round(k.Depth.MM()*100) / 100; !k.Through && d > 0 && d < deepestMM {
				floors = append(floors, d)
			}
		}
	}
	floors = append(floors, markFloors(v.p)...)
	slices.Sort(floors)
	floors = slices.Compact(floors)
	if len(floors) > mostClasses {
		floors = evenSteps(floors[len(floors)-1])
	}
	deepest = math.Min(deepest, deepestMM)
	return shadesFor(floors, deepest+1, deepest+1)
}

// tallest is the most that a page's height is of its width.
const tallest = 0.86

// layout chooses the page's width and the number of trays side by side: of the
// wide pages, the one that shows the trays largest when it is printed to fit A4
// lying; where none is wide, the widest.
func (v *overview) layout() {
	n := len(v.p.Trays)
	switch {
	case n <= 1 && len(v.p.Cases) == 0:
		v.width = 1800
	case n <= 6:
		v.width = 2400
	case n <= 12:
		v.width = 3000
	default:
		v.width = 3600
	}
	best, columns, span := math.Inf(-1), 1, 0
	for c := 1; c <= min(n+2*len(v.p.Cases), 12); c++ {
		for s := 0; s <= min(c, 2); s++ {
			v.try(c, s)
			if score := v.score(); score > best {
				best, columns, span = score, c, s
			}
		}
	}
	v.try(columns, span)
}

// score is how good a layout is: the scale in print, or how far it is from wide.
func (v *overview) score() float64 {
	w, h := float64(v.width), v.height()
	switch {
	case h > tallest*w:
		return -h
	case len(v.p.Cases) > 0 && v.caseCell() < leastCasePX:
		return -w
	}
	return v.scale / math.Max(w, h*math.Sqrt2)
}

// most pixels to the mm, so that one small tray does not fill the page.
const mostTrayScale = 6

func (v *overview) try(columns, span int) {
	v.columns, v.span = columns, span
	v.cell = (float64(v.width) - 2*marginPX - float64(columns-1)*gapPX) / float64(columns)
	long := 10.0
	for _, t := range v.p.Trays {
		long = math.Max(long, t.Outline.Bounds().Width())
	}
	if scale := math.Min(mostTrayScale, v.cell/long); scale != v.scale || v.codes == nil {
		v.scale, v.codes = scale, nil
		for i := range v.p.Trays {
			v.codes = append(v.codes, v.code(&v.p.Trays[i]))
		}
	}
}

// item is what stands at one place of the page: a tray, or a case.
type item struct {
	tray, kase int // index; -1 for the other kind
	x          float64
}

// grid are the rows of the page.
func (v *overview) grid() [][]item {
	var items []item
	for i := range v.p.Trays {
		items = append(items, item{i, -1, 0})
	}
	var cases []item
	for i := range v.p.Cases {
		cases = append(cases, item{-1, i, 0})
	}
	if v.span == 0 {
		rows := v.rows(items, v.columns, v.cell)
		return append(rows, v.rows(cases, v.caseColumns(), v.caseCell())...)
	}
	return v.rows(append(items, cases...), v.columns, v.cell)
}

// rows fills rows of so many places of a width.
func (v *overview) rows(items []item, columns int, width float64) (rows [][]item) {
	used := columns
	for _, it := range items {
		places := 1
		if it.kase >= 0 && v.span > 0 {
			places = v.span
		}
		if used+places > columns {
			rows, used = append(rows, nil), 0
		}
		it.x = marginPX + float64(used)*(width+gapPX)
		rows[len(rows)-1] = append(rows[len(rows)-1], it)
		used += places
	}
	return rows
}

// height of the whole page.
func (v *overview) height() float64 {
	h := v.headHeight()
	for _, row := range v.grid() {
		h += v.rowHeight(row) + blockGapPX
	}
	return h + v.legendHeight() + marginPX
}

// rowHeight is the height of the tallest of a row.
func (v *overview) rowHeight(row []item) float64 {
	h := 0.0
	for _, it := range row {
		if it.kase >= 0 {
			h = math.Max(h, v.caseBlock(v.p.Cases[it.kase]))
		} else {
			h = math.Max(h, v.trayHeight(it.tray))
		}
	}
	return h
}

func (v *overview) headHeight() float64 {
	return marginPX + titleType.size + 22 + float64(len(v.caption()))*bodyType.lineHeight() + 34
}

func (v *overview) caption() []string {
	text := plural(len(v.p.Trays), "tray")
	if n := len(v.p.Cases); n > 0 {
		text += ", " + plural(n, "case")
	}
	if m := v.p.Machine; m.Name != "" {
		text += ", for " + m.Name
	}
	lines := []string{v.shorten(text, bodyType, float64(v.width)-2*marginPX)}
	for _, line := range v.o.Lines {
		if room := mostCaption - len(lines); room > 0 {
			lines = append(lines, v.wrap(line, bodyType, float64(v.width)-2*marginPX, room)...)
		}
	}
	return lines
}

func (v *overview) title() string {
	job := v.p.Job
	switch {
	case v.o.Title != "":
		return v.o.Title
	case job != nil && job.Game != "":
		return job.Game
	case job != nil && job.File != "":
		return job.File
	}
	return "Overview"
}

// draw draws the page.
func (v *overview) draw() *image.RGBA {
	v.c = newCanvas(v.typesetter, v.width, min(int(v.height()), 20000))
	y := float64(marginPX) + titleType.size
	v.c.text(marginPX, y, v.shorten(v.title(), titleType, float64(v.width)-2*marginPX), titleType, ink, 0)
	y += 22
	for _, line := range v.caption() {
		y += bodyType.lineHeight()
		v.c.text(marginPX, y-8, line, bodyType, softInk, 0)
	}
	y = v.headHeight()
	for i := range v.p.Trays {
		v.drawn = append(v.drawn, v.foamOf(&v.p.Trays[i]))
	}
	for _, row := range v.grid() {
		for _, it := range row {
			if it.kase >= 0 {
				v.drawCase(v.p.Cases[it.kase], it.x, y)
			} else {
				v.drawTray(it.tray, it.x, y)
			}
		}
		y += v.rowHeight(row) + blockGapPX
	}
	v.drawLegend(y)
	return v.c.im
}

// legendSamples are the depths, and the foams of the sections.
func (v *overview) legendSamples() []sample {
	samples := []sample{{func(c *canvas, box rect) { c.swatch(box, top) }, "top, not cut"}}
	for class := 1; class <= len(v.shades.to); class++ {
		text := "to " + v.shades.name(class, v.o.Unit)
		if v.shades.isThrough(uint8(class)) {
			text = "cut through"
		}
		samples = append(samples, sample{func(c *canvas, box rect) { c.depthSwatch(box, v.shades, class) }, text})
	}
	for i, id := range v.foams {
		samples = append(samples, sample{func(c *canvas, box rect) { c.foamBand(box, i); c.frame(box, 1, softInk) }, id})
	}
	return samples
}

// legendPX is the width of one entry of the legend.
const legendPX = 280

func (v *overview) legendRows() []panelRow {
	width := float64(v.width) - 2*marginPX
	return v.legend(width, max(1, int(width/legendPX)), v.legendSamples())
}

func (v *overview) legendHeight() float64 {
	return panel{rows: v.legendRows()}.height()
}

func (v *overview) drawLegend(y float64) {
	panel{title: "Depth below the tray's top, and foams", rows: v.legendRows()}.draw(v.c, marginPX, y, float64(v.width)-2*marginPX)
}

// layersText names the layers of a tray, top to bottom.
func (v *overview) layersText(t *plan.Tray) string {
	var list []string
	for _, group := range alikeLayers(t) {
		text := group[0].Foam.ID + hardSpace + length(group[0].Thickness.MM(), v.o.Unit)
		if n := len(group); n > 1 {
			text = fmt.Sprintf("%d%s×%s%s", n, hardSpace, hardSpace, text)
		}
		list = append(list, text)
	}
	return strings.Join(list, " on ")
}

// trayCodes are the letters in pockets too small for a name, and what they stand for.
type trayCodes struct {
	of   map[string]string // by name
	rows []string          // the key, wrapped
}

// code finds the names that do not fit into their pockets and gives them letters.
func (v *overview) code(t *plan.Tray) trayCodes {
	codes := trayCodes{of: map[string]string{}}
	counts := map[string]int{}
	begins := map[string]string{} // the name that a shortened one stands for; "" when several
	for _, k := range t.Pockets {
		short := v.inPocket(k)
		if name, met := begins[short]; met && name != k.For {
			begins[short] = ""
			continue
		}
		begins[short] = k.For
	}
	var names []string
	for _, k := range t.Pockets {
		counts[k.For]++
		if _, known := codes.of[k.For]; known || k.For == "" || v.fits(k) && begins[v.inPocket(k)] != "" {
			continue
		}
		codes.of[k.For] = letterCode(len(names))
		names = append(names, k.For)
	}
	var key []string
	for i, name := range names {
		entry := letterCode(i) + hardSpace + "=" + hardSpace + name
		if counts[name] > 1 {
			entry += fmt.Sprintf("%s×%s%d", hardSpace, hardSpace, counts[name])
		}
		key = append(key, entry)
	}
	codes.rows = v.wrap(strings.Join(key, ", "), smallType, v.cell, 4)
	return codes
}

// letterCode are a, b, ... z, aa, ab, ...
func letterCode(i int) string {
	text := ""
	for i++; i > 0; i = (i - 1) / 26 {
		text = string(rune('a'+(i-1)%26)) + text
	}
	return text
}
