package proof_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/proof"
	"traywright/geometry"
)

// Faults put into good programs. Every one that breaks a rule, or that does harm by
// the model (model_test.go), which shares no code with the dry run, must be caught; a
// fault that does neither (a line deleted that said nothing new) is not counted.

// A long run is done in slices: -faults 100 -first 300 is the seeds 300 to 399.
var (
	faultSeeds   = flag.Int("faults", 2, "mutations of each kind and program")
	faultKinds   = flag.String("kinds", "", "a pattern: only the kinds of fault that it matches")
	faultsOn     = flag.String("on", "", "a pattern: only the programs of the machines that it matches: router, laser, wire, knife, turned")
	rewriteSeeds = flag.Int("rewrites", 60, "programs said in other words")
	firstSeed    = flag.Int("first", 0, "the first seed of faults or trays")
)

// keptSeeds are those that once passed, by their kind: a way over a tab too high, and the plunge
// behind it through all that it left.
var keptSeeds = map[string][]int{"Z is off": {50009}}

const changedMM = 0.05

// fault is one way to spoil a program. It gets the program's lines, without the
// header's comments, and returns false when this program gives it nothing to do.
type fault struct {
	name   string
	breaks bool // a rule, whatever the foam looks like after it
	spoil  func(r *rand.Rand, lines []string) ([]string, bool)
}

// edit is a fault in one line that matches.
func edit(pattern string, change func(r *rand.Rand, line string) string) func(*rand.Rand, []string) ([]string, bool) {
	match := regexp.MustCompile(pattern)
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := pick(r, lines, match)
		if !ok {
			return nil, false
		}
		changed := change(r, lines[i])
		if changed == lines[i] {
			return nil, false
		}
		lines[i] = changed
		return lines, true
	}
}

