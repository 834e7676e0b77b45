package arrange

import (
	"fmt"
	"strings"

	"traywright/cam/job"
)

// The lines in the head of an arrangement by which a pocket that a hand has placed is known: sums of
// the lines of its pockets as they were written, and one of all other lines.
const (
	placedMark = "# placed: "
	elseMark   = "# all else: "
	sumsALine  = 10
)

// placedHead are the lines of the head for a body.
func placedHead(body []byte) string {
	pockets, other := lineSums(string(body))
	var b strings.Builder
	for i, p := range pockets {
		switch {
		case i%sumsALine == 0:
			b.WriteString(placedMark + p.sum)
		default:
			b.WriteString(" " + p.sum)
		}
		if i%sumsALine == sumsALine-1 || i == len(pockets)-1 {
			b.WriteString("\n")
		}
	}
	fmt.Fprintf(&b, "%s%s\n", elseMark, other)
	return b.String()
}

// pocketLine is the line of a pocket in a text, counted from 1, and its sum.
type pocketLine struct {
	line int
	sum  string
}

// lineSums are the sums of the lines of a text's pockets, each with its tray's id and without remark and
// pin, and the sum of all other lines but those of the head.
func lineSums(text string) (pockets []pocketLine, other string) {
	var rest strings.Builder
	tray, inPockets, n := "", false, 0
	for line := range strings.Lines(text) {
		n++
		line = strings.TrimRight(line, "\n \t")
		if id, ok := strings.CutPrefix(line, "  - id: "); ok {
			tray = id
		}
		if inPockets && strings.HasPrefix(line, "      - {") {
			if i := strings.LastIndex(line, "} #"); i >= 0 {
				line = line[:i+1]
			}
			line = strings.Replace(line, ", pin: true", "", 1)
			pockets = append(pockets, pocketLine{n, job.Digest([]byte(tray + "\n" + line))[:8]})
			continue
		}
		inPockets = line == "    pockets:"
		rest.WriteString(line + "\n")
	}
	return pockets, job.Digest([]byte(rest.String()))[:8]
}

// Touched are the lines of an arrangement's pockets that a hand has changed or added since it was
// written, counted from 1. False where anything else was changed, or nothing of it can be told.
func Touched(text []byte) (lines map[int]bool, ok bool) {
	head, body, found := strings.Cut(strings.ReplaceAll(string(text), "\r\n", "\n"), "\n\n")
	if !found {
		return nil, false
	}
	written, other := map[string]bool{}, ""
	for line := range strings.Lines(head) {
		if sums, is := strings.CutPrefix(line, placedMark); is {
			for _, sum := range strings.Fields(sums) {
				written[sum] = true
			}
		}
		if sum, is := strings.CutPrefix(line, elseMark); is {
			other = strings.TrimSpace(sum)
		}
	}
	pockets, rest := lineSums("\n" + body)
	if rest != other {
		return nil, false
	}
	lines, above := map[int]bool{}, strings.Count(head, "\n")+1
	for _, p := range pockets {
		if !written[p.sum] {
			lines[above+p.line] = true
		}
	}
	return lines, true
}
