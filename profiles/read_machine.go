package profiles

import (
	"cmp"
	"fmt"

	"traywright/profiles/strict"
)

func processNames() []string {
	var names []string
	for _, p := range Processes() {
		names = append(names, string(p))
	}
	return names
}

func readMachine(v strict.Value) Machine {
	m := v.Map(machineKeys.Names()...)
	source := m.Get("source").Text()
	machine := Machine{
		ID: m.Need("id").Name(), Name: m.Need("name").Text(), Notes: m.Get("notes").Text(), Source: source,
		Process: Process(m.Need("process").OneOf(processNames()...)),
		ZCounts: ZCounts(m.Get("z_counts").OneOf(string(ZUp), string(ZDown))),
		ACounts: ACounts(m.Get("a_counts").OneOf(string(ACounterclockwise), string(AClockwise))),
	}
	if machine.Process.Traits().ByHand {
		readByHand(m, source, &machine)
	} else {
		take(m, source, &machine, machineNumbers)
		machine.TravelMM = readTravel(m.Need("travel_mm"), source)
		machine.Controller = readController(m.Need("controller"))
		machine.ZZero = ZZero(m.Need("z_zero").OneOf(string(ZTop), string(ZBed)))
	}
	for _, t := range m.Need("tools").List() {
		machine.Tools = append(machine.Tools, readTool(t, source))
	}
	for _, c := range m.Get("clamps").List() {
		machine.Clamps = append(machine.Clamps, readClamp(c))
	}
	machine.DXFColours = readDXFColours(m.Get("dxf_colours"))
	checkMachine(v, m, machine)
	return machine
}

// readTravel reads X, Y and Z; a machine whose Z the program does not move has 0 there.
func readTravel(v strict.Value, source string) [3]Number {
	list := v.Tuple("[X, Y, Z]")
	if list == nil {
		return [3]Number{}
	}
	return [3]Number{
		number(list[0], source, 1, longestMM), number(list[1], source, 1, longestMM), number(list[2], source, 0, longestMM),
	}
}

func readTool(v strict.Value, source string) Tool {
	m := v.Map(toolKeys.Names()...)
	if s := m.Get("source"); s.Present() {
		source = s.Text()
	}
	t := Tool{
		ID: m.Need("id").Name(), Name: m.Need("name").Text(),
		Number: m.Get("number").Whole(0, 9999), Flutes: m.Get("flutes").Whole(1, 20),
		Helix:   Helix(m.Get("helix").OneOf(string(HelixUp), string(HelixDown), string(HelixStraight))),
		Process: Process(m.Get("process").OneOf(string(HotWire))),
	}
	take(m, source, &t, toolNumbers)
	if f, s := t.FluteMM.Value, t.StickoutMM.Value; s > 0 && f > s {
		v.Fail(fmt.Sprintf("flute_mm of %g is more than stickout_mm of %g", f, s), "measure from the tip: the flute to where its edges end, the stick-out to the collet")
	}
	return t
}

func readClamp(v strict.Value) ClampZone {
	m := v.Map(clampKeys.Names()...)
	return ClampZone{
		Name: m.Need("name").Text(),
		XMM:  m.Need("x_mm").Number(-longestMM, longestMM), YMM: m.Need("y_mm").Number(-longestMM, longestMM),
		LengthMM: m.Need("length_mm").Number(0.1, longestMM), WidthMM: m.Need("width_mm").Number(0.1, longestMM),
		HeightMM: m.Need("height_mm").Number(0.1, longestMM),
	}
}

// checkMachine looks at what has to be there for the process, and at numbers
// and ids that may stand only once. What only a beam has makes a laser of a
// machine, whatever it says: see beam.go.
func checkMachine(v strict.Value, m strict.Map, machine Machine) {
	if machine.Process == "" {
		return
	}
	for _, need := range [][2]string{
		{"power_w", "write the watts of its light, as its plate says: power_w: 40"},
		{"wavelength_nm", "write wavelength_nm: 10600 for a CO2 tube, about 450 for a blue diode, as its plate says"},
	} {
		if machine.Process == Laser && !m.Get(need[0]).Present() {
			v.Fail("a laser needs "+need[0], need[1])
		}
	}
	switch {
	case machine.Process == Laser && machine.Controller.PowerScale == 0 && machine.Controller.Class != Drawing:
		needsScale(v, m.Get("controller"), machine.Controller.Class)
	case machine.Process == Router && !m.Get("max_rpm").Present():
		v.Fail("a router needs max_rpm", "write the most turns a minute of its spindle, as its plate says: max_rpm: 24000")
	case machine.Process != Router && m.Get("max_rpm").Present():
		v.Fail("a machine with max_rpm is a router, and this one says "+string(machine.Process), "take max_rpm out, or, if a cutter turns, write process: router")
	}
	if machine.Process == Router && !machine.DrawingsOnly() && !machine.Controller.Moves("Z") {
		v.Fail("a cutter goes up and down, and the controller moves no Z", "write axes: [X, Y, Z]")
	}
	checkLaser(m, machine)
	checkClearance(m, machine)
	checkWay(v, m, machine)
	checkZCounts(v, machine)
	checkTurned(v, m, machine)
	for _, sign := range machine.beamSigns() {
		v.Fail(contradiction(machine.Process, sign), machine.beamHint())
	}
	refuseHot(v, m.Get("tools").List(), machine)
	checkTools(m, machine)
}

