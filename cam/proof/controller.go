package proof

import (
	"traywright/cam/proof/read"
	"traywright/profiles"
)

// readAs is how the machine's controller reads a program; one that nobody has described
// is taken for full RS-274.
func readAs(c profiles.Controller) read.Options {
	o := read.Options{Milliseconds: c.DwellUnit == profiles.DwellMS}
	switch c.Class {
	case profiles.PC:
		o.Dialect = read.PC
	case profiles.Small:
		o.Dialect = read.Small
	case profiles.Printer:
		o.Dialect = read.Printer
	}
	return o
}
