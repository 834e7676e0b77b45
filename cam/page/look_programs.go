package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/profiles"
)

// The programs as the page follows them: it reads their text itself, and takes from here only
// what no program says of itself: when each of its moves ends, by the dry run's clock, how
// wide its tools cut, and how deep a beam goes.
type (
	// lookSetup is foam that is clamped once, and the programs that cut it, in order.
	lookSetup struct {
		Foam     string        `json:"foam"`
		Parts    [][2]int      `json:"parts"`           // tray, and layer from 1, 0 for a block
		Board    *lookTray     `json:"board,omitempty"` // of a sheet of the stock: all that lies on it, as one tray
		TopMM    float64       `json:"top_mm"`
		ThickMM  float64       `json:"thick_mm"`
		Last     bool          `json:"last"` // no foam lies below it in its tray
		Field    lookField     `json:"field"`
		Programs []lookProgram `json:"programs"`
	}
	// lookField is the dry run's lattice.
	lookField struct {
		X       float64 `json:"x"`
		Y       float64 `json:"y"`
		CellMM  float64 `json:"cell_mm"`
		Columns int     `json:"columns"`
		Rows    int     `json:"rows"`
	}
	lookProgram struct {
		Path    string             `json:"path"`
		Time    string             `json:"time"`
		Seconds float64            `json:"seconds"`
		Beam    bool               `json:"beam"`
		ZTopMM  float64            `json:"z_top_mm"` // Z of the foam's top in the program
		ZSign   float64            `json:"z_sign"`
		Scale   [2]float64         `json:"scale"`
		Lean    float64            `json:"lean"` // of a beam: how much wider it cuts, mm a side for each mm of height
		Blades  map[int][]lookWide `json:"blades"`
		Bands   []lookBand         `json:"bands"`
		Ends    []int              `json:"ends"` // of each move, 1/100 s after the one before
		Deep    [][2]float64       `json:"deep"` // of a beam: so many moves in a row, and the depth behind them
		Volume  float64            `json:"removed_mm3"`
	}
	// lookWide is how far from its centre a tool cuts, down to a depth.
	lookWide struct {
		ToMM     float64 `json:"to_mm"`
		RadiusMM float64 `json:"radius_mm"`
	}
	// lookBand is an operation on the ribbon.
	lookBand struct {
		Name     string  `json:"name"`
		Tool     int     `json:"tool"`
		ToolName string  `json:"tool_name"`
		From     float64 `json:"from"` // s from the program's start
		To       float64 `json:"to"`
		First    int     `json:"first"` // of its moves
		Pockets  []int   `json:"pockets"`
		Falls    string  `json:"falls,omitempty"` // path of what a beam lets fall when it is done
		FallsMM  float64 `json:"falls_mm,omitzero"`
		cut      string
	}
)

// lookSetups joins the programs of each sheet.
func (c CutSheet) lookSetups(bands [][]lookBand, made makings) []lookSetup {
	list := []lookSetup{}
	for i, s := range c.Sheets {
		if s.K <= 1 {
			list = append(list, c.lookSetup(s, made))
		}
		setup := &list[len(list)-1]
		f := s.Run.Field // the last program's, which holds what all of them cut
		setup.Field = lookField{f.Origin.X, f.Origin.Y, f.CellMM, f.Columns, f.Rows}
		if !c.Plan.Machine.DrawingsOnly() {
			setup.Programs = append(setup.Programs, c.lookProgram(s, bands[i]))
		}
	}
	return list
}

func (c CutSheet) lookSetup(s Sheet, made makings) lookSetup {
	l := lookSetup{
		Foam: fmt.Sprintf("%s, %s", s.Foams, c.thick(s.Sheet.ThicknessMM())), ThickMM: s.Sheet.ThicknessMM(), TopMM: s.Sheet.Layers[0].Top.MM(),
		Last: s.Sheet.Number == 0 || s.Sheet.Number == len(s.Tray.Layers), Parts: [][2]int{}, Programs: []lookProgram{},
	}
	lies := func(t *plan.Tray, layer int) {
		for i := range c.Plan.Trays {
			if part := [2]int{i, layer}; &c.Plan.Trays[i] == t && !slices.Contains(l.Parts, part) {
				l.Parts = append(l.Parts, part)
			}
		}
	}
	if s.Laid == nil {
		for _, p := range s.Parts {
			lies(p.Tray, p.Sheet.Number)
		}
		return l
	}
	for _, p := range s.Laid.Parts {
		lies(p.Tray, p.Layer)
	}
	l.Board = c.lookBoard(s, made[s.Tray])
	return l
}

// lookBoard is a sheet of the stock as one tray.
func (c CutSheet) lookBoard(s Sheet, made map[int]*making) *lookTray {
	box := s.Sheet.Edge.Shape.Bounds()
	l := &lookTray{
		ID: s.Laid.Name, Name: s.Laid.Name, Outline: svgPath(s.Sheet.Edge.Shape), Box: boxOf(box), Layers: []lookLayer{}, Holes: [][3]float64{},
		Facts: [][2]string{{"sheet", c.size(s.Laid.SizeMM[0], s.Laid.SizeMM[1])}},
	}
	for _, p := range s.Laid.Parts {
		l.Facts = append(l.Facts, [2]string{"part", p.Label()})
	}
	c.fill(l, s.Tray, made)
	return l
}

