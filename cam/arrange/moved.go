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
	// Changed are those that did not move, and have another size, depth or way in now; ChangedIn are their trays.
	Changed   int      `json:"changed"`
	ChangedIn []string `json:"changed_in"`
}

// spot is the place of one pocket.
type spot struct {
	piece, tray string
	x, y        units.Length
}

// placed is a pocket in its place, and what of it is seen there.
type placed struct {
	spot
	form job.Pocket
}

// movedSince holds two arrangements against each other. What no piece needs any more has not moved.
func movedSince(previous, now *job.Job) Moved {
	m := Moved{Trays: []string{}, ChangedIn: []string{}}
	if previous == nil {
		return m
	}
	was, is := spotsOf(previous), spotsOf(now)
	stay := map[spot][]job.Pocket{}
	for _, p := range is {
		stay[p.spot] = append(stay[p.spot], p.form)
	}
	lost, news := map[string][]string{}, map[string]int{} // by piece: trays of places that are gone, and how many are new
	for _, s := range is {
		news[s.piece]++
	}
	for _, s := range was {
		if now := stay[s.spot]; len(now) > 0 {
			same := slices.Index(now, s.form)
			if same < 0 {
				m.Changed, m.ChangedIn = m.Changed+1, append(m.ChangedIn, s.tray)
			}
			stay[s.spot] = slices.Delete(now, max(0, same), max(0, same)+1)
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
	slices.Sort(m.ChangedIn)
	m.ChangedIn = slices.Compact(m.ChangedIn)
	return m
}

func spotsOf(j *job.Job) (list []placed) {
	for _, t := range j.Trays {
		for _, p := range t.Pockets {
			if isOpening(p) {
				continue
			}
			for c := range max(1, p.Columns) {
				for r := range max(1, p.Rows) {
					list = append(list, placed{spot{p.For, t.ID, p.X + units.Length(c)*p.PitchX, p.Y + units.Length(r)*p.PitchY}, formOf(p, t)})
				}
			}
		}
	}
	return list
}

// formOf is what is seen of a pocket wherever it is.
func formOf(p job.Pocket, t job.Tray) job.Pocket {
	if p.Depth == 0 && len(t.Layers) > 0 && !p.Through {
		p.Depth = t.Layers[0].Thickness
	}
	if p.Notch == 0 { // sizes of nothing
		p.NotchWidth, p.NotchReach = 0, 0
	}
	return job.Pocket{Shape: p.Shape, Length: p.Length, Width: p.Width, Corner: p.Corner, Diameter: p.Diameter, OutlineFile: p.OutlineFile, Depth: p.Depth, Through: p.Through,
		Turn: p.Turn, Notch: p.Notch, NotchWidth: p.NotchWidth, NotchReach: p.NotchReach, Access: p.Access, Proud: p.Proud}
}
