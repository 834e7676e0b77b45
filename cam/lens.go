package cam

import (
	"fmt"
	"strings"

	"traywright/geometry/trace"
	"traywright/profiles/strict"
)

// LensKeys are the keys of a file that says how a lens bends lines.
func LensKeys() *strict.Group { return &lensKeys }

// mostPixels bounds a photograph's side, as a picture's reader does.
const mostPixels = 1 << 16

var lensKeys = strict.Group{Name: "lens", At: "the file", Bare: true, Rows: []strict.Row{
	lensRow("k1", strict.ANumber(-0.5, 0.5), "a place seen r from the picture's middle, in half diagonals, belongs at r (1 + k1 r² + k2 r⁴): the radial terms of D. Brown (1971)"),
	lensRow("k2", strict.ANumber(-0.5, 0.5), "the same"),
	lensRow("off", strict.ANumber(0.0001, 0.1), "how far off k1 may be, a standard deviation that stands for both"),
	lensRow("width", strict.AWhole(1, mostPixels), "of the photograph of the grid, in pixels; others are as large, or lie on their side"),
	lensRow("height", strict.AWhole(1, mostPixels), "the same"),
	{Key: "camera", Form: strict.AnyText, Default: "not known", Means: "the camera and its zoom, by the notes in the photograph of the grid; one whose notes say another is refused"},
	{Key: "photo", Form: strict.AnyText, Means: "the photograph that it rests on"},
	{Key: "dots", Form: strict.AWhole(0, 1_000_000), Means: "of the grid that were found"},
	{Key: "reach", Form: strict.ANumber(0, 1), Means: "how far they reach towards the picture's corners, which are at 1"},
	{Key: "residual_pixels", Form: strict.ANumber(0, 1000), Means: "how far they stray from where the lens puts them, RMS"},
}}

func lensRow(key string, form strict.Form, means string) strict.Row {
	return strict.Row{Key: key, Form: form, Default: strict.Needed, Means: means}
}

// WriteLens is the file of a lens that was measured in a photograph.
func WriteLens(l trace.Lens, photo string) []byte {
	var b strings.Builder
	b.WriteString("# How one camera's lens bends lines, for `traywright measure --lens`. It holds for photographs of that camera at the\n" +
		"# same zoom that are not cropped; measure it again where the camera, its lens or its software is another.\n")
	fmt.Fprintf(&b, "k1: %.6f\nk2: %.6f\noff: %.6f\nwidth: %d\nheight: %d\n", l.K1, l.K2, l.Noise, l.W, l.H)
	if l.Camera != "" {
		fmt.Fprintf(&b, "camera: %q\n", l.Camera)
	}
	fmt.Fprintf(&b, "photo: %q\ndots: %d\nreach: %.3f\nresidual_pixels: %.3f\n", photo, l.Dots, l.Reach, l.ResidualPixels)
	return []byte(b.String())
}

// ReadLens reads such a file; the error is a finding.List.
func ReadLens(file string, data []byte) (l trace.Lens, err error) {
	d := strict.Read(file, data)
	m := d.Root().Map(lensKeys.Names()...)
	l = trace.Lens{
		K1: m.Need("k1").Number(-0.5, 0.5), K2: m.Need("k2").Number(-0.5, 0.5), Noise: m.Need("off").Number(0.0001, 0.1),
		W: m.Need("width").Whole(1, mostPixels), H: m.Need("height").Whole(1, mostPixels),
	}
	if v := m.Get("camera"); v.Present() {
		l.Camera = v.Text()
	}
	m.Get("photo").Text()
	if v := m.Get("dots"); v.Present() {
		l.Dots = v.Whole(0, 1_000_000)
	}
	if v := m.Get("reach"); v.Present() {
		l.Reach = v.Number(0, 1)
	}
	if v := m.Get("residual_pixels"); v.Present() {
		l.ResidualPixels = v.Number(0, 1000)
	}
	return l, d.Err()
}
