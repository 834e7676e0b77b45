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

var (
	bentScenes  = flag.Int("bent-scenes", 1, "rendered photographs of pieces through a lens that a grid has measured")
	otherLenses = flag.Int("other-lenses", 8, "files of lenses that each of them is measured with, the first its own")
)

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

// taken is a photograph whose notes name its camera.
type taken struct {
	image.Image
	by string
}

func (p taken) takenBy() string { return p.by }

// smallPieces is a table of pieces of 36 mm and less: what larger ones may be off by is mostly uneven paper's.
func smallPieces(seed uint64, camera setup) *tabletop {
	s := randomTable(31+seed, 1600, 1200)
	s.focal, s.bend, s.more, s.wave, s.shade, s.soft, s.tall, s.tilt = camera.focal, camera.bend, camera.more, 0, 1, 2, 1, 0
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
	return s
}

// A file of another lens is refused where card and pieces show it, and where they do not, no size that comes out with it is
// farther off than is printed. The right file is never refused.
func TestLensFilesOfOtherCameras(t *testing.T) {
	var with tally
	passed, all := 0, 0
	for n := range uint64(*bentScenes) {
		seed := n + 1
		s := smallPieces(seed, randomCamera(70+seed))
		img := s.render(t)
		options := PiecesOptions{Card: s.pixelOf(isoLength/2, isoWidth/2), CameraMM: s.height, HeightMM: s.tall}
		if _, err := MeasurePieces(img, options); err != nil {
			t.Logf("scene %d: %v", seed, err)
			continue
		}
		for k := range uint64(*otherLenses) {
			other := randomCamera(1000 + seed*100 + k)
			options.Lens = &Lens{K1: other.bend, K2: other.more, Noise: leastNoise, W: 1600, H: 1200}
			if k == 0 {
				options.Lens.K1, options.Lens.K2 = s.bend, s.more
			}
			p, err := MeasurePieces(img, options)
			if k == 0 {
				require.NoError(t, err, "its own lens")
				continue
			}
			all++
			if err != nil {
				require.ErrorContains(t, err, "the lens file is not of the lens that took this photograph")
				continue
			}
			passed++
			t.Logf("scene %d: %.4f %.4f passes for %.4f %.4f", seed, other.bend, other.more, s.bend, s.more)
			for _, m := range p.Measured {
				with.measured++
				s.hold(t, p, m, &with)
			}
		}
	}
	t.Logf("%d of %d wrong files pass, %+v", passed, all, with)
	assert.Zero(t, with.outside)
	assert.Less(t, 10*passed, 3*all)
}

