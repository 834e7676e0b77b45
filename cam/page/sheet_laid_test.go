package page

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/proof"
	"traywright/cam/stock"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Where a program moves is told whole in the narrowest column, in inches, from a zero in from the sheet's corner, on a machine whose Z0
// is the bed.
func TestMovesAreToldWhole(t *testing.T) {
	at := func(x, y, z float64) proof.Point { return proof.Point{Point: geometry.Point{X: x, Y: y}, Z: z} }
	run := proof.Result{Motions: []proof.Motion{{}}, Min: at(-1.3, -1.3, -37.7), Max: at(1218.7, 608.7, 25.1)}
	o := PictureOptions{Unit: units.Inch, Machine: profiles.Machine{ZZero: profiles.ZBed}, Laid: &stock.Setup{ZeroMM: [2]float64{20, 20}}}
	s := &sheet{typesetter: setter(t), r: run, o: o}
	seen := false
	for _, f := range s.measured() {
		assert.Equal(t, s.wrap(f.value, bodyType, leastColumn-keyPX, 0), s.wrap(f.value, bodyType, leastColumn-keyPX, 3), f.key)
		seen = seen || f == fact{"Rulers", "from the sheet's own corner, and the moves from X0 Y0"}
	}
	assert.True(t, seen)
}

// A part's sign is one of its texts, whole, inside its part and on no other: in boxes drawn by seed. The shortest finds a place
// wherever one of its width and height, with the paper around it, is free in an empty box.
func TestSignsAreWholeOrShorter(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 1))
	for range 300 {
		on := rect{0, 0, 900, 700}
		s := &sheet{typesetter: setter(t), claims: newClaims(on)}
		s.v.box.Max.X, s.v.box.Max.Y, s.v.scale = 900, 700, 1
		var taken []rect
		for range 12 {
			in := rect{float64(r.IntN(800)), float64(r.IntN(600)), float64(10 + r.IntN(500)), float64(10 + r.IntN(300))}
			texts := []string{"part 3: little layer 1 copy 2, turned 90°", "part 3: little layer 1 copy 2", "part 3", "3"}
			at, lines := s.signed(in, texts)
			if len(lines) == 0 {
				if len(taken) == 0 && in.right() < on.w && in.bottom() < on.h {
					assert.True(t, in.w < s.width("3", smallType)+2*signBesidePX+12 || in.h < smallType.lineHeight()+20, "%v", in)
				}
				continue
			}
			assert.Contains(t, texts, strings.Join(lines, " "))
			inside := intersect(at, in)
			assert.InDeltaSlice(t, []float64{at.x, at.y, at.w, at.h}, []float64{inside.x, inside.y, inside.w, inside.h}, 1e-6, "inside its part")
			for _, line := range lines {
				assert.LessOrEqual(t, s.width(line, smallType)+2*signBesidePX, at.w)
			}
			for _, other := range taken {
				both := intersect(at, other)
				assert.True(t, both.w <= 0 || both.h <= 0, "%v on %v", at, other)
			}
			taken = append(taken, at)
		}
	}
}
