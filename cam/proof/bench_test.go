package proof_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"traywright/cam/process"
	"traywright/cam/proof"
	"traywright/geometry"
)

// sheetOf400 is a sheet of 600 x 400 mm with 400 pockets.
func sheetOf400() (process.Program, proof.Wanted, proof.Setup) {
	var p process.Program
	var w proof.Wanted
	for i := range 400 {
		x, y := 6+float64(i%20)*29.7, 6+float64(i/20)*19.6
		op, cut := rectanglePocket(fmt.Sprintf("pocket %d", i+1), box(x, y, 24, 15), 12, false)
		if i%3 == 0 {
			op, cut = roundPocket(fmt.Sprintf("pocket %d", i+1), geometry.Point{X: x + 12, Y: y + 8}, 7.5, 12)
		}
		p.Ops, w.Cuts = append(p.Ops, op), append(w.Cuts, cut)
	}
	sheet := box(0, 0, 600, 400)
	edge := routed("outline", []geometry.Contour{geometry.Circle(geometry.Point{X: -3, Y: -3}, 0.1), outlinePath(sheet, cutterMM/2)}, thickMM-1, 5)
	p.Ops = append(p.Ops, edge)
	p.ClearZ, p.ThicknessMM = 5, thickMM
	w.Outline, w.OutlineDepthMM = geometry.NewRegion(geometry.Rectangle(sheet, 4)), thickMM-1
	s := routerSetup()
	for axis := range s.Machine.TravelMM {
		s.Machine.TravelMM[axis].Value = 700
	}
	return p, w, s
}

// BenchmarkSheet: 600 x 400 mm, 400 pockets, cells of 0.1 mm.
func BenchmarkSheet(b *testing.B) {
	p, w, s := sheetOf400()
	program := text(b, p, s.Machine)
	s.CellMM = 0.1
	b.ReportAllocs()
	for b.Loop() {
		r := proof.Run("sheet.ngc", program, s, &w)
		require.True(b, r.OK, "%v", r.Findings)
		b.ReportMetric(float64(len(r.Motions)), "motions")
	}
}
