package cam

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/plan"
	"traywright/cam/stock"
	"traywright/geometry/units"
)

// What hands take: judged, no source. Nobody's hands are measured by it; it is there so that an
// evening is not planned by the machine's time alone. Not in it: what a hand cuts that has no
// machine, glue that cures, and the time that somebody stays beside the machine.

// HandReport is one kind of work, of all that hands do for a job.
type HandReport struct {
	Work    string  `json:"work" means:"what hands do"`
	Count   int     `json:"count" means:"how often"`
	Seconds float64 `json:"seconds" means:"of all of it, an estimate in whole minutes"`
	Basis   string  `json:"basis" means:"how that is reckoned: judged, no source"`

	doing, thing, each string  // what is done, to one of what, and its basis in short
	one                float64 // seconds, beside what goes by size
}

// handWorks are all kinds of it, in the order in which they are done.
var handWorks = [handKinds]HandReport{
	toPart:  {doing: "parting", thing: "blank", each: "1 min a cut and a metre", Basis: "straight cuts with knife or saw: 1 min for each, and 1 min a metre for each begun 25.4 mm of the foam's thickness"},
	toLay:   {doing: "laying", thing: "sheet", each: "4 min", Basis: "4 min each: taped or pinned down, zero set, taken off", one: 240},
	toLoad:  {doing: "loading", thing: "further program", each: "1 min", Basis: "1 min each, for a sheet that lies already", one: 60},
	toFree:  {doing: "freeing", thing: "layer", each: "20 s", Basis: "20 s each, 1 min for each metre of skin that is cut, 10 s for each tab or bridge", one: 20},
	toLift:  {doing: "lifting", thing: "plug", each: "15 s, 1 s a mm deep, 1 min a metre", Basis: "15 s each, 1 s for each mm that it is deep, 1 min for each metre of skin around it", one: 15},
	toCut:   {doing: "cutting", thing: "place that the blade leaves", each: "20 s, 2 min a metre", Basis: "20 s each, and 2 min a metre", one: 20},
	toWrite: {doing: "writing", thing: "label", each: "1 min", Basis: "1 min each, with a pen", one: 60},
	toGlue:  {doing: "gluing", thing: "joint", each: "4 min, uncured", Basis: "4 min for each layer on the next; curing is not in it", one: 240},
	toTrim:  {doing: "cutting off", thing: "ear", each: "30 s", Basis: "30 s each, when the glue holds", one: 30},
}

const (
	toPart = iota
	toLay
	toLoad
	toFree
	toLift
	toCut
	toWrite
	toGlue
	toTrim
	handKinds
)

// hands adds up what hands do.
type hands struct {
	count   [handKinds]int
	seconds [handKinds]float64
	cutting bool // they cut as well, along templates

	skins, tabs, bridges bool // hold what is freed
}

// add counts work of one kind, each of which takes some seconds more than one of no size.
func (h *hands) add(work, count int, more float64) {
	h.count[work] += count
	h.seconds[work] += (handWorks[work].one + more) * float64(count)
}

// metre is what a skin or a straight cut takes, a mm.
const metre = 60.0 / 1000

// strokes is how often a knife goes along a straight cut through foam.
func strokes(thickMM float64) float64 { return math.Ceil(thickMM / 25.4) }

// sheets adds what the sheets of a plan take.
func (h *hands) sheets(p *plan.Plan, works []*sheetWork) {
	h.cutting = p.Machine.Process.Traits().ByHand
	for _, w := range works {
		made := w.made()
		if w.k > 1 {
			h.add(toLoad, made, 0)
			continue
		}
		size, _ := w.laid(p.Machine, units.Millimetre)
		if w.laidOn == nil {
			for _, l := range w.sheet.Layers { // a block is glued up of a blank each
				h.add(toPart, made, 2*60+metre*(size[0]+size[1])*strokes(l.Thickness.MM()))
			}
		}
		h.add(toLay, made, 0)
		if !h.cutting {
			h.freed(w.sheet, made)
		}
		if (h.cutting || !p.Machine.Engraves()) && w.sheet.Number <= 1 {
			h.add(toWrite, len(w.tray.Marks)*made, 0)
		}
	}
	for _, tray := range p.Trays {
		h.add(toGlue, max(0, len(tray.Layers)-1)*tray.Copies, 0)
		h.add(toTrim, len(tray.Ears)*tray.Copies, 0)
	}
}

