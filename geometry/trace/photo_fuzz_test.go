package trace

import (
	"bytes"
	"image"
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// cardAndBox is a small picture of a card and a box on paper: what the readers of photographs find something in.
func cardAndBox() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, 240, 180))
	for i := range img.Pix {
		img.Pix[i] = 230
	}
	fill := func(x0, y0, x1, y1 int, c color.RGBA) {
		for y := y0; y < y1; y++ {
			for x := x0; x < x1; x++ {
				img.SetRGBA(x, y, c)
			}
		}
	}
	fill(30, 60, 116, 114, color.RGBA{20, 60, 120, 255})
	fill(140, 70, 180, 114, color.RGBA{150, 30, 30, 255})
	return img
}

// smallGrid is a small picture of dots in rows and columns.
func smallGrid() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, 240, 180))
	for i := range img.Pix {
		img.Pix[i] = 230
		if x, y := i/4%240, i/960; x%16 > 9 && y%16 > 9 && i%4 < 3 {
			img.Pix[i] = 20
		}
	}
	return img
}

// Whatever a picture shows, its readers come to an end, and say what is wrong in words.
func FuzzPhotographs(f *testing.F) {
	plain := cardAndBox().Pix
	f.Add([]byte{}, 0, 400.0, 3.0)
	f.Add([]byte{}, -1, 400.0, 0.0)
	f.Add(plain[:2048], -9000, 400.0, 0.0)
	f.Add(plain[:4096], 20000, 0.0, 0.0)
	f.Add(bytes.Repeat([]byte{0, 255, 7}, 3000), 60000, 90.0, 20.0)
	f.Fuzz(func(t *testing.T, over []byte, at int, camera, height float64) {
		img := cardAndBox()
		if at < 0 {
			img = smallGrid()
			at = -at
		}
		if at >= 0 && at < len(img.Pix) {
			copy(img.Pix[at:], over)
		}
		hold := func(err error) {
			if err != nil {
				var picture *PictureError
				require.ErrorAs(t, err, &picture)
				require.NotEmpty(t, picture.Message)
				require.NotEmpty(t, picture.Hint)
			}
		}
		pieces, err := MeasurePieces(img, PiecesOptions{CameraMM: camera, HeightMM: height, WithinMM: 5})
		hold(err)
		if err == nil {
			require.LessOrEqual(t, len(pieces.Measured)+len(pieces.Given), mostThings)
			for k, m := range pieces.Measured {
				require.True(t, m.Length >= m.Width && m.Width > 0 && m.LengthOff > 0 && m.WidthOff > 0, "%+v", m)
				pieces.Stand(k, 3, 0.5)
			}
		}
		lens, err := MeasureLens(img)
		hold(err)
		if err == nil {
			require.True(t, lens.Noise > 0 && math.Abs(lens.K1) < 100 && lens.Reach <= 1, "%+v", lens)
		}
		side, err := MeasureSide(img, SideOptions{CameraMM: camera, WithinMM: 5})
		hold(err)
		if err == nil {
			require.LessOrEqual(t, len(side.Standing), mostThings)
			for k := range side.Standing {
				if h, why := side.Height(k, Piece{Length: 30, Width: 20}); why == nil {
					require.True(t, h.MM > 0 && h.Off > 0 && h.Off <= 5, "%+v", h)
				}
			}
		}
	})
}
