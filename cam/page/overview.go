package page

import (
	"bytes"
	"fmt"
	"image"
	"io"
	"slices"
	"strings"

	"traywright/cam/finding"
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
	Seconds float64 // of all programs, each as often as it is run; 0 is not known
	// Refused says that this is no plan, but what was found before the job was refused, and Unplaced what found no place.
	Refused  bool
	Unplaced []Unplaced
}

// Overview draws the whole job as one wide PNG: every tray from above with what
// its pockets are for, their sizes and walls, and the stack of every case in
// section, all to scale. The page widens with the number of trays. A nil or
// empty plan gives an empty page; the error is w's.
func Overview(w io.Writer, p *plan.Plan, o OverviewOptions) error {
	if p == nil {
		p = &plan.Plan{}
	}
	t, err := newTypesetter(lettersOf(p.Letters))
	if err != nil {
		return err
	}
	v := newOverview(t, p, o, false)
	page := v.draw(v.grid(), true)
	defer done(page)
	return encode(w, page, false)
}

// overviewOnPaper is the job's picture for the cut sheet, in as many parts as there
// have to be for each to fit onto a page.
func overviewOnPaper(p *plan.Plan, o OverviewOptions) (parts [][]byte, err error) {
	t, err := newTypesetter(lettersOf(p.Letters))
	if err != nil {
		return nil, err
	}
	v := newOverview(t, p, o, true)
	pages := v.parts()
	for i, rows := range pages {
		var b bytes.Buffer
		page := v.draw(rows, i == len(pages)-1)
		err := encode(&b, page, true)
		done(page)
		if err != nil {
			return nil, err
		}
		parts = append(parts, b.Bytes())
	}
	return parts, nil
}

// overview is the picture of a job in the making.
type overview struct {
	*typesetter
	p       *plan.Plan
	o       OverviewOptions
	scaleMM float64  // of depth
	foams   []string // ids, in the order they are met

	onPaper        bool // for the cut sheet, which has its own head
	width, columns int
	span           int     // places that a case takes among the trays; 0: cases have rows of their own
	cell, scale    float64 // width of a tray's place; pixels to the mm
	c              *canvas
	drawn          []trayFoam // of each tray
	codes          []trayCodes
	walls          [][]foamWall
}

