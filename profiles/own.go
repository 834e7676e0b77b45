package profiles

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Own is what somebody says of a machine of their own: mm, mm/min, W, nm. A number that
// is 0 was not said.
type Own struct {
	ID              string
	Process         Process
	TravelMM        [3]float64
	MaxFeedMMPerMin float64
	RapidMMPerMin   float64
	ZZero           ZZero
	Controller      Class      // "" was not said
	MaxRPM          float64    // router
	PowerW          float64    // laser
	WavelengthNM    float64    // laser
	PowerScale      float64    // laser: the S word of full power
	LaserOn         string     // laser: M3 or M4; "" was not said, as below
	WholePower      string     // laser: "yes" where S has no decimals, or "no"
	LeastPower      float64    // laser: per cent, below which its beam does not burn
	StandoffMM      float64    // laser: from nozzle to foam in focus
	CurrentA        float64    // hot wire: through it, rms
	ChordMM         float64    // knife: how wide a blade is that an axis turns; 0 where it swivels by itself
	TurnRPM         float64    // knife: how fast that axis turns
	ACounts         ACounts    // knife: which way it counts up
	DXFColours      DXFColours // of a drawing for it
	Tools           []OwnTool
}

// OwnTool is a cutter, or what cuts in its place. What is 0 or "" of a cutter's edges' length,
// shank, nut and helix, of a blade's trail and of a wire's length is not known; a diameter and a reach
// that are 0 are those of the shipped tool.
type OwnTool struct {
	DiameterMM, ReachMM        float64
	FluteMM, ShankMM, ColletMM float64
	Flutes                     int
	Helix                      Helix
	TrailMM                    float64 // of a drag knife
	LengthMM                   float64 // of a wire between what holds it
}

// said is the source of what the owner told.
const said = "said by its owner when the profile was made"

// Like is the shipped machine that one of a process starts from, a knife's by whether an axis turns
// its blade; false where none ships.
func (c *Catalog) Like(p Process, turned bool) (Machine, bool) {
	for _, m := range c.Machines() {
		if _, turns := m.TurnedTool(); m.Process == p && turns == turned && c.ShipsMachine(m) {
			return c.shipped.machines[m.ID], true
		}
	}
	return Machine{}, false
}

// OwnFile is a profile file of a machine of one's own, and of recipes to start from: what
// was said, and for the rest the numbers of the shipped machine of that process, each
// named a default in its source. Recipes never cut deeper, faster or hotter than those
// they start from. Of a laser with light of another colour there are none: nobody knows
// how foam takes it.
func (c *Catalog) OwnFile(o Own) []byte {
	like, _ := c.Like(o.Process, o.ChordMM > 0)
	m := like
	m.ID, m.Name = o.ID, strings.ReplaceAll(o.ID, "-", " ")
	m.Notes, m.Clamps, m.Tools, m.ScaleReadings = "", nil, nil, nil
	m.ScaleX, m.ScaleY, m.StandoffMM = Number{}, Number{}, Number{}
	left := "default: as of " + like.ID + "; starting value, measure your own"
	m.Source = o.source(like)
	for _, k := range machineNumbers {
		if n := k.in(&m); n.Source != "" {
			n.Source = left
		}
	}
	for i, v := range o.TravelMM {
		m.TravelMM[i] = Number{v, said}
	}
	for _, n := range []struct {
		in *Number
		v  float64
	}{{&m.MaxFeedMMPerMin, o.MaxFeedMMPerMin}, {&m.RapidMMPerMin, o.RapidMMPerMin}, {&m.MaxRPM, o.MaxRPM}, {&m.PowerW, o.PowerW}, {&m.WavelengthNM, o.WavelengthNM}, {&m.StandoffMM, o.StandoffMM}, {&m.TurnRPM, o.TurnRPM}} {
		if n.v > 0 {
			*n.in = Number{n.v, said}
		}
	}
	if o.RapidMMPerMin == 0 && m.RapidMMPerMin.Value < m.MaxFeedMMPerMin.Value {
		m.RapidMMPerMin = Number{m.MaxFeedMMPerMin.Value, "default: as fast as it cuts; starting value, measure your own"}
	}
	o.words(&m)
	var recipes []Recipe
	for i, t := range o.Tools {
		from := nearestTool(like, t.DiameterMM)
		own := t.tool(from, i+1, left, o)
		m.Tools = append(m.Tools, own)
		recipes = append(recipes, c.ownRecipes(like, from, m, own, o.CurrentA)...)
	}
	w := &profileText{}
	w.ownOpening(m, o.ID)
	w.line(0, "machines:")
	w.machine(m, o.ID)
	w.recipes(m, recipes, o.ID)
	return []byte(w.String())
}

