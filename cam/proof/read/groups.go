package read

import "fmt"

// Modal groups: NISTIR 6556 Table 4. A line holds at most one code of a group.

const (
	groupNonModal = 0
	groupMotion   = 1
	groupStop     = 4 // of M codes
)

// gGroups is the group of every G code that is understood, in tenths.
var gGroups = map[int]int{
	0: groupMotion, 10: groupMotion, 20: groupMotion, 30: groupMotion, 800: groupMotion,
	170: 2, 180: 2, 190: 2,
	900: 3, 910: 3,
	930: 5, 940: 5,
	200: 6, 210: 6,
	400: 7, 490: 8,
	980: 10, 990: 10,
	540: 12, 550: 12, 560: 12, 570: 12, 580: 12, 590: 12, 591: 12, 592: 12, 593: 12,
	610: 13, 611: 13, 640: 13,
	40: groupNonModal, 530: groupNonModal, 920: groupNonModal, 921: groupNonModal, 922: groupNonModal, 923: groupNonModal,
	911: 14, // a habit: arc centres are incremental, as they are anyway
}

// modeOf is the mode that a group's codes say.
var modeOf = map[int]Modes{2: Plane, 3: Distance, 5: FeedMode, 6: Units, 12: Offset}

// gRefused says of codes that the language has, why they are not followed here.
var gRefused = map[int]string{
	100: "G10 changes offsets that live in the machine",
	280: "G28 goes to a place that only the machine knows",
	300: "G30 goes to a place that only the machine knows",
	382: "G38.2 probes; where it stops cannot be known beforehand",
	410: "G41 moves the path by the tool's radius in the controller",
	420: "G42 moves the path by the tool's radius in the controller",
	430: "G43 adds a tool length that only the machine knows",
	901: "G90.1 changes what I and J mean",
}

// mGroups is the group of every M code that is understood.
var mGroups = map[int]int{
	0: groupStop, 1: groupStop, 2: groupStop, 30: groupStop,
	6: 6,
	3: 7, 4: 7, 5: 7,
	7: 8, 8: 8, 9: 8,
	48: 9, 49: 9,
}

// maxM is the most M words on one line (NISTIR 6556 3.3.5).
const maxM = 4

// checkGroups refuses unknown codes and two codes of one group.
func (b *block) checkGroups() *problem {
	if p := b.checkG(); p != nil {
		return p
	}
	if len(b.m) > maxM {
		return problemf("too-many-m", "the line has %d M words and may have %d", len(b.m), maxM).do("split it")
	}
	seen := map[int]int{}
	for _, code := range b.m {
		group, ok := mGroups[code]
		if !ok {
			return problemf("unknown-code", "M%d is not understood", code).do("remove it, or do by hand what it stands for")
		}
		if other, twice := seen[group]; twice {
			return problemf("modal-conflict", "M%d and M%d are of one group and cannot share a line", other, code).do("split the line")
		}
		seen[group] = code
	}
	return nil
}

func (b *block) checkG() *problem {
	seen := map[int]int{}
	for _, code := range b.g {
		group, ok := gGroups[code]
		if !ok {
			return refuseG(code)
		}
		if code == 911 {
			b.habits = append(b.habits, *problemf("g91.1", "G91.1 is a habit of some controllers; arc centres are incremental without it").do("remove it for a controller that does not know it"))
		}
		if other, twice := seen[group]; twice {
			return problemf("modal-conflict", "%s and %s are of one group and cannot share a line", gName(other), gName(code)).do("split the line")
		}
		seen[group] = code
	}
	return nil
}

func refuseG(code int) *problem {
	if code >= 810 && code <= 890 && code%10 == 0 {
		return problemf("not-understood", "%s is a canned cycle, which is not followed here", gName(code)).do("write its moves out as G0 and G1")
	}
	if why, ok := gRefused[code]; ok {
		return problemf("not-understood", "%s, so what the program does cannot be told", why).do("write the moves out")
	}
	return problemf("unknown-code", "%s is not understood", gName(code)).do("remove it, or write its moves out")
}

// gName is the code as it is written: 10 is G1, 592 is G59.2.
func gName(tenths int) string {
	if tenths%10 == 0 {
		return fmt.Sprintf("G%d", tenths/10)
	}
	return fmt.Sprintf("G%d.%d", tenths/10, tenths%10)
}

// motion is the line's code of the motion group, in tenths.
func (b *block) motion() (int, bool) {
	for _, code := range b.g {
		if gGroups[code] == groupMotion {
			return code, true
		}
	}
	return 0, false
}
