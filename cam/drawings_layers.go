package cam

import (
	"slices"
	"strconv"

	"traywright/cam/drawing"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/profiles"
)

// Names of the layers. Behind a pocket's and a finished edge's is its depth, where it
// ends inside the sheet.
const (
	markLayer     = "MARK"
	pocketLayer   = "POCKET"
	outlineLayer  = "OUTLINE"
	finishedLayer = "FINISHED"
	bridgedLayer  = "BRIDGED" // open paths from bridge to bridge round what would tip
	openLayer     = "OPEN"    // open paths of a blade that stops short of what is left to a hand
	slitLayer     = "SLIT"    // open paths by which a wire in a hand comes to closed ones
)

// layers makes the layers of a job's drawings: one depth has one colour on all of them, and
// two layers of one drawing never have the same.
type layers struct {
	mark, pocket, outline, bridged page.LineColour
	finishedEdge                   page.LineColour
	open                           string    // the layer of what is not cut all round
	depthsMM                       []float64 // at which pockets end inside their sheets, shallow to deep
	depths                         []page.LineColour
}

func newLayers(p *plan.Plan) layers {
	l := layers{open: bridgedLayer}
	if p.Machine.Process.Traits().Blade {
		l.open = openLayer
	}
	for _, t := range p.Trays {
		for _, s := range t.Sheets {
			for _, c := range s.Cuts {
				if !c.Through {
					l.depthsMM = append(l.depthsMM, toPrinted(c.DepthMM))
				}
			}
		}
	}
	slices.Sort(l.depthsMM)
	l.depthsMM = slices.Compact(l.depthsMM)
	l.colour(p.Machine.DXFColours)
	return l
}

// colour gives each layer a colour: what a profile asks for, then our own, and then whatever
// number is free.
func (l *layers) colour(own profiles.DXFColours) {
	taken := map[string]bool{}
	take := func(c page.LineColour) page.LineColour {
		taken[c.Stroke], taken[profiles.ColourOf(c.Index)] = true, true
		return c
	}
	for _, index := range own.Given() {
		take(ofProfile(index))
	}
	free := func(c page.LineColour) bool { return !taken[c.Stroke] && !taken[profiles.ColourOf(c.Index)] }
	spare := func() page.LineColour {
		for index := 10; index < 250; index++ {
			if c := ofProfile(index); free(c) {
				return take(c)
			}
		}
		return ofProfile(8)
	}
	of := func(index int, usual page.LineColour) page.LineColour {
		switch {
		case index > 0:
			return ofProfile(index)
		case free(usual):
			return take(usual)
		}
		return spare()
	}
	l.mark, l.pocket, l.outline = of(own.Mark, page.MarkLine), of(own.Pocket, page.PocketLine), of(own.Outline, page.OutlineLine)
	l.bridged = of(own.Bridged, page.BridgedLine)
	if l.finishedEdge = page.FinishedLine; own.Finished > 0 {
		l.finishedEdge = ofProfile(own.Finished)
	}
	usual := slices.DeleteFunc(page.DepthLines(), func(c page.LineColour) bool { return !free(c) })
	for i := range l.depthsMM {
		switch {
		case i < len(own.Depths):
			l.depths = append(l.depths, ofProfile(own.Depths[i]))
		case len(usual) > 0:
			l.depths, usual = append(l.depths, take(usual[0])), usual[1:]
		default:
			l.depths = append(l.depths, spare())
		}
	}
}

// ofProfile is a colour that a profile gives by its number.
func ofProfile(index int) page.LineColour {
	return page.LineColour{Stroke: profiles.ColourOf(index), Index: index}
}

// toPrinted is a depth as a layer's name has it.
func toPrinted(mm float64) float64 { return round(mm, 1e-4) }

func depthName(layer string, depthMM float64) string {
	if depthMM == 0 {
		return layer
	}
	return layer + "-" + strconv.FormatFloat(toPrinted(depthMM), 'f', -1, 64) + "MM"
}

// of is the layer of a path.
func (l layers) of(d process.Drawn) drawing.Layer {
	switch {
	case d.Kind == process.Mark:
		return inColour(markLayer, l.mark)
	case len(d.Path.Vertices()) > 0:
		return inColour(l.open, l.bridged)
	case d.Kind == process.Outline:
		return inColour(outlineLayer, l.outline)
	case d.DepthMM == 0:
		return inColour(pocketLayer, l.pocket)
	}
	i, _ := slices.BinarySearch(l.depthsMM, toPrinted(d.DepthMM))
	return inColour(depthName(pocketLayer, d.DepthMM), l.depths[i])
}

func inColour(name string, c page.LineColour) drawing.Layer {
	return drawing.Layer{Name: name, Stroke: c.Stroke, Index: c.Index}
}