func newOverview(t *typesetter, p *plan.Plan, o OverviewOptions, onPaper bool) *overview {
	v := &overview{typesetter: t, p: p, o: o, scaleMM: jobScale(p), onPaper: onPaper}
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

// shadesOf are the shades of a tray's foam.
func (v *overview) shadesOf(t *plan.Tray) *shades {
	return newShades(v.scaleMM, t.Thickness().MM())
}

// plannedDepths are those of the pockets and marks that end in the foam.
func plannedDepths(p *plan.Plan) []float64 {
	depths := markDepths(p)
	for _, tray := range p.Trays {
		for _, k := range tray.Pockets {
			if !k.Through {
				depths = append(depths, k.Depth.MM())
			}
		}
	}
	return depths
}

func (v *overview) headHeight() float64 {
	if v.onPaper {
		return marginPX
	}
	return marginPX + titleType.size + 22 + float64(len(v.caption()))*bodyType.lineHeight() + 34
}

func (v *overview) caption() []string {
	text := finding.Counted(len(v.p.Trays), "tray")
	if n := len(v.p.Cases); n > 0 {
		text += ", " + finding.Counted(n, "case")
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

// figure is the largest text: how long all programs run, where that is known; else the
// room of the first case, or the size of the first tray.
func (v *overview) figure() string {
	switch {
	case v.o.Refused:
		return refusedWord
	case v.o.Seconds > 0:
		return finding.Duration(v.o.Seconds)
	case len(v.p.Cases) > 0:
		inside := v.p.Cases[0].Inside
		return size(inside.Length.MM(), inside.Width.MM(), v.o.Unit)
	case len(v.p.Trays) > 0:
		return size(v.p.Trays[0].Length.MM(), v.p.Trays[0].Width.MM(), v.o.Unit)
	}
	return ""
}

func (v *overview) title() string {
	job := v.p.Job
	switch {
	case v.o.Title != "":
		return v.o.Title
	case job != nil && job.Game != "":
		return apart(job.Game)
	case job != nil && job.File != "":
		return job.File
	}
	return "Overview"
}

// draw draws a page of such rows, and under the last of them what the shades mean.
func (v *overview) draw(rows [][]item, last bool) *image.RGBA {
	high := v.height(rows)
	if !last {
		high -= stack(v.legends())
	}
	v.c = newCanvas(v.typesetter, v.width, min(int(high), 20000))
	if !v.onPaper {
		v.head()
	}
	y := v.headHeight()
	for i := len(v.drawn); i < len(v.p.Trays); i++ {
		v.drawn = append(v.drawn, v.foamOf(&v.p.Trays[i]))
	}
	for _, row := range rows {
		for _, it := range row {
			switch {
			case it.left:
				v.drawLeft(it.tray, it.x, y)
				continue
			case it.kase >= 0:
				v.drawCase(v.p.Cases[it.kase], it.x, y)
			default:
				v.drawTray(it.tray, it.x, y)
			}
			if v.o.Refused {
				v.refuse(it, it.x, y)
			}
		}
		y += v.rowHeight(row) + blockGapPX
	}
	if last {
		v.legends()[0].draw(v.c, marginPX, y, float64(v.width)-2*marginPX)
	}
	return v.c.im
}

// head writes the title, the figure and the caption.
func (v *overview) head() {
	y := v.c.heading(v.refusedTitle(v.title()), v.figure(), float64(v.width)-marginPX)
	for _, line := range v.caption() {
		y += bodyType.lineHeight()
		v.c.text(marginPX, y-8, line, bodyType, softInk, 0)
	}
}

// legends are the depths, and the foams of the sections.
func (v *overview) legends() []panel {
	width := float64(v.width) - 2*marginPX
	more := []sample{throughSwatch(newShades(v.scaleMM, v.scaleMM))}
	for i, id := range v.foams {
		more = append(more, sample{func(c *canvas, box rect) { c.foamBand(box, i); c.frame(box, 1, softInk) }, id})
	}
	rows := v.depthLegend(width, newShades(v.scaleMM, 0), ownScale, plannedDepths(v.p), more, v.o.Unit)
	return []panel{{title: "Depth below the tray's top, and foams", rows: rows}}
}

// layersText names the layers of a tray, top to bottom.
func (v *overview) layersText(t *plan.Tray) string {
	var list []string
	for _, group := range alikeLayers(t) {
		text := group[0].Foam.ID + " " + Thick(group[0].Thickness.MM(), v.o.Unit)
		if n := len(group); n > 1 {
			text = fmt.Sprintf("%d × %s", n, text)
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
	var names []string
	shown := map[string]string{}
	taken := map[string]bool{} // what is a name on this tray is no letter for another
	for _, k := range t.Pockets {
		taken[strings.ToLower(v.typesetter.name(&k))] = true
	}
	next := 0
	for _, k := range t.Pockets {
		counts[k.For]++
		if _, known := codes.of[k.For]; known || k.For == "" || v.fits(k) {
			continue
		}
		for taken[alphabetic(next, 'a')] {
			next++
		}
		codes.of[k.For] = alphabetic(next, 'a')
		next++
		names = append(names, k.For)
		shown[k.For] = v.typesetter.name(&k)
	}
	var key []string
	for _, name := range names {
		entry := codes.of[name] + " = " + shown[name]
		if counts[name] > 1 {
			entry += fmt.Sprintf(" × %d", counts[name])
		}
		key = append(key, entry)
	}
	if list := t.Dowels(); len(list) > 0 {
		key = append(key, fmt.Sprintf("%d holes for dowels of %s", len(list), list[0].Dowel.Format(v.o.Unit)))
		if side := t.EarsAt(); side != "" {
			key[len(key)-1] += fmt.Sprintf(" in ears at the %s, cut off when it is glued", side)
		}
	}
	codes.rows = v.wrap(strings.Join(key, ", "), smallType, v.cell, 4)
	return codes
}
