package arrange

import (
	"cmp"
	"slices"

	"traywright/cam/job"
)

// Partial is what was found of an arrangement before it was refused: no plan, and only to be looked at.
type Partial struct {
	Job     *job.Job
	Missing []Missing
}

// Missing are equal pieces without a place.
type Missing struct {
	Tray              string // of the job that holds them; "" where trays were to be chosen
	ID, Name          string
	Count             int
	LengthMM, WidthMM float64 // as measured
	Round             bool
}

// partial is what there is when something is wrong: what a tray holds, or a case is for, and no pocket takes.
func (m *maker) partial() Partial {
	p := Partial{Job: m.out}
	add := func(tray string, piece *job.Piece, n int) {
		if n > 0 {
			p.Missing = append(p.Missing, Missing{tray, piece.ID, cmp.Or(piece.Name, piece.ID), n, piece.Length.MM(), piece.Width.MM(), piece.Shape == job.Round})
		}
	}
	told := map[string]bool{}
	for i := len(m.Job.Trays) - 1; i >= 0; i-- {
		t := &m.Job.Trays[i]
		for _, piece := range m.named(t.Holds) {
			if n := m.missing(piece, t.ID, nil); n > 0 && !told[piece.ID] {
				told[piece.ID] = true
				add(t.ID, piece, n)
			}
		}
	}
	wanted := m.share()
	for i, c := range m.out.Cases {
		if len(c.Stack) > 0 {
			continue
		}
		for _, piece := range wanted[i] {
			if !told[piece.ID] {
				told[piece.ID] = true
				add("", piece, piece.Count)
			}
		}
	}
	p.Job.Trays = slices.Clone(p.Job.Trays)
	for i := range p.Job.Trays {
		p.Job.Trays[i].Holds = nil
	}
	return p
}
