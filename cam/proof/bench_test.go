package proof_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
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

// 20,000 whole circles, 10 to 140 mm wide: kilometres over foam that most of them find cut.
func BenchmarkLongArcs(b *testing.B) {
	var text strings.Builder
	r := rand.New(rand.NewPCG(7, 20000))
	text.WriteString("G21 G90 G17 G94\nM3 S18000\nG0 Z5\nG0 X200 Y150\nG1 Z-2 F300\n")
	for range 20_000 {
		at := r.Float64() * 2 * math.Pi
		sin, cos := math.Sincos(at)
		radius := 10 + 130*r.Float64()
		fmt.Fprintf(&text, "G2 X200 Y150 I%.4f J%.4f F1500\n", radius*cos, radius*sin)
	}
	text.WriteString("G0 Z5\nM5\nM2\n")
	for b.Loop() {
		proof.Run("", []byte(text.String()), routerSetup(), nil)
	}
}
