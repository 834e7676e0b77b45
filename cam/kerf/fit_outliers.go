package kerf

import "math"

// outliers are the samples that do not go with the others. One far out hides the next,
// because it widens the scatter that the next is held against; so those found are left
// out and the rest is looked at again, until it agrees.
func (f *fitted) outliers() map[int]bool {
	out := map[int]bool{}
	rest, at := f, make([]int, len(f.samples))
	for i := range at {
		at[i] = i
	}
	for rest.dof >= 2 {
		deleted, limit := rest.deleted(), outlierPoint(len(rest.samples), rest.dof)
		// Agreement beyond what can be read makes a reading that is one digit off look far out.
		least := 3 * stepDeviation(rest.samples)
		var samples []sample
		var stay []int
		for i, s := range rest.samples {
			if math.Abs(deleted[i]) > limit && math.Abs(rest.residuals[i]) > least {
				out[at[i]] = true
				continue
			}
			samples, stay = append(samples, s), append(stay, at[i])
		}
		if len(samples) == len(rest.samples) || len(out) > len(f.samples)/3 {
			break
		}
		next, err := fitSamples(samples)
		if err != nil {
			break
		}
		rest, at = &next, stay
	}
	return out
}