func (c CutSheet) lookProgram(s Sheet, bands []lookBand) lookProgram {
	m := s.Sheet.On(c.Plan.Machine)
	x, y := m.Scale()
	l := lookProgram{
		Path: s.File, Time: finding.Duration(s.Run.Seconds), Seconds: exactSeconds(s.Run.Seconds), Beam: m.Process.Traits().Upright, ZSign: m.ZSign(), Scale: [2]float64{x, y},
		Blades: s.blades(), Bands: bands, Ends: []int{}, Deep: [][2]float64{}, Volume: math.Round(s.Run.RemovedMM3),
	}
	if m.ZZero == profiles.ZBed {
		l.ZTopMM = s.Sheet.ThicknessMM()
	}
	last := 0
	for _, motion := range s.Run.Motions {
		end := int(math.Round(motion.EndS * 100))
		l.Ends, last = append(l.Ends, end-last), end
		if n := len(l.Deep); l.Beam && (n == 0 || l.Deep[n-1][1] != motion.BeamMM) {
			l.Deep = append(l.Deep, [2]float64{1, motion.BeamMM})
		} else if l.Beam {
			l.Deep[n-1][0]++
		}
	}
	for _, cut := range s.Sheet.All() {
		for _, r := range cut.Recipes {
			if l.Beam {
				l.Lean = max(l.Lean, math.Tan(r.TaperDegrees.Value*math.Pi/180))
			}
		}
	}
	return l
}

// blades are how wide each tool cuts: in a block in each of its foams.
func (s Sheet) blades() map[int][]lookWide {
	list := map[int][]lookWide{}
	for tool, kerf := range s.Run.KerfMM {
		list[tool] = []lookWide{{1e6, kerf / 2}}
	}
	if len(s.Sheet.Layers) < 2 {
		return list
	}
	for _, cut := range s.Sheet.All() {
		blade, depth := []lookWide{}, 0.0
		for i, l := range s.Sheet.Layers {
			depth += l.Thickness.MM()
			blade = append(blade, lookWide{depth, cut.KerfMM[i] / 2})
		}
		blade[len(blade)-1].ToMM = 1e6
		list[cut.Tool.Number] = blade
	}
	return list
}

// exactSeconds are a program's, so finely that the page, by way of the report's tenth, says the second that all others say.
func exactSeconds(s float64) float64 { return math.Round(s*1e4) / 1e4 }

// bandsOf are the operations of a program by the dry run's clock. Each begins where the one
// before ends, so together they are all of its time.
func bandsOf(s Sheet) []lookBand {
	bands := []lookBand{}
	for i, m := range s.Run.Motions {
		n := len(bands)
		if n == 0 || m.Op != s.Run.Motions[i-1].Op && s.Run.Motions[i-1].Op != "" || m.Tool != bands[n-1].Tool {
			b := lookBand{Tool: m.Tool, First: i, Pockets: []int{}, ToolName: s.toolName(m.Tool)}
			if n > 0 {
				b.From = bands[n-1].To
			}
			bands = append(bands, b)
			n++
		}
		bands[n-1].To = math.Round(m.EndS*100) / 100
	}
	if n := len(bands); n > 0 {
		bands[n-1].To = exactSeconds(s.Run.Seconds)
	}
	s.nameBands(bands)
	return bands
}

// nameBands says what each band makes, as far as the program's operations and the dry run's
// are as many; else it says only which tool turns.
func (s Sheet) nameBands(bands []lookBand) {
	type part struct {
		name string
		tool int
	}
	var parts []part
	for _, op := range s.Program.Ops {
		if n := len(parts); n == 0 || parts[n-1] != (part{op.Name, op.Tool.Number}) {
			parts = append(parts, part{op.Name, op.Tool.Number})
		}
	}
	cuts := map[string][]plan.Cut{}
	for _, cut := range s.Sheet.Cuts {
		cuts[cut.Name] = append(cuts[cut.Name], cut)
	}
	for i := range bands {
		if len(parts) != len(bands) {
			bands[i].Name = bands[i].ToolName
			continue
		}
		name, roughs := strings.CutPrefix(parts[i].name, plan.RoughingOf)
		bands[i].cut, bands[i].Name = name, name
		for _, cut := range cuts[name] {
			bands[i].take(cut, s)
		}
		if roughs {
			bands[i].Name += ", roughed"
		}
	}
}

// take adds a cut of the band's name: a label has one for each letter.
func (b *lookBand) take(cut plan.Cut, s Sheet) {
	if len(cut.Pockets) > 0 {
		b.Pockets, b.Name = append(b.Pockets, cut.Pockets...), s.Tray.Pockets[cut.Pockets[0]].Piece
	}
	if s.Picture.Machine.Process.Traits().Upright && len(cut.Left) == 0 {
		b.Falls, b.FallsMM = b.Falls+svgPath(cut.Shape), cut.DepthMM
	}
}

// toolName is a tool as a person knows it.
func (s Sheet) toolName(number int) string {
	for _, op := range s.Program.Ops {
		if op.Tool.Number == number {
			return fmt.Sprintf("T%d, %s", number, op.Tool.Name)
		}
	}
	return fmt.Sprintf("T%d", number)
}

func regionOf(c geometry.Contour) geometry.Region { return geometry.NewRegion(c) }