// checkTools refuses no tools, two of one name or number, and cutters of which something is not said.
func checkTools(m strict.Map, machine Machine) {
	if len(machine.Tools) == 0 && m.Get("tools").IsList() {
		m.Get("tools").Fail("is empty", "a beam or a wire is a tool too")
	}
	tools := m.Get("tools").List()
	ids, taken := map[string]bool{}, map[int]bool{}
	for i, t := range machine.Tools {
		at := tools[i]
		if ids[t.ID] || taken[t.Number] {
			at.Fail("a tool of this id or number is there already", "give it an id and a number of its own")
		}
		ids[t.ID], taken[t.Number] = true, true
		if t.Process != "" && machine.Process != Hand {
			at.Fail("a tool with a process of its own belongs to a machine of process: hand", "take its process out, or give it a machine of its own")
		}
		if machine.Process == Router && (t.Reach() <= 0 || t.Number < 1 || t.Flutes < 1) {
			at.Fail("a cutter needs stickout_mm (or reach_mm), flutes, and a number of 1 or more", "write all three into its row: number: 1, flutes: 1, stickout_mm: 27, as measured")
		}
	}
}

// needsScale refuses a laser of which nobody has said what S is full power, unless its
// controller is no controller, which has been said.
func needsScale(v, controller strict.Value, like Class) {
	if like == "" && controller.Present() {
		return
	}
	what := "power_scale: 1000 into its controller"
	if !controller.IsMap() {
		what = fmt.Sprintf("controller: {like: %s, power_scale: 1000}", cmp.Or(like, PC))
	}
	v.Fail("a laser needs power_scale", "write "+what+", with the S word that is full power in the machine's settings")
}

// checkWay refuses a wire that goes by closed lines, a blade that is never lowered, and steps so coarse
// that turns about its tip, half a mm in radius, lose their angle.
func checkWay(v strict.Value, m strict.Map, machine Machine) {
	if machine.Process == HotWire && machine.DrawingsOnly() {
		m.Get("controller").Fail("a hot wire comes to each pocket through slits, along one way, and a drawing of closed lines has no such way", "name the class that reads its programs, such as controller: small; or cut by hand with a bow (machine: by-hand)")
	}
	if c := machine.Controller; machine.Process.Traits().Blade && !machine.DrawingsOnly() {
		if !c.Moves("Z") {
			v.Fail("a blade goes up and down, and the controller moves no Z", "write axes: [X, Y, Z]")
		}
		if c.Units == Inches && c.Decimals < 5 {
			v.Fail(fmt.Sprintf("inches with %d decimals are steps too coarse for a blade's turns about its tip", c.Decimals), "write decimals: 5")
		}
	}
}

// checkClearance refuses a tool that is lifted too little to pass over foam, or by all that the machine has.
func checkClearance(m strict.Map, machine Machine) {
	at, clear, travel := m.Get("clearance_mm"), machine.ClearanceMM.Value, machine.TravelMM[2].Value
	switch lifts := machine.Process == Router || machine.Process.Traits().Blade; {
	case !lifts || !at.Present() || machine.DrawingsOnly():
	case clear < LeastAboveMM:
		at.Fail(fmt.Sprintf("%g mm is too near for what goes aside over foam, which is never flat to a millimetre", clear), fmt.Sprintf("write %d or more, such as clearance_mm: 5", LeastAboveMM))
	case travel > 0 && clear >= travel:
		at.Fail(fmt.Sprintf("%g mm leaves nothing of the %g mm that the machine travels in Z for the foam", clear, travel), "write how far above the foam it is to go aside, such as clearance_mm: 5")
	}
}

// checkLaser refuses what a laser's programs cannot keep: a Z0 on the bed, where the nozzle would
// be in the foam, and a cutter's dust extraction, which M9 would switch off with the air.
func checkLaser(m strict.Map, machine Machine) {
	if machine.Process != Laser {
		return
	}
	if machine.ZZero == ZBed {
		m.Get("z_zero").Fail("a laser has its Z0 where its beam is in focus on the foam's top, and z_zero: bed would be a nozzle in the foam", "write z_zero: top")
	}
	if len(machine.Controller.Dust) == 0 || machine.DrawingsOnly() {
		return
	}
	m.Get("controller").Each(func(key string, dust strict.Value) {
		if key == "dust" {
			dust.Fail("dust is a cutter's, and no program for a laser switches it", "take dust out, and switch the extraction on by hand before each program")
		}
	})
}

// checkZCounts: a laser whose bed rises gets its heights with the other sign, counted from the
// foam's top. On a bed that rises nobody can say where the bed's own zero is, and a place to
// park at that was copied from another machine would drive the head into the foam.
func checkZCounts(v strict.Value, m Machine) {
	if m.ZCounts != ZDown {
		return
	}
	parks := func(at []float64) bool { return len(at) == 3 && at[2] != 0 }
	switch {
	case m.Process != Laser:
		v.Fail("z_counts: down is a laser's whose bed rises, and this one says "+string(m.Process)+": its programs count Z up from the foam", "set the machine's own Z to count up, and take z_counts out")
	case parks(m.Controller.ParkAt) || parks(m.Controller.ChangeAt):
		v.Fail("where Z counts down, a greater Z drives the head into the foam", "write 0 for the Z of park_at and change_at")
	}
}

// Tool is the tool with an id.
func (m Machine) Tool(id string) (Tool, bool) {
	for _, t := range m.Tools {
		if t.ID == id {
			return t, true
		}
	}
	return Tool{}, false
}
