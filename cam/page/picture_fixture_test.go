package page

import (
	"fmt"
	"math"
	"math/rand/v2"
	"sync"

	"traywright/cam/proof"
	"traywright/geometry"
	"traywright/profiles"
)

// A tray as a dry run would leave it, made by hand so that these tests need no
// other stage: 250 by 190 mm, 25.4 mm thick.
const (
	fixtureLength    = 250.0
	fixtureWidth     = 190.0
	fixtureThickness = 25.4
)

// cutout is a pocket of the fixture.
type cutout struct {
	name       string
	x, y, w, h float64
	round      bool // ends are half circles
	depth      float64
	notch      bool // at both short ends
}

func (k cutout) shape() geometry.Region {
	box := geometry.Box{Min: geometry.Point{X: k.x, Y: k.y}, Max: geometry.Point{X: k.x + k.w, Y: k.y + k.h}}
	radius := 1.6
	if k.round {
		radius = math.Min(k.w, k.h) / 2
	}
	contours := []geometry.Contour{geometry.Rectangle(box, radius)}
	return geometry.NewRegion(contours...)
}

func (k cutout) contains(x, y float64) bool {
	if k.notch {
		for _, cx := range []float64{k.x, k.x + k.w} {
			if math.Hypot(x-cx, y-k.y-k.h/2) <= 9 {
				return true
			}
		}
	}
	if x < k.x || y < k.y || x > k.x+k.w || y > k.y+k.h {
		return false
	}
	r := 1.6
	if k.round {
		r = math.Min(k.w, k.h) / 2
	}
	cx, cy := math.Max(k.x+r, math.Min(x, k.x+k.w-r)), math.Max(k.y+r, math.Min(y, k.y+k.h-r))
	return math.Hypot(x-cx, y-cy) <= r
}

func trayCutouts() []cutout {
	list := []cutout{
		{name: "logbook", x: 14, y: 72, w: 76, h: 106, depth: 10, notch: true},
		{name: "kraken", x: 104, y: 112, w: 62, h: 66, round: true, depth: 20},
		{name: "sea charts and soundings", x: 180, y: 144, w: 56, h: 34, depth: 6},
		{name: "lighthouse keeper", x: 180, y: 112, w: 56, h: 22, round: true, depth: fixtureThickness},
		{name: "dice", x: 104, y: 76, w: 62, h: 26, depth: fixtureThickness},
	}
	for row := range 2 {
		for column := range 6 {
			list = append(list, cutout{name: "coin", x: 14 + 28.5*float64(column), y: 10 + 29*float64(row), w: 25.75, h: 25.75, round: true, depth: 12})
		}
	}
	for i := range 4 {
		list = append(list, cutout{name: "harpooner", x: 192, y: 10 + 24*float64(i), w: 44, h: 18, round: i%2 == 1, depth: 20})
	}
	for i := range 4 {
		list = append(list, cutout{name: "peg", x: 182, y: 92 - 8*float64(i), w: 6, h: 6, round: true, depth: 15})
	}
	return list
}

func fixtureMachine() profiles.Machine {
	value := func(v float64) profiles.Number { return profiles.Number{Value: v, Source: "test"} }
	return profiles.Machine{
		ID: "bench-router", Name: "Bench router", Process: profiles.Router,
		TravelMM: [3]profiles.Number{value(400), value(300), value(80)},
		Tools:    []profiles.Tool{{ID: "flute-3", Number: 1, Name: "3.175 mm single flute", DiameterMM: value(3.175)}},
		Clamps:   []profiles.ClampZone{{Name: "left clamp", XMM: 0, YMM: 120, LengthMM: 8, WidthMM: 40, HeightMM: 20}},
	}
}

// recorder strings motions together as a program would.
type recorder struct {
	motions []proof.Motion
	at      proof.Point
	op      string
	line    int
}

func (r *recorder) to(x, y, z float64, rapid bool) {
	r.line++
	next := proof.Point{Point: geometry.Point{X: x, Y: y}, Z: z}
	r.motions = append(r.motions, proof.Motion{
		Line: r.line, Rapid: rapid, From: r.at, To: next, Feed: 1500, On: true, Tool: 1, Op: r.op,
	})
	r.at = next
}

