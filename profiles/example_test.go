package profiles_test

import (
	"fmt"
	"testing/fstest"

	"traywright/profiles"
)

func Example() {
	catalog, err := profiles.Shipped()
	if err != nil {
		panic(err)
	}
	recipe, _ := catalog.Recipe("pe-30", "bench-router", "flat-3")
	fmt.Printf("kerf %v mm: %s\n", recipe.KerfMM.Value, recipe.KerfMM.Source)
	verdict := catalog.Safety("pu", profiles.Laser)
	fmt.Printf("polyurethane under a laser: %s, %s\n", verdict.Answer, verdict.Reason)
	// Output:
	// kerf 3.175 mm: the cutter's nominal diameter; starting value, measure your own
	// polyurethane under a laser: refused, hydrogen cyanide and isocyanates
}

func ExampleCatalog_Add() {
	catalog, err := profiles.Shipped()
	if err != nil {
		panic(err)
	}
	mine := `recipes:
  - machine: bench-laser
    tool: beam
    source: cut and measured in May
    common: {power_percent: 40, passes: 1, focus_step_mm: 0, lead_in_mm: 2, corner_radius_mm: 1, taper_degrees: 0}
    foams:
      pe-30: {kerf_mm: 0.52, feed_mm_per_min: 800}
`
	if err := catalog.Add(fstest.MapFS{"mine.yaml": {Data: []byte(mine)}}); err != nil {
		panic(err)
	}
	recipe, _ := catalog.Recipe("pe-30", "bench-laser", "beam")
	fmt.Println(recipe.KerfMM.Value, recipe.KerfMM.Source)
	fmt.Println(catalog.Replaced())
	// Output:
	// 0.52 cut and measured in May
	// [recipe for pe-30 on bench-laser with beam (mine.yaml:7)]
}
