package page

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/geometry"
)

// trayFoam is a tray as cut, seen from above.
type trayFoam struct {
	*shades
	view  view // placed at the page's corner
	w, h  int
	depth []float32 // below the tray's top, by pixel; -1 outside the tray
	thick float64
}

// foamOf is the tray's foam from the dry runs of its sheets, or from the plan
// where there is not one for each.
func (v *overview) foamOf(t *plan.Tray) trayFoam {
	box := widen(t.Outline.Bounds(), 1)
	if t.Outline.Len() == 0 {
		box = geometry.Box{Max: geometry.Point{X: max(1, t.Length.MM()), Y: max(1, t.Width.MM())}}
	}
	f := trayFoam{shades: v.shadesOf(t), view: view{box: box, scale: v.scale}, thick: t.Thickness().MM()}
	pixels := newFoam(f.view)
	f.w, f.h = pixels.w, pixels.h
	f.depth = make([]float32, f.w*f.h)
	results := v.o.Results[t.ID]
	if len(results) == len(t.Sheets) && len(results) > 0 {
		v.cutAll(f, pixels, t, results)
	} else {
		f.cutAsPlanned(pixels, t)
	}
	f.trim(pixels, t.Outline)
	return f
}

// cutAll stacks the sheets: below a hole right through one, the next one shows.
func (v *overview) cutAll(f trayFoam, pixels *foam, t *plan.Tray, results []proof.Result) {
	open := make([]bool, len(f.depth))
	for i := range open {
		open[i] = true
	}
	for i, r := range results {
		thick := t.Sheets[i].ThicknessMM()
		cut := v.sheetDepths(f, r.Field, thick)
		f.liftPlugs(pixels, &t.Sheets[i], cut)
		for p, d := range cut {
			if open[p] {
				f.depth[p] += d
				open[p] = float64(d) >= thick-depthStepMM
			}
		}
	}
}

// liftPlugs takes out what a hand lifts out after the program: the overview shows trays as they are
// packed, a sheet's picture what its program leaves.
func (f trayFoam) liftPlugs(pixels *foam, s *plan.Sheet, cut []float32) {
	for _, c := range s.Cuts {
		if !c.Plug {
			continue
		}
		rim := slices.Concat(turning(c.Shape, 1), turning(c.Design, -1)) // as the tool leaves it, and islands that were asked for
		eachSpan(geometry.NewRegion(rim...), f.view, pixels, func(y, from, to int) {
			for p := y*f.w + from; p < y*f.w+to; p++ {
				cut[p] = float32(s.ThicknessMM())
			}
		})
	}
}

// turning are a region's contours of a sense: 1 for what bounds it outside, -1 for its holes.
func turning(r geometry.Region, sense float64) []geometry.Contour {
	return slices.DeleteFunc(slices.Clone(r.Contours()), func(c geometry.Contour) bool { return c.Area()*sense < 0 })
}

// aroundMM is how far outside the tray the groove around it is looked for.
const aroundMM = 12

// sheetDepths is how deep each pixel of a sheet is cut, pieces that fell out
// taken away, never deeper than the sheet. It looks around the tray as well:
// only the groove around it tells the tray from the stock.
func (v *overview) sheetDepths(f trayFoam, field proof.Field, thick float64) []float32 {
	pad := int(math.Ceil(aroundMM * f.view.scale))
	wide := view{box: f.view.box.Grow(float64(pad) / f.view.scale), scale: f.view.scale}
	mask := newShades(thick, thick)
	seen := newCanvas(v.typesetter, f.w+2*pad+1, f.h+2*pad+1).paintField(wide, field, mask) // which may round to one pixel more
	seen.findLoose(mask)
	depths := make([]float32, len(f.depth))
	for i := range depths {
		x, y := i%f.w, i/f.w
		switch class := seen.class[(y+pad)*seen.w+x+pad]; {
		case class == loose || class == through:
			depths[i] = float32(thick)
		case class == nothing || class == untouched:
		default:
			at := geometry.Point{X: f.view.box.Min.X + (float64(x)+0.5)/f.view.scale, Y: f.view.box.Max.Y - (float64(y)+0.5)/f.view.scale}
			if d := depthAt(field, at); d > 0 {
				depths[i] = float32(math.Min(d, thick))
			}
		}
	}
	return depths
}

