package proof

import (
	"cmp"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"traywright/geometry"
)

// cutFoam makes the sweeps and runs them, in their order, through a fresh field.
func (d *run) cutFoam() {
	d.makeSweeps()
	d.result.Field = newField(d.fieldBox(), d.setup.CellMM, d.outside)
	rapids, bites, sunk, took := d.cutBands()
	d.sunkOver = map[int]bool{}
	for _, hit := range rapids {
		if m := d.result.Motions[hit.motion]; m.lowest() < d.overMM(m) {
			d.tellLow(m, hit.at)
		} else {
			d.sunkOver[hit.motion] = true
		}
	}
	for _, hit := range bites {
		step, _ := d.stepDown(hit.motion)
		d.wrong(d.lineOf(hit.motion), "bite-too-deep", "takes %v of foam in one pass at %v, and its recipe allows %v", length(hit.by), hit.at, length(step)).
			hint("go down in more passes")
	}
	d.judgeNarrowBites()
	d.judgeSinking(sunk)
	d.judgeRubbing(took)
}

// tellLow files what passes through foam, or too close above it.
func (d *run) tellLow(m Motion, at geometry.Point) {
	clearance := length(d.setup.Machine.ClearanceMM.Value)
	switch low := m.lowest(); {
	case low < 0 && m.Rapid && m.flatLength() == 0:
		d.wrong(m.Line, "rapid-in-foam", "a rapid sinks to %v below the top at %v: into foam, or nearer than %v to what is under it", length(-low), at, length(d.sinkMM())).
			hint("end it %v or more above that foam and go on down at the plunge feed", length(d.sinkMM()))
	case low < 0 && m.Rapid:
		d.wrong(m.Line, "rapid-in-foam", "a rapid runs through foam at %v, %v below the top", at, length(-low)).hint("lift above the foam first")
	case !m.Rapid && m.flatLength() < unseenMM: // the first of a ramp, whose Z is rounded to the top
	case !m.Rapid:
		d.wrong(m.Line, "low-travel", "goes sideways at %v, at %v, without cutting it: foam is never so flat", d.height(low), at).hint("lift it to %v first", clearance)
	case m.flatLength() == 0:
		d.wrong(m.Line, "rapid-down", "sinks at rapid to %v over foam at %v: foam is never so flat", length(low), at).hint("sink the last %v at the plunge feed", length(d.sinkMM()))
	case d.setup.Machine.ClearanceMM.Value < leastAboveMM:
		d.strictly(m.Line, "rapid-too-low", "a rapid passes %v over foam at %v: foam is never so flat", length(low), at).hint("lift it to %v or more first", length(leastAboveMM))
	default:
		d.strictly(m.Line, "rapid-too-low", "a rapid passes %v over foam at %v, and the machine's profile asks for %v: foam is never so flat", length(low), at, clearance).hint("lift it to that height first")
	}
}

// makeSweeps turns motions into what they remove. A cutter removes down to its
// tip. A beam removes what beam.go says.
func (d *run) makeSweeps() {
	told := map[int]bool{}
	d.sweeps = make([]sweep, 0, len(d.result.Motions))
	d.cutEarlier()
	for i, m := range d.result.Motions {
		e, known := d.edgeIn(i)
		if !told[m.Tool] && !m.Rapid {
			told[m.Tool] = true
			d.tellWidth(m, known)
		}
		switch {
		case d.beam && d.laid[i].mm > 0:
			depth := math.Min(d.laid[i].mm, d.throughMM())
			d.result.Motions[i].BeamMM = depth
			d.cutWith(e, i, depth, depth)
		case d.beam:
		case m.To.Z > m.From.Z && m.flatLength() == 0: // up, out of its own hole
		case m.lowest() >= -faceMM || m.Rapid && m.lowest() >= -2*lowMM:
			over := d.overMM(m)
			if m.lowest() >= over && m.Rapid && m.flatLength() == 0 && d.setup.Tolerances != nil {
				over = m.lowest() + anyFoamMM // for rapidHeight
			}
			if m.lowest() < over {
				d.rapids = appendSweeps(d.rapids, i, m, e.radius, over-m.From.Z, over-m.To.Z)
			}
		case m.Rapid:
			over := 0.0
			if m.flatLength() <= slackMM {
				over = d.overMM(m)
			}
			d.rapids = appendSweeps(d.rapids, i, m, e.narrowest(-m.lowest()), over-m.From.Z, over-m.To.Z)
		case m.On:
			d.cutWith(e, i, -m.From.Z, -m.To.Z)
		}
	}
}

