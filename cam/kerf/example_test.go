package kerf_test

import (
	"fmt"

	"traywright/cam/kerf"
	"traywright/geometry/units"
	"traywright/profiles"
)

func ExampleAnalyse() {
	table := `foam,thickness,machine,axis,size,hole,plug
pe-30,1 in,bench-laser,x,20,20.35,19.55
pe-30,1 in,bench-laser,x,40,40.25,39.50
pe-30,1 in,bench-laser,x,60,60.20,59.45
`
	readings, _, err := kerf.Read("coupon.csv", []byte(table), units.Millimetre)
	if err != nil {
		fmt.Println(err)
		return
	}
	catalog, err := profiles.Shipped()
	if err != nil {
		fmt.Println(err)
		return
	}
	fits, _ := kerf.Analyse(readings, catalog, nil)
	for _, f := range fits {
		x := f.Axes[0]
		fmt.Printf("%s: kerf %.2f ± %.2f mm, scale %.4f ± %.4f\n", f.Subject, f.KerfMM.Value, f.KerfMM.HalfWidth, x.Scale.Value, x.Scale.HalfWidth)
	}
	// Output: pe-30, 25.4 mm, on bench-laser with beam: kerf 0.38 ± 0.02 mm, scale 0.9971 ± 0.0004
}

func ExampleParseLadder() {
	ladder, _ := kerf.ParseLadder("stepdown=4 mm,1/4 in", units.Millimetre)
	fmt.Println(ladder.Key, ladder.Values)
	_, found := kerf.ParseLadder("feeed=600,900", units.Millimetre)
	fmt.Println(found[0].Message)
	fmt.Println(found[0].Hint)
	// Output:
	// stepdown [4 6.35]
	// a ladder cannot be over "feeed"
	// did you mean feed?
}
