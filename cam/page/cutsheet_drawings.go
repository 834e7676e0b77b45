package page

import (
	"fmt"
	"path"
	"slices"
	"strings"

	"traywright/cam/process"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Drawings are a sheet's drawings for machines and other programs.
type Drawings struct {
	Cutting  [][2]string  // the DXF file, and the tool whose kerf is taken off, in the order of cutting
	Finished string       // the DXF file of the sizes that the foam will have; "" for none
	MovedMM  [2]float64   // where the program's X0 Y0 lies in both
	Load     []DrawnLayer // of this program's drawing, where the machine takes that in its place
}

// DrawnLayer is a layer of a drawing that a machine takes, and how its paths are cut.
type DrawnLayer struct {
	Name, Stroke string // Stroke is #RRGGBB
	Index        int    // of its colour in DXF
	Recipes      []profiles.Recipe
	How          string // how deep a cutter goes, and what it clears; "" for a beam
}

// load says how a machine takes a drawing: a step for the file, and one for each layer in
// the order of cutting; none where it takes a program.
func (c CutSheet) load(s Sheet) []string {
	layers, m := s.Drawings.Load, c.Plan.Machine
	if len(layers) == 0 {
		return nil
	}
	what, runs := "depth, speed, feed, passes", "the tool's centre or the beam runs"
	switch {
	case m.Process.Traits().Beam:
		what = "power, feed, passes"
	case c.blade():
		what, runs = "depth, feed, passes", fmt.Sprintf("the blade's tip runs, and how far that trails, %s, is for its own software to make up for", c.length(s.Sheet.Edge.Tool.TrailMM.Value))
	}
	list := []string{fmt.Sprintf("Load %s (or the .svg of that name) as it is, in mm at full size, and offset nothing: its lines are where %s. This machine takes drawings only: "+
		"%s and the order of cutting are set in its own software, layer by layer, as follows.", path.Base(s.File), runs, what)}
	if over := s.Program.ClearZ; over > 0 && !m.Process.Traits().Beam {
		list = append(list, fmt.Sprintf("Set its safe height, at which the tool comes, goes from cut to cut and goes away, to %s above the foam's top or more: what is said of the clamps counts on that.", c.length(over)))
	}
	for i, l := range layers {
		var how []string
		for _, r := range l.Recipes {
			text, _ := recipeText(m, r, c.Unit)
			text += c.down(r)
			if !slices.Contains(how, text) {
				how = append(how, text)
			}
		}
		text := fmt.Sprintf("Layer %d of %d to be cut: %s, colour %d in the .dxf, %s in the .svg: %s", i+1, len(layers), l.Name, l.Index, l.Stroke, strings.Join(how, "; "))
		if l.How != "" {
			text += ". " + strings.ToUpper(l.How[:1]) + l.How[1:]
		}
		list = append(list, text)
	}
	return list
}

// down is how a cutter goes down and clears, which its own software decides where it takes a
// drawing; "" for a beam.
func (c CutSheet) down(r profiles.Recipe) string {
	if r.PlungeMMPerMin.Value == 0 {
		return ""
	}
	if c.blade() {
		return fmt.Sprintf(", down at %s/min", c.length(r.PlungeMMPerMin.Value))
	}
	return fmt.Sprintf(", down at %s/min along a ramp of %g degrees at most, laps no further apart than %g %% of the cutter", c.length(r.PlungeMMPerMin.Value), r.RampDegrees.Value, 100*r.Stepover.Value)
}

// whichFile says which of a job's files is for whom.
func (c CutSheet) whichFile() []string {
	if c.byHand() {
		return handFiles
	}
	if c.Plan.Machine.DrawingsOnly() {
		layers, what := "MARK, BRIDGED (open, round what bridges hold), POCKET, OUTLINE last", "Power, feed and passes"
		if !c.Plan.Machine.Process.Traits().Beam {
			layers, what = "MARK, POCKET with the depth behind it, POCKET that goes through, OUTLINE last", "Depth, speed, feed and passes"
		}
		return append(c.turns(),
			"This machine takes drawings only, and there is no program: it is given the .dxf or the .svg, its cutting lines with the kerf already taken off. The .png of that name shows what they leave.",
			"Layers, each in a colour of its own, in the order of cutting: "+layers+". "+what+" of each stand on the sheet's page: set them in the machine's own software.",
			"Those with -finished, where there are any, are the sizes that the foam will have. Never cut along them.",
		)
	}
	open := "BRIDGED (open, round what bridges hold: cut it as POCKET), "
	switch {
	case c.blade():
		open = "OPEN (where the blade stops short of what is left to a hand: cut it as POCKET), "
	case c.wired():
		open = "" // a wire's plugs come free
	}
	list := append(c.turns(),
		"A program is for this machine alone; the .png of its name shows what it leaves.",
		"The .dxf and .svg of that name are its cutting lines, the kerf of one tool already taken off: for a machine that runs along them as they are. "+
			"Layers, each in a colour of its own: MARK, POCKET (with a depth behind it where it ends inside the sheet), "+open+"OUTLINE last.",
	)
	if c.wired() {
		list[len(list)-1] += " SLIT (open) is the way by which a wire comes into each closed line, and out again."
	}
	for _, s := range c.Sheets {
		if s.Drawings.Finished != "" {
			return append(list, "Those with -finished are the sizes that the foam will have, on FINISHED: for a program that takes the kerf off itself. Never cut along them.")
		}
	}
	return list
}

// turns says what the end of a name means where a sheet takes several files; none elsewhere.
func (c CutSheet) turns() []string {
	if !slices.ContainsFunc(c.Sheets, func(s Sheet) bool { return s.Of > 1 }) {
		return nil
	}
	return []string{"-t1, -t2 and on at the end of a name are the first, the second and so on that a sheet takes, each with one tool: no number of a tool. Which tool stands in the list above and on the sheet's page, as T1, T2."}
}

// loose says what no drawing can, to whoever has a machine run along it: what is left to hold
// the parts, and what comes free. Of a sheet of several tools it is what is in this one's drawing.
func (c CutSheet) loose(s Sheet) string {
	all := len(s.Drawings.Load) == 0 // a machine that takes programs has all drawings with the last
	in := map[string]bool{}
	outline, plugs, through := all, false, false
	for _, op := range s.Program.Ops {
		in[op.Name] = true
		outline = outline || op.Kind == process.Outline
	}
	for _, cut := range s.Sheet.Cuts {
		if all || in[cut.Name] {
			plugs, through = plugs || cut.Plug, through || cut.Through
		}
	}
	var ends []string
	hold := s.Sheet.Edge.Hold
	if outline && hold.SkinMM > 0 {
		ends = append(ends, fmt.Sprintf("end OUTLINE %s above the foam's underside, so that a skin holds the tray", c.length(hold.SkinMM)))
	}
	if skin := s.Sheet.PlugSkinMM(); plugs && skin > 0 {
		ends = append(ends, fmt.Sprintf("end the grooves round plugs (the deepest POCKET with a depth behind it) %s above it, so that a skin holds them", c.length(skin)))
	}
	if outline && hold.Tabs > 0 {
		ends = append(ends, fmt.Sprintf("leave %d tabs in OUTLINE to hold the tray", hold.Tabs))
	}
	text := strings.TrimSuffix("a drawing says nothing of depths, tabs and skins: "+strings.Join(ends, "; "), ": ")
	switch {
	case outline:
		text += ". Run to the full depth, the tray and whatever is cut round inside it (plugs of pockets, islands, letters) come loose under the tool: hold them, or stop and take them out"
	case through || plugs:
		text += ". Run to the full depth, whatever is cut round inside the tray (plugs of pockets, islands, letters) comes loose under the tool: hold it, or stop and take it out"
	default:
		text += ". A POCKET ends at the depth behind its name"
	}
	return text
}

// drawings is a line of a sheet's settings.
func (c CutSheet) drawings(s Sheet) [2]string {
	var list []string
	for _, d := range s.Drawings.Cutting {
		list = append(list, path.Base(d[0])+" for "+d[1])
	}
	whose := "the program's"
	if len(s.Drawings.Load) > 0 {
		whose = "the tray's"
	}
	if s.Laid != nil && len(s.Drawings.Load) > 0 {
		whose = "the sheet's"
	}
	x, y := s.Drawings.MovedMM[0], s.Drawings.MovedMM[1]
	moved := fmt.Sprintf("in it %s X0 Y0 lies at X %s, Y %s", whose, Length(x, units.Millimetre), Length(y, units.Millimetre)) // which the drawing is in
	return [2]string{"Drawing", strings.Join(list, ", ") + "; " + moved}
}
