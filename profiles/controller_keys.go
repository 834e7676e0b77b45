package profiles

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// controllerKey is a key of a controller: how it is read, and written again.
type controllerKey struct {
	strict.Row
	read func(v strict.Value, c *Controller)
	text func(c Controller) string
}

// The keys, in the order in which they are written.
var controllerKeyList = []controllerKey{
	wordKey("comments", "what the controller takes for a comment", func(c *Controller) *string { return &c.Comments }, brackets, Semicolon, NoComments),
	wholeKey("longest_line", "of the whole line as written; a `small` one takes 79 at most, a `printer` 95", 70, 250, func(c *Controller) *int { return &c.LongestLine }),
	wholeKey("decimals", "of a length; inches need 4 or more", 3, 6, func(c *Controller) *int { return &c.Decimals }),
	{strict.Row{Key: "extension", Form: strict.Pattern("one to eight small letters and digits", ending.String()), Means: "the file's ending, without a point"}, func(v strict.Value, c *Controller) { c.Extension = extension(v) }, func(c Controller) string { return c.Extension }},
	wordKey("units", "that the program counts in", func(c *Controller) *string { return &c.Units }, "mm", Inches),
	wordKey("arcs", "`centre` for G2 and G3 with I and J, or `chords`, which need `chord_mm`", func(c *Controller) *string { return &c.Arcs }, "centre", Chords),
	sizeKey("chord_mm", "how far a chord may stray from its arc; more than 0.02 is taken for 0.02, or a round pocket would be too narrow for its piece", 0.0001, 1, func(c *Controller) *float64 { return &c.ChordMM }),
	wordKey("spindle_words", "`joined` is `S18000 M3`, `ordered` is `M3 S18000`", func(c *Controller) *string { return &c.SpindleWords }, "joined", Ordered),
	wordKey("dwell_unit", "what P of G4 counts", func(c *Controller) *string { return &c.DwellUnit }, "s", DwellMS),
	sizeKey("spin_up_s", "the wait behind M3", 0, 60, func(c *Controller) *float64 { return &c.SpinUpS }),
	wordKey("laser_on", "the word that lights the beam", func(c *Controller) *string { return &c.LaserOn }, "M3", "M4"),
	sizeKey("power_scale", "S at full power; a laser needs it", 1, 100000, func(c *Controller) *float64 { return &c.PowerScale }),
	{strict.Row{Key: "whole_power", Form: strict.AFlag, Means: "S without decimals"}, func(v strict.Value, c *Controller) { c.WholePower = v.Flag() }, func(c Controller) string { return strconv.FormatBool(c.WholePower) }},
	sizeKey(leastPower, "the least power that burns steadily", 0, 90, func(c *Controller) *float64 { return &c.LeastPowerPercent }),
	wordKey("tool_change", "`files` (a program for each tool), `manual` and `automatic` (inside the program, which needs `change_at`), or `none`", func(c *Controller) *string { return &c.ToolChange }, OwnFiles, ByHand, ByItself, "none"),
	placeKey("change_at", "of the program, where a tool is changed inside it", func(c *Controller) *[]float64 { return &c.ChangeAt }),
	placeKey("park_at", "of the program, where the machine stands at the end", func(c *Controller) *[]float64 { return &c.ParkAt }),
	sizeKey("path_tolerance_mm", "how far a `pc` may round a corner (G64 P)", 0.001, 0.05, func(c *Controller) *float64 { return &c.PathToleranceMM }),
	listKey("start", "words at the beginning, out of those that the class knows", func(c *Controller) *[]string { return &c.Start }, func(c Controller) []string { return startWords[c.Class] }, "G90, G17, G94, G54, M5"),
	listKey("end", "words at the end, out of those that the class knows", func(c *Controller) *[]string { return &c.End }, func(c Controller) []string { return endWords[c.Class] }, "M2"),
	listKey("air", "the words that switch it on and off: `[M8, M9]`. `air_assist: M8` is short for that", func(c *Controller) *[]string { return &c.Air }, func(c Controller) []string { return blowWords[c.Class] }, "M8, M9"),
	listKey("dust", "the words that switch a cutter's dust extraction on and off: `[M7, M9]`. A laser's is switched on by hand: there it is refused", func(c *Controller) *[]string { return &c.Dust }, func(c Controller) []string { return blowWords[c.Class] }, "M8, M9"),
	listKey("axes", "that move", func(c *Controller) *[]string { return &c.Axes }, func(Controller) []string { return []string{"X", "Y", "Z", "A"} }, "X, Y, Z"),
}

// leastPower is the one key that a machine which takes drawings has a use for.
const (
	leastPower = "least_power_percent"
	noProgram  = "a drawing controller takes no program, and has no such key"
)

