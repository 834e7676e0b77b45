package read

import (
	"regexp"
	"strings"
)

// What printer-style firmware reads, as a closed list: it echoes a code that it does not
// know and goes on, and takes letters that a command has no use for as that build likes.

// printerG and printerM are the codes, G in tenths, that every build has or that say what it
// does anyway, and the letters that belong to each. After source files of mixed dates, 2020
// to 2024; the letters from memory.
var (
	printerG = map[int]string{0: "XYZF", 10: "XYZF", 20: "XYZFIJR", 30: "XYZFIJR", 40: "PS", 170: "", 210: "", 540: "", 800: "", 900: "", 910: "", 920: "XYZ"}
	printerM = map[int]string{0: "", 1: "", 3: "S", 4: "S", 5: "", 7: "", 8: "", 9: ""}
)

// printerBuilds are the G codes, in tenths, with which one build moves or counts otherwise
// than the next: whether it homes, to where, in inches or not.
var printerBuilds = []int{180, 190, 200, 280, 300, 530, 550, 560, 570, 580, 590, 591, 592, 593, 901, 911}

// blankInside is a blank that parts a letter from its number, or a number in two: the
// firmware ends the number there, others read on (from memory).
var blankInside = regexp.MustCompile(`[ \t][^A-Z \t]`)

// checkPrinter also turns S of a G4, which is seconds whatever P counts, into its P.
func (b *block) checkPrinter() *problem {
	if p := b.checkPrinterCode(); p != nil {
		return p
	}
	switch {
	case (b.hasM(3) || b.hasM(4)) && !b.has('S'):
		return problemf("no-speed", "M3 without S switches on at a strength that is built in").do("write S on the same line")
	case b.hasG(40) && b.has('S') && b.has('P'):
		return problemf("dwell-twice", "G4 has P, which is milliseconds there, and S, which is seconds").do("keep S")
	case b.hasG(40) && b.has('S'):
		b.present |= 1 << ('P' - 'A')
		b.value['P'-'A'], b.seconds = b.word('S'), true
		b.take('S')
	}
	return nil
}

// checkPrinterCode holds the line's one command, and the letters beside it, against the list.
func (b *block) checkPrinterCode() *problem {
	name, letters, known := "", "", false
	switch {
	case b.has('T') && len(b.g)+len(b.m) == 0:
		return problemf("not-for-printer", "printer-style firmware has no cutters: T is unknown there, or takes another nozzle").do("remove it, and put the tool into the spindle before the program starts")
	case b.hasM(48):
		return problemf("not-for-printer", "M48 tries a probe there, and moves").do("remove it")
	case b.hasM(30):
		return problemf("not-for-printer", "M30 deletes a file there").do("remove it")
	case b.hasM(2):
		return problemf("not-for-printer", "printer-style firmware does not know M2").do("remove it: the program ends with its last line")
	case len(b.g) > 0 && contains(printerBuilds, b.g[0]):
		return unfollowed("%s is not the same in all printer-style firmware: one build obeys it, another does something else or nothing", gName(b.g[0])).
			do("have the program written without it: in mm, with G0 to G3 in the XY plane, from one zero that is set by hand")
	case len(b.g) > 0:
		name = gName(b.g[0])
		letters, known = printerG[b.g[0]]
	case len(b.m) > 0:
		name = mName(-1 - b.m[0])
		letters, known = printerM[b.m[0]]
	case b.present == 0:
		return nil
	}
	if !known {
		return problemf("not-for-printer", "printer-style firmware does not know %s, and goes on without it", name).
			do("remove it; have what it stands for written out with G0 to G4, in mm and mm/min, and write a program for each tool")
	}
	for letter := byte('A'); letter <= 'Z'; letter++ {
		if b.has(letter) && strings.IndexByte(letters, letter) < 0 {
			return strayLetter(letter, name)
		}
	}
	return nil
}

// strayLetter refuses a letter on a line whose command has no use for it.
func strayLetter(letter byte, name string) *problem {
	p := problemf("stray-word", "%c stands beside %s: some printer-style firmware ignores it there, and some acts on it", letter, name)
	switch {
	case name == "M0" || name == "M1":
		return problemf("stray-word", "%s with %c may go on by itself after that time, with a hand in the machine", name, letter).do("remove %c", letter)
	case letter == 'S':
		return p.do("remove S; what it should set stands beside M3, on a line of its own")
	case letter == 'F':
		return p.do("remove F; write it beside the G0, G1, G2 or G3 that it is for")
	}
	return p.do("remove %c", letter)
}
