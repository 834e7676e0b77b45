package drawing

import (
	"bytes"
	"math"
	"strconv"
	"strings"
)

// group is one pair of lines: a code and its value.
type group struct {
	code  int
	value string
	line  int // of the code
}

// entity is what stands from one group 0 to the next; the first group is its kind.
type entity []group

const notDXF = "export the drawing again as ASCII DXF; if it is one, it was cut short or edited by hand"

// readGroups splits a drawing into its groups, EOF the last. Lines may end in CR LF, LF or CR.
func readGroups(p pulse, data []byte) ([]group, error) {
	data = bytes.ReplaceAll(data, []byte("\r\n"), []byte("\n"))
	data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	lines := strings.Split(strings.TrimSuffix(string(data), "\n"), "\n")
	var groups []group
	for i := 0; i+1 < len(lines); i += 2 {
		if err := p.stopped(); err != nil {
			return nil, err
		}
		code, err := strconv.Atoi(strings.TrimSpace(lines[i]))
		if err != nil {
			return nil, fault(i+1, "a group code is expected, not "+quote(lines[i]), notDXF)
		}
		value := strings.TrimSpace(lines[i+1])
		groups = append(groups, group{code, value, i + 1})
		if code == 0 && value == "EOF" {
			return groups, nil
		}
	}
	return nil, fault(len(lines), "the drawing ends without EOF", notDXF)
}

// entities splits groups at each group 0. What stands before the first is dropped.
func entities(groups []group) []entity {
	var out []entity
	begin := -1
	for i, g := range groups {
		if g.code != 0 {
			continue
		}
		if begin >= 0 {
			out = append(out, groups[begin:i])
		}
		begin = i
	}
	return out
}

func (e entity) kind() string { return e[0].value }
func (e entity) line() int    { return e[0].line }

// text is the first value of a code, "" without one.
func (e entity) text(code int) string {
	for _, g := range e {
		if g.code == code {
			return g.value
		}
	}
	return ""
}

// numbers reads an entity's numbers and keeps the first thing wrong.
type numbers struct {
	entity
	err error
}

func (n *numbers) fail(line int, message, hint string) {
	if n.err == nil {
		n.err = fault(line, message, hint)
	}
}

// parse reads a number that is finite and no larger than a drawing can have.
func (n *numbers) parse(g group) float64 {
	v, err := strconv.ParseFloat(g.value, 64)
	if err != nil || math.IsNaN(v) || math.Abs(v) > largestNumber {
		n.fail(g.line+1, quote(g.value)+" is not a number that a drawing can have", notDXF)
		return 0
	}
	return v
}

// real is the first number of a code, or what stands for it when it is left out.
func (n *numbers) real(code int, missing float64) float64 {
	for _, g := range n.entity {
		if g.code == code {
			return n.parse(g)
		}
	}
	return missing
}

// whole is the first number of a code as an integer; 0 without one.
func (n *numbers) whole(code int) int { return int(n.real(code, 0)) }

// all are all numbers of a code.
func (n *numbers) all(code int) []float64 {
	var out []float64
	for _, g := range n.entity {
		if g.code == code {
			out = append(out, n.parse(g))
		}
	}
	return out
}