// freed adds what it takes until the parts of a sheet are out of it, and what comes out of them.
func (h *hands) freed(s *plan.Sheet, made int) {
	held, free := 0.0, 0
	for _, c := range s.HolesAndEdge() {
		rims := len(c.Shape.Contours())
		held += 10 * float64(len(c.Hold.Bridges)+c.Hold.Tabs*rims)
		h.tabs, h.bridges = h.tabs || c.Hold.Tabs > 0, h.bridges || len(c.Hold.Bridges) > 0
		if c.Hold.SkinMM > 0 {
			held, h.skins = held+metre*c.Shape.Length(), true
		}
		if c.Name == plan.OutlineName {
			free += rims
		}
		if c.Plug {
			h.add(toLift, made, c.DepthMM+metre*c.Along.Length())
		}
		h.add(toCut, len(c.Left)*made, 0)
		h.seconds[toCut] += 2 * metre * c.LeftMM() * float64(made)
	}
	h.add(toFree, free*made, 0)
	h.seconds[toFree] += held * float64(made)
}

// parted adds what it takes to part sheets of the stock.
func (h *hands) parted(list []stock.Parted) {
	for _, s := range list {
		cuts, way := len(s.CutsMM()), float64(len(s.CutsMM()))*s.SizeMM[1]
		for _, strip := range s.Strips() {
			cuts += len(strip.CutsMM)
			way += float64(len(strip.CutsMM)) * strip.LengthMM
		}
		h.add(toPart, len(s.Panels), (60*float64(cuts)+metre*way*strokes(s.Layer))/float64(max(1, len(s.Panels))))
	}
}

// byHand takes over what hands do.
func (t *TotalsReport) byHand(h hands) {
	t.ChangeSeconds = plan.ChangeSeconds * float64(t.ToolChanges)
	t.Setups = h.count[toLay]
	for i, work := range handWorks {
		if h.count[i] == 0 {
			continue
		}
		work.Work, work.Count = work.doing+" "+strings.TrimPrefix(finding.Counted(2, work.thing), "2 "), h.count[i]
		if i == toFree {
			work.each += h.holding()
		}
		if i == toLay && h.cutting {
			work.Basis = "4 min: laid on a mat, its template stuck on and taken off; cutting is not in it"
		}
		work.Seconds = 60 * math.Ceil(h.seconds[i]/60)
		t.HandSeconds += work.Seconds
		t.Hands = append(t.Hands, work)
	}
}

// holding is what each thing that holds a part adds to freeing it.
func (h hands) holding() (text string) {
	for _, w := range []struct {
		there bool
		each  string
	}{{h.skins, ", 1 min a metre of skin"}, {h.tabs, ", 10 s a tab"}, {h.bridges, ", 10 s a bridge"}} {
		if w.there {
			text += w.each
		}
	}
	return text
}

// inFeet are the bases that go by a metre or a mm, as an inch job has them: to a second.
var inFeet = strings.NewReplacer("1 min a cut and a metre", "1 min a cut, 18 s a foot", "1 min a metre", "18 s a foot", "2 min a metre", "37 s a foot", "1 s a mm", "25 s an inch")

// byHandWords is how long hands take, and what for.
func (t TotalsReport) byHandWords(u units.Unit) string {
	var rows []string
	for _, w := range t.Hands {
		each := w.each
		if u == units.Inch {
			each = inFeet.Replace(each)
		}
		rows = append(rows, fmt.Sprintf("%s %s %s (%s)", w.doing, finding.Counted(w.Count, w.thing), finding.About(w.Seconds), each))
	}
	return fmt.Sprintf("by hand about %s, judged, no source: %s", finding.About(t.HandSeconds), strings.Join(rows, ", "))
}
