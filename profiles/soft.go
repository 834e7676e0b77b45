package profiles

// ReadSoftMM is how finely a length of soft foam can be read, mm, by its size in mm: ISO
// 1923, after its identical Chinese adoption GB/T 6342.
func ReadSoftMM(size float64) float64 {
	switch {
	case size < 10:
		return 0.05
	case size <= 100:
		return 0.1
	}
	return 0.5
}

// ReportedSoftMM is what such a length is reported to after the same standard, and so how
// far a measured one may be off: two steps of the reading.
func ReportedSoftMM(size float64) float64 { return 2 * ReadSoftMM(size) }
