package profiles

import (
	"cmp"
	"fmt"
	"strings"

	"traywright/profiles/strict"
)

// DXFColours are the numbers of the colours, 1 to 255, that the kinds of path have in a
// drawing for the machine; all 0 where a machine asks for none of its own.
type DXFColours struct {
	Mark     int `json:"mark"`
	Pocket   int `json:"pocket"` // of what is cut through; pockets of other depths have others
	Outline  int `json:"outline"`
	Finished int `json:"finished,omitzero"` // in a drawing of its own; 0 is the usual one
}

// readDXFColours wants all three that may be in one drawing, each of another colour: a
// machine that chooses power by colour would cut a mark through.
func readDXFColours(v strict.Value) (c DXFColours) {
	if !v.Present() {
		return c
	}
	m := v.Map("mark", "pocket", "outline", "finished")
	c = DXFColours{
		Mark: m.Need("mark").Whole(1, 255), Pocket: m.Need("pocket").Whole(1, 255), Outline: m.Need("outline").Whole(1, 255),
		Finished: m.Get("finished").Whole(1, 255),
	}
	if c.Mark > 0 && c.Pocket > 0 && c.Outline > 0 && (c.Mark == c.Pocket || c.Pocket == c.Outline || c.Outline == c.Mark) {
		v.Fail("two of mark, pocket and outline have one colour", "give each a number of its own, 1 to 255")
	}
	return c
}

// text is the row's value; "" for none.
func (c DXFColours) text() string {
	if c == (DXFColours{}) {
		return ""
	}
	keys := []string{fmt.Sprintf("mark: %d", c.Mark), fmt.Sprintf("pocket: %d", c.Pocket), fmt.Sprintf("outline: %d", c.Outline)}
	if c.Finished > 0 {
		keys = append(keys, fmt.Sprintf("finished: %d", c.Finished))
	}
	return "{" + strings.Join(keys, ", ") + "}"
}

// Or is these colours, and for each that is not given the other's.
func (c DXFColours) Or(other DXFColours) DXFColours {
	return DXFColours{cmp.Or(c.Mark, other.Mark), cmp.Or(c.Pocket, other.Pocket), cmp.Or(c.Outline, other.Outline), cmp.Or(c.Finished, other.Finished)}
}
