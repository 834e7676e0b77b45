package plan

import "traywright/cam/job"

// Loose is a piece of the roster, and how many of it have no pocket.
type Loose struct {
	Piece   job.Piece
	Missing int
}

// Loose are the pieces that lack pockets: in the case that has the fewest for them, or anywhere
// where there are none.
func (p *Plan) Loose() (list []Loose) {
	groups := p.together()
	for _, piece := range p.Job.Roster {
		least := 0
		for _, trays := range groups {
			if n := p.roomFor(piece.ID, trays); n > 0 && (least == 0 || n < least) {
				least = n
			}
		}
		if least < piece.Count {
			list = append(list, Loose{piece, piece.Count - least})
		}
	}
	return list
}

// together are the trays of each case, and those that no case stacks.
func (p *Plan) together() (groups [][]int) {
	stacked := map[int]bool{}
	for _, c := range p.Cases {
		var trays []int
		for _, i := range c.Stack {
			for j := range p.Level(i).Trays {
				trays, stacked[i+j] = append(trays, i+j), true
			}
		}
		groups = append(groups, trays)
	}
	var others []int
	for i := range p.Trays {
		if !stacked[i] {
			others = append(others, i)
		}
	}
	return append(groups, others)
}

// roomFor is how many of a piece go into the pockets of trays.
func (p *Plan) roomFor(id string, trays []int) (n int) {
	for _, i := range trays {
		for _, k := range p.Trays[i].Pockets {
			if k.For == id {
				n += max(k.Holds, 1)
			}
		}
	}
	return n
}
