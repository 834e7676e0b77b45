package stock

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/pack"
	"traywright/geometry/units"
)

// Laying layers on sheets, for each foam and thickness on its own:
//
//  1. every layer of every tray, times its copies, is an item as large as its outline;
//  2. pack lays the items onto sheets, those at hand for nothing, new ones for their price, and parts what the
//     machine does not reach into panels (panels.go);
//  3. a panel becomes a setup, a whole work order of all that lies on it (order.go);
//  4. what stays of it in rectangles is an offcut again (offcuts.go).

// Input is what layers are laid out by.
type Input struct {
	Plan  *plan.Plan
	Means plan.Means // of the plan's machine
	// RimMM is how much foam beyond its cut a sheet of the plan is held by.
	RimMM func(plan.Sheet) float64
}

// Layout is all layers on their sheets. The zero value is that of a plan without stock.
type Layout struct {
	Setups []*Setup   // in the order in which they are cut
	Parted []Parted   // sheets that are larger than the machine
	Buy    []Purchase // new sheets
	Left   []job.StockSheet
	Cost   float64 // of those of the new sheets that have a price
	// WasteShare is what is in no tray and in no offcut that stays, of all sheets that are cut up,
	// by volume.
	WasteShare float64
	// RoughingSavesS is what roughing saves of the setups' time, changes of the tool counted, by estimate.
	RoughingSavesS float64
}

// Setup is one sheet on the machine, or the panel of one that the machine reaches. X and Y
// begin at its lower-left corner, mm; those of its work order at ZeroMM.
type Setup struct {
	Name      string  // of its files: the offcut's, or sheet-1 and on
	Layer     float64 // thickness as sold, mm
	Foam      string
	SizeMM    [2]float64
	ZeroMM    [2]float64 // where its program's X0 Y0 lies, from its lower-left corner
	Parts     []Part
	Offcuts   []Rect
	Out       []Rect     // the offcuts as a knife cuts them out
	Called    []string   // names of the offcuts in the rack that is left
	UsedShare float64    // of its area, what is in trays
	From      Parting    // the sheet that it is a panel of
	Arrow     *Arrow     // to the back, that its program engraves; nil for none
	MarginMM  float64    // of foam between its edge and any part, at least
	Tray      *plan.Tray // its work order, which has one sheet: pockets and marks of all parts

	cut  int // which of the sheets that are cut up it is of
	room room
}

// Part is a layer of a tray, once.
type Part struct {
	Tray  *plan.Tray
	Sheet *plan.Sheet
	Layer int        // from the top, 1 first
	Copy  int        // of the tray, 1 first
	AtMM  [2]float64 // lower-left corner of the tray's size, without ease, after turning
	Turn  int        // degrees, counter-clockwise: 0 or 90

	to geometry.Transform // from the tray to the setup's lower-left corner
}

// Rect is a rectangle of foam.
type Rect struct{ XMM, YMM, LengthMM, WidthMM float64 }

// knifeMM is how finely a hand measures for a knife: whole mm, or eighths of an inch.
func knifeMM(u units.Unit) float64 {
	if u == units.Inch {
		return units.InchMM / 8
	}
	return 1
}

// item is a layer to lay out, once.
type item struct {
	Part
	size [2]float64 // of its outline, X and Y, as it lies in its tray
}

// groupKey is what layers have in common that can be cut of one sheet in one setup.
type groupKey struct {
	foam          string
	sold, real    units.Length
	zZero         string
	edge, marking string // tools
}

// Lay lays every layer of the plan onto the job's stock. What does not fit, or has no stock, is
// a finding; the error is one of numbers that no foam has, or of a run that was stopped.
func Lay(ctx context.Context, in Input) (Layout, finding.List, error) {
	var best *layer
	ways := []way{{}, {equal: true}, {atOnce: true}, {share: true}, {equal: true, share: true}}
	for i, w := range ways {
		if i > 2 && !best.sharing {
			break
		}
		l, err := in.lay(ctx, w)
		if err != nil {
			return Layout{}, nil, err
		}
		if best == nil || best.found.Failed() || !l.found.Failed() && l.cheaper(best) {
			best = l
		}
		if l.least {
			break
		}
	}
	if best.found.Failed() {
		return Layout{}, best.found, nil
	}
	if err := best.orderAll(); err != nil {
		return Layout{}, nil, err
	}
	best.tellWhole()
	best.finish()
	return best.Layout, best.found, nil
}

// way is how layers are laid: tray by tray, so that what is added moves nothing else, or all at once; with
// panels of any size, or of those alone that a sheet has in equal parts; at the price of sheets, or of what is
// taken of them. Other layers of the same foam, which are cut with other tools, are laid on what stays, and no way
// is the best for them in every job.
type way struct{ equal, share, atOnce bool }

