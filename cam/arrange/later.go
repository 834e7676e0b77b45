package arrange

import (
	"slices"

	"traywright/cam/job"
)

// Trays of the job share pieces: what one has no room for goes to the next that holds it too. With an earlier
// arrangement each leaves to later ones what these had, and gives or moves nothing for what they may take; where
// something finds no place so, all is shared out again.

// later are the trays that are filled after one, where it leaves them what they had.
func (m *maker) later(t *job.Tray) (list []*job.Tray) {
	if !m.settled {
		return nil
	}
	at := trayAt(m.Job.Trays, t.ID)
	for i := range m.Job.Trays[at+1:] {
		list = append(list, &m.Job.Trays[at+1+i])
	}
	return list
}

// leftTo is how many of a piece the trays of a set that are filled after one had, where so many of it are in none before. A
// pocket through the pad may look as if it took a whole pile and be for the few that were left: the last is taken for that one.
func (m *maker) leftTo(later []*job.Tray, tray string, set []string, p *job.Piece, open int) (n int) {
	for _, t := range later {
		if slices.Contains(set, t.ID) && slices.Contains(m.named(t.Holds), p) {
			n += m.had(t, p)
		}
	}
	if n == 0 {
		return 0
	}
	own := m.had(&m.Job.Trays[trayAt(m.Job.Trays, tray)], p)
	if over := own + n - open; 0 < over && over < p.Pile {
		return max(0, n-over)
	}
	return n
}

// leaves reports whether a tray leaves to later ones what it has no room for.
func (m *maker) leaves(t *job.Tray, kinds []kind) bool { return m.settled && m.heldLater(t, kinds) }

// had is how many of a piece an earlier arrangement had in a tray, where the job itself did not place them.
func (m *maker) had(t *job.Tray, piece *job.Piece) (n int) {
	for _, p := range m.earlier(t) {
		if p.For == piece.ID {
			n += max(1, p.Columns) * max(1, p.Rows) * pilesIn(piece, p, t.Layers[0].Thickness)
		}
	}
	return n
}
