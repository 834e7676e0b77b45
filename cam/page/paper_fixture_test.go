package page

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/cam/plan"
	"traywright/geometry"
	"traywright/geometry/units"
	"traywright/profiles"
)

func mm(x float64) units.Length {
	l, err := units.FromMM(x)
	if err != nil {
		panic(err)
	}
	return l
}

func box(x, y, w, h float64) geometry.Box {
	return geometry.Box{Min: geometry.Point{X: x, Y: y}, Max: geometry.Point{X: x + w, Y: y + h}}
}

// pocket is a rectangle with round corners.
func pocket(name string, b geometry.Box, depth float64) plan.Pocket {
	return plan.Pocket{For: name, Design: geometry.NewRegion(geometry.Rectangle(b, 1.6)), Box: b, Depth: mm(depth)}
}

// tray is a tray of two layers, 25.4 and 6.35 mm, its corners of 8 mm.
func tray(width, height float64, pockets ...plan.Pocket) *plan.Tray {
	return &plan.Tray{
		ID: "crew", Label: "Tidewrack crew", Copies: 1, Length: mm(width), Width: mm(height),
		Outline: geometry.Rectangle(box(0, 0, width, height), 8), Pockets: pockets,
		Layers: []plan.Layer{
			{Foam: profiles.Foam{ID: "pe-30"}, Thickness: mm(25.4)},
			{Foam: profiles.Foam{ID: "pe-45"}, Thickness: mm(6.35), Top: mm(25.4)},
		},
	}
}

// blank is a picture of nothing, of the size of the real ones, and unlike every
// other shade's.
func blank(t testing.TB, shade uint8) []byte {
	t.Helper()
	im := image.NewPaletted(image.Rect(0, 0, 240, 176), color.Palette{color.White, color.Gray{shade}})
	im.SetColorIndex(3, 3, 1)
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, im))
	return b.Bytes()
}

// cutSheetJob is a job of some sheets.
func cutSheetJob(t testing.TB, sheets int) cutSheetText {
	j := cutSheetText{
		Title: "Tidewrack", Machine: "bench router", Process: "router", Time: "1 h 02 min", Overview: [][]byte{blank(t, 0)},
		Before:   []string{"a second person in the room"},
		Material: []materialRow{{Foam: "pe-30", Thickness: "25.4 mm", Blank: "258 mm x 198 mm", For: "crew", Count: 3}},
		Cases:    []caseText{{Name: "Gull Watch", Height: "31.75 mm", Copies: 1, Rows: []caseRow{{"crew", "31.75 mm", "223 g"}}}},
	}
	for i := range sheets {
		j.Sheets = append(j.Sheets, sheetText{
			Head: fmt.Sprintf("crew/%d.ngc", i+1), Picture: func(float64) ([]byte, error) { return blank(t, uint8(i+1)), nil }, Copies: 2,
			Least:    func(float64) float64 { return 0 },
			Settings: [][2]string{{"Foam", "pe-30, 25.4 mm thick"}}, ZeroHead: "Zero point", Zero: []string{"Z0 is the top of the foam."},
			Work: []string{"Set the zero point.", "Run the program."}, Owner: []string{"a second person in the room"},
			Cautions: []string{"Stay with the machine."}, Burns: []string{"Stop."},
			Trays: []trayText{{
				Tray: tray(250, 190, pocket("keg", box(20, 20, 30, 40), 25.4)), Number: i%2 + 1,
				Packing: []packingRow{{Piece: "keg", Count: 1}}, Glue: "Let it cure.",
			}},
		})
	}
	return j
}

func cutSheetBytes(t testing.TB, j cutSheetText, size Paper) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, j.paper(&b, size, nil, units.Millimetre))
	return b.Bytes()
}

func templateBytes(t testing.TB, size Paper, trays ...*plan.Tray) []byte {
	t.Helper()
	var list []plan.Tray
	for _, tr := range trays {
		list = append(list, *tr)
	}
	var b bytes.Buffer
	require.NoError(t, templates(&b, list, templateOptions{Size: size, Title: "Tidewrack"}))
	return b.Bytes()
}