// overMM is how high what does not cut has to pass over foam: a rapid in a program of ours without
// its job half of the profile's clearance, and any leastAboveMM; in those what is slower or only
// sinks as well (judged, no source). 0 where nobody asks, and where checkClearance has told.
func (d *run) overMM(m Motion) float64 {
	strict := d.ours || d.want != nil
	switch flat := m.flatLength() > slackMM; {
	case m.Rapid && flat && d.want != nil:
		return 0
	case m.Rapid && flat && strict:
		return math.Max(leastAboveMM-slackMM, d.setup.Machine.ClearanceMM.Value/2)
	case m.Rapid && !flat && strict:
		return d.sinkMM() - slackMM
	case m.Rapid && flat, strict && flat:
		return leastAboveMM - slackMM
	}
	return 0
}

// sinkMM is how near to the planned top of foam a rapid straight down may come: leastAboveMM, and above that what
// tolerances lift the real top by. From the bed a thicker sheet does as well, from the top none. At the
// clearance all rapids are, and the corners of the tolerances say what that is worth.
func (d *run) sinkMM() float64 {
	t := d.setup.Tolerances
	if t == nil {
		return leastAboveMM
	}
	least := leastAboveMM - t.ZeroMM.Low
	if d.top > 0 {
		least += t.ThicknessMM.High
	}
	return min(least, math.Max(leastAboveMM, d.setup.Machine.ClearanceMM.Value))
}

// anyFoamMM is how far a way down is looked at below its end: foam stands there that nobody has cut by 0.001 mm.
const anyFoamMM = grazeMM + 1e-3

// cutWith adds a motion that cuts from one depth to another.
func (d *run) cutWith(e edge, motion int, from, to float64) {
	first := len(d.sweeps)
	step, wall := d.stepDown(motion)
	d.sweeps = appendSweeps(d.sweeps, motion, d.result.Motions[motion], e.radius, from, to)
	for i := first; i < len(d.sweeps); i++ {
		d.sweeps[i].edge, d.sweeps[i].most, d.sweeps[i].wall = e, step, wall
	}
}

// stepDown is the most foam that a motion may take, by its limits, 0 is not known; and how far in
// from its own edge it may take more.
func (d *run) stepDown(motion int) (most, wall float64) {
	for _, l := range d.limitsOf(motion) {
		most, wall = math.Max(most, l.StepDownMM), math.Max(wall, l.WallMM)
	}
	return most, wall
}

// toolName is a tool as a person calls it.
func toolName(number int) string {
	if number == 0 {
		return "the tool"
	}
	return fmt.Sprintf("tool T%d", number)
}

// guessedMM is the width of a cut where nobody has said it: for a picture, not
// for a judgement.
const guessedMM = 1

// fieldBox is what the field must cover: all that is cut, and the sheet.
func (d *run) fieldBox() geometry.Box {
	box := geometry.EmptyBox()
	grow := func(s *sweep) { box = box.Union(s.bounds().Grow(s.reach())) }
	for i := range d.sweeps {
		grow(&d.sweeps[i])
	}
	for i := range d.rapids {
		if d.rapids[i].deepest() > anyFoamMM+1e-9 { // where all else stays away no foam is known to stand
			grow(&d.rapids[i])
		}
	}
	if d.want != nil && !d.want.Outline.Empty() {
		box = box.Union(d.want.Outline.Bounds())
	}
	return box
}

// hit is where a motion meets foam that it should not: a rapid any, a cut more
// than one pass may take.
type hit struct {
	motion int
	at     geometry.Point
	by     float64 // mm of foam, of a cut
}

// bandRows is how many rows are cut together, program after program: few enough
// for a processor to keep them at hand.
const bandRows = 64

// cutBands cuts the field in horizontal bands side by side. Within a band
// everything happens in the program's order, so what a rapid meets is the foam
// of that moment; the bands do not touch each other, so the result does not
// depend on how many there are.
func (d *run) cutBands() (rapids, bites []hit, sinks []sunk, took []bool) {
	f := &d.result.Field
	cutting, passing := f.reached(d.sweeps), f.reached(d.rapids)
	count := max(f.Rows/bandRows, 1)
	found := make([]bandHits, count)
	var group sync.WaitGroup
	var next atomic.Int64
	for range min(runtime.GOMAXPROCS(0), count) {
		group.Go(func() {
			for band := int(next.Add(1)) - 1; band < count; band = int(next.Add(1)) - 1 {
				found[band] = d.cutBand(rows{int32(band * f.Rows / count), int32((band + 1) * f.Rows / count)}, cutting, passing)
			}
		})
	}
	group.Wait()
	took = make([]bool, len(d.sweeps))
	for _, band := range found {
		rapids, bites, sinks = append(rapids, band.rapids...), append(bites, band.bites...), append(sinks, band.sinks...)
		for _, i := range band.took {
			took[i] = true
		}
	}
	return firstHits(rapids), firstHits(bites), sinks, took
}

