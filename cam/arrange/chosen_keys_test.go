package arrange

import (
	"cmp"
	"fmt"
	"maps"
	"math/bits"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// A value for every key of a tray that `tray_defaults` may have for trays that are chosen, and that is not what it is
// without the key. Whoever adds a key to a tray adds it here, or to those that are refused.
var chosenKeys = map[string]string{
	"label": "Chest", "corner": "9", "ease": "2", "wall": "7", "edge": "11", "headroom": "1.5", "fit": "tight", "cut": "block", "bridges": "none",
	"tight_corners": "left", "tool": "flat-3", "turn": "any", "waste": "clear", "relief": "dogbone", "notch": "[s]", "notch_width": "21",
	"notch_reach": "9", "access": "none", "proud": "3", "registration": "ears", "dowel": "6",
	"labels": "[{text: A, at: [12, 12], height: 9}]", "emblems": "[{picture: a.svg, at: [12, 12], width: 9}]",
}

// What those refuse that no chosen tray can have.
var refusedKeys = map[string]string{
	"id": "a", "size": "[190, 150]", "halves": "2", "holds": "[die]", "pockets": "[{at: [20, 20], round: 12}]",
}

// each is of the cases, not of what a tray is: each_default.txtar.
var caseKeys = []string{"each"}

// Values for the keys of a layer, besides foam and thickness, which the arranger chooses.
var chosenLayerKeys = map[string]string{"measured": "T-0.2", "z_zero": "bed"}

func keysOfGroup(t require.TestingT, name string) (keys []string) {
	for _, g := range job.Keys().Reach() {
		if g.Name == name {
			for _, r := range g.Rows {
				if r.Default != strict.Needed {
					keys = append(keys, r.Key)
				}
			}
		}
	}
	require.NotEmpty(t, keys, name)
	return keys
}

// wish is what `tray_defaults` has beyond what it needs.
type wish struct {
	keys      []string
	pad, base []string // keys of its two layers
}

// row is a layer with such keys; nobody has measured sheets of other thicknesses.
func row(foam string, thickness units.Length, keys []string) string {
	text := "{foam: " + foam + ", thickness: " + thickness.Format(0)
	for _, k := range keys {
		value := chosenLayerKeys[k]
		if value == "T-0.2" {
			value = (thickness - mm/5).Format(0)
			if thickness != inch && thickness != inch/4 {
				continue
			}
		}
		text += ", " + k + ": " + value
	}
	return text + "}"
}

// rows are the layers of a chosen tray, the last of them the base.
func (w wish) rows(t job.Tray) string {
	var list []string
	for _, l := range t.Layers {
		keys := w.pad
		if l.Foam == "pe-45" {
			keys = w.base
		}
		list = append(list, row(l.Foam, l.Thickness, keys))
	}
	return "[" + strings.Join(list, ", ") + "]"
}

// text is a job whose trays are to be chosen; with hand those that are chosen stand in it.
func (w wish) text(hand *job.Job) string {
	pad, base := row("pe-30", inch, w.pad), row("pe-45", inch/4, w.base)
	var b strings.Builder
	fmt.Fprintf(&b, "roster: roster.csv\nmachine: bench-router\ncase: {inside: [200, 150, 38.1], corner: 4, ease: 0.5}\ntray_defaults:\n  layers: [%s, %s]\n", pad, base)
	if !slices.Contains(w.keys, "notch") && !slices.Contains(w.keys, "access") {
		b.WriteString("  notch: [n]\n")
	}
	for _, k := range w.keys {
		value, ok := chosenKeys[k]
		if !ok {
			value = refusedKeys[k]
		}
		fmt.Fprintf(&b, "  %s: %s\n", k, value)
		if k == "registration" && !slices.Contains(w.keys, "dowel") {
			b.WriteString("  dowel: 8\n")
		}
		if k == "dowel" && !slices.Contains(w.keys, "registration") {
			b.WriteString("  registration: dowels\n")
		}
		if k == "proud" && !slices.Contains(w.keys, "access") {
			b.WriteString("  access: lift\n")
		}
	}
	if hand == nil {
		return b.String() + "cases: [{name: One}]\n"
	}
	b.WriteString("trays:\n")
	for _, t := range hand.Trays {
		var pockets []string
		for _, p := range t.Pockets {
			if p.For != "" {
				pockets = append(pockets, fmt.Sprintf("{for: %s, at: [%s, %s]}", p.For, p.X.Format(0), p.Y.Format(0)))
			}
		}
		fmt.Fprintf(&b, "  - {id: %s, layers: %s, pockets: [%s]}\n", t.ID, w.rows(t), strings.Join(pockets, ", "))
	}
	return b.String() + "cases: [{name: One, stack: [" + strings.Join(hand.Cases[0].Stack, ", ") + "]}]\n"
}

func (w wish) load(t require.TestingT, text string) (*job.Job, finding.List) {
	j, found, err := job.Load(fstest.MapFS{
		"job.yaml": {Data: []byte(text)}, "roster.csv": {Data: []byte("id,count,length,width,height\ndie,6,20,20,17\n")},
		"a.svg": {Data: []byte("<svg/>")},
	}, "job.yaml")
	require.NoError(t, err)
	return j, found
}

// chosenAndByHand are the trays that are chosen for a wish, as the arranger has them and as they are read back from
// the arrangement into the job, and the same trays written out by hand. There may be an earlier arrangement, of another wish.
func (w wish) chosenAndByHand(t require.TestingT, earlier ...*job.Job) (made, used, hand *job.Job) {
	j, found := w.load(t, w.text(nil))
	require.False(t, found.Failed(), "%v", found)
	r := run(t, j, func(in *Input) {
		for _, e := range earlier {
			in.Previous = e
		}
	})
	require.NotNil(t, r.Job, "%v", r.Findings)
	back, found := w.load(t, string(Write(r.Job, j, "router")))
	require.False(t, found.Failed(), "%v", found)
	used = Apply(j, back)
	hand, found = w.load(t, w.text(r.Job))
	require.False(t, found.Failed(), "%v", found)
	return r.Job, used, hand
}

// plainly is a tray without what is told of it, and what the arranger decides: places, shapes and ways in.
func plainly(t job.Tray, habits bool) job.Tray {
	id := t.ID
	t = bare(t, true)
	t.ID, t.Label, t.Chosen, t.Pockets = "", "", false, nil
	if strings.Contains(id, "filler") { // there is nothing on it
		t.Labels, t.Emblems = nil, nil
	}
	if !habits {
		t.Habits = job.Habits{} // those of its pockets count
	}
	return t
}

// habitsOf are what a pocket has of its tray, 20 and 10 mm where a notch has no size.
func (w wish) habitsOf(p job.Pocket) job.Pocket {
	if slices.Contains(w.keys, "proud") { // there is a cover, and no room to stand out into: the arranger finds another way in
		p.Notch, p.Access, p.Proud = 0, 0, 0
	}
	if p.Notch == 0 { // sizes of nothing
		p.NotchWidth, p.NotchReach = 0, 0
	}
	p.Notch = job.Side(bits.OnesCount8(uint8(p.Notch))) // the arranger may turn it
	return job.Pocket{Relief: p.Relief, Notch: p.Notch, NotchWidth: cmp.Or(p.NotchWidth, 20*mm), NotchReach: cmp.Or(p.NotchReach, 10*mm), Access: p.Access, Proud: p.Proud, Fit: p.Fit, Tool: p.Tool, Waste: p.Waste}
}

func (w wish) check(t require.TestingT, earlier ...*job.Job) {
	made, used, hand := w.chosenAndByHand(t, earlier...)
	for _, want := range hand.Trays {
		for i, j := range []*job.Job{made, used} {
			at := trayAt(j.Trays, want.ID)
			require.GreaterOrEqual(t, at, 0, "%s of %+v", want.ID, w)
			got := j.Trays[at]
			assert.Equal(t, plainly(want, i == 0), plainly(got, i == 0), "%s of %+v, read back: %v", want.ID, w, i == 1)
			if slices.Contains(w.keys, "label") && !strings.Contains(want.ID, "filler") {
				assert.Equal(t, want.Label, got.Label)
			}
			for k, p := range got.Pockets {
				if p.For != "" && k < len(want.Pockets) {
					assert.Equal(t, w.habitsOf(want.Pockets[k]), w.habitsOf(p), "%s of %+v, read back: %v", want.ID, w, i == 1)
				}
			}
		}
	}
}

// Every key that a tray and a layer know is in one of the tables above: each alone is as in a tray that is written out by hand,
// and is not without effect there, or it is refused by its name.
func TestChosenTraysTakeEveryKey(t *testing.T) {
	before, _, plain := wish{}.chosenAndByHand(t)
	for _, k := range keysOfGroup(t, "tray") {
		w := wish{keys: []string{k}}
		if _, ok := chosenKeys[k]; ok {
			_, _, hand := w.chosenAndByHand(t)
			assert.NotEqual(t, plain.Trays[1], hand.Trays[1], "the value for %s changes nothing", k)
			w.check(t)
			w.check(t, before)
		} else if _, refused := refusedKeys[k]; refused {
			_, found := w.load(t, w.text(nil))
			require.True(t, found.Failed(), k)
			assert.Contains(t, found[0].Message, "`"+k)
			assert.Contains(t, found[0].Where, "job.yaml:")
		} else if k != "layers" {
			assert.Contains(t, caseKeys, k, "a key of a tray that no test knows in a chosen one")
		}
	}
	for _, k := range keysOfGroup(t, "layer") {
		require.Contains(t, chosenLayerKeys, k, "a key of a layer that no test knows in a chosen tray")
		for _, w := range []wish{{pad: []string{k}}, {base: []string{k}}} {
			w.check(t)
			w.check(t, before)
			_, _, hand := w.chosenAndByHand(t)
			one := hand.Trays[trayAt(hand.Trays, "one-tray-1")].Layers
			assert.Equal(t, layers(inch, inch/4), []job.Layer{{Foam: one[0].Foam, Thickness: one[0].Thickness}, {Foam: one[1].Foam, Thickness: one[1].Thickness}}, "it is of the sheets that say %s", k)
		}
	}
}

// So do any of them together, and where an earlier arrangement was of any others.
func TestChosenTraysAreAsWrittenByHand(t *testing.T) {
	some := func(r *rapid.T, name string, keys map[string]string) (list []string) {
		for _, k := range slices.Sorted(maps.Keys(keys)) {
			if rapid.Bool().Draw(r, name+" "+k) {
				list = append(list, k)
			}
		}
		return list
	}
	rapid.Check(t, func(r *rapid.T) {
		any := func() wish {
			return wish{some(r, "tray", chosenKeys), some(r, "pad", chosenLayerKeys), some(r, "base", chosenLayerKeys)}
		}
		first := any()
		first.check(r)
		made, _, _ := first.chosenAndByHand(r)
		any().check(r, made)
	})
}

// An arrangement that was made before one of them was said is not taken for one that has it.
func TestChosenKeysMakeAnArrangementStale(t *testing.T) {
	made := func(w wish) string {
		j, found := w.load(t, w.text(nil))
		require.False(t, found.Failed(), "%v", found)
		return Fingerprint(j, "router")
	}
	was := made(wish{})
	for _, k := range slices.Sorted(maps.Keys(chosenKeys)) {
		if k != "label" { // names may change
			assert.NotEqual(t, was, made(wish{keys: []string{k}}), k)
		}
	}
	for _, k := range slices.Sorted(maps.Keys(chosenLayerKeys)) {
		assert.NotEqual(t, was, made(wish{pad: []string{k}}), k)
		assert.NotEqual(t, was, made(wish{base: []string{k}}), k)
	}
}

// A sheet of 25.4 mm that measures 23.9 takes a pocket of 24 mm no more; one that measures 26 takes none of 25.7, which its label
// would not.
func TestPadsAreDeepByLabelAndInTruth(t *testing.T) {
	for _, c := range []struct {
		measured, deep float64
		takes          bool
	}{{23.9, 24, false}, {24, 24, true}, {26, 25.7, false}, {26, 25.4, true}} {
		rows := []job.Layer{{Foam: "pe-30", Thickness: inch, Measured: mmOf(c.measured)}}
		f, _ := catalog(t).Foam("pe-30")
		list := sheets(supply{f, rows[0], rows}, mmOf(c.deep), 1, 0, false)
		assert.Equal(t, c.takes, slices.ContainsFunc(list, func(o option) bool { return o.layers[0].Thickness == inch }), "%+v", c)
	}
}

// An earlier arrangement of other foams, or of another base, is not kept in them: its places are.
func TestOtherFoamsAreTaken(t *testing.T) {
	made, _, _ := wish{}.chosenAndByHand(t)
	for _, c := range [][2]string{{"pe-30", "xpe-33"}, {"pe-45", "eva-90"}, {"thickness: 6.35 mm", "thickness: 10 mm"}, {"", ""}} {
		text, earlier := strings.ReplaceAll(wish{}.text(nil), c[0], c[1]), *made
		if c[0] == "" { // it had no base
			earlier.Trays = slices.Clone(made.Trays)
			t := &earlier.Trays[trayAt(made.Trays, "one-tray-1")]
			text, t.Layers = wish{}.text(nil), t.Layers[:1]
		}
		j, found := wish{}.load(t, text)
		require.False(t, found.Failed(), "%v", found)
		r := run(t, j, func(in *Input) { in.Previous = &earlier })
		require.NotNil(t, r.Job, "%v", r.Findings)
		got := r.Job.Trays[trayAt(r.Job.Trays, "one-tray-1")].Layers
		assert.Equal(t, j.Defaults.Layers[0].Foam, got[0].Foam)
		require.Len(t, got, 2, c)
		assert.Equal(t, j.Defaults.Layers[1], got[1])
		cover := r.Job.Trays[trayAt(r.Job.Trays, "one-cover")].Layers
		assert.Equal(t, j.Defaults.Layers[1].Foam, cover[0].Foam)
		assert.Zero(t, r.Moved.Pockets, c[1])
	}
}
