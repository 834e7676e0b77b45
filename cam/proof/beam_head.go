package proof

import (
	"math"

	"traywright/profiles"
)

// checkHead: a head that is lowered for its focus keeps its nozzle off the foam.
func (d *run) checkHead() {
	m := d.setup.Machine
	if said := d.result.Header["z zero"]; d.ours && said != "" && (said == countsDown) != (m.ZCounts == profiles.ZDown) {
		d.wrong(1, "z-counts", "is written for a machine whose Z counts the other way: its head would go into the foam where it should rise").
			hint("make it again with `traywright cut` for this machine, or put its z_counts right")
	}
	most, known := m.LowestFocusMM()
	why := d.say("its nozzle stands %v off the foam", length(m.StandoffMM.Value))
	if !known && d.want != nil && m.MovesZ() { // dark or lit, it goes nowhere that the plan does not
		why = "nobody has said how far its nozzle stands off the foam"
		for _, l := range d.want.allLimits() {
			for _, z := range l.FocusMM {
				most, known = math.Max(most, z+focusMM), true
			}
		}
	}
	if !d.beam || !known || m.ZZero == profiles.ZBed && d.setup.ThicknessMM <= 0 {
		return
	}
	for _, motion := range d.result.Motions {
		down := -motion.lowest()
		if down > most+slackMM {
			d.wrong(motion.Line, "nozzle-too-low", "the head comes down %v below its first focus, and %s: it may come down %v", length(down), why, length(most)).
				hint("make all passes at one height: take the Z words out")
			return
		}
	}
}

// checkBurning: a beam that is asked for less than it burns at stays dark, or flickers.
func (d *run) checkBurning() {
	least := d.setup.Machine.Controller.LeastPowerPercent
	if !d.beam || least <= 0 {
		return
	}
	for _, m := range d.result.Motions {
		if m.On && !m.Rapid && m.Power > 0 && m.Power*exactly < least {
			d.strictly(m.Line, "power-too-low", "asks for %v %% of full power, and below %v %% the beam does not burn steadily", number(m.Power), number(least)).
				hint("raise S to %v or more, and F with it", number(math.Ceil(d.setup.Machine.Controller.LeastWritten()*d.setup.Machine.Controller.PowerScale/100)))
			return
		}
	}
}
