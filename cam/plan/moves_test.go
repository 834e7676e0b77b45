package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
)

// at is a place of the job's file, for a pocket in that line.
func at(line int) func(*job.Pocket) {
	return func(p *job.Pocket) { p.Position = finding.Position{File: "job.yaml", Line: line, Column: 7} }
}

// movesIn are those of the pocket in line 1.
func movesIn(t *testing.T, p *Plan) Moves {
	m, ok, err := p.MovesOf(finding.Position{File: "job.yaml", Line: 1, Column: 7})
	require.NoError(t, err)
	require.True(t, ok)
	return m
}

// Where a pocket of 30 x 20 mm may go that lies at 20, 20 in a tray of 120 x 80 mm with an edge of 10 mm, its wall of
// 6 mm to a pocket of 20 x 20 mm at 70, 20 kept. Corners have 2 mm: at (18, 24) their middles are 6 and 8 mm apart.
func TestMovesKeepEdgeAndWall(t *testing.T) {
	p, _ := make1(t, bench(pad(with(rect(20, 20, 30, 20), at(1)), with(rect(70, 20, 20, 20), at(2)))))
	m := movesIn(t, p)
	assert.Equal(t, []int{0}, m.Pockets)
	assert.Equal(t, "pad", m.Source.ID)
	assert.Equal(t, mm(30), m.Pocket.Length)
	for _, c := range []struct {
		x, y float64
		may  bool
	}{
		{0, 0, true}, {-10, -10, true}, {-10.01, 0, false}, {0, -10.01, false}, {0, 30, true}, {0, 30.01, false},
		{14, 0, true}, {14.01, 0, false}, {60, 30, true}, {60.01, 30, false}, {30, 26, true}, {30, 25.99, false},
		{17.99, 24.01, true}, {18.05, 23.95, false}, {60, 0, false},
	} {
		assert.Equal(t, c.may, m.May(geometry.Point{X: c.x, Y: c.y}), "%+v", c)
	}
	for _, none := range []int{0, 3} {
		_, ok, err := p.MovesOf(finding.Position{File: "job.yaml", Line: none, Column: 7})
		assert.NoError(t, err)
		assert.False(t, ok, "no pocket is there")
	}
}

// A tray's corner of 20 mm is one of 10 mm where 10 mm of edge begin: the middle of the pocket's own corner of 2 mm
// stays within 8 mm of (20, 20). A label's box is kept clear of as a pocket is, a registration hole is nobody's entry.
func TestMovesKeepCornersAndLabels(t *testing.T) {
	tray := pad(with(rect(20, 20, 30, 20), at(1)))
	tray.Corner = mm(20)
	p, _ := make1(t, bench(tray))
	p.Trays[0].Marks = []Mark{{Box: geometry.Box{Min: geometry.Point{X: 30, Y: 55}, Max: geometry.Point{X: 40, Y: 60}}}}
	p.Trays[0].Pockets = append(p.Trays[0].Pockets, Pocket{Dowel: mm(6), Position: p.Trays[0].Pockets[0].Position, Design: geometry.NewRegion(geometry.Circle(geometry.Point{X: 110, Y: 70}, 3))})
	m := movesIn(t, p)
	assert.Equal(t, []int{0}, m.Pockets)
	for _, c := range []struct {
		x, y float64
		may  bool
	}{{-7.6, -7.6, true}, {-7.7, -7.7, false}, {-10, 0, true}, {0, 9, true}, {0, 9.01, false}, {26, 30, true}, {51, 16, true}} {
		assert.Equal(t, c.may, m.May(geometry.Point{X: c.x, Y: c.y}), "%+v", c)
	}
}

// What lies too near already holds a pocket nowhere; a grid goes with all its pockets, of which none may come too near;
// one on both halves stays; in a tray without room nothing moves.
func TestMovesOfWhatIsNotOneGoodPocket(t *testing.T) {
	p, _ := make1(t, bench(pad(with(rect(20, 20, 30, 20), at(1)), with(rect(52, 20, 20, 20), at(2)))))
	assert.True(t, movesIn(t, p).May(geometry.Point{X: 3}), "2 mm off, and moved onto it")

	grid := with(with(rect(20, 20, 10, 10), at(1)), func(p *job.Pocket) { p.Columns, p.PitchX = 2, mm(40) })
	p, _ = make1(t, bench(pad(grid, with(rect(84, 20, 10, 10), at(2)))))
	m := movesIn(t, p)
	assert.Equal(t, []int{0, 1}, m.Pockets)
	for x, may := range map[float64]bool{7.99: true, 8.01: false, -10: true, -10.01: false} { // 84 - 6 - 70
		assert.Equal(t, may, m.May(geometry.Point{X: x}), x)
	}

	halves := pad(with(with(rect(20, 20, 10, 10), at(1)), func(p *job.Pocket) { p.Columns, p.PitchX = 2, mm(60) }))
	halves.Halves = 2
	p, _ = make1(t, bench(halves))
	require.Len(t, p.Trays, 2)
	_, ok, err := p.MovesOf(finding.Position{File: "job.yaml", Line: 1, Column: 7})
	assert.NoError(t, err)
	assert.False(t, ok)

	full := pad(with(rect(5, 5, 110, 70), at(1)))
	p, _ = make1(t, bench(full))
	assert.False(t, movesIn(t, p).May(geometry.Point{}))
	full.Edge = mm(70)
	p, _ = make1(t, bench(full))
	assert.False(t, movesIn(t, p).May(geometry.Point{}), "the edges meet")
}
