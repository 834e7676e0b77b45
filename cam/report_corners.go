package cam

import "traywright/cam/proof"

// CornersReport is in how many corners of the tolerances a program is safe.
type CornersReport struct {
	Tried       int         `json:"tried" means:"corners of the tolerances"`
	Safe        int         `json:"safe" means:"of those, safe"`
	FirstToFail *WeakReport `json:"first_to_fail,omitempty" means:"what fails first"`
}

// WeakReport is what fails first, and what brings it about most.
type WeakReport struct {
	Tolerance string  `json:"tolerance" means:"thickness, zero, kerf or run-out"`
	ValueMM   float64 `json:"value_mm" means:"how far that is off in the worst corner"`
	Place     string  `json:"place" means:"of what fails"`
	Fails     string  `json:"fails" means:"as the finding's rule has it, without \"corner-\""`
	ShortMM   float64 `json:"short_mm" means:"by how much"`
}

// describeCorners is nil where none were tried.
func describeCorners(c *proof.Corners) *CornersReport {
	if c == nil {
		return nil
	}
	report := &CornersReport{Tried: c.Tried, Safe: c.Safe}
	if len(c.Weak) > 0 {
		w := c.Weak[0]
		report.FirstToFail = &WeakReport{
			Tolerance: w.Tolerance.String(), ValueMM: round(w.ValueMM[w.Tolerance], 1e-4), Place: w.Name + ", " + place(w.At),
			Fails: cornerRules[w.What], ShortMM: round(w.ShortMM, 1e-4),
		}
	}
	return report
}
