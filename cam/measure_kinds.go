package cam

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"traywright/cam/finding"
	"traywright/geometry"
	"traywright/geometry/trace"
)

// measuredPiece is a piece with its number.
type measuredPiece struct {
	trace.Piece
	number int
	photos []int // where it was measured
	// From the side: how high it stands, 0 where that is not known, and what that may be off by.
	height, heightOff float64
}

// measuredSet is one set of pieces, from all photographs.
type measuredSet struct {
	pieces []measuredPiece
	left   int // things that no photograph measured
	labels [][]string
	stands []int // the numbers of those that stand in the photograph from the side, from left to right
	high   int   // how many of them are measured there
}

// together puts photographs of one set together. A piece of one is that of another which is
// as large and of the same form, within what both may be off by, the nearest first; only
// as many may be without one as were not measured there.
func (q MeasureRequest) together() (set measuredSet, found finding.List) {
	photos, things := q.Photos, 0
	for i, p := range photos {
		things = max(things, len(p.Measured)+len(p.Given))
		labels := make([]string, len(p.Measured))
		partner, lonely := partners(set.pieces, p.Measured)
		var alone []trace.Piece
		for k, m := range p.Measured {
			at := partner[k]
			if at < 0 {
				at = len(set.pieces)
				set.pieces = append(set.pieces, measuredPiece{Piece: m, number: at + 1})
				alone = append(alone, m)
			} else {
				set.pieces[at].average(m)
			}
			set.pieces[at].photos = append(set.pieces[at].photos, i)
			labels[k] = fmt.Sprint(set.pieces[at].number)
		}
		set.labels = append(set.labels, labels)
		if i == 0 {
			continue
		}
		before := photos[0].Photo
		if len(lonely) > len(p.Given) {
			found = append(found, q.photosDiffer(p.Photo, before, "has no piece", lonely))
		}
		if len(alone) > givenUp(photos[:i]) {
			found = append(found, q.photosDiffer(before, p.Photo, "has no piece", alone))
		}
	}
	set.left = max(things-len(set.pieces), 0)
	return set, found
}

// givenUp is how many things a photograph left unmeasured, at most.
func givenUp(photos []Measured) int {
	n := 0
	for _, p := range photos {
		n = max(n, len(p.Given))
	}
	return n
}

func (q MeasureRequest) photosDiffer(without, with, what string, pieces []trace.Piece) finding.Finding {
	text := ""
	for i, p := range pieces {
		if i == 4 {
			text += " and others"
			break
		}
		text += fmt.Sprintf(" %s x %s", q.bare(p.Length), q.said("%.1f", p.Width))
		if i+1 < len(pieces) && i < 3 {
			text += ","
		}
	}
	return finding.Finding{Rule: "photos-differ", Where: without, Message: fmt.Sprintf("%s as in %s:%s", what, with, text),
		Hint: "photograph all pieces of one set each time; measure another set by itself, into a folder of its own"}
}

// partners are the partner of each new piece among the old ones, -1 for none, and the old ones
// that have none.
func partners(old []measuredPiece, pieces []trace.Piece) (partner []int, lonely []trace.Piece) {
	type pair struct {
		far      float64
		old, new int
	}
	var pairs []pair
	for i, o := range old {
		for k, p := range pieces {
			if far := sizesApart(o.Piece, p); o.Form == p.Form && far <= 1 {
				pairs = append(pairs, pair{far, i, k})
			}
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(a.far, b.far) })
	partner = make([]int, len(pieces))
	for k := range partner {
		partner[k] = -1
	}
	taken := map[int]bool{}
	for _, p := range pairs {
		if partner[p.new] < 0 && !taken[p.old] {
			partner[p.new], taken[p.old] = p.old, true
		}
	}
	for i, o := range old {
		if !taken[i] {
			lonely = append(lonely, o.Piece)
		}
	}
	return partner, lonely
}

// sizesApart is how different two pieces are, 1 for as much as both may be off by.
func sizesApart(a, b trace.Piece) float64 {
	return max(math.Abs(a.Length-b.Length)/(a.LengthOff+b.LengthOff), math.Abs(a.Width-b.Width)/(a.WidthOff+b.WidthOff))
}

// average joins another measurement of the piece, each by what it may be off by. They share a
// lens, a card and a hand, so the sum is no surer than the better one.
func (p *measuredPiece) average(m trace.Piece) {
	join := func(a, aOff, b, bOff float64) (float64, float64) {
		wa, wb := 1/(aOff*aOff), 1/(bOff*bOff)
		return (a*wa + b*wb) / (wa + wb), min(aOff, bOff)
	}
	p.Length, p.LengthOff = join(p.Length, p.LengthOff, m.Length, m.LengthOff)
	p.Width, p.WidthOff = join(p.Width, p.WidthOff, m.Width, m.WidthOff)
}

// measuredKind is pieces that are as good as equal: a row of the roster.
type measuredKind struct {
	first         measuredPiece
	pieces        []measuredPiece
	length, width float64
	height        float64 // from the side
	heightOff     float64
}

// Pieces are of one kind that differ by no more than this share of what both may be off
// by, for in one photograph most of that is common to them; oddAlike is how much the areas of odd ones may
// differ (both judged, no source).
const (
	alikeShare = 0.75
	oddAlike   = 0.03
)

// kindsOf groups equal pieces: each joins the first kind all of whose pieces it equals.
func kindsOf(pieces []measuredPiece) (kinds []measuredKind) {
	for _, p := range pieces {
		i := slices.IndexFunc(kinds, func(k measuredKind) bool {
			return !slices.ContainsFunc(k.pieces, func(other measuredPiece) bool { return !sameKind(p.Piece, other.Piece) || !p.asHigh(other) })
		})
		if i < 0 {
			i = len(kinds)
			kinds = append(kinds, measuredKind{first: p})
		}
		kinds[i].pieces = append(kinds[i].pieces, p)
	}
	for i := range kinds {
		k := &kinds[i]
		for _, p := range k.pieces {
			n := float64(len(k.pieces))
			k.length, k.width, k.height = k.length+p.Length/n, k.width+p.Width/n, k.height+p.height/n
			k.heightOff = max(k.heightOff, p.heightOff)
		}
	}
	return kinds
}

func sameKind(a, b trace.Piece) bool {
	if a.Form != b.Form || sizesApart(a, b) > alikeShare {
		return false
	}
	return a.Form != trace.Odd || math.Abs(a.Region.Area()/b.Region.Area()-1) < oddAlike
}

func (k measuredKind) id() string      { return fmt.Sprintf("piece-%d", k.first.number) }
func (k measuredKind) outline() string { return outlineFolder + k.id() + ".dxf" }

// straightened is the outline of the first piece, its length along X, as large as measured.
func (k measuredKind) straightened() geometry.Region {
	r := k.first.Region.Transform(geometry.Rotate(-k.first.Turn, k.first.Middle()))
	b := r.Bounds()
	return r.Transform(geometry.Translate(-b.Min.X, -b.Min.Y)).Transform(geometry.Scale(k.length/b.Width(), geometry.Point{}))
}