func (f trayFoam) cutAsPlanned(pixels *foam, t *plan.Tray) {
	for _, k := range t.Pockets {
		depth := k.Depth.MM()
		if k.Through {
			depth = f.thick
		}
		eachSpan(k.Design, f.view, pixels, func(y, from, to int) {
			for p := y*f.w + from; p < y*f.w+to; p++ {
				f.depth[p] = max(f.depth[p], float32(depth))
			}
		})
	}
}

// trim marks what is outside the finished tray.
func (f trayFoam) trim(pixels *foam, outline geometry.Contour) {
	if outline.Len() == 0 {
		return
	}
	inside := make([]bool, len(f.depth))
	eachSpan(geometry.NewRegion(outline), f.view, pixels, func(y, from, to int) {
		for p := y*f.w + from; p < y*f.w+to; p++ {
			inside[p] = true
		}
	})
	for p := range f.depth {
		if !inside[p] {
			f.depth[p] = -1
		}
	}
}

// shown is the class of a pixel.
func (f trayFoam) shown(p int) uint8 {
	if f.depth[p] < 0 {
		return nothing
	}
	return f.class(f.depth[p])
}

// at is the depth at a place in mm; -1 outside the tray.
func (f trayFoam) at(x, y float64) float32 {
	u, v := math.Floor((x-f.view.box.Min.X)*f.view.scale), math.Floor((f.view.box.Max.Y-y)*f.view.scale)
	if !(u >= 0 && v >= 0 && u < float64(f.w) && v < float64(f.h)) {
		return -1
	}
	return f.depth[int(v)*f.w+int(u)]
}

// trayHeadPX is the room of a tray's name and size above its picture.
var trayHeadPX = headingType.lineHeight() + smallType.lineHeight() + 12

// trayHeight is the height of all that is said and drawn of a tray.
func (v *overview) trayHeight(i int) float64 {
	t := &v.p.Trays[i]
	high := math.Max(1, t.Outline.Bounds().Height()) * v.scale
	lines := len(v.trayFacts(i)) + len(v.codes[i].rows)
	return trayHeadPX + high + 14 + float64(lines)*smallType.lineHeight()
}

// trayFacts are the lines under a tray's picture.
func (v *overview) trayFacts(i int) []string {
	t := &v.p.Trays[i]
	weight := fmt.Sprintf("%s: foam %s, pieces %s", finding.Grams(t.FoamG+t.PiecesG), finding.Grams(t.FoamG), finding.Grams(t.PiecesG))
	lines := append(v.wrap(v.layersText(t), smallType, v.cell, 2), v.wrap(weight, smallType, v.cell, 2)...)
	return append(lines, v.wrap(v.thinnest(i), smallType, v.cell, 2)...)
}

// thinnest is the tray's narrowest wall and edge.
func (v *overview) thinnest(i int) string {
	var list []string
	for _, kind := range []struct {
		edge bool
		name string
	}{{false, "thinnest wall "}, {true, "edge "}} {
		if w, ok := v.narrowest(i, kind.edge); ok {
			list = append(list, kind.name+Length(w.mm, v.o.Unit))
		}
	}
	if len(list) == 0 {
		return ""
	}
	return strings.Join(list, ", ") + ": at the arrows"
}

