package proof_test

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"traywright/geometry"
)

// A second machine, much coarser than the dry run and sharing no code with it: it
// walks over a program's words, mills a height field or adds up a beam's heat, and
// says which harm comes of it. What it does not understand it does not judge; its
// thresholds lie well beyond the dry run's, so that whatever it calls a harm is one.

// harms are what a program does to foam, tool or people, each once.
type harms map[string]bool

// walker is the state of that machine, mm.
type walker struct {
	p           patient
	beam        bool
	top         float64 // Z of the foam's top
	x, y, z     float64
	unit        float64
	incremental bool
	motion      int
	feed, speed float64
	turning     int // 3, 4 or 0
	air         bool
	waited      float64 // since it was switched on; -1 once it has cut
	began       bool    // it has said a height
	least, most [3]float64
	milled      *milled
	sunk        float64 // mm of foam under the tool's middle, gone into far more steeply than on a ramp
	burnt       *burnt
	swept       *swept
	dragged     *draggedTip
	steered     *steeredChord
	found       harms
}

var wordOf = regexp.MustCompile(`([A-Z])([-+]?[0-9.]+)`)
var bracket = regexp.MustCompile(`\([^)]*\)|;.*`)

// modelled is what the model makes of a program: its harms, and the foam. A beam's is
// counted at the places of a good program; without one those are found.
func (p patient) modelled(text string, good *burnt) *walker {
	w := &walker{p: p, beam: p.name == "laser", unit: 1, found: harms{}, waited: -1, z: 99}
	switch p.name {
	case "laser":
		w.top, w.burnt = p.setup.ThicknessMM, newBurnt(good)
	case "wire":
		w.swept = newSwept(p)
	case "knife":
		w.top, w.dragged = p.top(), newDragged(p)
	case "turned":
		w.top, w.steered = p.top(), newSteered(p)
	default:
		w.milled = newMilled(p)
	}
	ended, percents := false, 0
	for line := range strings.SplitSeq(text, "\n") {
		line = strings.ToUpper(strings.Join(strings.Fields(bracket.ReplaceAllString(line, "")), ""))
		if line == "%" {
			percents++
		}
		if percents == 2 {
			break
		}
		if ended = w.line(line); ended {
			break
		}
	}
	w.finish(ended)
	return w
}

// finish judges how the program ends.
func (w *walker) finish(ended bool) {
	if !ended {
		w.found["it never ends"] = true
	}
	if w.turning > 0 && w.speed > 0 && (w.beam || !ended) {
		w.found["left on"] = true
	}
	if !w.beam && w.began && w.z < w.top-0.1 || w.swept != nil && w.swept.inFoam(w.x, w.y) {
		w.found["left in the foam"] = true
	}
	for axis := range 3 {
		if w.most[axis]-w.least[axis] > w.p.setup.Machine.TravelMM[axis].Value+1 {
			w.found["out of travel"] = true
		}
	}
}

// line obeys one line; true at the program's end.
func (w *walker) line(line string) bool {
	has, value := map[string]bool{}, map[byte]float64{}
	for _, m := range wordOf.FindAllStringSubmatch(line, -1) {
		v, err := strconv.ParseFloat(m[2], 64)
		if err != nil {
			return false
		}
		has[fmt.Sprintf("%s%g", m[1], v)] = true
		value[m[1][0]] = v
	}
	if f, ok := value['F']; ok {
		w.feed = f * w.unit
	}
	if s, ok := value['S']; ok {
		w.speed = s
	}
	w.switches(has)
	_, px := value['X']
	_, py := value['Y']
	_, pz := value['Z']
	_, pa := value['A']
	switch {
	case has["G4"]:
		w.stand(value['P'])
	case has["G92"] || has["G53"] || has["G10"]: // not understood, and no move
	case px || py || pz || pa && w.steered != nil:
		w.go_(value)
	}
	if has["M0"] || has["M1"] {
		w.stand(1)
	}
	return has["M2"] || has["M30"]
}

