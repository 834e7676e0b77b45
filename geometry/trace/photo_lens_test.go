package trace

import (
	"flag"
	"image"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

var bentScenes = flag.Int("bent-scenes", 1, "rendered photographs of pieces through a lens that a grid has measured")

// gridPhoto is a photograph of a page of dots by a camera: 4 mm wide, 10 mm apart, printed too large by stretch.
func gridPhoto(t testing.TB, s setup, stretch float64) image.Image {
	back := s.ray()
	p := planes{w: s.w, h: s.h}
	for k := range p.c {
		p.c[k] = make([]float32, s.w*s.h)
	}
	for i := range s.w * s.h {
		x, y := float64(i%s.w), float64(i/s.w)
		const n = 4
		light := 0.0
		for j := range n * n {
			q := back(geometry.Point{X: x + (float64(j%n)+0.5)/n, Y: y + (float64(j/n)+0.5)/n})
			q.X /= stretch
			off := math.Hypot(q.X-10*math.Round(q.X/10), q.Y-10*math.Round(q.Y/10))
			if off < 2 && math.Abs(q.X-80) < 150 && math.Abs(q.Y-35) < 106 {
				light += 0.03 / n / n
			} else {
				light += 0.8 * (1 - s.light*(q.X+60)/500) / n / n
			}
		}
		for k := range p.c {
			p.c[k][i] = float32(light)
		}
	}
	return s.develop(t, p)
}

// randomCamera looks at the grid: barrel and pincushion, up to 6 % in the corners, with a part of the fifth power.
func randomCamera(seed uint64) setup {
	r := rand.New(rand.NewPCG(seed, 23))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	s := plainSetup(geometry.Region{})
	s.w, s.h, s.focal = 1600, 1200, between(0.75, 1)
	s.bend, s.more = between(-0.05, 0.05), between(-0.015, 0.015)
	s.tilt, s.azimuth, s.turn = between(0, 8), between(0, 360), between(-10, 10)
	s.height = between(180, 230) * s.focal / 0.8
	s.blur, s.noise, s.quality, s.light = between(0.5, 1), between(0.5, 3), 85+r.IntN(11), between(0, 0.3)
	return s
}

// A photograph of the grid tells how lengths in the picture are changed, everywhere, within what it says that is
// off by, whatever size the page was printed in.
func TestLensOfAGrid(t *testing.T) {
	for seed := range uint64(3) {
		s := randomCamera(seed)
		l, err := MeasureLens(gridPhoto(t, s, 1+0.02*float64(seed)))
		require.NoError(t, err, "%+v", s)
		t.Logf("k %.4f %.4f for %.4f %.4f, noise %.5f, %d dots to %.2f, %.3f pixels", l.K1, l.K2, s.bend, s.more, l.Noise, l.Dots, l.Reach, l.ResidualPixels)
		for r := 0.1; r <= 1; r += 0.1 {
			off := 3*(l.K1-s.bend)*r*r + 5*(l.K2-s.more)*math.Pow(r, 4)
			assert.LessOrEqual(t, math.Abs(off), 3*lensSure*l.Noise*r*r, "seed %d at %.1f", seed, r)
		}
		assert.Equal(t, [2]int{1600, 1200}, [2]int{l.W, l.H})
		assert.Less(t, l.ResidualPixels, 0.3)
	}
}

// Pieces photographed by a lens that was measured are within what is printed; the lens that nobody measured leaves
// more of them out.
func TestPiecesThroughAMeasuredLens(t *testing.T) {
	var with, without tally
	for n := range uint64(*bentScenes) {
		seed := n + 1 // of scene 0 nothing is measured
		camera := randomCamera(70 + seed)
		l, err := MeasureLens(gridPhoto(t, camera, 1))
		require.NoError(t, err)
		s := randomTable(31+seed, 1600, 1200)
		s.focal, s.bend, s.more, s.wave, s.shade, s.soft, s.tall, s.tilt = camera.focal, camera.bend, camera.more, 0, 1, 2, 1, 0
		// Small pieces: what larger ones may be off by is mostly uneven paper's.
		s.pieces = nil
		for r := rand.New(rand.NewPCG(seed, 24)); len(s.pieces) < 5; {
			s.furnish(r, func(a, b float64) float64 { return a + (b-a)*r.Float64() })
			s.pieces = slices.DeleteFunc(s.pieces, func(p prism) bool {
				b := p.shape.Bounds()
				return max(b.Width(), b.Height()) > 36 || p.joined > 0 || p.gloss != nil
			})
			if len(s.pieces) < 5 {
				s.pieces = nil
			}
		}
		img := s.render(t)
		for _, c := range []struct {
			lens *Lens
			sum  *tally
		}{{l, &with}, {nil, &without}} {
			p, err := MeasurePieces(img, PiecesOptions{Card: s.pixelOf(isoLength/2, isoWidth/2), CameraMM: s.height, HeightMM: s.tall, Lens: c.lens})
			c.sum.scenes++
			c.sum.pieces += len(s.pieces)
			if err != nil {
				c.sum.refused++
				t.Logf("scene %d: %v", seed, err)
				continue
			}
			for _, g := range p.Given {
				t.Logf("scene %d: given up: %v", seed, g.Why)
			}
			for _, m := range p.Measured {
				c.sum.measured++
				s.hold(t, p, m, c.sum)
			}
		}
	}
	t.Logf("with %+v, without %+v", with, without)
	assert.NotZero(t, with.measured)
	assert.Zero(t, with.outside)
	assert.GreaterOrEqual(t, with.measured, without.measured)
}

func TestLensesThatAreRefused(t *testing.T) {
	blank := image.NewGray(image.Rect(0, 0, 800, 600))
	for i := range blank.Pix {
		blank.Pix[i] = 220
	}
	_, err := MeasureLens(blank)
	assert.ErrorContains(t, err, "0 things could be dots of the grid")
	s := randomCamera(1)
	s.height *= 2.2
	_, err = MeasureLens(gridPhoto(t, s, 1))
	assert.ErrorContains(t, err, "of the way to the picture's corners")
	_, err = MeasurePieces(blank, PiecesOptions{Lens: &Lens{W: 1600, H: 900}})
	assert.ErrorContains(t, err, "another camera, or one of them was cropped")
}