func pick(r *rand.Rand, lines []string, match *regexp.Regexp) (int, bool) {
	var at []int
	for i, line := range lines {
		if match.MatchString(line) && !strings.HasPrefix(line, "(") {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		return 0, false
	}
	return at[r.IntN(len(at))], true
}

// number changes the number of one of the letters.
func changeNumber(letters string, change func(r *rand.Rand, v float64) float64) func(*rand.Rand, []string) ([]string, bool) {
	word := regexp.MustCompile("[" + letters + `](-?[0-9.]+)`)
	return edit("["+letters+`]-?[0-9]`, func(r *rand.Rand, line string) string {
		places := word.FindAllStringSubmatchIndex(line, -1)
		p := places[r.IntN(len(places))]
		v, _ := strconv.ParseFloat(line[p[2]:p[3]], 64)
		return fmt.Sprintf("%s%.4f%s", line[:p[2]], change(r, v), line[p[3]:])
	})
}

func replace(pattern, with string) func(*rand.Rand, []string) ([]string, bool) {
	match := regexp.MustCompile(pattern)
	return edit(pattern, func(_ *rand.Rand, line string) string { return match.ReplaceAllString(line, with) })
}

// everywhere changes every line that matches.
func everywhere(pattern string, change func(v float64) float64) func(*rand.Rand, []string) ([]string, bool) {
	word := regexp.MustCompile(pattern)
	return func(_ *rand.Rand, lines []string) ([]string, bool) {
		for i, line := range lines {
			if strings.HasPrefix(line, "(") {
				continue
			}
			lines[i] = word.ReplaceAllStringFunc(line, func(w string) string {
				v, _ := strconv.ParseFloat(w[1:], 64)
				return fmt.Sprintf("%c%.4f", w[0], change(v))
			})
		}
		return lines, true
	}
}

// remove deletes a line that matches.
func remove(pattern string) func(*rand.Rand, []string) ([]string, bool) {
	match := regexp.MustCompile(pattern)
	return func(r *rand.Rand, lines []string) ([]string, bool) {
		i, ok := pick(r, lines, match)
		if !ok {
			return nil, false
		}
		return append(lines[:i:i], lines[i+1:]...), true
	}
}

// putBehind puts lines behind one that matches.
func putBehind(pattern, more string) func(*rand.Rand, []string) ([]string, bool) {
	return edit(pattern, func(_ *rand.Rand, l string) string { return l + "\n" + more })
}

// endsEarly closes the file with % before everything is off.
func endsEarly(r *rand.Rand, lines []string) ([]string, bool) {
	n := len(lines) / 2
	at := n + r.IntN(n-3)
	return append(append(append([]string{"%"}, lines[:at]...), "%"), lines[at:]...), true
}

// leftDown takes the last lift away.
func leftDown(_ *rand.Rand, lines []string) ([]string, bool) {
	for i := len(lines) - 1; i >= 0; i-- {
		if strings.HasPrefix(lines[i], "G0 Z") {
			return append(lines[:i:i], lines[i+1:]...), strings.Contains(strings.Join(lines, " "), "S18000 M3")
		}
	}
	return nil, false
}

func swapLines(r *rand.Rand, lines []string) ([]string, bool) {
	i := r.IntN(len(lines) - 1)
	lines[i], lines[i+1] = lines[i+1], lines[i]
	return lines, true
}

func cutShort(r *rand.Rand, lines []string) ([]string, bool) {
	return lines[:r.IntN(len(lines)-1)], true
}

func deleteRun(r *rand.Rand, lines []string) ([]string, bool) {
	i := r.IntN(len(lines) - 1)
	n := min(2+r.IntN(8), len(lines)-1-i)
	return append(lines[:i:i], lines[i+n:]...), true
}

func duplicateElsewhere(r *rand.Rand, lines []string) ([]string, bool) {
	from, to := r.IntN(len(lines)-1), r.IntN(len(lines)-1)
	return append(append(append([]string(nil), lines[:to]...), lines[from]), lines[to:]...), true
}

func garble(r *rand.Rand, line string) string {
	i := r.IntN(len(line))
	return line[:i] + string(rune('!'+r.IntN('~'-'!'))) + line[i+1:]
}

func sized(r *rand.Rand, low, high float64) float64 {
	v := low * math.Pow(high/low, r.Float64())
	if r.IntN(2) == 0 {
		return -v
	}
	return v
}

func wrongDigit(r *rand.Rand, line string) string {
	var at []int
	for i := 2; i < len(line); i++ {
		if line[i] >= '0' && line[i] <= '9' {
			at = append(at, i)
		}
	}
	i := at[r.IntN(len(at))]
	return line[:i] + string(rune('0'+r.IntN(10))) + line[i+1:]
}

func swap(line, a, b string) string {
	if strings.Contains(line, a) {
		return strings.Replace(line, a, b, 1)
	}
	return strings.Replace(line, b, a, 1)
}

// patient is a good program with its setup and plan.
type patient struct {
	name  string
	text  string
	setup proof.Setup
	want  proof.Wanted
	model *walker // that walked it
}

func patients(t *testing.T) []patient {
	p, w := routerTray()
	w.Way = wayOf(p, routerMachine())
	router := patient{name: "router", text: string(text(t, p, routerMachine())), setup: routerSetup(), want: w}
	p, w = laserTray()
	w.Way = wayOf(p, laserMachine())
	laser := patient{name: "laser", text: string(text(t, p, laserMachine())), setup: laserSetup(), want: w}
	list := []patient{router, laser, realPatient(t), drawnTray(t, uint64(*firstSeed), wireMachine()), drawnTray(t, uint64(*firstSeed), knifeMachine()), turnedPatient(t, uint64(*firstSeed))}
	for i := range list {
		list[i].ready(t)
	}
	return list
}

// ready looks whether a patient is well, and has the model walk it.
func (p *patient) ready(t *testing.T) {
	p.setup.CellMM, p.setup.SpinUpSeconds = 0.25, 3
	if p.want.Way != nil {
		p.want.Way = slices.Values(slices.Collect(p.want.Way)) // which each run asks several times
	}
	good := proof.Run(p.name, []byte(p.text), p.setup, &p.want)
	require.True(t, good.OK, "%s: %v", p.name, good.Findings)
	p.model = p.modelled(p.text, nil)
	if p.model.beam {
		p.model = p.modelled(p.text, p.model.burnt)
	}
	require.Empty(t, p.model.found, "%s: the model has no harm in the good one", p.name)
	require.Empty(t, p.harmsOf(p.text), "%s: nor against itself", p.name)
}

// realPatient is a program with all that the real stages put into one: ramps,
// helices, finish passes, links, tabs.
func realPatient(t *testing.T) patient {
	r := rand.New(rand.NewPCG(4, 31))
	s := randomTray(t, r, routerMachine())
	s.Edge.Recipes[0].SkinMM.Value = 0
	program, setup, want := made(t, s, routerMachine())
	return patient{name: "router", text: string(program), setup: setup, want: want}
}

// seedsOf are those that are kept of a kind, and so many from the first on.
func seedsOf(kind string, count int) []int {
	list := slices.Clone(keptSeeds[kind])
	for seed := *firstSeed; seed < *firstSeed+count; seed++ {
		list = append(list, seed)
	}
	return list
}

func TestFaultsAreCaught(t *testing.T) {
	list := patients(t)
	seeds := *faultSeeds
	if testing.Short() {
		seeds = 1 // the race detector makes each of them ten times as long
	}
	for k, f := range faults {
		if !regexp.MustCompile(*faultKinds).MatchString(f.name) {
			continue
		}
		caught, harmful, harmless := 0, 0, 0
		for _, seed := range seedsOf(f.name, seeds) {
			tried := 0
			for n := range list {
				i := (k + n) % len(list)
				if !regexp.MustCompile(*faultsOn).MatchString(list[i].name) {
					continue
				}
				if testing.Short() && tried > 0 && !slices.Contains(keptSeeds[f.name], seed) {
					break
				}
				r := rand.New(rand.NewPCG(uint64(seed), uint64(3*k+i))) // the kept seeds are of three programs
				lines, ok := f.spoil(r, strings.Split(strings.TrimSpace(list[i].text), "\n"))
				if !ok {
					continue
				}
				tried++
				spoiled := strings.Join(lines, "\n") + "\n"
				got := proof.Run(list[i].name, []byte(spoiled), list[i].setup, &list[i].want)
				for _, f := range got.Findings {
					assert.NotEmpty(t, f.Hint, f.Message)
					assert.True(t, f.Line > 0 && f.Where == fmt.Sprintf("%s:%d", list[i].name, f.Line), "%+v", f)
				}
				switch {
				case !got.OK:
					caught++
					harmful++
				case f.breaks && spoiled != list[i].text:
					harmful++
					t.Errorf("%s: %s (seed %d) was not caught:\n%s", list[i].name, f.name, seed, difference(list[i].text, spoiled))
				default:
					if harm := list[i].harm(spoiled); harm != "" {
						harmful++
						t.Errorf("%s: %s (seed %d) was not caught, %s:\n%s", list[i].name, f.name, seed, harm, difference(list[i].text, spoiled))
						continue
					}
					harmless++
				}
			}
		}
		t.Logf("%-40s caught %d of %d harmful, %d harmless", f.name, caught, harmful, harmless)
		if *faultSeeds >= 10 && *faultsOn == "" { // a few may all be harmless
			assert.Positive(t, harmful, f.name)
		}
	}
}

func (p patient) inTray(at geometry.Point) bool {
	if !p.want.Outline.Contains(at) || p.nearWall(at) {
		return false
	}
	if p.name == "router" {
		return true
	}
	for _, c := range p.want.Cuts {
		if c.Shape.Contains(at) {
			return false
		}
	}
	return true
}

// nearWall reports whether a cell there may change by a wall's move of less
// than 0.05 mm.
func (p patient) nearWall(at geometry.Point) bool {
	for _, cut := range p.want.Cuts {
		for _, c := range cut.Shape.Contours() {
			for s := range c.Segments() {
				if on, _ := s.Nearest(at); on.DistanceTo(at) < changedMM {
					return true
				}
			}
		}
	}
	return false
}

// depthAt is a field's depth at the cell that holds a place.
func depthAt(f proof.Field, at geometry.Point) float64 {
	c := int(math.Floor((at.X - f.Origin.X) / f.CellMM))
	r := int(math.Floor((at.Y - f.Origin.Y) / f.CellMM))
	if c < 0 || r < 0 || c >= f.Columns || r >= f.Rows {
		return 0
	}
	return float64(f.DepthMM[r*f.Columns+c])
}

// difference is the first lines that differ.
func difference(was, is string) string {
	a, b := strings.Split(was, "\n"), strings.Split(is, "\n")
	for i := range a {
		if i >= len(b) || a[i] != b[i] {
			return fmt.Sprintf("line %d: was %q, is %q", i+1, a[i], strings.Join(b[min(i, len(b)):min(i+2, len(b))], "\\n"))
		}
	}
	return "longer"
}
