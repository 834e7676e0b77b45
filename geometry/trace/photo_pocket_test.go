package trace

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry"
)

// Whatever the tool, the pocket holds the piece, and the tool can cut it: shrunk and grown
// by the tool's radius it is what it was.
func TestPocketHoldsThePieceAndCanBeCut(t *testing.T) {
	at := geometry.Point{X: 50, Y: 50}
	for _, c := range []struct {
		name  string
		piece geometry.Region
	}{
		{"disc", geometry.NewRegion(geometry.Circle(at, 20))},
		{"square", geometry.NewRegion(polygon(at, 25, 4, 0.2))},
		{"triangle", geometry.NewRegion(polygon(at, 25, 3, 0.2))},
		{"gear", geometry.NewRegion(gear(at, 26, 34, 8, 0.1))},
		{"two parts", geometry.NewRegion(geometry.Circle(at, 10), geometry.Circle(geometry.Point{X: 75, Y: 50}, 10))},
	} {
		for _, tool := range []float64{0.5, 1.5875, 3} {
			for _, clearance := range []float64{0, 0.5, 2} {
				p := &Photo{}
				got, err := pocket(c.piece, clearance, tool, p)
				require.NoError(t, err, c.name)
				require.NoError(t, got.Validate(pocketTolerance), c.name)
				missing, err := geometry.Difference(c.piece, got, pocketTolerance)
				require.NoError(t, err)
				assert.Less(t, missing.Area(), leastMissing, "%s, tool %g, clearance %g", c.name, tool, clearance)
				assert.Empty(t, p.Notes)
				cut, err := offsets(got, -tool+0.001, tool-0.001)
				require.NoError(t, err)
				uncut, err := geometry.Difference(got, cut, pocketTolerance)
				require.NoError(t, err)
				assert.Less(t, uncut.Area(), 0.003*got.Length(), "%s, tool %g, clearance %g", c.name, tool, clearance)
			}
		}
	}
}

// Without a tool the pocket is the offset: Steiner's formula for a convex piece.
func TestPocketWithoutAToolIsTheOffset(t *testing.T) {
	square := geometry.NewRegion(polygon(geometry.Point{}, 25, 4, 0.2))
	got, err := pocket(square, 1.5, 0, &Photo{})
	require.NoError(t, err)
	assert.InDelta(t, square.Area()+1.5*square.Length()+math.Pi*1.5*1.5, got.Area(), 1e-6)
}

// A piece h above the paper, seen from d, is seen d/(d-h) too large about the point under
// the lens; with both told it comes back at its size.
func TestHeightIsCorrected(t *testing.T) {
	const height, camera = 20.0, 400.0
	s := plainSetup(geometry.Region{})
	s.tilt, s.azimuth, s.height = 6, 40, camera
	top := geometry.NewRegion(polygon(geometry.Point{X: 150, Y: 40}, 30, 6, 0.2))
	foot := s.foot()
	s.piece = top.Transform(geometry.Scale(camera/(camera-height), foot))
	img := s.render(t)
	plain, err := TracePhoto(img, PhotoOptions{CameraMM: camera})
	require.NoError(t, err)
	fixed, err := TracePhoto(img, PhotoOptions{CameraMM: camera, HeightMM: height})
	require.NoError(t, err)
	want := top.Bounds().Width()
	assert.InDelta(t, want*camera/(camera-height), plain.Piece.Bounds().Width(), 0.3)
	// The card's own thickness is taken into account, which the scene has none of.
	assert.InDelta(t, want*camera/(camera-cardThicknessMM), fixed.Piece.Bounds().Width(), 0.3)
	// By similar triangles, for its farthest corner, per mm: its distance from the foot over d.
	far := 0.0
	for _, v := range s.piece.Contours()[0].Vertices() {
		far = max(far, v.DistanceTo(foot))
	}
	assert.InDelta(t, far/camera, plain.ParallaxPerMM, 0.03)
	x, y := fixed.Pixel(fixed.Piece.Contours()[0].Vertices()[0].Point)
	px, py := plain.Pixel(plain.Piece.Contours()[0].Vertices()[0].Point)
	assert.InDelta(t, px, x, 0.1, "drawn over the photograph it lies where it is seen")
	assert.InDelta(t, py, y, 0.1)
}

// foot is the place under the lens.
func (s setup) foot() geometry.Point {
	lean := s.height * math.Tan(s.tilt*math.Pi/180)
	sin, cos := math.Sincos(s.azimuth * math.Pi / 180)
	return s.aim.Sub(geometry.Point{X: lean * cos, Y: lean * sin})
}

func TestPhotoOptionsThatAreRefused(t *testing.T) {
	img := render(geometry.Region{}, 40, 40)
	for _, c := range []struct {
		o    PhotoOptions
		want string
	}{
		{PhotoOptions{ClearanceMM: -1}, "clearance -1"},
		{PhotoOptions{ToolRadiusMM: math.NaN()}, "radius NaN"},
		{PhotoOptions{Threshold: 1}, "threshold 1"},
		{PhotoOptions{HeightMM: 20}, "cannot be corrected"},
		{PhotoOptions{HeightMM: 20, CameraMM: 50}, "cannot be corrected"},
		{PhotoOptions{}, "too few"},
	} {
		_, err := TracePhoto(img, c.o)
		assert.ErrorContains(t, err, c.want)
	}
}
