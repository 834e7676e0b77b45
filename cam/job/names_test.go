package job

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"traywright/cam/finding"
)

func TestFill(t *testing.T) {
	gull := Names{Game: "Tidewrack", Case: "Gull Watch", Tray: "gull-crew", Group: "gull"}
	cases := []struct{ template, want, empty string }{
		{"{game} {case} crew", "Tidewrack Gull Watch crew", ""},
		{"{tray}", "gull-crew", ""},
		{"  {group}\n of {game} ", "gull of Tidewrack", ""},
		{"{gme}", "{gme}", ""},
		{"", "", ""},
	}
	for _, c := range cases {
		text, empty := Fill(c.template, gull)
		assert.Equal(t, c.want, text, c.template)
		assert.Equal(t, c.empty, strings.Join(empty, " "), c.template)
	}
	text, empty := Fill("{game} {case} {case}", Names{Game: "{case}"})
	assert.Equal(t, "{case}", text, "what is filled in is not filled again")
	assert.Equal(t, []string{"{case}"}, empty)
}

func TestCheckTemplate(t *testing.T) {
	cases := []struct{ template, rules, hint string }{
		{"{game} {case} {tray} {group}", "", ""},
		{"{gane}", "unknown-placeholder", "did you mean {game}?"},
		{"{ Tray }", "unknown-placeholder", "did you mean {tray}?"},
		{"{gane} {cse}", "unknown-placeholder unknown-placeholder", "did you mean {case}? did you mean {game}?"},
		{"{}", "unknown-placeholder", labelForms},
		{"{weight}", "unknown-placeholder", labelForms},
		{"stores }", "open-brace", labelForms},
		{"{{game}}", "open-brace", labelForms},
	}
	for _, c := range cases {
		var rules, hints []string
		var l log
		l.checkTemplate(finding.Position{}, c.template)
		found, _ := l.Result()
		for _, f := range found {
			rules, hints = append(rules, f.Rule), append(hints, f.Hint)
		}
		assert.Equal(t, c.rules, strings.Join(rules, " "), c.template)
		assert.Equal(t, c.hint, strings.Join(hints, " "), c.template)
	}
}

func harbour() *nameBook {
	return newNameBook([]knownName{
		{Text: "Tidewrack", What: "the game", Form: "{game}"},
		{Text: "Gull Watch", What: "the case", Form: "{case}"},
		{Text: "Reef Watch", What: "the case", Form: "{case}"},
		{Text: "gull-crew", What: "the tray", Form: "{tray}", ID: true},
		{Text: "crew-1", What: "the tray", Form: "{tray}", ID: true},
		{Text: "gull", What: "the group", Form: "{group}"},
		{Text: "eel", What: "the piece", ID: true},
		{Text: "keg", What: "the piece", ID: true},
		{Text: "hound", What: "the piece", ID: true},
		{Text: "lookout", What: "the piece", ID: true},
		{Text: "Lookout", What: "the piece"},
		{Text: "deckhand", What: "the piece", ID: true},
		{Text: "Captain Marrow", What: "the piece"},
		{Text: "Röhrenhöhle", What: "the piece"},
	})
}

func TestSuspects(t *testing.T) {
	cases := []struct{ name, text, want string }{
		{"right", "Tidewrack Gull Watch crew", ""},
		{"capitals", "TIDEWRACK GULL WATCH", ""},
		{"a placeholder's own text is not looked at", "{game} {case} {tray}", ""},
		{"an id with a space", "Gull crew", ""},
		{"an accent left out", "Rohrenhohle", ""},
		{"a letter left out", "Tidewrak stores", "tidewrak > Tidewrack"},
		{"two letters swapped", "Tidewarck", "tidewarck > Tidewrack"},
		{"a letter changed", "Tidewreck", "tidewreck > Tidewrack"},
		{"two letters wrong in a long name", "Tydewrak", "tydewrak > Tidewrack"},
		{"a name of two words", "the Gull Wach crew", "gull wach > Gull Watch"},
		{"no longer two words", "Gullwatch", "gullwatch > Gull Watch"},
		{"one word too many", "Look out", "look out > Lookout"},
		{"a word of a name", "Marow's table", "marow > marrow"},
		{"a word of a name, right", "Marrow's table", ""},
		{"plurals", "deckhands, hounds, gulls", ""},
		{"a plural with a slip", "deckhnads", "deckhnads > deckhand"},
		{"a word before a name", "a Tidewrack", ""},
		{"another number", "crew-2", ""},
		{"short names make other words", "eet leg gall round", ""},
		{"short names, a letter left out", "gul", ""},
		{"short names, a letter doubled", "gulll", "gulll > gull"},
		{"short names, the first letter right", "hund", "hund > hound"},
		{"two at once", "Tidewrak Gull Wach", "gull wach > Gull Watch; tidewrak > Tidewrack"},
		{"nothing like it", "dice and doubloons", ""},
		{"nothing at all", " ~ ", ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, s := range harbour().suspects(c.text) {
				got = append(got, s.Written+" > "+s.meant())
			}
			assert.Equal(t, c.want, strings.Join(got, "; "))
		})
	}
}

// A single slip in a name of six letters or more is noticed, whatever it is,
// unless it is a plural.
func TestEverySlipIsNoticed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.StringMatching(`[a-rt-z]{6,14}`).Draw(t, "name")
		at := rapid.IntRange(0, len(name)-2).Draw(t, "at")
		letter := rapid.StringMatching(`[a-rt-z]`).Draw(t, "letter")
		slip := map[string]string{
			"left out": name[:at] + name[at+1:],
			"added":    name[:at] + letter + name[at:],
			"changed":  name[:at] + letter + name[at+1:],
			"swapped":  name[:at] + name[at+1:at+2] + name[at:at+1] + name[at+2:],
		}[rapid.SampledFrom([]string{"left out", "added", "changed", "swapped"}).Draw(t, "slip")]
		found := newNameBook([]knownName{{Text: name, What: "the game"}}).suspects("the " + slip)
		assert.Equal(t, slip != name, len(found) > 0, "%s for %s", slip, name)
	})
}

// A name spelt right is never suspect, whatever stands around it.
func TestNamesAreNotSuspect(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOfN(rapid.StringMatching(`[A-Za-z]{1,9}( [A-Za-z]{1,9})?`), 1, 6).Draw(t, "names")
		var all []knownName
		for _, n := range list {
			all = append(all, knownName{Text: n, What: "a name"})
		}
		assert.Empty(t, newNameBook(all).suspects(list[0]))
	})
}

// Comparing stops at a bound, and what was found stays.
func TestComparisonsAreBounded(t *testing.T) {
	b := harbour()
	b.left = 0
	assert.Empty(t, b.suspects("Tidewrak"))
}

func FuzzNames(f *testing.F) {
	f.Add("{game} {case} Tidewrak", "Tidewrack")
	f.Add("{{}}{", "\x00 é")
	f.Fuzz(func(t *testing.T, template, name string) {
		new(log).checkTemplate(finding.Position{}, template)
		text, _ := Fill(template, Names{Game: name, Tray: "stores"})
		assert.NotContains(t, text, "\n")
		for _, s := range newNameBook([]knownName{{Text: name}, {Text: "Gull Watch"}}).suspects(template) {
			assert.NotEmpty(t, s.Written)
			assert.NotEmpty(t, s.String())
		}
	})
}
