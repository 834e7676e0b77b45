package arrange

import (
	"fmt"
	"math"

	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles"
)

const (
	// headroom is how much deeper than its piece a pocket is at least, so that
	// the sheet above does not touch the piece: more than the 0.2 mm that a
	// length of soft foam between 10 and 100 mm is reported to (ISO 1923, after
	// its Chinese adoption GB/T 6342).
	headroom units.Length = 250_000

	// leastFloor is the thinnest foam worth leaving below a pocket in its
	// layer; a router that would leave less goes through the layer. Common
	// practice, no source.
	leastFloor units.Length = 2_000_000

	// usualReach of a notch where the job gives none. Common practice, no source.
	usualReach units.Length = 10_000_000
)

// stepOf is what pockets, places and depths are rounded to: half a millimetre,
// or a sixty-fourth of an inch, exactly.
func stepOf(u units.Unit) units.Length {
	if u == units.Inch {
		return 396_875
	}
	return 500_000
}

// up rounds to a multiple of step, away from zero for positive lengths.
func up(l, step units.Length) units.Length { return -down(-l, step) }

// down rounds to a multiple of step, towards minus infinity.
func down(l, step units.Length) units.Length {
	r := l % step
	if r < 0 {
		r += step
	}
	return l - r
}

// need is the pocket that a piece needs in one pose.
type need struct {
	pose          string // lying or upright
	length, width units.Length
	round         bool
	depth         units.Length // least: the piece's and headroom, not rounded
}

func (n need) area() float64 { return n.length.MM() * n.width.MM() }

// needsOf are the pockets that a piece may have in a foam, one for each pose
// that the roster allows, smallest first.
func needsOf(p *job.Piece, fitMM float64, step units.Length) []need {
	fit := units.Length(math.Round(fitMM * 1e6))
	size := func(l units.Length) units.Length { return max(step, up(l+fit, step)) }
	var list []need
	if p.Pose != job.Lying {
		n := need{pose: "upright", length: size(p.Length), width: size(p.Width), depth: p.Height + headroom}
		if p.Shape == job.Round {
			d := size(max(p.Length, p.Width))
			n.length, n.width, n.round = d, d, true
		}
		list = append(list, n)
	}
	if p.Pose != job.Upright {
		n := need{pose: "lying", length: size(p.Length), width: size(p.Height), depth: p.Width + headroom}
		if len(list) == 0 || n.area() >= list[0].area() {
			return append(list, n)
		}
		return append([]need{n}, list...)
	}
	return list
}

// fitOf is what the foam adds to a piece; false where it has no such fit.
func fitOf(f profiles.Foam, name string) (float64, bool) {
	if name == "" {
		name = "snug"
	}
	n, ok := f.Fits[name]
	return n.Value, ok
}

// deep is how deep a pocket is cut in a tray of some layers for what a piece
// needs; false where the tray is too thin. A pocket leaves the lowest of
// several layers whole, which is the floor. What a router would leave of a
// layer as a skin, it cuts; everything else cuts whole layers.
func deep(least units.Length, layers []job.Layer, router bool, step units.Length) (units.Length, bool) {
	usable, end := usableDepth(layers, router), units.Length(0)
	if least > usable {
		return 0, false
	}
	for i, l := range layers {
		end += l.Thickness
		if least > end {
			continue
		}
		if !router {
			return end, true
		}
		d := up(least, step)
		floor := i < len(layers)-1
		if floor && d > end-leastFloor {
			return end, true
		}
		return min(d, usable), true
	}
	return 0, false
}

// usableDepth is how deep a pocket may be at most.
func usableDepth(layers []job.Layer, router bool) units.Length {
	var sum units.Length
	for _, l := range layers {
		sum += l.Thickness
	}
	switch {
	case len(layers) > 1:
		return sum - layers[len(layers)-1].Thickness
	case router:
		return sum - leastFloor
	}
	return sum
}

// why says in a few words how the pocket comes from the piece.
func (n need) why(p *job.Piece, fitMM float64, foam, fit string, depth units.Length, u units.Unit) string {
	across := p.Width
	below := p.Height
	if n.pose == "lying" {
		across, below = p.Height, p.Width
	}
	if fit == "" {
		fit = "snug"
	}
	size := p.Length.Format(u) + " x " + across.Format(u)
	if n.round {
		size = "diameter " + max(p.Length, p.Width).Format(u)
	}
	return fmt.Sprintf("%s, %s in %s adds %s; %s deep and %s of headroom, to %s",
		size, fit, foam, units.Length(math.Round(fitMM*1e6)).Format(u), below.Format(u), headroom.Format(u), depth.Format(u))
}
