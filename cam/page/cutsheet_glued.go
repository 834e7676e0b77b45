package page

import (
	"fmt"
	"strings"

	"traywright/cam/plan"
)

// gluedText is the page of a tray that is cut out of sheets of the stock, which no page of one of them can be: how its
// layers are glued, and what goes into it.
type gluedText struct {
	trayText
	Head, Aside string
	Figure      string // how thick it becomes
	Steps       []string
}

// gluedHead is what the page of a tray is called wherever it is spoken of; a tray of one layer is packed alone.
func gluedHead(t *plan.Tray) string {
	if len(t.Layers) > 1 {
		return "Glue up " + t.ID
	}
	return "Pack " + t.ID
}

// trayPages are those pages, in the trays' order.
func (c CutSheet) trayPages(packing map[string][]packingRow) (list []gluedText) {
	for i := range c.Plan.Trays {
		t := &c.Plan.Trays[i]
		g := gluedText{trayText: trayText{Tray: t, Packing: packing[t.ID]}, Head: gluedHead(t), Aside: fmt.Sprintf("%d to make", t.Copies), Figure: t.Thickness().Format(c.Unit)}
		if len(t.Layers) > 1 {
			own := c.placesAndOrder(t)
			g.Section = sectionText(t, 0, c.Unit)
			g.Steps = append([]string{c.cutFrom(t), strings.ToUpper(own[:1]) + own[1:] + "."}, c.gluing(c.Plan.Trays[i:i+1])...)
		}
		if len(t.Layers) > 1 || len(g.Packing) > 0 {
			list = append(list, g)
		}
	}
	return list
}

// GluedPages says what those pages are called.
func (t cutSheetText) GluedPages() string {
	var heads []string
	for _, g := range t.Glued {
		heads = append(heads, g.Head)
	}
	return "Behind the pages of the sheets each tray has one of its own: " + strings.Join(heads, ", ") + "."
}

// cutFrom says of each layer of a tray which parts of which sheets it is.
func (c CutSheet) cutFrom(t *plan.Tray) string {
	var layers []string
	for n, l := range t.Layers {
		var sheets []string
		for _, s := range c.Layout.Setups {
			var parts []string
			for i, p := range s.Parts {
				if p.Tray == t && p.Layer == n+1 {
					parts = append(parts, fmt.Sprint(i+1))
				}
			}
			switch {
			case len(parts) == 1:
				sheets = append(sheets, fmt.Sprintf("part %s of %s", parts[0], s.Name))
			case len(parts) > 1:
				sheets = append(sheets, fmt.Sprintf("parts %s of %s", strings.Join(parts, "+"), s.Name))
			}
		}
		layers = append(layers, fmt.Sprintf("layer %d, %s %s: %s", n+1, l.Foam.ID, l.Words(c.Unit), strings.Join(sheets, ", ")))
	}
	return "From top to bottom, " + strings.Join(layers, "; ") + "."
}

// wholeNow says which trays are cut with a setup's last program, and where to go on.
func wholeNow(parts []Part) []string {
	var pages []string
	for _, p := range parts {
		if len(p.Tray.Layers) > 1 {
			pages = append(pages, gluedHead(p.Tray))
		}
	}
	if len(pages) == 0 {
		return nil
	}
	return []string{"All is cut now for " + Listed(pages) + ": see the pages of that name, behind those of the sheets."}
}
