package profiles

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/profiles/strict"
)

// DXFColours are the numbers of the colours, 1 to 255, that the kinds of path have in a
// drawing for the machine, and in SVG what a reader of DXF shows for that number; 0, or none,
// where a machine asks for none of its own.
type DXFColours struct {
	Mark     int   `json:"mark"`
	Pocket   int   `json:"pocket"`           // of what is cut through
	Depths   []int `json:"depths,omitempty"` // of pockets that end inside the sheet, shallow to deep over the whole job
	Bridged  int   `json:"bridged,omitzero"` // of what small bridges hold
	Outline  int   `json:"outline"`
	Finished int   `json:"finished,omitzero"` // in a drawing of its own; 0 is the usual one
}

// readDXFColours wants all three that may be in every drawing, and each that is given of
// another colour: a machine that chooses power by colour would cut a mark through.
func readDXFColours(v strict.Value) (c DXFColours) {
	if !v.Present() {
		return c
	}
	m := v.Map(coloursKeys.Names()...)
	c = DXFColours{
		Mark: m.Need("mark").Whole(1, 255), Pocket: m.Need("pocket").Whole(1, 255), Outline: m.Need("outline").Whole(1, 255),
		Bridged: m.Get("bridged").Whole(1, 255), Finished: m.Get("finished").Whole(1, 255),
	}
	for _, d := range m.Get("depths").List() {
		c.Depths = append(c.Depths, d.Whole(1, 255))
	}
	if one, other := c.Alike(); one != "" {
		v.Fail(fmt.Sprintf("%s and %s have one colour", one, other), ApartHint)
	}
	return c
}

// ApartHint says how two colours become two.
const ApartHint = "give each a number of its own, 1 to 255; two numbers may stand for one colour, as 1 and 10 do"

// Alike are two kinds of path that have one colour; "" for none.
func (c DXFColours) Alike() (one, other string) {
	shown := map[string]string{}
	for _, n := range c.together() {
		if n.Index == 0 {
			continue // not given, or no number, which has been said
		}
		if before, taken := shown[ColourOf(n.Index)]; taken {
			return before, n.Name
		}
		shown[ColourOf(n.Index)] = n.Name
	}
	return "", ""
}

// namedColour is a key's number of a colour.
type namedColour struct {
	Name  string
	Index int
}

// together are the colours that may meet in one drawing.
func (c DXFColours) together() []namedColour {
	list := []namedColour{{"mark", c.Mark}, {"pocket", c.Pocket}, {"outline", c.Outline}, {"bridged", c.Bridged}}
	for i, d := range c.Depths {
		list = append(list, namedColour{fmt.Sprintf("depth %d of depths", i+1), d})
	}
	return list
}

// IsZero reports whether a machine asks for no colour of its own: such a row is not shown.
func (c DXFColours) IsZero() bool { return len(c.Given()) == 0 && c.Finished == 0 }

// Given are the numbers that may meet in one drawing and that the machine asks for.
func (c DXFColours) Given() (list []int) {
	for _, n := range c.together() {
		if n.Index > 0 {
			list = append(list, n.Index)
		}
	}
	return list
}

// text is the row's value; "" for none.
func (c DXFColours) text() string {
	if c.IsZero() {
		return ""
	}
	var keys []string
	for _, n := range []namedColour{{"mark", c.Mark}, {"pocket", c.Pocket}, {"bridged", c.Bridged}, {"outline", c.Outline}, {"finished", c.Finished}} {
		if n.Index > 0 {
			keys = append(keys, fmt.Sprintf("%s: %d", n.Name, n.Index))
		}
	}
	if len(c.Depths) > 0 {
		keys = slices.Insert(keys, 2, "depths: "+strings.ReplaceAll(fmt.Sprint(c.Depths), " ", ", "))
	}
	return "{" + strings.Join(keys, ", ") + "}"
}

// ColourOf is the colour, #RRGGBB, that a reader of DXF shows for a number, 1 to 255: 7 is
// black, as on a white ground. 10 to 249 are 24 hues in five strengths, each full (even) and
// pale (odd); the table, after a secondary text (a library's, which the tests hold it to).
func ColourOf(index int) string {
	switch {
	case index < 10:
		return []string{"#000000", "#FF0000", "#FFFF00", "#00FF00", "#00FFFF", "#0000FF", "#FF00FF", "#000000", "#808080", "#C0C0C0"}[max(index, 0)]
	case index >= 250:
		return []string{"#000000", "#656565", "#666666", "#999999", "#CCCCCC", "#FFFFFF"}[min(index, 255)-250]
	}
	const sixths = 15. / 60 // of the circle of hues, between neighbours
	strong := 255 * []float64{1, 0.65, 0.5, 0.3, 0.15}[index%10/2]
	weak := strong / 2 * float64(index%2)
	side, part := math.Modf(float64(index/10-1) * sixths)
	up, down := weak+(strong-weak)*part, strong-(strong-weak)*part
	rgb := [][3]float64{{strong, up, weak}, {down, strong, weak}, {weak, strong, up}, {weak, down, strong}, {up, weak, strong}, {strong, weak, down}}[int(side)]
	return fmt.Sprintf("#%02X%02X%02X", int(rgb[0]+1e-9), int(rgb[1]+1e-9), int(rgb[2]+1e-9))
}