// words are what is said of a machine that is no number.
func (o Own) words(m *Machine) {
	m.ZZero, m.ACounts = cmp.Or(o.ZZero, m.ZZero), cmp.Or(o.ACounts, m.ACounts)
	if axes := m.Controller.Axes; o.Controller != "" {
		m.Controller = classNamed(string(o.Controller))
		if o.ChordMM > 0 {
			m.Controller.Axes = axes
		}
	}
	o.ofBeam(&m.Controller)
	m.DXFColours = o.DXFColours
}

// source is that of the row, and so of all in it that has none of its own: what is no number
// and was left is named.
func (o Own) source(like Machine) string {
	var left []string
	for _, k := range []struct {
		key  string
		left bool
	}{{"z_zero", o.ZZero == ""}, {"controller", o.Controller == ""}, {"a_counts", o.ChordMM > 0 && o.ACounts == ""}} {
		if k.left {
			left = append(left, k.key)
		}
	}
	if len(left) == 0 {
		return said
	}
	return said + ", but default, as of " + like.ID + ": " + strings.Join(left, ", ")
}

// ofBeam lays over a controller's class what was said of a beam's words; what was not stays
// as the class has it.
func (o Own) ofBeam(c *Controller) {
	if o.PowerScale > 0 {
		c.PowerScale = o.PowerScale
	}
	c.LaserOn = cmp.Or(o.LaserOn, c.LaserOn)
	if o.WholePower != "" {
		c.WholePower = o.WholePower == "yes"
	}
	c.LeastPowerPercent = cmp.Or(o.LeastPower, c.LeastPowerPercent)
}

// ownOpening says what the file is, and names what is missing of its tools and of a laser's head.
func (w *profileText) ownOpening(m Machine, id string) {
	w.line(0, "# "+id+", as its owner described it. What nobody was asked says `default` in its source:")
	w.line(0, "# look at each, mend it and its source. Recipes are starting values until you have cut a coupon.")
	for _, t := range m.Tools {
		if unknown := t.unknown(m.Process); len(unknown) > 0 {
			w.line(0, "# Not known of "+t.ID+": "+strings.Join(unknown, ", ")+". Measure, and write it into its row.")
		}
	}
	if m.Process.Traits().Beam && m.StandoffMM.Value <= 0 && (m.MovesZ() || m.DrawingsOnly()) {
		w.line(0, "# Not known: standoff_mm, from nozzle to foam in focus. Until it is, no pass lowers the head. Measure it, write it into the")
		w.line(0, "# machine's row, and then focus_step_mm into the recipes: what would bring the nozzle too near to the foam is refused.")
	}
}

// nearestTool is the tool of a machine whose diameter is the nearest.
func nearestTool(m Machine, diameterMM float64) Tool {
	return slices.MinFunc(m.Tools, func(a, b Tool) int {
		return cmp.Compare(math.Abs(a.DiameterMM.Value-diameterMM), math.Abs(b.DiameterMM.Value-diameterMM))
	})
}

// tool is a tool of one's own, which has of the shipped one what cannot differ by size.
func (t OwnTool) tool(from Tool, number int, source string, o Own) Tool {
	own := Tool{ID: from.ID, Number: number, Name: from.Name, DiameterMM: Number{t.DiameterMM, said}, Flutes: t.Flutes}
	if o.Process != Router {
		return t.noCutter(own, from, source, o.ChordMM)
	}
	own.ID = "flat-" + strings.ReplaceAll(plain(t.DiameterMM), ".", "-")
	own.Name = fmt.Sprintf("%s mm cutter, flat end", plain(t.DiameterMM))
	own.StickoutMM = Number{t.ReachMM, said}
	own.Helix = t.Helix
	for _, n := range []struct {
		in *Number
		v  float64
	}{{&own.FluteMM, t.FluteMM}, {&own.ShankMM, t.ShankMM}, {&own.ColletMM, t.ColletMM}} {
		if n.v > 0 {
			*n.in = Number{n.v, said}
		}
	}
	own.RunoutMM = Number{from.RunoutMM.Value, source}
	return own
}

