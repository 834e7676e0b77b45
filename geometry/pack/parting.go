package pack

import (
	"fmt"
	"slices"
)

// Parting is how sheets are cut into panels that a machine reaches: by straight cuts from edge to edge,
// first into strips along Y, then each strip along X. The zero value parts none.
type Parting struct {
	Reach [2]int64 // the largest panel, along X and Y; zero where there is no end
	Step  int64    // panels end at whole steps, or where the sheet does
	Least int64    // a rest that is narrower goes to the panel beside it, where the machine reaches it
	Cost  int64    // of each panel, and of each sheet that is not parted, beside the sheet's own
	Spare int64    // how much larger than what lies on it needs a panel stays that is made shorter: straight cuts may take that
	Hold  [2]int64 // a panel is so long and wide at least, where its sheet and the machine are: what holds it lies there
	Gain  int64    // a panel is made shorter for no less than this
	Equal bool     // no panel is longer or wider than an equal part of its sheet
	Share bool     // a sheet costs the share of it that is in panels: what stays of it is of use
}

// Panel is a part of a sheet, from the sheet's lower-left corner as it lies.
type Panel struct{ X, Y, Length, Width int64 }

func (p Parting) reaches(length, width int64) bool {
	return p.Reach == [2]int64{} || length <= p.Reach[0] && width <= p.Reach[1]
}

// within is how much of a length the machine reaches along an axis.
func (p Parting) within(length int64, axis int) int64 {
	if p.Reach == [2]int64{} {
		return length
	}
	return min(length, p.Reach[axis])
}

// Holds reports whether an item lies on some panel of a sheet.
func (o Options) Holds(it Item, s Sheet) bool { return o.Parting.checkItem(it, s, o) == nil }

// checkItem refuses an item that lies on no panel of a sheet.
func (p Parting) checkItem(it Item, s Sheet, o Options) (err error) {
	for _, turned := range s.turnedWays(p) {
		l, w := s.lie(turned)
		if p.Reach != [2]int64{} {
			l, w = p.most(0, l, 0), p.most(0, w, 1)
		}
		if err = checkItems([]Item{it}, l, w, o); err != nil {
			continue
		}
		alone := newOccupied(0, Panel{0, 0, l, w}, s.Taken, o)
		if _, found := alone.room(it); found {
			return nil
		}
		err = fmt.Errorf("item of %d x %d: %w", it.Length, it.Width, errTaken)
	}
	return err
}

// up is the first step that is no less than a length.
func (p Parting) up(length int64) int64 {
	step := max(p.Step, 1)
	return (length + step - 1) / step * step
}

// most is the largest panel of what is left of a sheet along an axis, ending at a step where the sheet does not.
func (p Parting) most(from, end int64, axis int) int64 {
	if end-from <= p.Reach[axis] {
		return end - from
	}
	step := max(p.Step, 1)
	return (from+p.Reach[axis])/step*step - from
}

// held is how long a panel is at least for what holds it: nothing where that is beyond the machine.
func (p Parting) held(axis int) int64 {
	if p.Hold[axis] > p.Reach[axis] {
		return 0
	}
	return p.Hold[axis]
}

// end is where a panel ends that has to reach so far: at the next step, or at the sheet's edge where what is
// beside it would be of no use.
func (p Parting) end(from, needed, end int64, axis int) int64 {
	at := min(p.up(max(needed, from+p.held(axis))), end)
	if end-at < p.Least && end-from <= p.Reach[axis] {
		return end
	}
	return at
}

// lie is a sheet's length and width as it lies.
func (s Sheet) lie(turned bool) (length, width int64) {
	if turned {
		return s.Width, s.Length
	}
	return s.Length, s.Width
}

// turnedWays are the ways that a sheet may lie to be parted: one that the machine reaches whole lies so.
func (s Sheet) turnedWays(p Parting) []bool {
	switch {
	case p.reaches(s.Length, s.Width) || s.Fixed:
		return []bool{false}
	case p.reaches(s.Width, s.Length):
		return []bool{true}
	}
	return []bool{false, true}
}

// Rests are what is left of a parted sheet, as it lies, in pieces that can be parted further: of each
// strip what is behind its panels, and all that is beside the strips.
func Rests(panels []Panel, length, width int64) (list []Panel) {
	strips := map[int64]Panel{}
	var xs []int64
	beside := int64(0)
	for _, p := range panels {
		strip, known := strips[p.X]
		if !known {
			xs = append(xs, p.X)
		}
		top := max(strip.Y, p.Y+p.Width)
		strips[p.X] = Panel{p.X, top, p.Length, width - top}
		beside = max(beside, p.X+p.Length)
	}
	slices.Sort(xs)
	for _, x := range xs {
		if strips[x].Width > 0 {
			list = append(list, strips[x])
		}
	}
	if beside < length {
		list = append(list, Panel{beside, 0, length - beside, width})
	}
	return list
}

// verifyPanels holds the panels of a sheet against what was promised: inside it, within reach, apart, and to
// be had by cuts from edge to edge: what of two panels is above or below the other is of its strip.
func verifyPanels(panels []Panel, length, width int64, p Parting) error {
	step := max(p.Step, 1)
	for i, a := range panels {
		right, top := a.X+a.Length, a.Y+a.Width
		switch {
		case min(a.X, a.Y) < 0 || min(a.Length, a.Width) <= 0 || right > length || top > width:
			return unsound("panel %d sticks out", i)
		case !p.reaches(a.Length, a.Width):
			return unsound("panel %d is out of reach", i)
		case a.X%step != 0 || a.Y%step != 0 || right%step != 0 && right != length || top%step != 0 && top != width:
			return unsound("panel %d ends at no step", i)
		}
		for k, b := range panels[:i] {
			beside := a.X >= b.X+b.Length || b.X >= right
			over := a.X == b.X && a.Length == b.Length && (a.Y >= b.Y+b.Width || b.Y >= top)
			if !beside && !over {
				return unsound("panels %d and %d are not parted by straight cuts", k, i)
			}
		}
	}
	return nil
}

// panelsOf are the panels of a sheet in the order of cutting; one that is not parted is one panel.
func (r SheetsResult) panelsOf(bin int, sheets []Sheet) []Panel {
	if r.Panels != nil {
		return r.Panels[bin]
	}
	s := sheets[r.Used[bin]]
	return []Panel{{0, 0, s.Length, s.Width}}
}

// Holds reports whether an item's corner lies on a panel.
func (p Panel) Holds(at Placement) bool {
	return at.X >= p.X && at.X < p.X+p.Length && at.Y >= p.Y && at.Y < p.Y+p.Width
}
