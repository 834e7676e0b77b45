package pack

import "slices"

// polished is how often a packing that no other is cheaper than is laid anew.
const polished = 40

// polish looks for a packing of the same cost that takes less of sheets that can be parted further.
func (s *sheetSearch) polish() {
	if !slices.ContainsFunc(s.whole, func(sheet Sheet) bool { return len(sheet.turnedWays(s.o.Parting)) > 1 || sheet.Fixed }) {
		return
	}
	limit, least := s.cost, s.taken()
	for n := 0; n < polished && s.steps > 0 && s.ctx.Err() == nil; n++ {
		if s.restart(limit); len(s.left) == 0 && s.taken() < least {
			least = s.taken()
			s.keep()
		}
	}
}

// taken is what is lost of the worth of sheets: a piece is worth its area times its shorter side, for what is
// narrow holds little.
func (s *sheetSearch) taken() (sum float64) {
	for _, c := range s.now {
		length, width := s.whole[c.kind].lie(c.turned)
		sum += Panel{0, 0, length, width}.worth()
		for _, p := range Rests(c.panels, length, width) {
			sum -= p.worth()
		}
	}
	return sum
}

func (p Panel) worth() float64 {
	return float64(p.Length) * float64(p.Width) * float64(min(p.Length, p.Width))
}