// drawTray draws one tray with its name above and its facts below.
func (v *overview) drawTray(i int, x, y float64) {
	t, c := &v.p.Trays[i], v.c
	right := v.trayCount(t, x, y)
	name := t.ID
	if t.Label != "" && t.Label != t.ID {
		name += " · " + apart(t.Label)
	}
	c.text(x, y+headingType.size, v.shorten(name, headingType, right-x-16), headingType, ink, 0)
	dims := size(t.Length.MM(), t.Width.MM(), v.o.Unit) + ", " + Length(t.Thickness().MM(), v.o.Unit) + " thick"
	c.text(x, y+headingType.lineHeight()+smallType.size, v.shorten(dims, smallType, v.cell), smallType, softInk, 0)
	y += trayHeadPX
	on := v.paintTray(i, x, y)
	v.labelPockets(i, on)
	y = on.y + math.Max(1, t.Outline.Bounds().Height())*v.scale + 14
	for _, line := range v.trayFacts(i) {
		c.text(x, y+smallType.size, line, smallType, softInk, 0)
		y += smallType.lineHeight()
	}
	for _, line := range v.codes[i].rows {
		c.text(x, y+smallType.size, line, smallType, ink, 0)
		y += smallType.lineHeight()
	}
}

// trayCount writes how often a tray is made, and returns where that begins.
func (v *overview) trayCount(t *plan.Tray, x, y float64) float64 {
	right := x + v.cell
	if t.Copies <= 1 {
		return right
	}
	right = x + math.Min(v.cell, math.Max(360, t.Outline.Bounds().Width()*v.scale))
	text := fmt.Sprintf("make %d", t.Copies)
	w := v.typesetter.width(text, strongType) + 28
	box := rect{right - w, y + 2, w, 36}
	v.c.pill(box, paper, ink, 2)
	v.c.text(box.x+w/2, box.y+box.h/2+strongType.capHeight()/2, text, strongType, ink, 0.5)
	return box.x
}

// paintTray draws a tray's foam and edge at a place of the page.
func (v *overview) paintTray(i int, x, y float64) view {
	f, c := v.drawn[i], v.c
	on := f.view
	on.x, on.y = math.Round(x), math.Round(y)
	pixels := newFoam(on)
	for p := range min(len(pixels.class), len(f.depth)) {
		pixels.class[p] = f.shown(p)
		if class := pixels.class[p]; class != nothing {
			c.set(pixels, p%f.w, p/f.w, f.colours[class])
		}
	}
	c.edges(pixels)
	c.patterns(pixels, f.shades)
	c.polyline(on.all(outline(v.p.Trays[i].Outline, on.scale)), pen{width: 2.5, col: ink})
	v.drawMarks(&v.p.Trays[i], on)
	return on
}

// labelPockets writes what each pocket is for, and the walls where there is room.
func (v *overview) labelPockets(i int, on view) {
	t := &v.p.Trays[i]
	claims := newClaims(v.c.bounds())
	for _, k := range t.Pockets {
		v.labelPocket(i, on, k, claims)
	}
	v.markNarrowest(i, on, claims)
	v.labelWalls(i, on, claims)
}

// write sets as many of the lines as fit, centred around (x, y), and keeps hatches off
// the letters.
func (v *overview) write(claims *claims, on view, x, y float64, back color.RGBA, room rect, lines ...string) {
	var kept []string
	wide := 0.0
	for _, line := range lines {
		w := v.typesetter.width(line, smallType)
		if line != "" && w <= room.w && float64(len(kept))*smallType.lineHeight()+smallType.size <= room.h+8 {
			kept = append(kept, line)
			wide = math.Max(wide, w)
		}
	}
	high := float64(len(kept)) * smallType.lineHeight()
	at, ok := claims.place(on.on(), centred(x, y, wide, high-8))
	if !ok {
		return
	}
	v.c.clearHatch(at, back)
	y += -high/2 + smallType.lineHeight()/2 + smallType.capHeight()/2
	for _, line := range kept {
		v.c.text(x, y, line, smallType, lettersOn(back), 0.5)
		y += smallType.lineHeight()
	}
}