// Pieces photographed by a lens that was measured are within what is printed; the lens that nobody measured leaves
// more of them out.
func TestPiecesThroughAMeasuredLens(t *testing.T) {
	var with, without tally
	for n := range uint64(*bentScenes) {
		seed := n + 1 // of scene 0 nothing is measured
		camera := randomCamera(70 + seed)
		l, err := MeasureLens(taken{gridPhoto(t, camera, 1), "Q1"})
		require.NoError(t, err)
		require.Equal(t, "Q1", l.Camera)
		s := smallPieces(seed, camera)
		img := taken{s.render(t), "Q1"}
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
				// What was followed has one level all along, and so has what is drawn of it.
				low, high := math.Inf(1), math.Inf(-1)
				for _, q := range g.Edge {
					x, y := p.Seen(q)
					v := p.table.diff.near(geometry.Point{X: x, Y: float64(p.table.diff.h) - y})
					low, high = min(low, v), max(high, v)
				}
				assert.Less(t, high-low, 0.02, "scene %d", seed)
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

// curled are the dots of a page as a camera of a seed sees them, by rays: the page bends along one line by so many mm at its far end,
// along two that cross or in waves; and the lens.
func curled(seed uint64, mm float64) (dots []geometry.Point, k1, k2 float64) {
	r := rand.New(rand.NewPCG(seed, 25))
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	k1, k2 = between(-0.05, 0.05), between(-0.015, 0.015)
	const w, h, focal, step = 1600.0, 1200.0, 1300.0, 10.0
	sin, cos := math.Sincos(between(0, 8) * math.Pi / 180)
	high := between(190, 230)
	way, other := towards(between(0, 2*math.Pi)), towards(between(0, 2*math.Pi))
	kind, wave, phase := r.IntN(4), between(40, 120), between(0, 6)
	at := geometry.Point{X: between(-20, 20), Y: between(-20, 20)}
	turn := geometry.Rotate(between(-0.2, 0.2), geometry.Point{})
	for i := -16.0; i <= 16; i++ {
		for j := -12.0; j <= 12; j++ {
			p := geometry.Point{X: step * i, Y: step * j}
			u, v := way.Dot(p.Sub(at))/130, other.Dot(p.Sub(at))/130
			z := mm * u * u
			switch kind {
			case 1: // one end lifts
				z = mm * max(u, 0) * max(u, 0)
			case 2: // corners lift
				z = mm * (math.Pow(max(math.Abs(u)-0.4, 0), 2) + math.Pow(max(math.Abs(v)-0.4, 0), 2))
			case 3:
				z = mm / 4 * math.Sin(130*u/wave+phase)
			}
			q := p.Transform(turn)
			x, y, deep := q.X, cos*q.Y-sin*z, high-sin*q.Y-cos*z
			seen := geometry.Point{X: focal * x / deep, Y: focal * y / deep}
			bent := seen
			for range 30 {
				n := bent.Dot(bent) / (w*w + h*h) * 4
				bent = seen.Scale(1 / (1 + k1*n + k2*n*n))
			}
			bent = bent.Add(geometry.Point{X: w/2 + 0.05*r.NormFloat64(), Y: h/2 + 0.05*r.NormFloat64()})
			if bent.X > 0 && bent.Y > 0 && bent.X < w && bent.Y < h {
				dots = append(dots, bent)
			}
		}
	}
	return dots, k1, k2
}

// A page that curls is refused, or what it may pass for is in what the lens may be off by; a flat one is not refused.
func TestLensOfACurledGrid(t *testing.T) {
	for _, mm := range []float64{0, 0.2, 0.5, 1, 2, 5, 8} {
		refused, outside, worst, noise := 0, 0, 0.0, 0.0
		const all = 60
		for seed := range uint64(all) {
			dots, k1, k2 := curled(seed, mm)
			l, err := lensOf(dots, 1600, 1200)
			if err != nil {
				refused++
				continue
			}
			noise = max(noise, l.Noise)
			off := 0.0
			for r := 0.1; r <= 1; r += 0.1 {
				off = max(off, math.Abs(3*(l.K1-k1)*r*r+5*(l.K2-k2)*math.Pow(r, 4))/(3*lensSure*l.Noise*r*r))
			}
			if off > 1 {
				outside++
			}
			worst = max(worst, off)
		}
		t.Logf("%g mm: %d of %d refused, %d outside, worst error over its bound %.2f, largest noise %.5f", mm, refused, all, outside, worst, noise)
		assert.Zero(t, outside, "%g mm", mm)
		assert.Less(t, lensSure*noise, 0.011, "%g mm: what may pass for a lens that moves the corners by more than 1 %% is refused", mm)
		if mm == 0 {
			assert.Zero(t, refused)
		}
	}
}

// A camera that is said to be ten times as high, or a tenth, is refused; one that must have been zoomed in is told.
func TestCamerasThatAreNotThere(t *testing.T) {
	s := smallPieces(1, randomCamera(71))
	img := s.render(t)
	for share, want := range map[float64]string{1: "", 2.54: "", 10: "along the picture's longer side, and no usual one does", 0.1: ""} {
		p, err := MeasurePieces(img, PiecesOptions{CameraMM: s.height * share})
		switch {
		case share == 0.1:
			assert.Error(t, err)
		case want != "":
			assert.ErrorContains(t, err, want)
		default:
			require.NoError(t, err)
			assert.Equal(t, share > 1, p.ZoomedDegrees > 0, "%g", share)
		}
	}
	// The hint that follows: left out, it is measured.
	p, err := MeasurePieces(img, PiecesOptions{})
	require.NoError(t, err)
	assert.Zero(t, p.ZoomedDegrees)
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
	_, err = MeasurePieces(blank, PiecesOptions{Lens: &Lens{W: 1600, H: 1200}})
	assert.ErrorContains(t, err, "made smaller", "the same shape is not enough")
	_, err = MeasurePieces(taken{blank, "Q2"}, PiecesOptions{Lens: &Lens{W: 600, H: 800, Camera: "Q1"}})
	assert.ErrorContains(t, err, `taken by "Q2", and the lens is that of "Q1"`)
}

// A file's word is taken only where it and the photograph both name a camera, and the same.
func TestWhoseLensFileIsTaken(t *testing.T) {
	plain := image.NewGray(image.Rect(0, 0, 1, 1))
	for _, c := range []struct {
		file, photo string
		taken       bool
	}{{"Q1", "Q1", true}, {"Q1", "", false}, {"", "Q1", false}, {"", "", false}, {"Q1", "Q2", false}} {
		assert.Equal(t, c.taken, (&Lens{Camera: c.file}).named(taken{plain, c.photo}), "%+v", c)
	}
	assert.False(t, (&Lens{Camera: "Q1"}).named(plain), "a picture without notes")
	assert.False(t, (*Lens)(nil).named(taken{plain, "Q1"}), "no file")
}
