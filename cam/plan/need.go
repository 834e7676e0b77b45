package plan

import (
	"fmt"
	"math"

	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles"
)

// LeastFloor is the thinnest foam worth leaving below a pocket in its
// layer: less is a skin that tears, and what cuts to a depth goes through
// the layer instead. Common practice, no source.
const LeastFloor units.Length = 2_000_000

// Step is what the sizes, places and depths of pockets that are made for a piece
// are rounded to: half a millimetre, or a sixty-fourth of an inch, exactly.
func Step(u units.Unit) units.Length {
	if u == units.Inch {
		return 396_875
	}
	return 500_000
}

// Need is the pocket that a piece needs in one pose.
type Need struct {
	Pose          string // lying or upright
	Length, Width units.Length
	Round         bool
	Outline       string       // drawing of it, whose box is within length and width; "" for none
	Depth         units.Length // least: the piece's and headroom, not rounded
	Headroom      units.Length // below 0 where the piece is to stand out
	Pile          int          // so many lie on each other in it; 0 for one
}

// Piled is the pocket for so many on each other.
func (n Need) Piled(pile int) Need {
	high := (n.Depth - n.Headroom) / units.Length(n.Pieces()) * units.Length(pile)
	n.Headroom = max(n.Headroom, 1-high)
	n.Depth, n.Pile = high+n.Headroom, pile
	return n
}

// Pieces is how many are in it.
func (n Need) Pieces() int { return max(1, n.Pile) }

// Area is that of the pocket's box, mm2.
func (n Need) Area() float64 { return n.Length.MM() * n.Width.MM() }

// NeedsOf are the pockets that a piece may have in a foam whose fit adds so many
// mm, one for each pose that the roster allows, smallest first.
func NeedsOf(p *job.Piece, fitMM float64, headroom, step units.Length) []Need {
	fit := units.Length(math.Round(fitMM * 1e6))
	size := func(l units.Length) units.Length { return max(step, (l + fit).Up(step)) }
	var list []Need
	if p.Pose != job.Lying {
		n := Need{Pose: "upright", Length: size(p.Length), Width: size(p.Width), Depth: p.Height + headroom, Headroom: headroom}
		if p.Shape == job.Round {
			d := size(max(p.Length, p.Width))
			n.Length, n.Width, n.Round = d, d, true
		}
		list = append(list, n)
	}
	if p.Pose != job.Upright {
		n := Need{Pose: "lying", Length: size(p.Length), Width: size(p.Height), Depth: p.Width + headroom, Headroom: headroom}
		if len(list) == 0 || n.Area() >= list[0].Area() {
			return append(list, n)
		}
		return append([]Need{n}, list...)
	}
	return list
}

// NeedOfDrawn is the pocket of a piece that has a drawing of it, of which this is the box in mm.
func NeedOfDrawn(p *job.Piece, length, width float64, headroom, step units.Length) Need {
	up := func(mm float64) units.Length { return max(step, units.Length(math.Ceil(mm*1e6)).Up(step)) }
	n := Need{Pose: "upright", Length: up(length), Width: up(width), Outline: p.Outline, Depth: p.Height + headroom, Headroom: headroom}
	if p.Pose == job.Lying {
		n.Pose, n.Depth = "lying", p.Width+headroom
	}
	return n
}

// FitIn is what the foam adds to a piece for a fit, mm; false where it has no
// such fit. "" is snug.
func FitIn(f profiles.Foam, name string) (mm float64, ok bool) {
	if name == "" {
		name = "snug"
	}
	n, ok := f.Fits[name]
	return n.Value, ok
}

// DepthFor is how deep a pocket is cut in a tray of some layers for what a piece
// needs; false where the tray is too thin. A pocket leaves the lowest of
// several layers whole, which is the floor. Stops says that a cut may end within a layer;
// what it would leave of one as a skin, it cuts. Else it cuts whole layers.
func DepthFor(least units.Length, layers []job.Layer, stops bool, step units.Length) (units.Length, bool) {
	usable, end := UsableDepth(layers, stops), units.Length(0)
	if least > usable {
		return 0, false
	}
	for i, l := range layers {
		end += l.Thickness
		if least > end {
			continue
		}
		if !stops {
			return end, true
		}
		d := max(least.Up(step), end-l.Thickness+leastCut)
		floor := i < len(layers)-1
		if floor && d > end-LeastFloor {
			return end, true
		}
		return min(d, usable), true
	}
	return 0, false
}

// UsableDepth is how deep a pocket may be at most in a tray of some layers; stops as for
// DepthFor.
func UsableDepth(layers []job.Layer, stops bool) units.Length {
	var sum units.Length
	for _, l := range layers {
		sum += l.Thickness
	}
	switch {
	case len(layers) > 1:
		return sum - layers[len(layers)-1].Thickness
	case stops:
		return sum - LeastFloor
	}
	return sum
}

// Why says in a few words how the pocket comes from the piece; stops is whether a tool can stop in
// its layer, which is else cut through, however deep the piece is.
func (n Need) Why(p *job.Piece, fitMM float64, foam, fit string, depth units.Length, stops bool, u units.Unit) string {
	across := p.Width
	below := p.Height
	if n.Pose == "lying" {
		across, below = p.Height, p.Width
	}
	if fit == "" {
		fit = "snug"
	}
	size := p.Length.Format(u) + " x " + across.Format(u)
	if n.Round {
		size = "diameter " + max(p.Length, p.Width).Format(u)
	}
	deep := below.Format(u)
	if n.Pile > 1 {
		deep = fmt.Sprintf("%d on each other are %s", n.Pile, (n.Depth - n.Headroom).Format(u))
	}
	down := " deep, to " + depth.Format(u)
	switch {
	case !stops:
		down = " deep in a layer of " + depth.Format(u) + ", which is cut through"
	case n.Headroom < 0:
		down = fmt.Sprintf(" deep less %s that stand out, to %s", (-n.Headroom).Format(u), depth.Format(u))
	case n.Headroom > 0:
		down = fmt.Sprintf(" deep and %s of headroom, to %s", n.Headroom.Format(u), depth.Format(u))
	}
	if n.Outline != "" {
		return fmt.Sprintf("as %s draws it; %s%s", n.Outline, deep, down)
	}
	return fmt.Sprintf("%s, %s in %s adds %s; %s%s", size, fit, foam, units.Length(math.Round(fitMM*1e6)).Format(u), deep, down)
}