// lay lays all layers one way.
func (in Input) lay(ctx context.Context, w way) (*layer, error) {
	l := &layer{Input: in, way: w, stock: in.Plan.Job.Stock, names: newNames(), atHand: map[string]bool{}, free: map[int]int{}, least: true}
	for i, s := range l.stock.Sheets {
		l.free[i] = s.Count
		if s.AtHand() {
			l.atHand[offcutName(s)] = true
		}
	}
	items := l.items()
	for _, key := range l.order {
		if err := l.group(ctx, key, items[key]); err != nil {
			return nil, err
		}
	}
	l.tellShut()
	return l, nil
}

// cheaper reports whether a layout costs less money than another, or the same with fewer setups.
func (l *layer) cheaper(other *layer) bool {
	mine, others := 0.0, 0.0
	for _, o := range l.cut {
		mine += o.kind.cents
	}
	for _, o := range other.cut {
		others += o.kind.cents
	}
	return mine < others || mine == others && len(l.Setups) < len(other.Setups)
}

// layer carries what the groups share.
type layer struct {
	Input
	Layout
	way    way
	stock  *job.Stock
	found  finding.List
	order  []groupKey
	names  names           // of sheets that are cut up, and of their panels
	atHand map[string]bool // names of offcuts, as files have them
	free   map[int]int     // sheets at hand, by row, that are not cut up yet
	cut    []opened        // every sheet that is cut up
	least  bool            // no other way costs less, or has fewer setups

	sharing bool // some layers are laid on what others have left
	shut    []shut
	sought  []sought
}

// items are all layers, by what they can share a sheet with.
func (l *layer) items() map[groupKey][]item {
	groups := map[groupKey][]item{}
	for t := range l.Plan.Trays {
		tray := &l.Plan.Trays[t]
		for s := range tray.Sheets {
			sheet := &tray.Sheets[s]
			if len(sheet.Layers) > 1 || sheet.Number == 0 {
				l.fail("block-on-stock", tray, "is cut as a block, which is glued before it lies on any sheet", "write `cut: sheets` for it, or take `stock` out of the job")
				break
			}
			key := keyOf(sheet)
			if groups[key] == nil {
				l.order = append(l.order, key)
			}
			box := sheet.Edge.Shape.Bounds()
			for c := range tray.Copies {
				groups[key] = append(groups[key], item{Part{Tray: tray, Sheet: sheet, Layer: sheet.Number, Copy: c + 1}, [2]float64{box.Width(), box.Height()}})
			}
		}
	}
	return groups
}

func keyOf(s *plan.Sheet) groupKey {
	marking := s.Marking.Tool.ID
	if len(s.Marks) == 0 || marking == "" {
		marking = s.Edge.Tool.ID
	}
	layer := s.Layers[0]
	return groupKey{layer.Foam.ID, layer.Sold(), layer.Thickness, string(layer.ZZero), s.Edge.Tool.ID, marking}
}

func (l *layer) fail(rule string, t *plan.Tray, message, hint string) {
	where := "tray " + t.ID
	if t.Position.File != "" {
		where = t.Position.String() + ": " + where
	}
	f := finding.Finding{Rule: rule, Where: where, Message: message, Hint: hint}
	if !slices.Contains(l.found, f) {
		l.found = append(l.found, f)
	}
}

// mostItems of one foam and thickness are laid out: beyond, a job is no job of a bench.
const mostItems = 20_000

// stepsEach is how much the search may try for each item, and mostSteps for all of a foam and
// thickness: a second or two.
const (
	stepsEach  = 30_000
	stepsAdded = 3_000 // for a layer that is added beside what stays
	mostSteps  = 4_000_000
)

// group lays out what can share sheets.
func (l *layer) group(ctx context.Context, key groupKey, items []item) error {
	first := items[0]
	if len(items) > mostItems {
		l.fail("too-many-layers", first.Tray, fmt.Sprintf("and others have %d layers of %s, more than %d", len(items), key.foam, mostItems), "make it several jobs")
		return nil
	}
	kinds := l.kinds(key)
	l.sought = append(l.sought, sought{key, l.roomFor(first), kinds, items})
	room, off := l.offClamps(l.roomFor(first), kinds, items)
	if !off {
		l.noRoom(key, room, kinds, items)
		return nil
	}
	list := make([]pack.Item, len(items))
	for i, it := range items {
		list[i] = pack.Item{Length: roundUp(it.size[0]), Width: roundUp(it.size[1]), Fixed: room.grain}
	}
	sheets := make([]pack.Sheet, len(kinds))
	for i, k := range kinds {
		sheets[i] = l.packed(k, len(items), room)
	}
	laid, err := l.pack(ctx, items, list, sheets, l.options(room))
	l.sharing = l.sharing || len(l.begun(key)) > 0
	l.least = l.least && err == nil && laid.Cost <= laid.LowerBound && !l.sharing
	if errors.Is(err, pack.ErrTooFewSheets) {
		l.fail("stock-too-small", first.Tray, fmt.Sprintf("and what else is of %s, %s thick: the sheets of `stock` do not hold it all", key.foam, l.length(key.sold.MM())), l.unlimited(key, room, kinds, items))
		return nil
	}
	if err != nil {
		return fmt.Errorf("%s, %s: %w", key.foam, l.length(key.sold.MM()), err)
	}
	if laid, err = laid.Trimmed(list, sheets, l.options(room)); err != nil {
		return fmt.Errorf("%s, %s: %w", key.foam, l.length(key.sold.MM()), err)
	}
	l.take(key, room, kinds, items, laid)
	return nil
}

