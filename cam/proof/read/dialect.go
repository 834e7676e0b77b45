package read

import (
	"slices"
	"strings"
)

// Dialect is how the controller reads that a program is for. What it reads otherwise
// than full RS-274 is an error here: it would do something else than is written.
// Sources: manuals, source and tests of one controller of each class.
type Dialect uint8

const (
	RS274   Dialect = iota // nobody has said: NISTIR 6556
	PC                     // a PC that reads all of it
	Small                  // 8-bit class
	Printer                // printer-style firmware
)

const (
	mostPC      = 252 // characters of a line
	mostSmall   = 79  // without blanks and comments
	mostPrinter = 95  // the rest is cut off silently
	mostSmallT  = 255
	// The largest line number, after NISTIR 6556 3.3.1 and a small controller's source; a
	// PC controller's interpreter took any.
	mostNumber, mostSmallNumber = 99_999, 10_000_000
)

// smallG are the G words that a small controller knows, in tenths; smallM its M words.
var (
	smallG = []int{0, 10, 20, 30, 40, 100, 170, 180, 190, 200, 210, 280, 281, 300, 301, 382, 383, 384, 385, 400, 431, 490,
		530, 540, 550, 560, 570, 580, 590, 610, 800, 900, 910, 911, 920, 921, 930, 940}
	smallM = []int{0, 1, 2, 3, 4, 5, 8, 9, 30}
)

// idle is what a line does that printer-style firmware takes, and that moves and switches
// nothing; nil for any other.
func (d Dialect) idle(code string) *problem {
	word, _, _ := strings.Cut(code, " ")
	switch {
	case d != Printer || len(code) > mostPrinter:
	case word == "M117":
		return problemf("idle-word", "M117 writes the rest of its line on the machine's display, and does nothing else").do("nothing to do")
	case word == "M400":
		return problemf("idle-word", "M400 waits until the moves before it are done, and does nothing else").do("nothing to do")
	}
	return nil
}

// obeyed are the words that a PC's controller obeys at the head of a comment: it opens and
// writes files, runs code, ends the program (from memory, after the manual of one).
var obeyed = []string{"PROBEOPEN", "PROBECLOSE", "LOGOPEN", "LOGAPPEND", "LOGCLOSE", "LOG,", "PY,", "DEBUG,", "PRINT,", "ABORT,"}

// checkComments refuses comments that are none to the controller.
func (b *block) checkComments() *problem {
	for _, c := range b.comments {
		c = strings.ToUpper(strings.TrimLeft(c, " \t"))
		if slices.ContainsFunc(obeyed, func(word string) bool { return strings.HasPrefix(c, word) }) {
			return problemf("acting-comment", "a PC's controller obeys a comment that begins like this one: it writes a file, runs code or ends the program").do("take it out, or begin it with another word")
		}
	}
	return nil
}

// checkLine is what a line's characters alone show.
func (d Dialect) checkLine(text string) *problem {
	code, _, _ := strings.Cut(text, ";")
	code = strings.Trim(code, " \t")
	switch {
	case d == PC && len(text) > mostPC:
		return problemf("line-too-long", "the line has %d characters, and the controller takes %d", len(text), mostPC).do("split it")
	case d == Small && counted(text) > mostSmall:
		return problemf("line-too-long", "the line has %d characters without blanks and comments, and a small controller takes %d", counted(text), mostSmall).do("split it")
	case d == Printer && len(text) > mostPrinter:
		return problemf("line-too-long", "the line has %d characters, and printer-style firmware cuts it off silently after %d", len(text), mostPrinter).do("split it")
	case d == Small && strings.ContainsFunc(text, acts):
		return problemf("acting-character", "the line has one of ! ~ ? or a letter beyond plain ASCII: a small controller obeys those wherever they stand, also in a comment").do("take it out")
	case (d == Small || d == Printer) && strings.HasPrefix(code, "%"):
		return problemf("bad-percent", "the controller does not know %%").do("remove it")
	case (d == Small || d == Printer) && strings.HasPrefix(code, "/"):
		return problemf("block-delete", "a line that begins with / is skipped by other controllers and not by this one").do("remove the / or the line")
	case d == Printer:
		return checkCommand(code)
	}
	return nil
}

