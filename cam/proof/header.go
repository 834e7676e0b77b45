package proof

import (
	"sort"
	"strconv"
	"strings"

	"traywright/cam/proof/read"
	"traywright/profiles"
)

// mostHeader is how many comments are read as a header: far more than any of ours has.
const mostHeader = 1000

// readHeader is the "key: value" comments before the first command, as
// programs of this house have them. A comment that begins with "+" goes on with
// the one before. A key that comes again adds a line to its value. Case and blanks of a
// key, blanks of a value and the case of names of profiles make no difference.
// What comes after the first 1000 comments is not read as a header.
func readHeader(t read.Trace, firstCommand int) map[string]string {
	header := map[string]string{}
	last := ""
	for i, c := range t.Comments {
		if c.Line > firstCommand || i == mostHeader {
			break
		}
		if more, ok := strings.CutPrefix(c.Text, "+ "); ok && last != "" {
			header[last] += " " + more
			continue
		}
		key, value, ok := strings.Cut(c.Text, ":")
		key, value = strings.ToLower(tidy(key)), tidy(value)
		if !ok || key == "" || len(key) > 24 {
			last = ""
			continue
		}
		if old, again := header[key]; again {
			value = old + "\n" + value
		}
		header[key], last = value, key
	}
	for _, key := range []string{"foam", "machine", "layer"} {
		if named, ok := header[key]; ok {
			header[key] = strings.ToLower(named)
		}
	}
	return header
}

// tidy is a text with one blank between its words and none around them.
func tidy(text string) string { return strings.Join(strings.Fields(text), " ") }

// SetupFor is the setup that a program's own header names, for a program
// without a job. Machine finds a profile by its id; a machine it does not know,
// or a header that is not ours, leaves that part of the setup empty.
func SetupFor(text []byte, machine func(id string) (profiles.Machine, bool)) Setup {
	header := Header(text)
	var s Setup
	id, _, _ := strings.Cut(header["machine"], ",")
	if m, ok := machine(strings.TrimSpace(id)); ok && id != "" {
		s.Machine = m
	}
	s.ThicknessMM, _ = lengthMM(header["thickness"])
	s.BreakthroughMM, _ = lengthMM(header["breakthrough"])
	s.Passes, _ = strconv.Atoi(header["passes"])
	s.KerfMM = kerfs(header["kerf"])
	if x, y, ok := scales(header["scale"]); ok {
		s.Machine.ScaleX, s.Machine.ScaleY = x, y
	}
	s.Machine.ZZero = HeaderZero(header, s.Machine.ZZero)
	if s.Machine.ID == "" && header["z zero"] == countsDown {
		s.Machine.ZCounts = profiles.ZDown
	}
	return s
}

// What a program says of a Z0 on the foam, and which way its Z counts.
const (
	countsUp   = "top of the foam, positive up"
	countsDown = "top of the foam, positive down"
)

// HeaderZero is where a program says that its Z0 is, which a sheet may have elsewhere than
// its machine; where it does not say so, it is as otherwise.
func HeaderZero(header map[string]string, otherwise profiles.ZZero) profiles.ZZero {
	switch header["z zero"] {
	case "bed, positive up":
		return profiles.ZBed
	case countsUp, countsDown:
		return profiles.ZTop
	}
	return otherwise
}

// scales reads "X 0.997 Y 1.002, ...": what the program was corrected for,
// whatever the profile says today.
func scales(text string) (x, y profiles.Number, ok bool) {
	text, _, _ = strings.Cut(text, ",")
	words := strings.Fields(text)
	if len(words) != 4 || words[0] != "X" || words[2] != "Y" {
		return x, y, false
	}
	var errX, errY error
	x.Value, errX = strconv.ParseFloat(words[1], 64)
	y.Value, errY = strconv.ParseFloat(words[3], 64)
	x.Source, y.Source = "the program's header", "the program's header"
	plausible := func(v float64) bool { return v > 0.5 && v < 2 }
	return x, y, errX == nil && errY == nil && plausible(x.Value) && plausible(y.Value)
}

// Header is the "key: value" comments at a program's start, as programs of this
// house have them; empty for others.
func Header(text []byte) map[string]string {
	trace := read.Program(text, read.Options{Head: true})
	return readHeader(trace, firstCommand(trace))
}

// kerfs reads lines such as "T1 3.175 mm". Of several for one tool the widest
// counts: it is the one that could harm.
func kerfs(text string) map[int]float64 {
	widths := map[int]float64{}
	for line := range strings.SplitSeq(text, "\n") {
		tool, length, ok := strings.Cut(line, " ")
		number, err := strconv.Atoi(strings.TrimPrefix(tool, "T"))
		width, good := lengthMM(length)
		if ok && err == nil && good {
			widths[number] = max(widths[number], width)
		}
	}
	return widths
}

// lengthMM reads "50.8 mm".
func lengthMM(text string) (float64, bool) {
	number, ok := strings.CutSuffix(text, " mm")
	v, err := strconv.ParseFloat(number, 64)
	return v, ok && err == nil && v > 0 && v < 1e6
}

// firstCommand is the line of the first step, or the last line.
func firstCommand(t read.Trace) int {
	if len(t.Steps) == 0 {
		return t.Lines
	}
	return t.Steps[0].Line
}

// opNames are the comments of a program's body that name what comes next.
type opNames struct{ comments []read.Comment }

// newOpNames keeps "op: NAME" comments; of a program that has none, every comment
// with a line to itself.
func newOpNames(t read.Trace) opNames {
	var named []read.Comment
	for i, c := range t.Comments {
		name, ok := strings.CutPrefix(c.Text, "op: ")
		if !ok {
			continue
		}
		for _, more := range t.Comments[i+1:] {
			text, goesOn := strings.CutPrefix(more.Text, "+ ")
			if !goesOn {
				break
			}
			name += " " + text
		}
		named = append(named, read.Comment{Line: c.Line, Text: name})
	}
	if named != nil {
		return opNames{named}
	}
	for _, c := range t.Comments {
		if c.Alone {
			named = append(named, c)
		}
	}
	return opNames{named}
}

// at is the last name before a line.
func (o opNames) at(line int) string {
	i := sort.Search(len(o.comments), func(i int) bool { return o.comments[i].Line > line })
	if i == 0 {
		return ""
	}
	return o.comments[i-1].Text
}
