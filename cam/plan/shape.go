package plan

import (
	"errors"
	"math"

	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/units"
)

// form is a pocket's shape before it is turned and placed: its length along X,
// its width along Y, in mm, the lower-left corner of its box at the origin.
type form struct {
	name          string // rect, round, slot, outline
	length, width float64
	corner        float64 // radius, rect only
	outline       *drawn  // of an outline; nil otherwise
}

func (f form) box() geometry.Box {
	return geometry.Box{Max: geometry.Point{X: f.length, Y: f.width}}
}

// region is the form as a shape.
func (f form) region() geometry.Region {
	if f.outline != nil {
		return f.outline.shape
	}
	return geometry.NewRegion(f.contour())
}

func (f form) contour() geometry.Contour {
	switch f.name {
	case "round":
		return geometry.Circle(geometry.Point{X: f.length / 2, Y: f.width / 2}, f.length/2)
	case "slot":
		r := math.Min(f.length, f.width) / 2
		return geometry.Slot(geometry.Point{X: r, Y: r}, geometry.Point{X: f.length - r, Y: f.width - r}, 2*r)
	}
	return geometry.Rectangle(f.box(), f.corner)
}

// reach is what a tool of radius r leaves of the form, as the function reach
// finds it for any shape, with room beside the tool: here it is known without looking, and exactly.
func (f form) reach(r, room float64) reached {
	if math.Min(f.length, f.width) < 2*r+room {
		return reached{narrow: true, at: middle(f.box())}
	}
	corners := false
	if f.name == "rect" && f.corner < r {
		corners = (r-f.corner)*(math.Sqrt2-1) > leastReliefMM
		f.corner = r
	}
	return reached{shape: geometry.NewRegion(f.contour()), corners: corners}
}

// reach is what a tool of radius r leaves of the pattern.
func (p *pattern) reach(r, room, tol float64) (reached, error) {
	if p.notch != 0 || p.form.outline != nil {
		return reach(p.bare, r, room, tol)
	}
	result := p.form.reach(r, room)
	result.shape, result.at = result.shape.Transform(p.move), result.at.Transform(p.move)
	return result, nil
}

// patternKey is all that decides a pocket's shape but its place.
type patternKey struct {
	form                   form
	turn                   float64 // degrees
	notch                  job.Side
	notchWidth, notchReach units.Length
	relief                 job.Relief
	tool                   string
}

// pattern is what equal pockets share: shape and notches, turned, with the
// lower-left corner of the shape's own box at the origin.
type pattern struct {
	patternKey
	bare geometry.Region
	box  geometry.Box       // of the shape without notches
	move geometry.Transform // from the form's own frame
}

var errTooSmall = errors.New("it is too small to be told from nothing")

// pattern makes the shape, or returns the one made before.
func (m *maker) pattern(key patternKey) (*pattern, error) {
	if p, ok := m.shapes[key]; ok {
		return p, nil
	}
	shape := key.form.region()
	bare := shape
	if notches := key.form.notches(key.notch, key.notchWidth, key.notchReach); len(notches) > 0 {
		var err error
		if bare, err = geometry.Union(m.TolMM, append(notches, bare)...); err != nil {
			return nil, err
		}
	}
	if bare.Empty() {
		return nil, errTooSmall
	}
	// Whole quarter turns come out exact when the degrees are divided first.
	turn := geometry.Rotate(key.turn/90*(math.Pi/2), geometry.Point{})
	box := shape.Transform(turn).Bounds()
	move := turn.Then(geometry.Translate(-box.Min.X, -box.Min.Y))
	p := &pattern{key, bare.Transform(move), shape.Transform(move).Bounds(), move}
	p.box.Min = geometry.Point{}
	m.shapes[key] = p
	return p, nil
}
