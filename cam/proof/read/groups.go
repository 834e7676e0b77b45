package read

import "fmt"

// Modal groups: NISTIR 6556 Table 4. A line holds at most one code of a group.

const (
	groupNonModal = 0
	groupMotion   = 1
	groupStop     = 4  // of M codes
	groupCentres  = 14 // not the standard's: what I and J count from
)

// gGroups is the group of every G code that is understood, in tenths.
var gGroups = map[int]int{
	0: groupMotion, 10: groupMotion, 20: groupMotion, 30: groupMotion, 800: groupMotion,
	810: groupMotion, 820: groupMotion, 830: groupMotion,
	170: 2, 180: 2, 190: 2,
	900: 3, 910: 3,
	930: 5, 940: 5,
	200: 6, 210: 6,
	400: 7, 430: 8, 490: 8,
	980: 10, 990: 10,
	540: 12, 550: 12, 560: 12, 570: 12, 580: 12, 590: 12, 591: 12, 592: 12, 593: 12,
	610: 13, 611: 13, 640: 13,
	40: groupNonModal, 280: groupNonModal, 300: groupNonModal, 530: groupNonModal, 920: groupNonModal, 921: groupNonModal, 922: groupNonModal, 923: groupNonModal,
	901: groupCentres, 911: groupCentres,
	80: 15, // not the standard's: X is no diameter, as it is anyway
}

// modeOf is the mode that a group's codes say.
var modeOf = map[int]Modes{2: Plane, 3: Distance, 5: FeedMode, 6: Units, 12: Offset}

// gRefused says of codes that controllers have what they are, where they are not
// followed here.
var gRefused = map[int]string{
	50: "G5 is a curve of a kind that few controllers have", 51: "G5.1 is a curve of a kind that few controllers have", 52: "G5.2 is a curve of a kind that few controllers have",
	70:  "G7 is for lathes, and doubles X",
	100: "G10 changes offsets or tools that are kept in the machine",
	330: "G33 cuts a thread, with the feed tied to the spindle", 331: "G33.1 cuts a thread, with the feed tied to the spindle",
	382: "G38.2 probes, and where it stops only the machine will know", 383: "G38.3 probes, and where it stops only the machine will know",
	384: "G38.4 probes, and where it stops only the machine will know", 385: "G38.5 probes, and where it stops only the machine will know",
	410: "G41 moves the path aside by the tool's radius, in the controller", 411: "G41.1 moves the path aside by the tool's radius, in the controller",
	420: "G42 moves the path aside by the tool's radius, in the controller", 421: "G42.1 moves the path aside by the tool's radius, in the controller",
	431: "G43.1 adds a tool length of its own", 432: "G43.2 adds a second tool length",
	730: "G73 is a drilling cycle that breaks chips", 740: "G74 taps a thread", 760: "G76 cuts a thread", 840: "G84 taps a thread",
	850: "G85 is a boring cycle", 860: "G86 is a boring cycle", 870: "G87 is a boring cycle", 880: "G88 is a boring cycle", 890: "G89 is a boring cycle",
	950: "G95 ties the feed to the spindle's turning",
}

// mGroups is the group of every M code that is understood.
var mGroups = map[int]int{
	0: groupStop, 1: groupStop, 2: groupStop, 30: groupStop, 60: groupStop,
	6: 6,
	3: 7, 4: 7, 5: 7,
	7: 8, 8: 8, 9: 8,
	48: 9, 49: 9, 50: 9, 51: 9, 52: 9, 53: 9,
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
			return unfollowed("M%d is a word that only some controllers know, or none", code).do("remove it, or do by hand what it stands for")
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
		if code == 901 {
			b.habits = append(b.habits, *problemf("g90.1", "with G90.1 I and J are places and no distances; small controllers refuse it").do("write I and J from the arc's start for those"))
		}
		if other, twice := seen[group]; twice {
			return problemf("modal-conflict", "%s and %s are of one group and cannot share a line", gName(other), gName(code)).do("split the line")
		}
		seen[group] = code
	}
	return nil
}

func refuseG(code int) *problem {
	if what, ok := gRefused[code]; ok {
		return unfollowed("%s", what).do("have the program written without it, in G0, G1, G2 and G3 alone")
	}
	return unfollowed("%s is a word that only some controllers know, or none", gName(code)).do("remove it, or have its moves written out as G0, G1, G2 and G3")
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
