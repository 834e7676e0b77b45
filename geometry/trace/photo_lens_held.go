package trace

import (
	"image"
	"math"
)

// A lens that a grid has measured is held against each photograph that it is said to have taken:
//
//  1. The photograph has its size in pixels, and its notes name no other camera and no other zoom.
//  2. Card and pieces do not show another lens: sides of the card are straight, discs round, boxes right
//     (photo_pieces_lens.go).
//
// Where the notes of both photographs name one camera at one zoom, the grid's word is taken. Where one of them does not
// say, another camera's file may pass the second question by as much as card and pieces cannot see: then sizes
// rest on these, as without a file.

// heldAt is how many deviations a lens may be from what card and pieces show.
const heldAt = 3

const leaveLensOut = "measure the grid anew with this camera at this zoom, cropping neither; or leave --lens out"

// takes refuses a photograph of another size than that of the grid, or of another camera.
func (l *Lens) takes(img image.Image) error {
	if l == nil {
		return nil
	}
	b := img.Bounds()
	if !(b.Dx() == l.W && b.Dy() == l.H || b.Dx() == l.H && b.Dy() == l.W) {
		return refuse(leaveLensOut, "the photograph has %d x %d pixels, and the lens was measured in one of %d x %d: another camera, or one of them was cropped or made smaller", b.Dx(), b.Dy(), l.W, l.H)
	}
	if by := takenBy(img); by != "" && l.Camera != "" && by != l.Camera {
		return refuse(leaveLensOut, "the photograph was taken by %q, and the lens is that of %q", by, l.Camera)
	}
	return nil
}

// named reports whether both photographs name the camera.
func (l *Lens) named(img image.Image) bool {
	return l != nil && l.Camera != "" && l.Camera == takenBy(img)
}

// straight is the lens that the photograph was taken by, as far as that is known: the one that was measured, where it is held
// by what is shown and the photograph names it, else the likely one without it.
func (t *table) straight(shown lens, likely func() lens) (lens, error) {
	if t.known == nil {
		return likely(), nil
	}
	known, ok := t.withLens(t.known.K1)
	known.noise = t.known.Noise
	if off := math.Abs(known.bend - shown.bend); !ok || off > heldAt*math.Hypot(known.noise, shown.noise) {
		return shown, refuse(leaveLensOut, "the lens file is not of the lens that took this photograph: by the file it moves the picture's corners by %+.2f %%, and card and pieces show %+.2f ± %.2f %%",
			known.moves(), shown.moves(), 100*heldAt*shown.noise)
	}
	if t.named {
		return known, nil
	}
	t.known = nil
	return likely(), nil
}

// moves is by how many per cent a lens moves the picture's corners outwards.
func (l lens) moves() float64 { return -100 * (l.bend + l.more) }

// cardBend is the bend that the card's sides want on top of a lens's.
func (t *table) cardBend(l lens) float64 {
	bend, _ := t.card.lens(t.diff, l.straight)
	return -bend
}
