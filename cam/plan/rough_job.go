package plan

import (
	"fmt"
	"slices"
	"strings"
)

// Which sheets are roughed is decided for the job, because they share the changes of the tool: a sheet that begins with the
// tool that the one before it ended with needs none, and one that is cut three times in a row may need one each time. A
// job's time, as far as it depends on that, is what its roughings save of cutting and ChangeSeconds for each change: in a
// sheet, from one run of it to the next, and from sheet to sheet in the order that changes tools least often. From none
// roughed, and from all by each tool, one sheet after the other is made another way while that shortens the job's time by
// leastSaved for each run that is roughed; of the places where that ends the best is taken. So no job takes longer than
// without roughing, as far as the estimates hold: those of cutting are on the low side.

// Roughable is a sheet that may be made in several ways.
type Roughable struct {
	Times int     // that it is cut
	Ways  []Sheet // without roughing first
}

// way is one of them, in short.
type way struct {
	from, to, changes int // its tools, counted in the order of the job's, and how often it changes them
	seconds           float64
	rough             bool
}

// jobWays are the ways of all sheets of a job, and which of them each is made in.
type jobWays struct {
	tools map[int]int // numbers of tools, counted as they come
	times []int
	ways  [][]way
	now   []int
}

// SettleRoughings makes each sheet in one of its ways, which is the only one left then, and returns how many seconds the
// roughings save of the job's time, by estimate.
func SettleRoughings(sheets []*Roughable) (savedSeconds float64) {
	j := jobWays{tools: map[int]int{}}
	for _, s := range sheets {
		j.add(s)
	}
	j.now = make([]int, len(sheets))
	plain := j.seconds(0)
	j.settle()
	savedSeconds = plain - j.seconds(0)
	for i, s := range sheets {
		s.Ways = s.Ways[j.now[i] : j.now[i]+1]
		if r := &s.Ways[0].Roughing; j.now[i] > 0 {
			without := j
			without.now = slices.Clone(j.now)
			without.now[i] = 0
			r.SavedSeconds = without.seconds(0) - j.seconds(0)
		}
	}
	return savedSeconds
}

func (j *jobWays) add(s *Roughable) {
	var list []way
	for _, sheet := range s.Ways {
		w := way{seconds: sheet.Roughing.CutSeconds, rough: sheet.Roughing.Tool.ID != ""}
		tools := sheet.taken(sheet.Turns)
		if len(tools) == 0 {
			tools = []int{0} // it is refused for that
		}
		w.from, w.to, w.changes = j.tool(tools[0]), j.tool(tools[len(tools)-1]), len(tools)-1
		list = append(list, w)
	}
	j.ways, j.times = append(j.ways, list), append(j.times, s.Times)
}

func (j *jobWays) tool(number int) int {
	if _, known := j.tools[number]; !known {
		j.tools[number] = len(j.tools)
	}
	return j.tools[number]
}

// seconds is the job's time, more or less the same number whatever the ways, with a margin for each run that is roughed.
func (j *jobWays) seconds(margin float64) (sum float64) {
	for i, k := range j.now {
		w, times := j.ways[i][k], float64(j.times[i])
		sum += times * (ChangeSeconds*float64(w.changes) - w.seconds)
		if w.rough {
			sum += times * margin
		}
		if w.from != w.to {
			sum += (times - 1) * ChangeSeconds
		}
	}
	return sum + ChangeSeconds*float64(j.changesBetween())
}

// changesBetween is how often a tool is changed at least from sheet to sheet: what needs no change between is a trail over
// tools, and the fewest trails are, of all that hangs together, one for each sheet too many that leaves a tool, or one.
func (j *jobWays) changesBetween() int {
	n := len(j.tools)
	together, taken := newSets(n), make([]bool, n)
	more, trails := make([]int, n), make([]int, n) // sheets that leave a tool than come to it
	for i, k := range j.now {
		w := j.ways[i][k]
		together.join(w.from, w.to)
		more[w.from]++
		more[w.to]--
		taken[w.from], taken[w.to] = true, true
	}
	for i := range n {
		trails[together.find(i)] += max(0, more[i])
	}
	sum := -1
	for i := range n {
		if taken[i] && together.find(i) == i {
			sum += max(1, trails[i])
		}
	}
	return sum
}

// settle finds the ways.
func (j *jobWays) settle() {
	most := 0
	for _, w := range j.ways {
		most = max(most, len(w))
	}
	best, least := j.now, j.seconds(leastSaved)
	for k := range most {
		j.now = make([]int, len(j.ways))
		for i, w := range j.ways {
			j.now[i] = min(k, len(w)-1)
		}
		if s := j.descend(); s < least-nearS {
			best, least = j.now, s
		}
	}
	j.now = best
}

// nearS is what rounding may make of seconds.
const nearS = 1e-6

// descend makes one sheet after the other another way, the one that saves most first.
func (j *jobWays) descend() float64 {
	now := j.seconds(leastSaved)
	for {
		sheet, to, least := -1, 0, now
		for i, ways := range j.ways {
			was := j.now[i]
			for k := range ways {
				j.now[i] = k
				if s := j.seconds(leastSaved); s < least-nearS {
					sheet, to, least = i, k, s
				}
			}
			j.now[i] = was
		}
		if sheet < 0 {
			return now
		}
		j.now[sheet], now = to, least
	}
}

// settleRoughings decides it for the plan's sheets. Sheets that are one are cut in a row.
func (m *maker) settleRoughings() {
	var list []*Roughable
	first := map[string]*Roughable{}
	as := map[*Roughable]*Roughable{}
	for _, b := range m.boards {
		for i := range b.begun {
			s := &b.begun[i].Roughable
			key := s.key()
			if one := first[key]; key != "" && one != nil {
				one.Times += s.Times
				as[s] = one
				continue
			}
			first[key] = s
			list = append(list, s)
		}
	}
	if m.Job.Stock != nil || len(list) == 0 {
		return
	}
	m.roughingSavesS = SettleRoughings(list)
	for s, one := range as {
		i := slices.IndexFunc(s.Ways, func(w Sheet) bool { return w.Roughing.Tool.Number == one.Ways[0].Roughing.Tool.Number })
		s.Ways = s.Ways[i : i+1]
		s.Ways[0].Roughing = one.Ways[0].Roughing
	}
}

// key is the same for sheets that are one; "" for one that has no choice.
func (s Roughable) key() string {
	if len(s.Ways) < 2 {
		return ""
	}
	var b strings.Builder
	plain := s.Ways[0]
	for _, l := range plain.Layers {
		fmt.Fprintln(&b, l.Foam.ID, l.Sold(), l.Thickness)
	}
	for _, c := range plain.HolesAndEdge() {
		fmt.Fprintf(&b, "%q %d %v %v\n", c.Name, c.Tool.Number, c.DepthMM, c.Shape)
	}
	fmt.Fprintln(&b, plain.Marks)
	return b.String()
}
