package profiles

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func is(v float64) Number { return Number{Value: v} }

// A controller that says whole numbers says never more power than it is asked for, and at least the one at which its beam burns steadily.
func TestPowerThatIsWritten(t *testing.T) {
	for _, c := range []struct {
		whole                               bool
		scale, least, percent, written, low float64
	}{
		{true, 255, 0, 50, 100 * 127.0 / 255, 100.0 / 255}, {true, 255, 3, 100, 100, 100 * 8.0 / 255}, {true, 100, 5, 5, 5, 5}, {true, 100, 0, 7.99, 7, 1}, {true, 1000, 0, 0.05, 0, 0.1},
		{false, 255, 3, 50.01, 50.01, 3}, {true, 0, 3, 50.01, 50.01, 3},
	} {
		ctl := Controller{WholePower: c.whole, PowerScale: c.scale, LeastPowerPercent: c.least}
		assert.InDelta(t, c.written, ctl.Written(c.percent), 1e-9, "%+v", c)
		assert.InDelta(t, c.low, ctl.LeastWritten(), 1e-9, "%+v", c)
	}
}

// A blade of 6 mm that leans 45 degrees is as much farther ahead as it is deep; its end gouges 0.1 mm where it turns by asin(0.1 / 3), and on an
// arc of a radius of which hypot(r, 3) - r is that.
func TestTurnedBladesByHand(t *testing.T) {
	blade := Tool{ChordMM: is(6), SlantDegrees: is(45), GougeMM: is(0.1)}
	assert.InDelta(t, 13, blade.AheadMM(10), 1e-9)
	assert.Equal(t, 3.0, blade.AheadMM(-10))
	assert.InDelta(t, math.Asin(0.1/3), blade.MostTurn(3), 1e-12)
	assert.InDelta(t, math.Pi/2, blade.MostTurn(0.05), 1e-12)
	r := blade.LeastRadiusMM(3)
	assert.InDelta(t, 0.1, math.Hypot(r, 3)-r, 1e-12)
	assert.Zero(t, blade.LeastRadiusMM(0.05))
	assert.Equal(t, []float64{-1, 1, -1, 1}, []float64{Machine{ACounts: AClockwise}.ASign(), Machine{}.ASign(), Machine{ZCounts: ZDown}.ZSign(), Machine{}.ZSign()})
}

// What an owner who says a process means: a hand's blade is a knife, and a machine with a tool of another process is in a hand.
func TestWhoseProcess(t *testing.T) {
	wire := Machine{Process: Hand, Tools: []Tool{{}, {Process: HotWire}}}
	for _, c := range []struct {
		m    Machine
		by   Process
		want bool
	}{
		{Machine{Process: Router}, Router, true}, {Machine{Process: Router}, Knife, false}, {Machine{Process: Router}, Hand, false}, {Machine{Process: Hand}, Knife, true}, {Machine{Process: Hand}, Hand, true},
		{Machine{Process: Knife}, Hand, false}, {wire.With(wire.Tools[1]), Hand, true}, {wire.With(wire.Tools[1]), HotWire, true}, {wire.With(wire.Tools[1]), Knife, false}, {wire.With(wire.Tools[0]), Knife, true}, {Machine{Process: HotWire}, Hand, false},
	} {
		assert.Equal(t, c.want, c.m.CutsBy(c.by), "%+v", c)
	}
	assert.True(t, wire.CutsLike(Machine{Process: Hand}))
	assert.False(t, wire.CutsLike(Machine{Process: HotWire}))
	idle := map[Process]string{Laser: "the beam, which stays dark", Knife: "no blade, its holder is empty", HotWire: "the wire, which stays cold", Router: "no cutter, the spindle is empty"}
	for p, want := range idle {
		name, said := p.Traits().Idle()
		assert.Equal(t, want, name)
		assert.NotEmpty(t, said)
	}
}

