package arrange

import (
	"slices"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// Moved is how many pockets of the earlier arrangement have another place now, grids counted out: of
// those that their pieces still need.
type Moved struct {
	Pockets int      `json:"pockets"`
	Of      int      `json:"of"`
	Trays   []string `json:"trays"` // that they were in
}

// spot is the place of one pocket.
type spot struct {
	piece, tray string
	x, y        units.Length
}

// movedSince holds two arrangements against each other. What no piece needs any more has not moved.
func movedSince(previous, now *job.Job) Moved {
	m := Moved{Trays: []string{}}
	if previous == nil {
		return m
	}
	was, is := spotsOf(previous), spotsOf(now)
	stay := map[spot]int{}
	for _, s := range is {
		stay[s]++
	}
	lost, news := map[string][]string{}, map[string]int{} // by piece: trays of places that are gone, and how many are new
	for _, s := range is {
		news[s.piece]++
	}
	for _, s := range was {
		if stay[s] > 0 {
			stay[s]--
			news[s.piece]--
			m.Of++
			continue
		}
		lost[s.piece] = append(lost[s.piece], s.tray)
	}
	for piece, trays := range lost {
		n := min(len(trays), news[piece])
		m.Pockets, m.Of = m.Pockets+n, m.Of+n
		for _, id := range trays[:n] {
			if !slices.Contains(m.Trays, id) {
				m.Trays = append(m.Trays, id)
			}
		}
	}
	slices.Sort(m.Trays)
	return m
}

func spotsOf(j *job.Job) (list []spot) {
	for _, t := range j.Trays {
		for _, p := range t.Pockets {
			if isOpening(p) {
				continue
			}
			for c := range max(1, p.Columns) {
				for r := range max(1, p.Rows) {
					list = append(list, spot{p.For, t.ID, p.X + units.Length(c)*p.PitchX, p.Y + units.Length(r)*p.PitchY})
				}
			}
		}
	}
	return list
}