func (w *walker) switches(has map[string]bool) {
	on := w.turning > 0 && w.speed > 0
	for g, motion := range map[string]int{"G0": 0, "G1": 1, "G2": 2, "G3": 3} {
		if has[g] {
			w.motion = motion
		}
	}
	if has["G20"] {
		w.unit = 25.4
	}
	if has["G21"] {
		w.unit = 1
	}
	w.incremental = has["G91"] || w.incremental && !has["G90"]
	switch {
	case has["M3"]:
		w.turning = 3
	case has["M4"]:
		w.turning = 4
	case has["M5"]:
		w.turning = 0
	}
	w.air = has["M8"] || w.air && !has["M9"]
	if !on && w.turning > 0 && w.speed > 0 {
		w.waited = 0
	}
}

// stand is a wait of so many seconds.
func (w *walker) stand(seconds float64) {
	switch on := w.turning > 0 && w.speed > 0; {
	case seconds == 0:
	case w.swept != nil:
		if seconds > 0.6 && w.swept.inFoam(w.x, w.y) {
			w.found["the wire stands in the foam"] = true
		}
	case !on:
	case w.beam:
		w.found["a standing beam"] = true
	case w.began && w.z < w.top-0.1 && seconds > 0.6:
		w.found["it stands in the foam"] = true
	case w.waited >= 0:
		w.waited += seconds
	}
}

// go_ moves to a place, along a line or an arc in chords.
func (w *walker) go_(value map[byte]float64) {
	to := [3]float64{w.x, w.y, w.z}
	for axis, letter := range []byte{'X', 'Y', 'Z'} {
		v, ok := value[letter]
		switch {
		case ok && w.incremental:
			to[axis] += v * w.unit
		case ok:
			to[axis] = v * w.unit
		}
	}
	if _, ok := value['Z']; ok {
		w.began = true
	}
	if w.swept != nil {
		w.swept.said(value)
	}
	if w.steered != nil {
		w.steered.turns(value, w.incremental)
	}
	for axis := range 3 {
		if axis < 2 || w.began {
			w.least[axis], w.most[axis] = math.Min(w.least[axis], to[axis]), math.Max(w.most[axis], to[axis])
		}
	}
	if w.motion < 2 || w.feed <= 0 {
		w.piece(to[0], to[1], to[2])
		return
	}
	cx, cy := w.x+value['I']*w.unit, w.y+value['J']*w.unit
	r := math.Hypot(w.x-cx, w.y-cy)
	a, b := math.Atan2(w.y-cy, w.x-cx), math.Atan2(to[1]-cy, to[0]-cx)
	turn := b - a
	if w.motion == 3 && turn <= 1e-9 {
		turn += 2 * math.Pi
	}
	if w.motion == 2 && turn >= -1e-9 {
		turn -= 2 * math.Pi
	}
	n := int(math.Min(400, math.Ceil(math.Abs(turn)/math.Max(0.05, 2*math.Sqrt(0.01/math.Max(r, 0.1))))))
	fromZ := w.z
	for i := 1; i <= n; i++ {
		t := float64(i) / float64(n)
		if w.steered != nil {
			w.steered.share = t
		}
		if i == n {
			w.piece(to[0], to[1], to[2])
			break
		}
		w.piece(cx+r*math.Cos(a+t*turn), cy+r*math.Sin(a+t*turn), fromZ+t*(to[2]-fromZ))
	}
}

// piece is a straight way.
func (w *walker) piece(x, y, z float64) {
	fx, fy, fz := w.x, w.y, w.z
	w.x, w.y, w.z = x, y, z
	switch {
	case w.swept != nil:
		w.melt(fx, fy)
		return
	case w.steered != nil:
		w.steer(fx, fy, fz)
		return
	case !w.began && !w.beam:
		return
	case w.dragged != nil:
		w.drag(fx, fy, fz)
		return
	}
	on := w.turning > 0 && w.speed > 0
	if w.beam {
		w.burn(on, fx, fy)
		return
	}
	w.mill(on, fx, fy, fz)
}

