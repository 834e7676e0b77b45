package page

import (
	"math"
	"slices"

	"traywright/cam/proof"
)

// differenceMM is the depth from which foam is marked as not what was planned,
// and how far the worst places are before they get a cross.
const differenceMM = 0.05

// marks of foam that differs from the plan.
const (
	tooMuch   = int8(1)
	tooLittle = int8(-1)
)

// differences holds a drawing against the plan: for each pixel whether more or
// less was cut than wanted. Walls are a pixel or two wide and are left to the
// crosses; what counts here is the same difference all around a pixel. A picture that is
// drawn from the plan differs from it by its cells alone, and has nothing to mark.
func differences(v view, f *foam, field proof.Field, thicknessMM float64, wanted *proof.Wanted) (marks []int8, over, under bool) {
	if wanted == nil || !usable(field) || f.w == 0 || f.h == 0 {
		return nil, false, false
	}
	want, depths := wantedDepths(v, f, wanted)
	raw := make([]int8, len(want))
	columns := cells(v.box.Min.X-field.Origin.X, 1/v.scale, field.CellMM, f.w, 1, field.Columns)
	rows := cells(v.box.Max.Y-field.Origin.Y, -1/v.scale, field.CellMM, f.h, 1, field.Rows)
	marked := make([]bool, f.h)
	for y := range f.h {
		if rows[y] < 0 {
			continue
		}
		line := field.DepthMM[rows[y]*field.Columns:]
		classes, wants := f.class[y*f.w:(y+1)*f.w], want[y*f.w:(y+1)*f.w]
		for x, class := range classes {
			w := wants[x]
			if w == outsideSheet || w == uncut && class == untouched || class == loose || columns[x] < 0 {
				continue
			}
			depth := float64(line[columns[x]])
			if w == uncut && depth <= wanted.MarkDepthMM+differenceMM || w == slitted {
				continue // engraved, as planned
			}
			if m := compare(depth, depths[w], thicknessMM); m != 0 {
				raw[y*f.w+x], marked[y] = m, true
			}
		}
	}
	return agreed(raw, marked, f.w)
}

// compare is which way a depth differs from the one wanted. Below the foam
// nothing counts.
func compare(depth, want, thicknessMM float64) int8 {
	if thicknessMM > 0 {
		depth, want = math.Min(depth, thicknessMM), math.Min(want, thicknessMM)
	}
	switch {
	case depth > want+differenceMM:
		return tooMuch
	case depth < want-differenceMM:
		return tooLittle
	}
	return 0
}

// The first two of the wanted depths.
const (
	outsideSheet = uint16(0)
	uncut        = uint16(1)
	slitted      = uint16(math.MaxUint16) // a slit of a wire, or foam that hangs where the blade has left it to a hand: as planned
)

// wantedDepths is how deep each pixel should be cut, as an index of depths.
func wantedDepths(v view, f *foam, wanted *proof.Wanted) (want []uint16, depths []float64) {
	want = make([]uint16, f.w*f.h)
	eachSpan(wanted.Outline, v, f, func(y, from, to int) {
		for x := from; x < to; x++ {
			want[y*f.w+x] = uncut
		}
	})
	depths = []float64{0, 0}
	for _, cut := range wanted.Cuts {
		i := slices.Index(depths[1:], cut.DepthMM) + 1
		if i == 0 {
			i = len(depths)
			depths = append(depths, cut.DepthMM)
		}
		if i >= int(slitted) {
			break
		}
		eachSpan(cut.Shape, v, f, func(y, from, to int) {
			for x := from; x < to; x++ {
				if w := &want[y*f.w+x]; *w != outsideSheet && depths[*w] < cut.DepthMM {
					*w = uint16(i)
				}
			}
		})
	}
	for _, cut := range wanted.Cuts {
		if len(cut.Bridged.Left) == 0 {
			continue
		}
		eachSpan(cut.Shape, v, f, func(y, from, to int) {
			for x := from; x < to; x++ {
				want[y*f.w+x] = slitted
			}
		})
	}
	for _, s := range wanted.Slits {
		eachSpan(s.Region(), v, f, func(y, from, to int) {
			for x := from; x < to; x++ {
				if want[y*f.w+x] == uncut {
					want[y*f.w+x] = slitted
				}
			}
		})
	}
	return want, depths
}

// agreed keeps the marks whose neighbours two pixels away say the same; marked
// are the rows that have any.
func agreed(raw []int8, marked []bool, w int) (marks []int8, over, under bool) {
	marks = make([]int8, len(raw))
	for y := 2; y < len(marked)-2; y++ {
		for x := 2; marked[y] && x < w-2; x++ {
			i := y*w + x
			m := raw[i]
			if m != 0 && raw[i-2] == m && raw[i+2] == m && raw[i-2*w] == m && raw[i+2*w] == m {
				marks[i] = m
				over, under = over || m == tooMuch, under || m == tooLittle
			}
		}
	}
	return marks, over, under
}

// The hatches of foam that differs from the plan, striped as errors are: unlike in
// colour and in slope.
const differenceStep = 14

// paintDifferences hatches foam that differs from the plan.
func (c *canvas) paintDifferences(f *foam, marks []int8) {
	for i, m := range marks {
		if m != 0 {
			c.differencePixel(f.x+i%f.w, f.y+i/f.w, m)
		}
	}
}

func (c *canvas) differencePixel(x, y int, m int8) {
	col, slope := yellow, 1
	if m == tooLittle {
		col, slope = purple, -1
	}
	if !onHatch(x, y, differenceStep, differenceStep/2, slope) {
		col = black
	}
	c.im.SetRGBA(x, y, col)
}