// acts tells what a small controller takes out of the stream and obeys at once.
func acts(r rune) bool { return r == '!' || r == '~' || r == '?' || r == 0x18 || r >= 0x80 }

// counted is a line's length as a small controller counts it.
func counted(text string) int {
	n, inside := 0, false
	for i := range len(text) {
		switch c := text[i]; {
		case c == ';' && !inside:
			return n
		case c == '(':
			inside = true
		case c == ')':
			inside = false
		case !inside && c != ' ' && c != '\t' && c != '/':
			n++
		}
	}
	return n
}

// checkCommand holds a line without its comment against the one form that printer-style
// firmware reads: one command, its letter first, its parameters behind it.
func checkCommand(code string) *problem {
	if code == "" {
		return nil
	}
	switch {
	case strings.ContainsAny(code, "("):
		return problemf("bracket-comment", "printer-style firmware takes the letters between ( and ) for words").do("write the comment behind ;")
	case strings.ToUpper(code) != code:
		return problemf("small-letters", "printer-style firmware reads capitals only").do("write capitals")
	case code[0] == 'N':
		return problemf("line-number", "with N printer-style firmware expects a checksum").do("remove it")
	case strings.IndexByte("GMT", code[0]) < 0:
		return problemf("no-command", "the line does not begin with G, M or T, and printer-style firmware skips it").do("put its command first, with all that belongs to it")
	case blankInside.MatchString(code):
		return problemf("blank-inside", "a blank stands inside a word, and printer-style firmware ends the number there").do("write each word without blanks, such as X10.5")
	case strings.ContainsAny(code[1:], "GMT"):
		return problemf("second-command", "printer-style firmware obeys the first G, M or T of a line only").do("write a line for each")
	}
	return nil
}

// checkBlock is what a line's words show, and what they mean there.
func (d Dialect) checkBlock(b *block) *problem {
	if d != RS274 {
		b.habits = slices.DeleteFunc(b.habits, func(p problem) bool { return p.rule == "semicolon-comment" })
	}
	switch {
	case d == RS274 && b.number > mostNumber || d == Small && b.number > mostSmallNumber:
		return problemf("line-number", "the line's number is larger than the controller takes").do("remove it, or number the lines anew from 1")
	case (d == Small || d == Printer) && len(b.habits) > 0 && b.habits[0].rule == "program-number":
		return problemf("program-number", "the controller does not know O").do("remove the line")
	case d == Small:
		return b.checkSmall()
	case d == Printer:
		return b.checkPrinter()
	}
	return b.checkComments()
}

func (b *block) checkSmall() *problem {
	for _, code := range b.g {
		if !slices.Contains(smallG, code) {
			return problemf("not-for-small", "a small controller refuses %s, and goes on with the next line", gName(code)).do("remove it, or have the program written without it")
		}
	}
	for _, code := range b.m {
		if !slices.Contains(smallM, code) {
			return problemf("not-for-small", "a small controller refuses M%d, and goes on with the next line", code).do("remove it; for another tool write another program")
		}
	}
	if b.cut != 0 {
		return problemf("too-many-digits", "a small controller keeps eight digits of a number, zeros in front included, and takes %c for another one", b.cut).do("write %c without zeros in front, and rounded", b.cut)
	}
	if b.has('T') && b.word('T') > mostSmallT {
		return problemf("not-for-small", "a small controller knows tools up to T%d", mostSmallT).do("give the tool a smaller number")
	}
	if m, written := b.motion(); (!written || m == 20 || m == 30) && b.hasAny("IJ") && !b.hasAny("XY") {
		return problemf("circle-alone", "a whole circle that names neither X nor Y, which a small controller refuses").do("write the X where it ends as well")
	}
	return nil
}