func (r *recorder) arc(x, y float64, cx, cy float64) {
	r.line++
	next := proof.Point{Point: geometry.Point{X: x, Y: y}, Z: r.at.Z}
	r.motions = append(r.motions, proof.Motion{
		Line: r.line, Arc: true, CCW: true, From: r.at, To: next, Center: geometry.Point{X: cx, Y: cy}, Feed: 1500, On: true, Tool: 1, Op: r.op,
	})
	r.at = next
}

// around cuts once around a box, inset by d, at a depth.
func (r *recorder) around(x, y, w, h, d, depth float64) {
	x, y, w, h = x+d, y+d, w-2*d, h-2*d
	r.to(x+w/2, y, 5, true)
	r.to(x+w/2, y, -depth, false)
	r.to(x+w, y, -depth, false)
	r.to(x+w, y+h, -depth, false)
	r.to(x, y+h, -depth, false)
	r.to(x, y, -depth, false)
	r.to(x+w/2, y, -depth, false)
	r.to(x+w/2, y, 5, true)
}

// cut goes once around a pocket's wall.
func (r *recorder) cut(k cutout, d, depth float64) {
	if !k.round || k.w != k.h {
		r.around(k.x, k.y, k.w, k.h, d, depth)
		return
	}
	x, y := k.x+d, k.y+k.h/2
	r.to(x, y, 5, true)
	r.to(x, y, -depth, false)
	r.arc(x, y, k.x+k.w/2, y)
	r.to(x, y, 5, true)
}

// trayResult is the fixture cut by a router. Its field is shared: tests only
// read it.
func trayResult() (proof.Result, *proof.Wanted) {
	r, wanted := cutTray()
	r.Field = goodField()
	return r, wanted
}

var goodField = sync.OnceValue(func() proof.Field { return trayField(trayCutouts(), 0.1) })

func cutTray() (proof.Result, *proof.Wanted) {
	cutouts := trayCutouts()
	r := recorder{at: proof.Point{Z: 5}}
	wanted := &proof.Wanted{
		Outline:        geometry.NewRegion(geometry.Rectangle(geometry.Box{Max: geometry.Point{X: fixtureLength, Y: fixtureWidth}}, 8)),
		OutlineDepthMM: fixtureThickness - 0.4,
	}
	for i, k := range cutouts {
		r.op = fmt.Sprintf("pocket %d (%s)", i+1, k.name)
		r.cut(k, 1.6, k.depth)
		wanted.Cuts = append(wanted.Cuts, proof.WantedCut{Name: r.op, Shape: k.shape(), DepthMM: k.depth, Through: k.depth >= fixtureThickness})
		if k.notch {
			for _, x := range []float64{k.x, k.x + k.w} {
				notch := geometry.NewRegion(geometry.Circle(geometry.Point{X: x, Y: k.y + k.h/2}, 9))
				wanted.Cuts = append(wanted.Cuts, proof.WantedCut{Name: r.op, Shape: notch, DepthMM: k.depth})
			}
		}
	}
	r.op = "outline"
	r.around(0, 0, fixtureLength, fixtureWidth, -1.6, fixtureThickness-0.4)
	return finish(r.motions, proof.Field{}), wanted
}

func finish(motions []proof.Motion, field proof.Field) proof.Result {
	return proof.Result{
		Path: "crew/crew-1-pe-30-25.4mm.ngc", OK: true, Motions: motions, Field: field,
		Min: proof.Point{Point: geometry.Point{X: -1.6, Y: -1.6}, Z: -25.7}, Max: proof.Point{Point: geometry.Point{X: 251.6, Y: 191.6}, Z: 5},
		CutMM: 18432, RapidMM: 2410, Seconds: 1322, LowerBoundSeconds: 1100, RemovedMM3: 312000, WorstOvercutMM: 0.008, WorstUndercutMM: 0.004,
		Header: map[string]string{
			"job": "job.yaml", "tray": "crew, Tidewrack crew of the Gull Watch", "layer": "1 of 2, counted from the top", "foam": "pe-30",
			"thickness": "25.4 mm", "machine": "bench-router, Bench router", "tool": "T1 3.175 mm single flute, 38 mm reach",
			"kerf": "T1 3.175 mm", "passes": "7", "time": "22 min 2 s",
		},
	}
}

func newField(x, y, w, h, cell float64) proof.Field {
	f := proof.Field{Origin: geometry.Point{X: x, Y: y}, CellMM: cell, Columns: int(w / cell), Rows: int(h / cell)}
	f.DepthMM = make([]float32, f.Columns*f.Rows)
	return f
}