// What a class takes at its start, at its end, and for air. Of a small controller M7 is
// an option that is off as it ships. Sources: those of the shipped controllers.
var (
	startWords = map[Class][]string{
		PC:      {"G17", "G40", "G49", "G54", "G61", "G80", "G90", "G94", "M5", "M9"},
		Small:   {"G17", "G40", "G49", "G54", "G61", "G80", "G90", "G94", "M5", "M9"},
		Printer: {"G17", "G54", "G80", "G90", "M5", "M9"},
	}
	endWords  = map[Class][]string{PC: {"M5", "M9", "M2", "M30"}, Small: {"M5", "M9", "M2", "M30"}, Printer: {"M5", "M9"}}
	blowWords = map[Class][]string{PC: {"M7", "M8", "M9"}, Small: {"M8", "M9"}, Printer: {"M7", "M8", "M9"}}
	// needed is what a program cannot do without: what its moves count on.
	needed = map[Class][]string{PC: {"G90", "G17", "G94", "G54", "M5"}, Small: {"G90", "G17", "G94", "G54", "M5"}, Printer: {"G90", "M5"}}
)

func wordKey(name, means string, in func(*Controller) *string, words ...string) controllerKey {
	return controllerKey{strict.Row{Key: name, Form: strict.OneOf(words...), Means: means}, func(v strict.Value, c *Controller) { *in(c) = v.OneOf(words...) }, func(c Controller) string { return *in(&c) }}
}

func wholeKey(name, means string, least, most int, in func(*Controller) *int) controllerKey {
	return controllerKey{strict.Row{Key: name, Form: strict.AWhole(least, most), Means: means}, func(v strict.Value, c *Controller) { *in(c) = v.Whole(least, most) }, func(c Controller) string { return strconv.Itoa(*in(&c)) }}
}

func sizeKey(name, means string, least, most float64, in func(*Controller) *float64) controllerKey {
	return controllerKey{strict.Row{Key: name, Form: strict.ANumber(least, most).In(UnitOf(name)), Means: means}, func(v strict.Value, c *Controller) { *in(c) = v.Number(least, most) }, func(c Controller) string { return plain(*in(&c)) }}
}

// placeKey is X, Y and Z in the program's own coordinates, mm.
func placeKey(name, means string, in func(*Controller) *[]float64) controllerKey {
	return controllerKey{strict.Row{Key: name, Form: strict.ATuple("[X, Y, Z]", strict.ANumber(-longestMM, longestMM).In("mm")), Means: means}, func(v strict.Value, c *Controller) {
		*in(c) = nil
		for _, axis := range v.Tuple("[X, Y, Z]") {
			*in(c) = append(*in(c), axis.Number(-longestMM, longestMM))
		}
	}, func(c Controller) string {
		var list []string
		for _, mm := range *in(&c) {
			list = append(list, plain(mm))
		}
		return "[" + strings.Join(list, ", ") + "]"
	}}
}

// listKey is a list of words out of those that the class takes, each once.
func listKey(name, means string, in func(*Controller) *[]string, words func(Controller) []string, usual string) controllerKey {
	var every []string // of any class
	for _, class := range []Class{PC, Small, Printer} {
		for _, word := range words(Controller{Class: class}) {
			if !slices.Contains(every, word) {
				every = append(every, word)
			}
		}
	}
	return controllerKey{strict.Row{Key: name, Form: strict.ListOf(strict.OneOf(every...), 0), Means: means}, func(v strict.Value, c *Controller) {
		list := []string{}
		if !v.IsList() {
			v.Fail("is a list, in square brackets", fmt.Sprintf("write %s: [%s]", name, strings.Join(known(strings.Split(usual, ", "), words(*c)), ", ")))
			return
		}
		for _, item := range v.List() {
			word := item.OneOf(words(*c)...)
			if slices.Contains(list, word) {
				item.Fail(word+" stands there twice", "take one out")
			}
			list = append(list, word)
		}
		if len(list) == 0 {
			list = nil
		}
		*in(c) = list
	}, func(c Controller) string { return "[" + strings.Join(*in(&c), ", ") + "]" }}
}

// ending is what the file of a program may end in: small letters and digits.
var ending = regexp.MustCompile(`^[a-z0-9]{1,8}$`)

// ownEndings are those of the other files of an output folder.
var ownEndings = []string{"json", "png", "md", "pdf", "html", "svg", "dxf", "csv"}

func extension(v strict.Value) string {
	text := v.Text()
	switch {
	case text == "":
	case !ending.MatchString(text):
		v.Fail(fmt.Sprintf("%q is no ending of a file", text), "write one to eight small letters or digits, without a point: nc")
	case slices.Contains(ownEndings, text):
		v.Fail("."+text+" files are others of the output folder", "take another ending, such as nc or ngc")
	}
	return text
}

// known are the words of a list that are among others.
func known(list, among []string) []string {
	return slices.DeleteFunc(list, func(word string) bool { return !slices.Contains(among, word) })
}

// take reads the keys that are there.
func (c *Controller) take(m strict.Map) {
	for _, k := range controllerKeyList {
		if v := m.Get(k.Key); v.Present() {
			k.read(v, c)
		}
	}
}

