package cam

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/gcode"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/safety"
)

// What a sheet, or a setup of several trays, is called in findings, in its program and on pictures.

// where names the sheet in findings.
func (w *sheetWork) where() string {
	if w.laidOn != nil {
		return w.tray.ID
	}
	if w.sheet.Number == 0 {
		return fmt.Sprintf("tray %s, block", w.tray.ID)
	}
	return fmt.Sprintf("tray %s, layer %d", w.tray.ID, w.sheet.Number)
}

// title names the sheet for a person.
func (w *sheetWork) title() string {
	if w.laidOn != nil {
		return fmt.Sprintf("%s: %s", w.tray.ID, w.foams())
	}
	if w.sheet.Number == 0 {
		return fmt.Sprintf("%s: block", w.tray.ID)
	}
	return fmt.Sprintf("%s: layer %d of %d, %s", w.tray.ID, w.sheet.Number, len(w.tray.Layers), w.foams())
}

// header is what the program says of itself.
func (w *sheetWork) header(r Request, p *plan.Plan) gcode.Header {
	layer := fmt.Sprintf("%d of %d, counted from the top", w.sheet.Number, len(w.tray.Layers))
	if w.sheet.Number == 0 {
		layer = "all, glued into one block"
	}
	tray := w.tray.ID
	if w.tray.Label != "" {
		tray += ", " + w.tray.Label
	}
	if w.laidOn != nil {
		layer = "1 of 1, a sheet with 1 part"
		if n := len(w.laidOn.Parts); n > 1 {
			layer = fmt.Sprintf("1 of 1, a sheet with %d parts", n)
		}
		tray += ", " + laidNames(w.laidOn)
	}
	part := ""
	if w.k > 0 {
		part = fmt.Sprintf("%d of %d for this sheet, a tool each", w.k, w.of)
	}
	return gcode.Header{
		Part: part, Unit: r.Job.Units,
		Job: r.Job.File, Tray: tray, Layer: layer, Made: page.MadeText(w.makes), Foam: w.foams(), Machine: p.Machine.ID, CurrentA: w.sheet.Edge.Recipes[0].CurrentA.Value,
		Recipe: recipeSources(w.sheet), ThicknessMM: w.sheet.ThicknessMM(), Notes: w.sheet.Notes, Requires: safety.Requires(w.uses(p.Machine), r.Rules),
		Cautions: safety.Cautions(w.uses(p.Machine), r.Rules),
	}
}

// recipeSources names each recipe of the sheet once, and where it is from.
func recipeSources(s *plan.Sheet) string {
	var list []string
	for _, c := range s.All() {
		for _, recipe := range c.Recipes {
			text := fmt.Sprintf("%s with %s: %s", recipe.Foam, recipe.Tool, recipe.Source)
			if !slices.Contains(list, text) {
				list = append(list, text)
			}
		}
	}
	return strings.Join(list, "; ")
}

// pictureOptions is what the picture says beside what the dry run found.
func (w *sheetWork) pictureOptions(r Request, p *plan.Plan) page.PictureOptions {
	return page.PictureOptions{
		Title: w.title(), Unit: r.Unit, ThicknessMM: w.sheet.ThicknessMM(), Machine: w.sheet.On(p.Machine),
		Spell: gcode.Plain, Wanted: w.wanted(p.Machine), Lines: w.caption(r), Job: p, Laid: w.laidOn, Offcut: w.offcut, Ears: w.tray.Ears,
		LowMM: w.whole.Min.Point,
	}
}

// caption is the lines under a picture's title.
func (w *sheetWork) caption(r Request) []string {
	var lines []string
	if r.Job.Game != "" {
		lines = append(lines, r.Job.Game)
	}
	if w.tray.Label != "" {
		lines = append(lines, w.tray.Label)
	}
	if w.laidOn != nil {
		lines = append(lines, laidNames(w.laidOn))
	}
	if len(w.tray.Ears) > 0 {
		lines = append(lines, "ears stay on until the tray is glued")
	}
	if len(w.makes) > 1 {
		text := fmt.Sprintf("made %d times", w.made())
		if n := len(w.trays()); n > 1 {
			text += fmt.Sprintf(", for %d trays", n)
		}
		lines = append(lines, text)
	}
	if w.of > 1 {
		lines = append(lines, fmt.Sprintf("the foam behind all %d programs; time and order are the last one's", w.of))
	}
	return lines
}
