package arrange

import (
	"fmt"
	"strings"

	"traywright/cam/job"
)

// The lines in the head of an arrangement by which a pocket that a hand has placed is known: sums of
// the lines of its pockets as they were written, and one of all other lines; and by which a hand's remarks
// are known: sums of those that the arranger wrote.
const (
	placedMark = "# placed: "
	elseMark   = "# all else: "
	saidMark   = "# said: "
	sumsALine  = 10
)

// sumsHead are the lines of the head for a body.
func sumsHead(body []byte) string {
	lines := linesOf(string(body))
	pockets, other := lineSums(lines)
	var placed, said []string
	for _, p := range pockets {
		placed = append(placed, p.sum)
	}
	known := map[string]bool{}
	for _, l := range lines {
		if sum := l.saidSum(l.remark); l.remark != "" && !known[sum] {
			known[sum] = true
			said = append(said, sum)
		}
	}
	return marked10(placedMark, placed) + fmt.Sprintf("%s%s\n", elseMark, other) + marked10(saidMark, said)
}

// marked10 are sums in lines of the head, behind a mark.
func marked10(mark string, sums []string) string {
	var b strings.Builder
	for len(sums) > 0 {
		n := min(len(sums), sumsALine)
		b.WriteString(mark + strings.Join(sums[:n], " ") + "\n")
		sums = sums[n:]
	}
	return b.String()
}

// sumsBehind are the sums in the lines of a head behind a mark.
func sumsBehind(head, mark string) map[string]bool {
	sums := map[string]bool{}
	for line := range strings.Lines(head) {
		if list, is := strings.CutPrefix(line, mark); is {
			for _, sum := range strings.Fields(list) {
				sums[sum] = true
			}
		}
	}
	return sums
}

func shortSum(text string) string { return job.Digest([]byte(text))[:8] }

// pocketLine is the line of a pocket in a text, counted from 1, and its sum.
type pocketLine struct {
	line int
	sum  string
	free bool // a hand says that it may be moved again
}

// lineSums are the sums of a text's pockets, each with its tray's id and without remark and pin, and the sum of all
// other lines, without remarks.
func lineSums(lines []textLine) (pockets []pocketLine, other string) {
	var rest strings.Builder
	for _, l := range lines {
		switch {
		case l.pocket:
			plain := strings.Replace(strings.Replace(l.content, ", pin: true", "", 1), ", pin: false", "", 1)
			pockets = append(pockets, pocketLine{l.number, shortSum(l.in + "\n" + plain), strings.Contains(l.content, ", pin: false")})
		case l.content != "":
			rest.WriteString(l.content + "\n")
		}
	}
	return pockets, shortSum(rest.String())
}

// parted are the head and the body of an arrangement; false where it has no head of its own.
func parted(text []byte) (head, body string, ok bool) {
	head, body, ok = strings.Cut(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n\n")
	for line := range strings.Lines(head) {
		ok = ok && strings.HasPrefix(line, "#")
	}
	return head, body, ok
}

// Touched are the lines of an arrangement's pockets that a hand has changed or added since it was
// written, save those with `pin: false`, counted from 1. False where anything else but remarks was changed, or nothing of it can be told.
func Touched(text []byte) (lines map[int]bool, ok bool) {
	head, body, ok := parted(text)
	if !ok {
		return nil, false
	}
	pockets, rest := lineSums(linesOf(body))
	if !sumsBehind(head, elseMark)[rest] {
		return nil, false
	}
	lines, above := map[int]bool{}, strings.Count(head, "\n")+2
	written := sumsBehind(head, placedMark)
	for _, p := range pockets {
		if !written[p.sum] && !p.free {
			lines[above+p.line] = true
		}
	}
	return lines, true
}
