package safety

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"traywright/geometry/units"
	"traywright/profiles"
	"traywright/profiles/strict"
)

// ReadRules reads a shop rules file. The error is a finding.List, each with
// its line and column. A file with an error gives no rules at all, and nothing
// may be cut by it: half of an owner's rules are not the owner's rules.
func ReadRules(file string, data []byte) (Rules, error) {
	d := strict.Read(file, data)
	m := d.Root().Map(rulesKeys.Names()...)
	r := Rules{File: file, Owner: m.Get("owner").Text(), Limits: readLimits(m.Get("limits"))}
	for _, v := range m.Get("permits").List() {
		r.Permits = append(r.Permits, readPermit(v))
	}
	for _, v := range m.Get("forbids").List() {
		r.Forbids = append(r.Forbids, readForbid(v))
	}
	for _, v := range m.Get("requires").List() {
		r.Requires = append(r.Requires, readRequire(v))
	}
	for _, v := range m.Get("vouches").List() {
		r.Vouches = append(r.Vouches, readVouch(v))
	}
	if err := d.Err(); err != nil {
		return Rules{File: file}, err
	}
	return r, nil
}

func readProcess(v strict.Value) profiles.Process {
	return profiles.Process(v.OneOf(processNames()...))
}

func line(v strict.Value) int   { return v.At().Line }
func column(v strict.Value) int { return v.At().Column }

func readPermit(v strict.Value) Permit {
	m := v.Map(permitKeys.Names()...)
	return Permit{
		Foam: m.Need("foam").Name(), Process: readProcess(m.Need("process")), Machine: m.Get("machine").Name(),
		When: m.Get("when").Text(), Line: line(v), Column: column(v),
	}
}

func readVouch(v strict.Value) Vouch {
	m := v.Map(vouchKeys.Names()...)
	return Vouch{
		Foam: m.Need("foam").Name(), Is: m.Need("is").Name(), Although: m.Need("although").Name(), Because: m.Need("because").Text(), Line: line(v), Column: column(v),
	}
}

func readForbid(v strict.Value) Forbid {
	m := v.Map(forbidKeys.Names()...)
	f := Forbid{
		Foam: m.Get("foam").Name(), Kind: m.Get("kind").Name(), Machine: m.Get("machine").Name(),
		Process: readProcess(m.Get("process")), Line: line(v), Column: column(v),
	}
	if f == (Forbid{Line: f.Line, Column: f.Column}) {
		v.Fail("names nothing", "forbid by foam, kind, process or machine")
	}
	return f
}

// readRequire reads a text, which is for everyone, or what: with whom it is for.
func readRequire(v strict.Value) Require {
	if !v.IsMap() {
		return Require{What: v.Text(), Line: line(v), Column: column(v)}
	}
	m := v.Map(requireKeys.Names()...)
	return Require{
		What: m.Need("what").Text(), Foam: m.Get("foam").Name(), Kind: m.Get("kind").Name(), Machine: m.Get("machine").Name(),
		Process: readProcess(m.Get("process")), Line: line(v), Column: column(v),
	}
}

// readLimits reads one set of limits, or a list of sets that are for a foam, a
// machine or a process.
func readLimits(v strict.Value) []Limits {
	if v.IsMap() {
		return []Limits{readLimit(v)}
	}
	var list []Limits
	for _, set := range v.List() {
		list = append(list, readLimit(set))
	}
	return list
}

func readLimit(v strict.Value) Limits {
	m := v.Map(limitKeys.Names()...)
	l := Limits{
		Foam: m.Get("foam").Name(), Machine: m.Get("machine").Name(), Process: readProcess(m.Get("process")),
		PowerPercent: quantity(m.Get("power"), percents, 100),
		FeedMMPerMin: quantity(m.Get("feed"), feeds, 100000),
		DepthMM:      depth(m.Get("depth")),
		Minutes:      quantity(m.Get("minutes"), minutes, 100000),
		Line:         line(v), Column: column(v),
	}
	given := func(key string) bool { return m.Get(key).Present() }
	switch someOnly := l.Foam != "" || l.Machine != "" || l.Process != ""; {
	case someOnly && l.Minutes > 0:
		m.Get("minutes").Fail("holds for every program", "write minutes in an entry without foam, machine and process")
	case someOnly && !slices.ContainsFunc([]string{"power", "feed", "depth", "minutes"}, given):
		v.Fail("limits nothing", "give it power, feed or depth")
	}
	return l
}

// unit is what may stand behind a limit's number, and what one is in the unit
// that the limit is kept in.
type unit struct {
	name  string
	scale float64
}

var (
	percents = []unit{{"%", 1}}
	feeds    = []unit{{"mm/min", 1}, {"mm/s", 60}, {"in/min", 25.4}}
	minutes  = []unit{{"", 1}, {"min", 1}, {"h", 60}}
)

var measured = regexp.MustCompile(`^(\S*?[0-9.])\s*([^0-9.\s]\S*)?$`)

// quantity reads a number above 0 with its unit.
func quantity(v strict.Value, known []unit, most float64) float64 {
	text := v.Text()
	if text == "" {
		return 0
	}
	m := measured.FindStringSubmatch(text)
	if m == nil {
		v.Fail(fmt.Sprintf("%q is no limit", text), "write "+spelt("45", known))
		return 0
	}
	n, err := strict.Decimal(m[1])
	at := slices.IndexFunc(known, func(u unit) bool { return u.name == m[2] })
	switch {
	case err != nil:
		v.Fail(fmt.Sprintf("%q is no limit", text), "write "+spelt("45", known))
	case at < 0:
		v.Fail(fmt.Sprintf("%q is no limit", text), "write "+spelt(m[1], known))
	case !(n > 0 && n*known[at].scale <= most):
		v.Fail(fmt.Sprintf("%s is not above 0 and at most %v %s", text, most, known[0].name), "")
	default:
		return n * known[at].scale
	}
	return 0
}

// spelt shows how a limit is written, unit by unit.
func spelt(number string, known []unit) string {
	var list []string
	for _, u := range known {
		list = append(list, strings.TrimSpace(number+" "+u.name))
	}
	return strings.Join(list, ", or ")
}

// depth reads a length above 0, which has to have its unit: a rules file has
// no unit of its own.
func depth(v strict.Value) float64 {
	text := v.Text()
	if text == "" {
		return 0
	}
	if _, err := strict.Decimal(text); err == nil {
		v.Fail(text+" has no unit", "write "+text+" mm, or "+text+" in")
		return 0
	}
	l, ok := v.Length(units.Millimetre)
	if ok && l <= 0 {
		v.Fail(text+" is not above 0", "")
	}
	return max(0, l.MM())
}
