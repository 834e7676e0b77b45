package main

import (
	"fmt"
	"strings"

	"traywright/cam"
	"traywright/cam/page"
	"traywright/geometry/units"
)

// printedBars reads what two bars of a template measure on paper: 99.4x99.6, or with a comma; in inches where
// the pages have them, or in a unit of its own.
func printedBars(text string, u units.Unit) (page.Printed, error) {
	if text == "" {
		return page.Printed{}, nil
	}
	short, long, _ := strings.Cut(strings.ReplaceAll(strings.ToLower(text), ",", "."), "x")
	bar, measured := page.Bar(u), [2]units.Length{}
	for i, of := range []string{short, long} {
		var err error
		if measured[i], err = units.Parse(of, u); err != nil {
			return page.Printed{}, usage(fmt.Sprintf("--printed takes two lengths, not %q", text),
				"measure both black bars of a template and write the one along the paper's short side first, such as --printed "+page.PrintedExample(u))
		}
	}
	p := page.Printed{Short: measured[0].MM() / bar.MM(), Long: measured[1].MM() / bar.MM()}
	for i, share := range []float64{p.Short, p.Long} {
		if !(share >= page.LeastPrinted && share <= page.MostPrinted) {
			return p, usage(fmt.Sprintf("a bar of %s that measures %s was fitted to the page, or measured in another unit", bar.Format(u), measured[i].Format(u)),
				fmt.Sprintf("print it at 100 %%, no fit to page, and measure: --printed takes %s to %s", page.Length(page.LeastPrinted*bar.MM(), u), page.Length(page.MostPrinted*bar.MM(), u)))
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
