package stock

import (
	"cmp"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"traywright/cam/job"
)

// What sheets are called. A sheet that is cut up, each of its panels and each offcut at hand has a
// name that nothing else in the job has: files are called so, and so is the foam, by hand. In the
// rack that is left no two rows have one name.

// names are those that are taken.
type names struct {
	taken map[string]bool
	last  map[string]int // number behind a name
	roots map[string]int // how often names that a sheet's panels may have are taken: once, and 2 for all of them
}

func newNames() names { return names{map[string]bool{}, map[string]int{}, map[string]int{}} }

// numbered is the first name that may be taken, with a number from first behind it.
func (n names) numbered(base, between string, first int, take func(string) bool) string {
	for k := max(first, n.last[base]+1); ; k++ {
		if name := base + between + strconv.Itoa(k); take(name) {
			n.last[base] = k
			return name
		}
	}
}

// notInNames is what a file's name cannot have.
var notInNames = regexp.MustCompile(`[^a-z0-9]+`)

// folded is a name reduced to what files can have: names that a hand would write alike are one.
func folded(name string) string {
	return strings.Trim(notInNames.ReplaceAllString(strings.ToLower(name), "-"), "-")
}

// offcutName is an offcut's own name, as its files have it.
func offcutName(s job.StockSheet) string {
	name := folded(s.Name)
	return cmp.Or(strings.TrimRight(name[:min(len(name), 40)], "-"), "offcut")
}

func panelName(sheet string, number int) string { return fmt.Sprintf("%s-p%d", sheet, number) }

// numberOfPanel is what panelName writes behind a sheet's name.
var numberOfPanel = regexp.MustCompile(`-p[0-9]+`)

// root is what the names of all panels of a sheet have in common.
func root(name string) string { return numberOfPanel.ReplaceAllString(name, "-p") }

// open takes a sheet of a kind, and names it: as the offcut is called, or sheet-1 and on.
func (l *layer) open(k kind, parted bool) string {
	if k.sheet.Count > 0 {
		l.free[k.row]--
	}
	own := ""
	take := func(name string) bool { return l.takeName(name, own, k.sheet.Foam, parted) }
	if !k.sheet.AtHand() {
		return l.names.numbered("sheet", "-", 1, take)
	}
	if own = offcutName(k.sheet); take(own) {
		return own
	}
	return l.names.numbered(own, "-", 2, take)
}

// takeName takes a name for a sheet, and those of as many panels as it may get, if all of them are free: of no
// other sheet that is cut up, and of no offcut at hand but its own; with the foam behind them as well, whose id
// may begin as another sheet's name ends.
func (l *layer) takeName(name, own, foam string, parted bool) bool {
	n := l.names
	all := [2]string{name, name + "-" + foam}
	panels := [2]string{root(panelName(name, 1)), root(panelName(name, 1) + "-" + foam)}
	for i := range all {
		if n.taken[all[i]] || n.roots[root(all[i])] > 1 || parted && n.roots[panels[i]] > 0 {
			return false
		}
	}
	for other := range l.atHand {
		if other != own && (other == name || parted && root(other) == panels[0]) {
			return false
		}
	}
	for i := range all {
		n.taken[all[i]] = true
		n.roots[root(all[i])] = max(n.roots[root(all[i])], 1)
		if parted {
			n.roots[panels[i]] = 2
		}
	}
	return true
}

// rackNames gives each row that is kept, and then each that is new, a name that no other has, nor any
// foam that was at hand: the owner's stays with the first that has it.
func (l *layer) rackNames() func(name string) string {
	n := newNames()
	take := func(name string) bool {
		free := !n.taken[folded(name)]
		n.taken[folded(name)] = true
		return free
	}
	for _, s := range l.Left {
		take(s.Name)
	}
	seen := map[string]bool{"": true}
	for i, s := range l.Left {
		lower := strings.ToLower(s.Name) // by hand x and X look alike
		if s.Name != "" && seen[lower] {
			l.Left[i].Name = n.numbered(s.Name, " ", 2, take)
		}
		seen[lower] = true
	}
	for _, s := range l.stock.Sheets { // what is cut up now lies beside what becomes of it
		n.taken[folded(s.Name)] = true
	}
	return func(name string) string {
		if take(name) {
			return name
		}
		return n.numbered(name, " ", 2, take)
	}
}
