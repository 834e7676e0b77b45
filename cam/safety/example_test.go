package safety_test

import (
	"fmt"

	"traywright/cam/safety"
	"traywright/profiles"
)

func ExampleCheck() {
	catalog, err := profiles.Shipped()
	if err != nil {
		panic(err)
	}
	foam, _ := catalog.Foam("eva-90")
	laser, _ := catalog.Machine("bench-laser")
	use := safety.Use{Foam: foam, Machine: laser, DepthMM: 10, Where: "job.yaml:12: tray crew"}
	for _, f := range safety.Check([]safety.Use{use}, catalog, nil) {
		fmt.Println(f)
	}
	// Output:
	// error: job.yaml:12: tray crew: eva-90 under a laser (machine bench-laser) needs the word of the machine's owner in the shop rules: acetic acid and flames; sources disagree, so only by the owner's written word (source: Sultan and Sorvik, degradation of EVA and EBA, part I (abstract); McGrattan 1994 (abstract))
	// hint: ask the owner for this line under permits in the shop rules (that is a file which the job names, or --shop-rules), with conditions in words in the place of the dots: - {foam: eva-90, process: laser, when: "..."}
}

func ExampleReadRules() {
	_, err := safety.ReadRules("shop-rules.yaml", []byte("owner: Quayside workshop\nlimits: {power: 60}\nforbid: []\n"))
	fmt.Println(err)
	// Output:
	// error: shop-rules.yaml:2:17: limits.power: "60" is no limit
	// hint: write 60 %
	// error: shop-rules.yaml:3:1: the file has no key "forbid"
	// hint: did you mean forbids?
}

func ExampleWire_Heat() {
	wire := safety.Wire{AWG: 28, LengthM: 2}
	heat, err := wire.Heat(1.21, safety.Supply{Dry: true})
	fmt.Printf("%.1f ohm, %.1f V, %.1f W/m\n%v\n", heat.Ohms, heat.Volts, heat.WattsPerM, err)
	// Output:
	// 26.7 ohm, 32.3 V, 19.5 W/m
	// 32.3 V is more than the 25 V that a bare wire may have (AC, dry)
}