// readController reads the name of a shipped controller, or keys; without `like` they
// are laid over pc.
func readController(v strict.Value) Controller {
	if !v.Present() {
		return Controller{}
	}
	if !v.IsMap() {
		return classNamed(v.OneOf(classNames()...))
	}
	m := v.Map(controllerKeys.Names()...)
	c := classNamed(string(PC))
	if like := m.Get("like"); like.Present() {
		c = classNamed(like.OneOf(classNames()...))
	}
	if c.Class == "" {
		return c
	}
	if c.Class != Drawing {
		c.take(m)
	} else if v := m.Get(leastPower); v.Present() { // check refuses the others
		c.LeastPowerPercent = v.Number(0, 90)
	}
	if short := m.Get("air_assist"); short.Present() {
		if m.Get("air").Present() {
			short.Fail("says the same as air", "keep one of them")
		}
		c.Air = nil
		if c.Class != Drawing {
			c.Air = []string{short.OneOf(known([]string{"M7", "M8"}, blowWords[c.Class])...), "M9"}
		}
	}
	c.check(v, m)
	return c
}

// check looks at what the keys make together.
func (c Controller) check(v strict.Value, m strict.Map) {
	if c.Class == Drawing {
		for _, k := range controllerKeyList {
			if at := m.Get(k.Key); k.Key != leastPower {
				at.Fail(noProgram, "take it out, or say which other controller it is like")
			}
		}
		m.Get("air_assist").Fail(noProgram, "take it out, or say which other controller it is like")
		return
	}
	if c.Arcs == Chords && c.ChordMM == 0 {
		v.Fail("a controller that gets arcs as chords needs chord_mm", "write the greatest distance of a chord from its arc, such as 0.01")
	}
	if c.Units == Inches && c.Decimals < 4 {
		v.Fail(fmt.Sprintf("inches with %d decimals are steps of %g mm", c.Decimals, units.InchMM/1000), "write decimals: 5")
	}
	if (c.ToolChange == ByHand || c.ToolChange == ByItself) && len(c.ChangeAt) == 0 {
		v.Fail("a tool that is changed inside a program needs change_at, away from the foam", "write change_at: [X, Y, Z] in the program's own coordinates, mm, or tool_change: files")
	}
	c.checkClass(v, m)
	c.checkWords(v)
}

// checkClass refuses what the class does not know.
func (c Controller) checkClass(v strict.Value, m strict.Map) {
	refuse := func(bad bool, key, why, hint string) {
		if bad {
			at := m.Get(key)
			if !at.Present() {
				at = v
			}
			at.Fail(why, hint)
		}
	}
	refuse(c.Class != PC && c.PathToleranceMM > 0, "path_tolerance_mm", fmt.Sprintf("a %s controller goes through every corner and knows no word for it", c.Class), "take it out")
	refuse(c.Class != PC && c.ToolChange == ByItself, "tool_change", fmt.Sprintf("a %s controller knows no M6", c.Class), "write tool_change: files, a program for each tool")
	refuse(c.Class == Printer && c.ToolChange == ByHand, "tool_change", "printer-style firmware knows no tools", "write tool_change: files, a program for each tool")
	refuse(c.Class == Printer && c.Units == Inches, "units", "printer-style firmware counts in mm", "write units: mm")
	refuse(c.Class == Printer && c.Comments == brackets, "comments", "printer-style firmware takes the letters between ( and ) for words", "write comments: semicolon")
	refuse(c.Class == Printer && c.SpindleWords != Ordered, "spindle_words", "printer-style firmware reads the first word of a line, and S18000 M3 never starts its spindle", "write spindle_words: ordered")
	most := map[Class]int{PC: 250, Small: 79, Printer: 95}[c.Class]
	refuse(c.LongestLine > most, "longest_line", fmt.Sprintf("a %s controller takes lines of %d characters at most", c.Class, most), fmt.Sprintf("write %d or less", most))
}

// checkWords looks at the lists of words.
func (c Controller) checkWords(v strict.Value) {
	for _, word := range needed[c.Class] {
		if !slices.Contains(c.Start, word) {
			v.Fail("start lacks "+word+", and what ran before would decide", "put "+word+" into start")
		}
	}
	if last := len(c.End) - 1; c.Class != Printer && (last < 0 || c.End[last] != "M2" && c.End[last] != "M30") {
		v.Fail("end has to close with M2 or M30", "write end: [M2]")
	}
	off := map[string]string{"M7": "M9", "M8": "M9"}
	for i, pair := range [][]string{c.Air, c.Dust} {
		if key := []string{"air", "dust"}[i]; len(pair) > 0 && !slices.Contains(pair, "") && (len(pair) != 2 || off[pair[0]] != pair[1]) {
			v.Fail(key+" takes the word that switches on and the one that switches off", "write "+key+": [M8, M9]")
		}
	}
	if !c.Moves("X") || !c.Moves("Y") {
		v.Fail("axes lacks X or Y", "write axes: [X, Y, Z]")
	}
}