// mill is a piece of a cutter's way.
func (w *walker) mill(on bool, fx, fy, fz float64) {
	l := w.p.limits()
	flat, down := math.Hypot(w.x-fx, w.y-fy), fz-w.z
	if w.motion == 0 {
		if up := down < 0 && flat == 0; !up && w.milled.foamAt(fx, fy, fz, w.x, w.y, w.z) {
			w.found["a rapid through foam"] = true
		}
		return
	}
	if l.RampDegrees > 0 && down > 2*flat*math.Tan(l.RampDegrees*math.Pi/180) {
		w.sunk += math.Max(0, math.Min(down, w.milled.under(w.x, w.y, w.z)))
	}
	took := w.milled.cut(fx, fy, fz, w.x, w.y, w.z)
	if took < 0.05 { // mm at the deepest
		return
	}
	rate := w.feed * down / math.Max(math.Hypot(flat, down), 1e-9)
	for harm, is := range map[string]bool{
		"cuts with the spindle off":       !on,
		"the spindle turns backwards":     w.turning == 4,
		"the spindle is slow or too fast": w.speed < 0.8*l.RPM || w.speed > 1.25*l.RPM,
		"no time to run up":               w.waited >= 0 && w.waited < 2.8,
		"too much in one pass":            took > l.StepDownMM+0.5,
		"too fast":                        w.feed > 1.25*l.FeedMMPerMin,
		"too slow":                        w.feed < 0.3*math.Min(l.PlungeMMPerMin, l.FeedMMPerMin),
		"plunges":                         down > 0.5 && rate > 1.3*l.PlungeMMPerMin,
		"cuts into the bed":               w.z < w.top-w.p.setup.ThicknessMM-w.p.setup.BreakthroughMM-0.1,
	} {
		if is {
			w.found[harm] = true
		}
	}
	w.waited = -1
}

// limits are the widest that any cut of the plan allows.
func (p patient) limits() (l struct{ RPM, StepDownMM, FeedMMPerMin, PlungeMMPerMin, RampDegrees float64 }) {
	all := p.want.OutlineLimits
	for _, c := range p.want.Cuts {
		all = append(all[:len(all):len(all)], c.Limits...)
	}
	for _, a := range all {
		l.RampDegrees = math.Max(l.RampDegrees, a.RampDegrees)
		l.RPM, l.StepDownMM = math.Max(l.RPM, a.RPM), math.Max(l.StepDownMM, a.StepDownMM)
		l.FeedMMPerMin, l.PlungeMMPerMin = math.Max(l.FeedMMPerMin, a.FeedMMPerMin), math.Max(l.PlungeMMPerMin, a.PlungeMMPerMin)
	}
	return l
}

// burn is a piece of a beam's way.
func (w *walker) burn(on bool, fx, fy float64) {
	length := math.Hypot(w.x-fx, w.y-fy)
	switch {
	case !on:
		return
	case w.motion == 0 && length > 0.1:
		w.found["lit in a rapid"] = true
		return
	case length == 0:
		return
	case !w.air:
		w.found["lit without air"] = true
	}
	l := w.p.want.OutlineLimits[0]
	strength := w.speed / 10 / l.PowerPercent * l.FeedMMPerMin / w.feed // of the recipe's energy
	if strength > 0.5 {
		depth := w.top - w.z
		off := math.Inf(1)
		for _, f := range l.FocusMM {
			off = math.Min(off, math.Abs(depth-f))
		}
		if w.began && off > 0.6 {
			w.found["out of focus"] = true
		}
	}
	w.burnt.along(fx, fy, w.x, w.y, strength, w.p, w.found)
}

// harm is one that the model finds in a spoiled program, "" for none.
func (p patient) harm(text string) string {
	if list := p.harmsOf(text); len(list) > 0 {
		return list[0]
	}
	return ""
}

// harmsOf is all that it finds, in order.
func (p patient) harmsOf(text string) []string {
	w := p.modelled(text, p.model.burnt)
	switch {
	case w.swept != nil:
		w.swept.against(p.model.swept, w.found)
	case w.dragged != nil:
		w.dragged.against(p.model.dragged, w.found)
	case w.steered != nil:
		w.steered.against(p.model.steered, w.found)
	case w.beam:
		w.burnt.against(p.model.burnt, float64(p.want.OutlineLimits[0].Passes), w.found)
	default:
		w.milled.against(p.model.milled, p, w.found)
		if w.sunk > p.model.sunk+1 {
			w.found["plunges where a ramp is planned"] = true
		}
	}
	return slices.Sorted(maps.Keys(w.found))
}

func point(x, y float64) geometry.Point { return geometry.Point{X: x, Y: y} }
