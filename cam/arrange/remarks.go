package arrange

import (
	"regexp"
	"slices"
	"strings"

	"traywright/cam/job"
)

// A person's remarks, behind a line of an arrangement or on lines of their own, go over into the next one: beside the
// pocket, or whatever else they stand at, and where that is gone to its tray, or to the end.

// textLine is a line of an arrangement's body.
type textLine struct {
	number          int    // from 1
	in              string // the id of its tray, or the name of its case
	content, remark string // remark with its #; all of a line that is nothing else
	pocket          bool
}

// linesOf are the lines of a body.
func linesOf(body string) (list []textLine) {
	in, inPockets, n := "", false, 0
	for line := range strings.Lines(body) {
		n++
		l := textLine{number: n}
		l.content, l.remark = cutRemark(strings.TrimRight(line, "\n \t"))
		if l.content != "" {
			in = sectionOf(l.content, in)
			l.pocket = inPockets && strings.HasPrefix(l.content, "      - {")
			inPockets = l.pocket || l.content == "    pockets:"
		}
		l.in = in
		list = append(list, l)
	}
	return list
}

// sectionOf is what a line belongs to where the one above it belongs to another.
func sectionOf(content, above string) string {
	if id, ok := strings.CutPrefix(content, "  - id: "); ok {
		return id
	}
	if name, ok := strings.CutPrefix(content, "  - name: "); ok {
		return "case " + name
	}
	if !strings.HasPrefix(content, " ") {
		return ""
	}
	return above
}

// cutRemark parts a line from the remark behind it.
func cutRemark(line string) (content, remark string) {
	quote, before := rune(0), ' '
	for i, c := range line {
		switch {
		case quote == '"' && before == '\\':
			c = ' ' // it is escaped, and escapes nothing
		case quote != 0 && c == quote:
			quote = 0
		case quote == 0 && strings.ContainsRune(`"'`, c) && strings.ContainsRune(" \t[{,:", before):
			quote = c
		case quote == 0 && c == '#' && strings.ContainsRune(" \t", before):
			if content = strings.TrimRight(line[:i], " \t"); content == "" {
				return "", line
			}
			return content, line[i:]
		}
		before = c
	}
	return line, ""
}

var (
	forIn = regexp.MustCompile(`[{ ]for: ("(?:[^"\\]|\\.)*"|[^,}]+)`)
	atIn  = regexp.MustCompile(`[{ ]at: \[[^]]*\]`)
)

// piece is what a pocket's line is for, as it is written there.
func (l textLine) piece() string {
	if m := forIn.FindStringSubmatch(l.content); l.pocket && m != nil {
		return m[1]
	}
	return ""
}

// saidSum is the sum of a remark at a line, or of one in its place.
func (l textLine) saidSum(remark string) string { return shortSum(l.piece() + "\n" + remark) }

// own is what of a line's remark is a person's, with whether it stands in the place of the arranger's own.
func (l textLine) own(said map[string]bool) (own string, instead bool) {
	for i := len(l.remark); i > 0; i-- {
		if said[l.saidSum(l.remark[:i])] {
			return l.remark[i:], false
		}
	}
	return l.remark, l.remark != ""
}

// ownMarks are the lines of a head that the arranger writes, beside its words.
var ownMarks = regexp.MustCompile(`^# (of job: .*|(made from|placed|all else|said|text): [0-9a-f ]*)$`)

// WithRemarks is an arrangement with the remarks that a person wrote into the one that was there before.
func WithRemarks(text, before []byte) []byte {
	oldHead, oldBody, known := parted(before)
	head, body, ok := job.Unseal(text)
	if !known || !ok {
		return text
	}
	k := remarking{lines: linesOf(string(body)), above: map[int][]string{}, taken: map[int]bool{}}
	said, waiting := sumsBehind(oldHead, saidMark), headRemarks(oldHead, head)
	for _, l := range linesOf(oldBody) {
		own, instead := l.own(said)
		switch {
		case l.content != "":
			k.take(l, own, instead, waiting)
			waiting = nil
		case instead:
			waiting = append(waiting, own)
		case own != "":
			waiting = append(waiting, aside(own))
		}
	}
	k.above[len(k.lines)] = append(k.above[len(k.lines)], waiting...)
	return job.Seal(head, []byte(k.text()))
}

// headRemarks are the lines of a head that are a person's.
func headRemarks(old, head string) (list []string) {
	for line := range strings.Lines(old) {
		if line = strings.TrimRight(line, "\n \t"); !ownMarks.MatchString(line) && !strings.Contains(head, line+"\n") {
			list = append(list, line)
		}
	}
	return list
}

// aside is what a person wrote behind something that is gone, on a line of its own.
func aside(own string) string { return "  # " + strings.TrimLeft(own, " #,;:-") }

// remarking is an arrangement that takes remarks over.
type remarking struct {
	lines []textLine
	above map[int][]string // lines of their own, by the index of the line below
	taken map[int]bool     // have a remark of a person's
}

// take takes over what stood at a line: behind it, and above it.
func (k *remarking) take(l textLine, own string, instead bool, above []string) {
	if own == "" && len(above) == 0 {
		return
	}
	at, same := k.find(l)
	k.above[at] = append(k.above[at], above...)
	switch piece := l.piece(); {
	case own == "":
	case !same && piece != "":
		k.above[at] = append(k.above[at], aside(piece+": "+strings.TrimLeft(own, " #,;:-")))
	case !same:
		k.above[at] = append(k.above[at], aside(own))
	case k.taken[at]:
		k.lines[at].remark += "; " + strings.TrimLeft(own, " #,;")
	case instead:
		k.lines[at].remark = own
	default:
		k.lines[at].remark += own
	}
	k.taken[at] = k.taken[at] || own != "" && same
}

// find is the line that a remark goes to, and whether it is what the remark stood at: the line as it was, or a pocket
// for the same piece, at the same place first, then in the same tray. Else the first line of its tray, or the end.
func (k *remarking) find(l textLine) (at int, same bool) {
	piece, place := l.piece(), atIn.FindString(l.content)
	ways := []func(i int, n textLine) bool{
		func(_ int, n textLine) bool { return n.in == l.in && n.content == l.content },
		func(i int, n textLine) bool { return n.in == l.in && atIn.FindString(n.content) == place },
		func(i int, n textLine) bool { return n.in == l.in && !k.taken[i] },
		func(i int, n textLine) bool { return true },
	}
	if piece == "" {
		ways = ways[:1]
	}
	for _, is := range ways {
		if i := slices.IndexFunc(k.lines, func(n textLine) bool {
			return n.content != "" && n.pocket == l.pocket && n.piece() == piece && is(n.number-1, n)
		}); i >= 0 {
			return i, true
		}
	}
	if i := slices.IndexFunc(k.lines, func(n textLine) bool { return n.content != "" && n.in == l.in }); i >= 0 {
		return i, false
	}
	return len(k.lines), false
}

func (k *remarking) text() string {
	var b strings.Builder
	for i, n := range k.lines {
		for _, line := range k.above[i] {
			b.WriteString(line + "\n")
		}
		if b.WriteString(n.content); n.content != "" && n.remark != "" {
			b.WriteString(" ")
		}
		b.WriteString(n.remark + "\n")
	}
	for _, line := range k.above[len(k.lines)] {
		b.WriteString(line + "\n")
	}
	return b.String()
}