// How high rapids go and how deep a tool, to the least of what bounds it.
func TestHeightsAndReaches(t *testing.T) {
	m := Machine{ClearanceMM: is(5), ZeroMM: is(0.5), Clamps: []ClampZone{{HeightMM: 10}, {HeightMM: 30}, {HeightMM: 20}}}
	for thick, want := range map[float64]float64{20: 11.5, 26.5: 5, 26.4: 5.1, 50: 5} { // 30 + 0.5 + 1
		assert.InDelta(t, want, m.ClearMM(thick), 1e-9)
	}
	for _, c := range []struct{ reach, out, shank, flute, want float64 }{{0, 0, 0, 0, 0}, {38, 0, 0, 9, 38}, {38, 30, 0, 9, 30}, {30, 38, 3, 9, 30}, {30, 38, 6, 9, 9}, {0, 0, 6, 9, 9}, {0, 0, 6, 0, 0}} {
		assert.Equal(t, c.want, Tool{DiameterMM: is(3), ReachMM: is(c.reach), StickoutMM: is(c.out), ShankMM: is(c.shank), FluteMM: is(c.flute)}.Reach(), "%+v", c)
	}
	flute := Tool{FluteMM: is(12)}
	assert.Equal(t, []bool{false, true, false}, []bool{flute.BeyondFlute(12), flute.BeyondFlute(12.01), Tool{}.BeyondFlute(99)})
	assert.Equal(t, []float64{19, 12}, []float64{Tool{}.NutMM(), Tool{ColletMM: is(12)}.NutMM()})
	assert.Equal(t, []string{"shank_mm", "helix"}, Tool{FluteMM: is(1), ColletMM: is(1)}.NotKnown())
	for _, c := range []struct {
		off, want float64
		known     bool
	}{{0, 0, false}, {1, 0, true}, {2, 0, true}, {7, 5, true}} {
		low, known := Machine{StandoffMM: is(c.off)}.LowestFocusMM()
		assert.Equal(t, []any{c.want, c.known}, []any{low, known})
	}
	up := Machine{TravelMM: [3]Number{is(400), is(300), is(80)}}
	assert.True(t, up.MovesZ())
	up.Controller.Axes = []string{"X", "Y"}
	assert.False(t, up.MovesZ())
	assert.False(t, Machine{}.MovesZ())
}

// A machine that takes drawings is proved by a program for a PC, which nobody is given: S in per cent, and a beam's focus a hand's.
func TestWhatIsProvedOfDrawings(t *testing.T) {
	m := Machine{Process: Laser, Controller: Controller{Class: Drawing, LeastPowerPercent: 4}, TravelMM: [3]Number{is(400), is(300), is(80)}}
	p := m.Proving()
	assert.Equal(t, []any{PC, 100.0, 4.0, 0.0}, []any{p.Controller.Class, p.Controller.PowerScale, p.Controller.LeastPowerPercent, p.TravelMM[2].Value})
	m.Process = Knife
	assert.Equal(t, 80.0, m.Proving().TravelMM[2].Value)
	m.Process = Hand
	assert.Equal(t, m, m.Proving())
	m.Process, m.Controller.Class = Laser, Small
	assert.Equal(t, m, m.Proving())
}

// A wire's kerf between the feeds that were tested, and nowhere else: k0 + b / v.
func TestSpeedLawAtItsEdges(t *testing.T) {
	law := SpeedLaw{Holds: true, Least: 100, Most: 400, K0MM: 0.5, B: 60}
	for feed, want := range map[float64]float64{100: 1.1, 400: 0.65, 99: 0, 401: 0} {
		k, ok := law.At(feed)
		assert.InDelta(t, want, k, 1e-12)
		assert.Equal(t, want > 0, ok)
	}
	law.Holds = false
	_, ok := law.At(200)
	assert.False(t, ok)
}

// A row is the program's own while all that it says is.
func TestRowsThatAreShipped(t *testing.T) {
	c, err := Shipped()
	require.NoError(t, err)
	r, ok := c.Recipe("pe-30", "bench-router", "flat-3")
	require.True(t, ok)
	assert.True(t, c.ShipsRecipe(r))
	other := r
	other.FeedMMPerMin.Value++
	assert.False(t, c.ShipsRecipe(other))
	assert.True(t, r.IsOf(other))
	other.Tool = "flat-6"
	assert.False(t, r.IsOf(other))
	assert.False(t, new(Catalog).ShipsRecipe(r))
	m, _ := c.Machine("bench-router")
	assert.True(t, c.ShipsMachine(m))
	m.ScaleX = is(1.01)
	assert.True(t, c.ShipsMachine(m), "a measured scale is nobody's row")
	m.MaxRPM.Value++
	assert.False(t, c.ShipsMachine(m))
}
