package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
)

// What the page draws, beside the report: places and shapes in mm, Y up, from the tray's
// lower-left corner, times in seconds, and words that are ready to show. The page works no
// number out of these.
type (
	lookData struct {
		DeepestMM float64     `json:"deepest_mm"` // what the ramp's last colour is
		Deepest   string      `json:"deepest"`
		Ramp      []string    `json:"ramp"` // colours of depth, shallow to deep
		Cases     []lookCase  `json:"cases"`
		Trays     []lookTray  `json:"trays"`
		Setups    []lookSetup `json:"setups"`
		Stock     []lookSheet `json:"stock"`
	}
	lookCase struct {
		Name    string      `json:"name"`
		Facts   [][2]string `json:"facts"`
		RoomMM  float64     `json:"room_mm"` // inside height
		LongMM  float64     `json:"long_mm"` // inside length
		Trays   [][]int     `json:"trays"`   // top to bottom: the trays of each level
		Heights []float64   `json:"heights_mm"`
	}
	lookTray struct {
		ID      string       `json:"id"`
		Name    string       `json:"name"`
		Facts   [][2]string  `json:"facts"`
		Layers  []lookLayer  `json:"layers"`
		Outline string       `json:"outline"` // path
		Box     [4]float64   `json:"box"`     // of the outline: left, bottom, right, top
		Holes   [][3]float64 `json:"holes"`   // in section: from, to, depth
		Pockets []lookPocket `json:"pockets"`
		Marks   []lookMark   `json:"marks"` // labels and emblems
	}
	lookLayer struct {
		Name    string  `json:"name"`
		ThickMM float64 `json:"thick_mm"`
	}
	lookPocket struct {
		Name    string      `json:"name"`
		At      string      `json:"at"` // its entry in the job: file, line and column
		Path    string      `json:"path"`
		Box     [4]float64  `json:"box"` // without notch and relief
		DepthMM float64     `json:"depth_mm"`
		Depth   string      `json:"depth"`
		Plug    bool        `json:"plug"`  // a hand lifts out what is in it
		Light   bool        `json:"light"` // letters on its floor are to be light
		Facts   [][2]string `json:"facts"`
		Play    *lookPlay   `json:"play,omitempty"`
	}
	// lookPlay is one piece in its hole, from above.
	lookPlay struct {
		Hole  [2]float64 `json:"hole"`
		Piece [2]float64 `json:"piece"`
		Round bool       `json:"round"`
		Words string     `json:"words"`
	}
)

// lookData gathers all of it.
func (c CutSheet) lookData() lookData {
	bands := make([][]lookBand, len(c.Sheets))
	for i, s := range c.Sheets {
		bands[i] = bandsOf(s)
	}
	made := c.makingsOf(bands)
	d := lookData{DeepestMM: jobScale(c.Plan), Deepest: c.length(jobScale(c.Plan)), Cases: []lookCase{}, Trays: []lookTray{}, Setups: c.lookSetups(bands, made), Stock: c.lookSheets()}
	for _, col := range shadesOfDepth {
		d.Ramp = append(d.Ramp, hexOf(col))
	}
	for i := range c.Plan.Trays {
		d.Trays = append(d.Trays, c.lookTray(&c.Plan.Trays[i], made[&c.Plan.Trays[i]]))
	}
	for _, k := range c.Plan.Cases {
		d.Cases = append(d.Cases, c.lookCase(k))
	}
	return d
}

func (c CutSheet) lookCase(k plan.Case) lookCase {
	room := c.length(k.Room.MM()) + " left"
	if k.Room == 0 {
		room = "filled exactly"
	}
	l := lookCase{
		Name: k.Name, RoomMM: k.Inside.Height.MM(), LongMM: k.Inside.Length.MM(), Trays: [][]int{}, Heights: []float64{},
		Facts: [][2]string{{"stack", fmt.Sprintf("%s of %s, %s", c.length(k.Height.MM()), c.length(k.Inside.Height.MM()), room)}, {"packed", finding.Grams(k.WeightG)}},
	}
	for _, i := range k.Stack {
		level := []int{}
		for j := range c.Plan.Level(i).Trays {
			level = append(level, i+j)
		}
		l.Trays, l.Heights = append(l.Trays, level), append(l.Heights, c.Plan.Trays[i].Thickness().MM())
	}
	return l
}

func (c CutSheet) lookTray(t *plan.Tray, made map[int]*making) lookTray {
	box := t.Outline.Bounds()
	l := lookTray{
		ID: t.ID, Name: t.ID, Outline: svgPath(regionOf(t.Outline)), Box: boxOf(box),
		Layers: []lookLayer{}, Holes: [][3]float64{},
		Facts: [][2]string{{"size", c.size(t.Length.MM(), t.Width.MM())}, {"packed", finding.Grams(t.FoamG + t.PiecesG)}, {"to make", fmt.Sprint(t.Copies)}},
	}
	if t.Label != "" {
		l.Name = t.Label
	}
	for _, layer := range t.Layers {
		l.Layers = append(l.Layers, lookLayer{layer.Foam.ID + " " + layer.Words(c.Unit), layer.Thickness.MM()})
	}
	section := newCrossSection(t, 0, 1)
	for _, h := range section.holes {
		l.Holes = append(l.Holes, [3]float64{h.from, h.to, h.depth})
	}
	c.fill(&l, t, made)
	return l
}

// fill adds pockets and marks.
func (c CutSheet) fill(l *lookTray, t *plan.Tray, made map[int]*making) {
	l.Pockets, l.Marks = []lookPocket{}, []lookMark{}
	for _, k := range t.Marks {
		l.Marks = append(l.Marks, c.lookMark(k, engravedMM(t)))
	}
	for i, k := range t.Pockets {
		l.Pockets = append(l.Pockets, c.lookPocket(k, made[i]))
	}
}

