package lettering

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/geometry"
)

func shippedFace(t require.TestingT, name string) *Face {
	face, ok := Shipped(name)
	require.True(t, ok, name)
	return face
}

func mustSet(t require.TestingT, name, text string, s Setting) Line {
	line, err := shippedFace(t, name).Set(text, s)
	require.NoError(t, err)
	return line
}

func TestShipped(t *testing.T) {
	for _, name := range Names() {
		face := shippedFace(t, name)
		assert.Equal(t, name, face.name)
		line := mustSet(t, name, "H", Setting{HeightMM: 10})
		assert.InDelta(t, 10, line.Box.Height(), 1e-9, name)
		assert.InDelta(t, 0, line.Box.Min.Y, 1e-9, name)
	}
	_, ok := Shipped("papyrus roll")
	assert.False(t, ok)
}

func TestAlign(t *testing.T) {
	for _, name := range []string{Strokes, "go-bold"} {
		left := mustSet(t, name, "Quay 7", Setting{HeightMM: 8})
		center := mustSet(t, name, "Quay 7", Setting{HeightMM: 8, Align: Center})
		right := mustSet(t, name, "Quay 7", Setting{HeightMM: 8, Align: Right})
		assert.InDelta(t, left.AdvanceMM/2, left.Box.Min.X-center.Box.Min.X, 1e-9)
		assert.InDelta(t, left.AdvanceMM, left.Box.Min.X-right.Box.Min.X, 1e-9)
		assert.Positive(t, left.Box.Min.X)
		assert.Negative(t, right.Box.Max.X)
	}
}

func TestTracking(t *testing.T) {
	plain := mustSet(t, "go", "oar", Setting{HeightMM: 8})
	wide := mustSet(t, "go", "oar", Setting{HeightMM: 8, TrackingMM: 1.5})
	assert.InDelta(t, plain.AdvanceMM+2*1.5, wide.AdvanceMM, 1e-9)
	for i := range plain.Letters {
		assert.InDelta(t, 1.5*float64(i), wide.Letters[i].Box.Min.X-plain.Letters[i].Box.Min.X, 1e-9)
	}
}

// On an arc a letter keeps its size, and the middle of its advance is on the baseline.
func TestArc(t *testing.T) {
	for _, radius := range []float64{40, -40} {
		straight := mustSet(t, "go", "OOO", Setting{HeightMM: 8, Align: Center})
		bent := mustSet(t, "go", "OOO", Setting{HeightMM: 8, Align: Center, ArcRadiusMM: radius})
		turn := straight.AdvanceMM / 3 / radius // from letter to letter, clockwise for a radius above 0
		center := geometry.Point{Y: -radius}
		for i, by := range []float64{turn, 0, -turn} {
			want := straight.Letters[1].Region.Transform(geometry.Rotate(by, center))
			got := bent.Letters[i].Region
			assert.InDelta(t, want.Area(), got.Area(), 1e-9)
			assert.InDelta(t, want.Bounds().Min.X, got.Bounds().Min.X, 1e-9)
			assert.InDelta(t, want.Bounds().Max.Y, got.Bounds().Max.Y, 1e-9)
		}
		assert.InDelta(t, straight.AdvanceMM, bent.AdvanceMM, 1e-9)
	}
	above := mustSet(t, "go", "OOO", Setting{HeightMM: 8, Align: Center, ArcRadiusMM: 40})
	below := mustSet(t, "go", "OOO", Setting{HeightMM: 8, Align: Center, ArcRadiusMM: -40})
	assert.Negative(t, above.Box.Min.Y+1, "both ends hang down")
	assert.Greater(t, below.Box.Max.Y, 9.0, "both ends stand up")
}

// Twice the height is four times the area; on a finer tolerance than the letters show.
func TestHeightScales(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(Names()).Draw(t, "face")
		text := rapid.StringOfN(rapid.RuneFrom([]rune("ABQRSabgk038&% Éůß")), 1, 4, -1).Draw(t, "text")
		if strings.TrimSpace(text) == "" {
			t.Skip("no text")
		}
		h := rapid.Float64Range(2, 50).Draw(t, "height")
		small := mustSet(t, name, text, Setting{HeightMM: h, ToleranceMM: 1e-3})
		large := mustSet(t, name, text, Setting{HeightMM: 2 * h, ToleranceMM: 2e-3})
		require.InDelta(t, 2*small.AdvanceMM, large.AdvanceMM, 1e-6)
		for i, letter := range small.Letters {
			other := large.Letters[i]
			require.NoError(t, other.Region.Validate(joinMM))
			require.InDelta(t, 4*letter.Region.Area(), other.Region.Area(), 4*1e-3*(1+letter.Region.Length()))
			for j, p := range letter.Strokes {
				require.InDelta(t, 2*p.Length(), other.Strokes[j].Length(), 1e-6)
			}
		}
	})
}