// rows is those from first to end-1.
type rows struct{ first, end int32 }

func (r rows) meet(other rows) bool { return r.first < other.end && other.first < r.end }

// reached is the rows that each sweep reaches.
func (f *Field) reached(sweeps []sweep) []rows {
	list := make([]rows, len(sweeps))
	for i := range sweeps {
		box := sweeps[i].bounds().Grow(sweeps[i].reach())
		first, end := f.rowsIn(box.Min.Y, box.Max.Y)
		list[i] = rows{int32(first), int32(end)}
	}
	return list
}

// bandHits is what was found in one band.
type bandHits struct {
	rapids, bites []hit
	sinks         []sunk
	took          []int32 // the sweeps that took foam
}

// cutBand cuts the rows of a band and finds the rapids that meet foam there, and
// the cuts that take too much of it.
func (d *run) cutBand(band rows, cutting, passing []rows) bandHits {
	f := &d.result.Field
	var found bandHits
	next := 0
	cutBefore := func(motion int) {
		for ; next < len(d.sweeps) && d.sweeps[next].motion < motion; next++ {
			if !band.meet(cutting[next]) {
				continue
			}
			s := &d.sweeps[next]
			if at, by := f.bite(s, d.setup.ThicknessMM, band); by > s.most+biteMM {
				found.bites = append(found.bites, hit{s.motion, at, by})
			}
			if mm, top := f.sinks(s, d.setup.ThicknessMM, band); mm > 0 && d.limits != nil {
				found.sinks = append(found.sinks, sunk{s.motion, next, mm, top})
			}
			if f.cut(s, int(band.first), int(band.end)) && !d.beam {
				found.took = append(found.took, int32(next))
			}
		}
	}
	for i := range d.rapids {
		if r := &d.rapids[i]; band.meet(passing[i]) {
			cutBefore(r.motion)
			if at, meets := f.inTheWay(r, int(band.first), int(band.end)); meets {
				found.rapids = append(found.rapids, hit{motion: r.motion, at: at})
			}
		}
	}
	cutBefore(math.MaxInt)
	return found
}

// biteMM is what rounding of printed heights may add to a pass.
const biteMM = 0.01

// firstHits keeps one hit for each motion, the worst and of those the lowest place, in order.
func firstHits(all []hit) []hit {
	slices.SortStableFunc(all, func(a, b hit) int {
		return cmp.Or(a.motion-b.motion, sign(b.by-a.by), sign(a.at.Y-b.at.Y))
	})
	return slices.CompactFunc(all, func(a, b hit) bool { return a.motion == b.motion })
}

func sign(v float64) int {
	switch {
	case v < 0:
		return -1
	case v > 0:
		return 1
	}
	return 0
}

// meetsRectangle reports whether the disc meets a rectangle with its lower-left
// corner at x, y: whether the path comes within radius of it.
func (s *sweep) meetsRectangle(x, y, length, width float64) bool {
	corners := [4]geometry.Point{{X: x, Y: y}, {X: x + length, Y: y}, {X: x + length, Y: y + width}, {X: x, Y: y + width}}
	box := geometry.Box{Min: corners[0], Max: corners[2]}
	if near := s.bounds().Grow(s.radius); near.Min.X > box.Max.X || near.Max.X < box.Min.X || near.Min.Y > box.Max.Y || near.Max.Y < box.Min.Y {
		return false
	}
	for _, p := range [2]geometry.Point{s.a, s.b} {
		if p.X >= box.Min.X && p.X <= box.Max.X && p.Y >= box.Min.Y && p.Y <= box.Max.Y {
			return true
		}
	}
	for i := range corners {
		if s.meetsEdge(corners[i], corners[(i+1)%4]) {
			return true
		}
	}
	return false
}

// meetsEdge reports whether the path comes within radius of the line a-b. The
// edge is walked in steps no longer than the distance that is known to be free,
// so nothing is missed.
func (s *sweep) meetsEdge(a, b geometry.Point) bool {
	length := a.DistanceTo(b)
	for along := 0.0; ; {
		at := a
		if length > 0 {
			at = a.Add(b.Sub(a).Scale(along / length))
		}
		free := s.distance(at, math.Inf(-1)) - s.radius
		if free <= 0 {
			return true
		}
		if along >= length {
			return false
		}
		along = math.Min(length, along+math.Max(free, 0.01))
	}
}
