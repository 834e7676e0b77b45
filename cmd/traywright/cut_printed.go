package main

import (
	"fmt"
	"strconv"
	"strings"

	"traywright/cam"
	"traywright/cam/page"
)

// printedBars reads what two bars of 100 mm measure on paper: 99.4x99.6, or with a comma.
func printedBars(text string) (page.Printed, error) {
	if text == "" {
		return page.Printed{}, nil
	}
	short, long, both := strings.Cut(strings.ReplaceAll(strings.ToLower(text), ",", "."), "x")
	p, err := page.Printed{}, error(nil)
	if p.ShortMM, err = strconv.ParseFloat(strings.TrimSpace(short), 64); err == nil {
		p.LongMM, err = strconv.ParseFloat(strings.TrimSpace(long), 64)
	}
	if err != nil || !both {
		return p, usage(fmt.Sprintf("--printed takes two lengths in mm, not %q", text), "measure both black bars of a template and write the one along the paper's short side first, such as --printed 99.4x99.6")
	}
	for _, mm := range []float64{p.ShortMM, p.LongMM} {
		if !(mm >= page.LeastPrintedMM && mm <= page.MostPrintedMM) {
			return p, usage(fmt.Sprintf("a bar of 100 mm that measures %g mm was fitted to the page, or measured in another unit", mm),
				fmt.Sprintf("print it at 100 %%, no fit to page, and measure in mm: --printed takes %g to %g", page.LeastPrintedMM, page.MostPrintedMM))
		}
	}
	return p, nil
}

// mayStretch refuses --printed where nothing is cut along a template.
func mayStretch(r cam.Request, printed bool) error {
	m, found := r.FindMachine()
	if !printed || found.Failed() || m.Process.Traits().ByHand {
		return nil
	}
	return usage(fmt.Sprintf("--printed stretches the templates that a hand cuts along, and %s is no hand", m.ID), "leave --printed out, or cut for --machine by-hand")
}