// However the curves are followed, the area is right to within the tolerance times the length.
func TestToleranceIsKept(t *testing.T) {
	for _, r := range "SQ8g&ð" {
		fine := mustSet(t, "go-italic", string(r), Setting{HeightMM: 20, ToleranceMM: 1e-4}).Letters[0].Region
		coarse := mustSet(t, "go-italic", string(r), Setting{HeightMM: 20, ToleranceMM: 0.05}).Letters[0].Region
		assert.InDelta(t, fine.Area(), coarse.Area(), 0.05*fine.Length())
		less, err := geometry.Offset(fine, -0.051, joinMM)
		require.NoError(t, err)
		rest, err := geometry.Difference(less, coarse, joinMM)
		require.NoError(t, err)
		assert.InDelta(t, 0, rest.Area(), 1e-9, "%c", r)
	}
}

func TestSetRefuses(t *testing.T) {
	h := Setting{HeightMM: 10}
	for _, c := range []struct {
		name, text string
		s          Setting
		rule       Rule
		says       string
	}{
		{"no height", "A", Setting{}, ruleSetting, "height of 0 mm"},
		{"not a number", "A", Setting{HeightMM: math.NaN()}, ruleSetting, "NaN"},
		{"tracking", "A", Setting{HeightMM: 10, TrackingMM: 101}, ruleSetting, "tracking of 101 mm"},
		{"small arc", "A", Setting{HeightMM: 10, ArcRadiusMM: 4}, ruleSetting, "radius of 4 mm"},
		{"tolerance", "A", Setting{HeightMM: 10, ToleranceMM: 2}, ruleSetting, "tolerance of 2 mm"},
		{"bridge", "A", Setting{HeightMM: 10, BridgeMM: 6}, ruleSetting, "bridges of 6 mm"},
		{"align", "A", Setting{HeightMM: 10, Align: 3}, ruleSetting, "alignment"},
		{"empty", "", h, ruleEmpty, "no text"},
		{"spaces", " \u00a0 ", h, ruleEmpty, "no text"},
		{"long", strings.Repeat("a", 201), h, ruleTooLong, "201 characters"},
		{"very long", strings.Repeat("a", 1<<20), h, ruleTooLong, "1048576 bytes"},
		{"around its arc", strings.Repeat("M", 20), Setting{HeightMM: 10, ArcRadiusMM: 20}, ruleTooLong, "around its arc"},
		{"line break", "one\ntwo", h, ruleCharacter, "control character"},
		{"tab", "one\ttwo", h, ruleCharacter, "control character"},
		{"zero width joiner", "a\u200db", h, ruleCharacter, "control character"},
		{"right-to-left override", "a\u202eb", h, ruleCharacter, "control character"},
		{"bytes", "a\xff", h, ruleCharacter, "UTF-8"},
		{"mark alone", "\u0301", h, ruleCharacter, "does not compose"},
		{"mark left over", "q\u0301", h, ruleCharacter, "does not compose"},
		{"Hebrew", "Quay שלום", h, ruleDirection, "right to left"},
		{"Arabic", "سلام", h, ruleDirection, "right to left"},
		{"Arabic figures", "\u0661", h, ruleDirection, "right to left"},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, face := range []string{"go", Strokes} {
				_, err := shippedFace(t, face).Set(c.text, c.s)
				fault := new(Fault)
				require.ErrorAs(t, err, &fault)
				assert.Equal(t, c.rule, fault.Rule)
				assert.Contains(t, fault.Error(), c.says)
				assert.NotEmpty(t, fault.Hint)
			}
		})
	}
}

func TestMissingNamesEveryCharacter(t *testing.T) {
	for _, face := range []string{"go", Strokes} {
		_, err := shippedFace(t, face).Set("錨 A 港 錨 ｸ Ａ", Setting{HeightMM: 10})
		missing := new(MissingError)
		require.ErrorAs(t, err, &missing)
		assert.Equal(t, []rune("錨港ｸＡ"), missing.Runes)
		assert.Contains(t, err.Error(), "'錨' (U+9328)")
		assert.Contains(t, missing.Hint, `write "A" for 'Ａ'`)
	}
	_, err := shippedFace(t, Strokes).Set("ǖ ừ", Setting{HeightMM: 10})
	missing := new(MissingError)
	require.ErrorAs(t, err, &missing)
	assert.Equal(t, []rune("ừ"), missing.Runes)
	assert.Contains(t, missing.Hint, `write "u" for 'ừ'`)
}

// A letter and its mark typed one after the other are one letter.
func TestComposes(t *testing.T) {
	for _, face := range []string{"go", Strokes} {
		one := mustSet(t, face, "\u00e9\u0160", Setting{HeightMM: 10})
		two := mustSet(t, face, "e\u0301S\u030c", Setting{HeightMM: 10})
		assert.Equal(t, one, two)
	}
}