// ownRecipes are recipes to start from, by those of the shipped machine's tool.
func (c *Catalog) ownRecipes(like Machine, from Tool, m Machine, own Tool, currentA float64) []Recipe {
	var list []Recipe
	for _, r := range c.shipped.Recipes() {
		if r.Machine != like.ID || r.Tool != from.ID {
			continue
		}
		r.Machine, r.Tool = m.ID, own.ID
		r.Source = "as of " + from.ID + " on " + like.ID + "; starting value, measure your own"
		ok := true
		switch m.Process {
		case Router:
			r.forCutter(from, own, m)
		case Laser:
			ok = r.forBeam(like, m)
		case HotWire:
			r.forWire(from, own, currentA)
			r.atMost(&r.FeedMMPerMin, m.MaxFeedMMPerMin.Value, "the machine goes no faster")
		default:
			r.forBlade(from, own)
			r.atMost(&r.FeedMMPerMin, m.MaxFeedMMPerMin.Value, "the machine goes no faster")
			r.atMost(&r.PlungeMMPerMin, m.MaxFeedMMPerMin.Value, "the machine goes no faster")
		}
		if ok {
			list = append(list, r)
		}
	}
	return list
}

// atMost lowers a number to what may be.
func (r *Recipe) atMost(n *Number, most float64, why string) {
	if n.Value > most {
		*n = Number{math.Floor(most*100) / 100, fmt.Sprintf("%.6g less, because %s: starting value, measure your own", n.Value-most, why)}
	}
}

// forCutter fits a recipe to a cutter and a spindle: a thinner cutter goes less deep and
// slower in proportion, a slower spindle keeps the thickness of the chip.
func (r *Recipe) forCutter(from, own Tool, m Machine) {
	r.KerfMM = Number{own.DiameterMM.Value, "the cutter's nominal diameter; starting value, measure your own"}
	thin := math.Min(1, own.DiameterMM.Value/from.DiameterMM.Value)
	r.atMost(&r.StepdownMM, r.StepdownMM.Value*thin, "the cutter is thinner")
	r.atMost(&r.MarkDepthMM, r.StepdownMM.Value, "one pass goes no deeper")
	slow := thin
	if most := m.MaxRPM.Value; most > 0 && r.RPM.Value > most {
		slow *= most / r.RPM.Value
		r.atMost(&r.RPM, most, "the spindle turns no faster")
	}
	r.atMost(&r.FeedMMPerMin, math.Min(r.FeedMMPerMin.Value*slow, m.MaxFeedMMPerMin.Value), "of cutter, spindle or machine")
	r.atMost(&r.PlungeMMPerMin, math.Min(r.PlungeMMPerMin.Value*slow, m.MaxFeedMMPerMin.Value), "of cutter, spindle or machine")
}

// forBeam fits a recipe to a tube, so that a mm of the way gets no more energy than it did
// on the machine that it starts from; a weaker one goes as much less deep in a pass.
// False for light of another colour.
func (r *Recipe) forBeam(like, m Machine) bool {
	if math.Abs(m.WavelengthNM.Value-like.WavelengthNM.Value) > 0.1*like.WavelengthNM.Value {
		return false
	}
	wanted := r.PassJPerMM(like)
	r.atMost(&r.FeedMMPerMin, m.MaxFeedMMPerMin.Value, "the machine goes no faster")
	r.PowerPercent.Value = 100
	if full := r.PassJPerMM(m); full >= wanted {
		r.PowerPercent = Number{math.Floor(1e5*wanted/full+1e-6) / 1e3, fmt.Sprintf("as many J for a mm of the way as on %s; starting value, measure your own", like.ID)}
	} else if wanted > 0 {
		share, why := full/wanted, fmt.Sprintf("the tube is weaker than that of %s", like.ID)
		r.PowerPercent.Source = "all that the tube has; starting value, measure your own"
		r.atMost(&r.MMPerPass, r.MMPerPass.Value*share, why)
		r.atMost(&r.MostMM, r.MostMM.Value*share, why)
		r.atMost(&r.FocusStepMM, r.FocusStepMM.Value*share, why)
	}
	if r.MMPerPass.Value >= 0.1 {
		r.offTheFoam(like, m)
		return true
	}
	return false
}

// offTheFoam keeps the head where it is in all passes while nobody has said how far its nozzle stands
// off, and else from coming down farther than there is room.
func (r *Recipe) offTheFoam(like, m Machine) {
	most, known := m.LowestFocusMM()
	last := math.Ceil(r.MostMM.Value/r.MMPerPass.Value-1e-6) - 1 // pass of the thickest sheet that it takes
	switch {
	case r.FocusStepMM.Value == 0:
	case !m.MovesZ() && !m.DrawingsOnly():
		r.FocusStepMM = Number{0, "the machine moves no Z: every pass is in focus on the foam's top; try whether they go through on a coupon"}
	case !known:
		r.FocusStepMM = Number{0, fmt.Sprintf("default while standoff_mm is not known: every pass is in focus on the foam's top, try whether they go through on a coupon; on %s it is %g", like.ID, r.FocusStepMM.Value)}
	case last > 0:
		r.atMost(&r.FocusStepMM, math.Floor(10*most/last+1e-9)/10, "the nozzle stands no farther off")
	}
}
