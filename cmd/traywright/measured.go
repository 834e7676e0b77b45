package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"traywright/cam/job"
	"traywright/geometry/units"
)

const measuredHint = "such as --measured \"pe-30/1 in=25.1 mm\": the foam, the thickness that the job has for it, and what you measured"

// measure tells the job what --measured says of its sheets.
func measure(c *cli.Context, j *job.Job) error {
	for _, text := range measurements(c.StringSlice(measuredFlag.Name)) {
		foam, label, real, ok := readMeasured(text, j.Units)
		if !ok {
			return usage(fmt.Sprintf("--%s takes FOAM/THICKNESS=LENGTH, not %q", measuredFlag.Name, text), measuredHint)
		}
		if j.Measure(foam, label, real) == 0 {
			return usage(fmt.Sprintf("--%s %s: the job has no sheet of %s that is %s thick", measuredFlag.Name, text, foam, label.Format(j.Units)),
				"its sheets: "+strings.Join(sheets(j), ", "))
		}
	}
	return nil
}

// measurements puts together what a comma inside a length has divided: 25,1 mm.
func measurements(parts []string) []string {
	var list []string
	for _, p := range parts {
		if n := len(list); n > 0 && !(strings.Contains(p, "=") && strings.Contains(list[n-1], "=")) {
			list[n-1] += "." + p
			continue
		}
		list = append(list, p)
	}
	return list
}

// readMeasured reads pe-30/1 in=25.1 mm. Bare numbers are in the job's unit.
func readMeasured(text string, unit units.Unit) (foam string, label, real units.Length, ok bool) {
	foam, rest, parted := strings.Cut(text, "/")
	sold, measured, said := strings.Cut(rest, "=")
	label, err1 := units.Parse(strings.TrimSpace(sold), unit)
	real, err2 := units.Parse(strings.TrimSpace(measured), unit)
	return strings.TrimSpace(foam), label, real, parted && said && err1 == nil && err2 == nil && label > 0 && real > 0
}

// sheets are the job's foams and thicknesses as --measured takes them, each once.
func sheets(j *job.Job) []string {
	var list []string
	for _, t := range j.Trays {
		for _, l := range t.Layers {
			if name := l.Foam + "/" + l.Thickness.Exact(j.Units); !slices.Contains(list, name) {
				list = append(list, name)
			}
		}
	}
	slices.Sort(list)
	return list
}
