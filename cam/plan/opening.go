package plan

import (
	"slices"
	"strings"

	"traywright/cam/job"
)

// nameOpenings says of each opening for fingers, in its name, what it is beside, for on paper it is no
// pocket to pack.
func nameOpenings(holes []*hole) {
	for _, h := range holes {
		if h.Opening = h.For == "" && h.source.Access == job.GapAccess; !h.Opening {
			continue
		}
		var beside []string
		for _, g := range holes {
			if g.For != "" && g.Box.Min.X < h.Box.Max.X && h.Box.Min.X < g.Box.Max.X && g.Box.Min.Y < h.Box.Max.Y && h.Box.Min.Y < g.Box.Max.Y && !slices.Contains(beside, g.For) {
				beside = append(beside, g.For)
			}
		}
		name := "opening"
		if len(beside) > 0 {
			name += " beside " + strings.Join(beside, " and ")
		}
		number, place := h.Name, ""
		if i := strings.LastIndex(h.Name, " "); strings.Contains(h.Name[i:], ",") { // of a grid
			number, place = h.Name[:i], h.Name[i:]
		}
		h.Name = number + " (" + name + ")" + place
	}
}
