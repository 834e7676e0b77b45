package page

import (
	"fmt"
	"path"
	"strings"
)

// Drawings are a sheet's drawings for machines and other programs.
type Drawings struct {
	Cutting  [][2]string // the DXF file, and the tool whose kerf is taken off, in the order of cutting
	Finished string      // the DXF file of the sizes that the foam will have; "" for none
	MovedMM  [2]float64  // where the program's X0 Y0 lies in both
}

// whichFile says which of a job's files is for whom.
func (c CutSheet) whichFile() []string {
	list := []string{
		"A program is for this machine alone; the .png of its name shows what it leaves.",
		"The .dxf and .svg of that name are its cutting lines, the kerf of one tool already taken off: for a machine that runs along them as they are. " +
			"Layers, each in a colour of its own: MARK, POCKET (with a depth behind it where it ends inside the sheet), OUTLINE last.",
	}
	for _, s := range c.Sheets {
		if s.Drawings.Finished != "" {
			return append(list, "Those with -finished are the sizes that the foam will have, on FINISHED: for a program that takes the kerf off itself. Never cut along them.")
		}
	}
	return list
}

// drawings is a line of a sheet's settings.
func (s Sheet) drawings() [2]string {
	var list []string
	for _, d := range s.Drawings.Cutting {
		list = append(list, path.Base(d[0])+" for "+d[1])
	}
	moved := fmt.Sprintf("the program's X0 Y0 lies at X %g, Y %g mm in it", s.Drawings.MovedMM[0], s.Drawings.MovedMM[1])
	return [2]string{"Drawing", strings.Join(list, ", ") + "; " + moved}
}