// pack lays layers on sheets.
func (l *layer) pack(ctx context.Context, items []item, list []pack.Item, sheets []pack.Sheet, o pack.Options) (pack.SheetsResult, error) {
	o.Parting.Equal, o.Parting.Share = l.way.equal, l.way.share
	if l.way.atOnce {
		o.Steps = min(stepsEach*len(list)+steps, mostSteps)
		return pack.Sheets(ctx, list, sheets, o)
	}
	return trayByTray(ctx, items, list, sheets, o)
}

// trayByTray places each tray's layers where those of the trays before it have left room, or all anew
// where that is cheaper: what a job had before a tray was added at its end stays as it was, unless
// moving it saves money.
func trayByTray(ctx context.Context, items []item, list []pack.Item, sheets []pack.Sheet, o pack.Options) (laid pack.SheetsResult, err error) {
	left := mostSteps / 2 // for all but the last
	for from, to := 0, 0; from < len(list); from = to {
		for to = from + 1; to < len(list) && items[to].Tray == items[from].Tray; to++ {
		}
		o.Steps = stepsAdded * (to - from + 1)
		more, failed := laid.Added(ctx, list[:to], sheets, o)
		if failed == nil && (more.Cost <= more.LowerBound || left <= 0 && to < len(list)) {
			laid = more
			continue
		}
		o.Steps = min(stepsEach*to+steps, mostSteps)
		left -= o.Steps
		if laid, err = pack.Sheets(ctx, list[:to], sheets, o); failed == nil && (err != nil || more.Cost <= laid.Cost) {
			laid, err = more, nil
		}
		if err != nil {
			return laid, err
		}
	}
	return laid, nil
}

// room is what layers need around them.
type room struct {
	gap, margin float64 // between two parts, and to the sheet's edge
	kerf, tool  float64 // widths of the cut around a part, and of the tool that makes it
	lead        float64 // how far beside a cut a beam comes in, or a steered blade runs on behind a corner
	grain       bool    // nothing is turned

	right float64 // from where on clamps take all to their right from a head that is not lifted, mm
}

// leastStripMM of foam stays between the cuts around two parts, whatever wall it may have: nearer
// to each other, two ways of a beam heat what is between them twice; judged, no source.
const leastStripMM = 6

// roomFor leaves a wall of the foam between the cuts around two parts, so that what is left
// between them stands, with what a beam needs there to come in; and the rim that holds the sheet. Under a cutter
// that strip hangs by its skin, and is as thick as a wall of its height that does not bend (judged, no source).
func (l *layer) roomFor(it item) room {
	edge, layer := it.Sheet.Edge, it.Sheet.Layers[0]
	kerf, lead := edge.WidestMM(), edge.Tool.ChordMM.Value
	for _, r := range edge.Recipes {
		lead = max(lead, r.LeadInMM.Value)
	}
	strip := max(layer.Foam.LeastWallMM.Value, leastStripMM)
	if l.Plan.Machine.Process.Traits().Turning {
		strip = max(strip, plan.StandsMM(layer.Foam, layer.Thickness.MM()))
	}
	return room{
		gap:    2*kerf + strip + lead,
		margin: math.Max(l.stock.Margin.MM(), kerf+l.RimMM(*it.Sheet)),
		kerf:   kerf,
		lead:   lead,
		grain:  layer.Foam.Grain,
		tool:   max(kerf, edge.Tool.DiameterMM.Value),
	}
}

func (l *layer) length(mm float64) string {
	length, err := units.FromMM(mm)
	if err != nil {
		return fmt.Sprintf("%.1f mm", mm)
	}
	return length.Format(l.Plan.Job.Units)
}

func (l *layer) size(x, y float64) string { return l.length(l.up(x)) + " × " + l.length(l.up(y)) }

// up is a length that a person reads or writes, no shorter than it is: a tenth of a mm, or a thousandth of an inch where it is
// no fraction of one.
func (l *layer) up(mm float64) float64 { return units.AtLeast(mm, 0.1, l.Plan.Job.Units) }

// roundUp is a length in the unit of the layout, no shorter than it is.
func roundUp(mm float64) int64 { return int64(math.Ceil(mm*perMM - 1e-6)) }
