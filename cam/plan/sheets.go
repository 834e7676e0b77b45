package plan

import (
	"fmt"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// Sheets are made in two steps: begun, tray by tray, and completed when it is decided for the whole job which of
// them a larger tool roughs.

// slab is the part of a tray that one sheet is.
type slab struct {
	number      int // from the top, 1 first; 0 for a block
	layers      []Layer
	top, bottom units.Length // depth below the tray's top
	at          place
}

// beginSheets lays out what goes on the machine, each layer or the block, up to what is decided for the whole job.
func (m *maker) beginSheets(b *board) {
	m.joinHoles(b)
	m.checkRelief(b)
	m.oneTools(b)
	for _, s := range m.slabs(b) {
		m.checkFloors(b, s)
		if !b.known || !m.built() {
			continue
		}
		sheet := Sheet{Number: s.number, Layers: s.layers, Bridged: !b.source.NoBridges, Cuts: m.makeCuts(b, s)}
		sheet.Cuts = append(sheet.Cuts, m.cutMarks(b, s)...)
		m.marksOf(b, s, &sheet)
		edge := m.edgeTask(b, s)
		sheet.Edge = m.makeEdge(b, edge)
		m.plugs(b, &sheet)
		b.begun = append(b.begun, begun{s, m.beyond, Roughable{b.Copies, m.ways(b, s, edge, sheet)}})
		m.beyond = nil
	}
}

// begun is a sheet that is not complete: it may be made in several ways.
type begun struct {
	slab
	beyond []overreach
	Roughable
}

// finishSheets completes what beginSheets has begun, each sheet in the way that is decided for it.
func (m *maker) finishSheets(b *board) {
	for _, s := range b.begun {
		sheet := s.Ways[0]
		m.tellRoughing(sheet)
		m.tellBeyond(s.beyond, &sheet)
		if no := sheet.complete(m.Means, m.TolMM); no != nil {
			m.refused(task{at: s.at.cut(no)}, no)
		}
		m.tellLeft(s.slab, sheet)
		m.tellWalls(s.slab, sheet)
		m.checkIslands(b, s.slab, &sheet)
		m.tellBridges(s.slab, sheet)
		m.tellTabs(s.slab, sheet)
		m.checkChanges(b, s.slab, sheet)
		m.checkZero(s.slab)
		b.Sheets = append(b.Sheets, sheet)
	}
	m.tellTwoTools(b)
}

func (m *maker) slabs(b *board) []slab {
	if b.source.Cut == job.Block {
		if m.wholeLayers() {
			m.log.fail(b.at, "block-needs-router", "is to be cut as a glued block, which a "+string(m.Machine.Process)+" cannot stop inside of",
				"write `cut: sheets`, or choose a router")
			return nil
		}
		return []slab{{layers: b.Layers, bottom: b.Thickness(), at: b.at}}
	}
	slabs := make([]slab, len(b.Layers))
	for i, l := range b.Layers {
		slabs[i] = slab{
			number: i + 1, layers: b.Layers[i : i+1], top: l.Top, bottom: l.Top + l.Thickness,
			at: b.at.with(fmt.Sprintf("layer %d", i+1)),
		}
	}
	return slabs
}