// each sets every cell of a box of the field to what depth says, where deeper.
func each(f proof.Field, x0, y0, x1, y1 float64, depth func(x, y float64) float64) {
	c0, c1 := max(0, int((x0-f.Origin.X)/f.CellMM)), min(f.Columns, int((x1-f.Origin.X)/f.CellMM)+1)
	r0, r1 := max(0, int((y0-f.Origin.Y)/f.CellMM)), min(f.Rows, int((y1-f.Origin.Y)/f.CellMM)+1)
	for r := r0; r < r1; r++ {
		for c := c0; c < c1; c++ {
			x, y := f.Origin.X+(float64(c)+0.5)*f.CellMM, f.Origin.Y+(float64(r)+0.5)*f.CellMM
			i := r*f.Columns + c
			f.DepthMM[i] = max(f.DepthMM[i], float32(depth(x, y)))
		}
	}
}

func trayField(cutouts []cutout, cell float64) proof.Field {
	f := newField(-4.2, -4.2, fixtureLength+8.4, fixtureWidth+8.4, cell)
	for _, k := range cutouts {
		each(f, k.x-10, k.y-10, k.x+k.w+10, k.y+k.h+10, func(x, y float64) float64 {
			if k.contains(x, y) {
				return k.depth
			}
			return 0
		})
	}
	edge := cutout{x: 0, y: 0, w: fixtureLength, h: fixtureWidth}
	ring := cutout{x: -3.2, y: -3.2, w: fixtureLength + 6.4, h: fixtureWidth + 6.4}
	each(f, -5, -5, 260, 200, func(x, y float64) float64 {
		if ring.contains(x, y) && !edge.contains(x, y) {
			return fixtureThickness - 0.4
		}
		return 0
	})
	return f
}

// laserResult is the fixture cut by a beam 0.2 mm wide, every pocket through.
func laserResult() (proof.Result, *proof.Wanted) {
	_, wanted := cutTray()
	wanted.Cuts = nil
	r := recorder{}
	f := newField(-2, -2, fixtureLength+4, fixtureWidth+4, 0.1)
	for i, k := range trayCutouts() {
		r.op = fmt.Sprintf("pocket %d (%s)", i+1, k.name)
		k.notch = false
		wanted.Cuts = append(wanted.Cuts, proof.WantedCut{Name: r.op, Shape: k.shape(), DepthMM: fixtureThickness, Through: true})
		r.cut(k, 0.1, fixtureThickness)
		inner := cutout{x: k.x + 0.2, y: k.y + 0.2, w: k.w - 0.4, h: k.h - 0.4, round: k.round}
		each(f, k.x-1, k.y-1, k.x+k.w+1, k.y+k.h+1, func(x, y float64) float64 {
			if k.contains(x, y) && !inner.contains(x, y) {
				return fixtureThickness
			}
			return 0
		})
	}
	r.op = "outline"
	r.around(0, 0, fixtureLength, fixtureWidth, -0.1, fixtureThickness)
	edge := cutout{x: 0, y: 0, w: fixtureLength, h: fixtureWidth}
	ring := cutout{x: -0.2, y: -0.2, w: fixtureLength + 0.4, h: fixtureWidth + 0.4}
	each(f, -1, -1, 260, 200, func(x, y float64) float64 {
		if ring.contains(x, y) && !edge.contains(x, y) {
			return fixtureThickness
		}
		return 0
	})
	for i := range r.motions {
		r.motions[i].On = !r.motions[i].Rapid
		r.motions[i].From.Z, r.motions[i].To.Z = 0, 0
	}
	return finish(r.motions, f), wanted
}

// crowded is a sheet with more pockets than numbers have room for.
func crowded(n int) proof.Result {
	random := rand.New(rand.NewPCG(1, 2))
	r := recorder{at: proof.Point{Z: 5}}
	f := newField(-5, -5, 610, 410, 0.2)
	for i := range n {
		k := cutout{name: fmt.Sprintf("piece %d", i%7), x: 590 * random.Float64(), y: 390 * random.Float64(), w: 8, h: 8, depth: 5 + float64(i%9)}
		r.op = fmt.Sprintf("pocket %d (%s)", i+1, k.name)
		r.around(k.x, k.y, k.w, k.h, 1, k.depth)
		each(f, k.x, k.y, k.x+k.w, k.y+k.h, func(x, y float64) float64 { return k.depth })
	}
	return finish(r.motions, f)
}