func boxOf(b geometry.Box) [4]float64 { return [4]float64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y} }

func (c CutSheet) lookPocket(k plan.Pocket, made *making) lookPocket {
	floor := newShades(jobScale(c.Plan), 0).colour(k.Depth.MM())
	l := lookPocket{
		Plug: k.Waste == "plug", Light: lettersOn(floor) == white, Name: k.Piece, At: k.Position.String(), Path: svgPath(k.Design), DepthMM: k.Depth.MM(), Depth: c.length(k.Depth.MM()),
		Box: boxOf(k.Box),
	}
	add := func(name, text string) {
		if text != "" {
			l.Facts = append(l.Facts, [2]string{name, text})
		}
	}
	add("hole", c.size(k.Box.Width(), k.Box.Height()))
	if piece, ok := c.pieceOf(k); ok {
		add("piece", fmt.Sprintf("%s, %s high", c.size(piece.Length.MM(), piece.Width.MM()), c.length(piece.Height.MM())))
		add("count", fmt.Sprintf("%d in this pocket, %d on the roster", k.Packed, piece.Count))
		if k.Lies.How != "" && k.Lies.How != plan.AsMeasured {
			add("lies", fmt.Sprintf("%s, %s high so", k.Lies.How, c.length(k.Lies.HighMM)))
		}
		l.Play = c.playOf(k, piece)
	}
	if k.Through {
		l.Depth += ", through"
	}
	add("depth", l.Depth)
	add("fingers", map[string]string{"notch": "a notch", "gap": "a gap beside it", "lift": "it stands proud"}[k.Access])
	add("inside", map[string]string{"plug": "cut round, the plug is lifted out", "clear": "milled away"}[k.Waste])
	if k.Pinned {
		add("pinned", "`arrange` leaves it there")
	}
	if made != nil {
		add("layer", strings.Join(made.layers, ", "))
		add("tool", strings.Join(made.tools, ", "))
		if made.seconds > 0 {
			add("time", finding.Duration(made.seconds))
		}
	}
	add("from", k.Position.String())
	return l
}

// making is what of the cut makes a pocket.
type making struct {
	tools, layers []string
	seconds       float64
}

// makings are of all pockets, by tray and index.
type makings map[*plan.Tray]map[int]*making

// makingsOf takes of each program that cuts at a pocket the time that its operations there take,
// those of a larger tool that roughs it among them.
func (c CutSheet) makingsOf(bands [][]lookBand) makings {
	all := makings{}
	for n, s := range c.Sheets {
		during := map[string][]lookBand{}
		for _, b := range bands[n] {
			during[b.cut] = append(during[b.cut], b)
		}
		for _, p := range s.Parts {
			all.add(p, "", during, s.Foams)
		}
		if s.Laid == nil {
			continue
		}
		for _, p := range s.Laid.Parts {
			if p.Copy == 1 {
				all.add(Part{p.Tray, p.Sheet}, p.Label()+": ", during, s.Foams)
			}
		}
	}
	return all
}

// add takes the operations of one sheet of a tray; under says what stands before its cuts' names.
func (m makings) add(p Part, under string, during map[string][]lookBand, foam string) {
	if m[p.Tray] == nil {
		m[p.Tray] = map[int]*making{}
	}
	for _, cut := range p.Sheet.Cuts {
		for _, i := range cut.Pockets {
			if m[p.Tray][i] == nil {
				m[p.Tray][i] = &making{}
			}
			m[p.Tray][i].take(during[under+cut.Name], foam)
		}
	}
}

func (m *making) take(bands []lookBand, foam string) {
	for _, b := range bands {
		m.seconds += b.To - b.From
		m.tools, m.layers = appendNew(m.tools, b.ToolName), appendNew(m.layers, foam)
	}
}

func appendNew(list []string, s string) []string {
	if slices.Contains(list, s) {
		return list
	}
	return append(list, s)
}

// pieceOf is the roster's piece that a pocket is for.
func (c CutSheet) pieceOf(k plan.Pocket) (job.Piece, bool) {
	for _, p := range c.Plan.Job.Roster {
		if p.ID == k.For {
			return p, true
		}
	}
	return job.Piece{}, false
}

// playOf is a piece as it lies beside its hole, where the hole holds one and is a rectangle or a circle;
// nil else.
func (c CutSheet) playOf(k plan.Pocket, piece job.Piece) *lookPlay {
	hole, round := k.Lies.InMM, k.ShapeName == "round"
	if k.Lies.How == "" || k.Holds != 1 || !round && k.ShapeName != "rect" || round != (piece.Shape == job.Round && k.Lies.How == plan.AsMeasured) {
		return nil
	}
	x, y := k.Lies.PlayMM[0]/2, k.Lies.PlayMM[1]/2
	if wide := k.Box.Width(); math.Abs(wide-hole[1]) < math.Abs(wide-hole[0]) && math.Abs(wide-hole[1]) < 0.005 { // by a quarter, as the tray shows it
		hole, x, y = [2]float64{hole[1], hole[0]}, y, x
	}
	words := c.length(x) + " play a side"
	if round {
		words = c.length(x) + " play all round"
	} else if math.Abs(x-y) > 0.005 {
		words = fmt.Sprintf("play a side: %s along, %s across", c.length(x), c.length(y))
	}
	return &lookPlay{hole, [2]float64{hole[0] - 2*x, hole[1] - 2*y}, round, words}
}
