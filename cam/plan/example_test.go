package plan_test

import (
	"fmt"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry/units"
	"traywright/profiles"
)

// A tray of one pocket that is a little too near to the rim.
func ExampleMake() {
	catalog, err := profiles.Shipped()
	if err != nil {
		fmt.Println(err)
		return
	}
	machine, _ := catalog.Machine("bench-router")
	const mm units.Length = 1_000_000
	tray := job.Tray{
		ID: "crew", Length: 120 * mm, Width: 80 * mm, Edge: 10 * mm, Wall: 6 * mm,
		Layers: []job.Layer{{Foam: "pe-30", Thickness: 20 * mm}},
		Pockets: []job.Pocket{
			{For: "crab", Shape: job.RoundShape, Diameter: 30 * mm, X: 8 * mm, Y: 20 * mm, Depth: 15 * mm},
		},
	}
	p, found := plan.Make(plan.Input{
		Job: &job.Job{Trays: []job.Tray{tray}}, Catalog: catalog, Machine: machine, Means: process.MeansOf(machine),
		Recipe: func(foam, tool string) (profiles.Recipe, bool) { return catalog.Recipe(foam, machine.ID, tool) },
	})
	fmt.Println(p.Trays[0].Sheets[0].Cuts[0].Tool.Name)
	for _, f := range found {
		fmt.Println(f)
	}
	// Output:
	// 3.175 mm single-flute cutter, flat end
	// error: tray crew, pocket 1 (crab): leaves 8 mm of foam to the rim, less than the edge of 10 mm
	// hint: move it 2 mm inward, or ask for less `edge`
}