func TestSpaces(t *testing.T) {
	for _, face := range Names() {
		near := mustSet(t, face, "HH", Setting{HeightMM: 10})
		far := mustSet(t, face, "H H", Setting{HeightMM: 10})
		thin := mustSet(t, face, "H\u2009H", Setting{HeightMM: 10})
		assert.Greater(t, far.AdvanceMM, near.AdvanceMM+2, face)
		assert.Greater(t, thin.AdvanceMM, near.AdvanceMM, face)
		assert.True(t, far.Letters[1].Box.Empty() && far.Letters[1].Region.Empty())
		assert.Len(t, far.Letters, 3)
	}
}

func TestFit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		face := shippedFace(t, rapid.SampledFrom([]string{Strokes, "go"}).Draw(t, "face"))
		text := rapid.SampledFrom([]string{"Tide", "ox", "-", "Ägäis", "Q", "a b"}).Draw(t, "text")
		w, h := rapid.Float64Range(10, 200).Draw(t, "width"), rapid.Float64Range(3, 80).Draw(t, "height")
		s := Setting{
			TrackingMM:  rapid.SampledFrom([]float64{0, 0, 0.7, -0.1}).Draw(t, "tracking"),
			Align:       rapid.SampledFrom([]Align{Left, Center, Right}).Draw(t, "align"),
			ArcRadiusMM: rapid.SampledFrom([]float64{0, 0, 600, -600}).Draw(t, "radius"),
			HeightMM:    rapid.SampledFrom([]float64{0, 0, 20}).Draw(t, "most"),
		}
		line, err := face.Fit(text, w, h, s)
		require.NoError(t, err)
		require.LessOrEqual(t, line.Box.Width(), w)
		require.LessOrEqual(t, line.Box.Height(), h)
		if line.HeightMM == s.HeightMM || line.HeightMM > 900 {
			return
		}
		require.True(t, line.Box.Width() > w-0.05 || line.Box.Height() > h-0.05, "%v in %g x %g", line.Box, w, h)
	})
}

func TestFitRefuses(t *testing.T) {
	face := shippedFace(t, "go")
	for _, c := range []struct {
		name string
		w, h float64
		s    Setting
		rule Rule
	}{
		{"no box", 0, 10, Setting{}, ruleSetting},
		{"infinite", 10, math.Inf(1), Setting{}, ruleSetting},
		{"too small", 2, 2, Setting{}, ruleTooSmall},
		{"tracking alone", 10, 10, Setting{TrackingMM: 3}, ruleTooSmall},
		{"setting", 100, 20, Setting{HeightMM: -1}, ruleSetting},
		{"bridges", 100, 2, Setting{BridgeMM: 3}, ruleSetting},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := face.Fit("Tidewrack", c.w, c.h, c.s)
			fault := new(Fault)
			require.ErrorAs(t, err, &fault)
			assert.Equal(t, c.rule, fault.Rule)
		})
	}
	_, err := face.Fit("錨", 10, 10, Setting{})
	assert.True(t, errors.As(err, new(*MissingError)))
}

func TestFitWithCoarseTolerance(t *testing.T) {
	line, err := shippedFace(t, "go").Fit("Soo", 4, 3, Setting{ToleranceMM: 0.1})
	require.NoError(t, err)
	assert.True(t, fits(line, 4, 3))
}

func TestTransformLine(t *testing.T) {
	line := mustSet(t, "go", "OB", Setting{HeightMM: 10, BridgeMM: 1})
	moved := line.Transform(geometry.Scale(2, geometry.Point{}).Then(geometry.Translate(3, 4)))
	assert.InDelta(t, 20, moved.HeightMM, 1e-9)
	assert.InDelta(t, 2*line.Box.Max.X+3, moved.Box.Max.X, 1e-9)
	assert.InDelta(t, 2, moved.Letters[0].Bridges[0].WidthMM, 1e-9)
	assert.InDelta(t, 4*line.Letters[1].Region.Area(), moved.Letters[1].Region.Area(), 1e-9)
}

func FuzzSet(f *testing.F) {
	for _, s := range []string{"Tidewrack", "e\u0301", "\u202e", "שלום", "a\u0301\u0302\u0303", "ｱ", "½ № …"} {
		f.Add(s, 10.0, 0.0, 0.0)
	}
	strokes, _ := Shipped(Strokes)
	outlines, _ := Shipped("go")
	f.Fuzz(func(t *testing.T, text string, height, tracking, radius float64) {
		for _, face := range []*Face{strokes, outlines} {
			line, err := face.Set(text, Setting{HeightMM: height, TrackingMM: tracking, ArcRadiusMM: radius})
			if err != nil {
				var fault *Fault
				var missing *MissingError
				require.True(t, errors.As(err, &fault) || errors.As(err, &missing), "%v", err)
				continue
			}
			require.False(t, line.Box.Empty() && strings.TrimSpace(text) == "")
			for _, letter := range line.Letters {
				require.NoError(t, letter.Region.Validate(joinMM/10))
			}
		}
	})
}
