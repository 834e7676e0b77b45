package job_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every line is a job with one thing wrong: text, rule, place, and parts of the
// message and of the hint. The text is short for a whole job; see expand.
var unreadableJobs = []struct{ text, rule, where, message, hint string }{
	{"", "empty-file", "1:1", "empty", "traywright start"},
	{"# nothing\n", "empty-file", "1:1", "empty", "traywright start"},
	{"---\n", "empty-file", "1:1", "empty", "traywright start"},
	{"G21 G90\nG0 X0\nM2\n", "wrong-type", "1:1", "not a job", "machine:"},
	{"- a\n", "wrong-type", "1:1", "here is a list, not a job", "machine:"},
	{"+trais: []\n", "unknown-key", "5:1", `"trais"`, "did you mean trays?"},
	{"+Machine: x\n", "unknown-key", "5:1", `"Machine"`, "did you mean machine?"},
	{"+wings: 2\n", "unknown-key", "5:1", `"wings"`, "known are game, units, roster"},
	{"+    labl: x\n", "unknown-key", "5:5", `a tray has no key "labl"`, "label"},
	{"tray_defaults: {fitt: snug}\n+", "unknown-key", "1:17", "`tray_defaults` has no key", "fit"},
	{"case: {inside: [1, 2, 3], eas: 1}\n+", "unknown-key", "1:27", "eas", "ease"},
	{"P{at: [1, 1], siz: [2, 2]}", "unknown-key", "5:28", "a pocket has no key", "size"},
	{"+    layers: []\n", "duplicate-key", "5:5", "it is in line 4 already", "keep one"},
	{"game: a\ngame: b\n+", "duplicate-key", "2:1", "line 1", "keep one"},
	{"units: furlong\n+", "bad-unit", "1:8", "furlong", "mm or in"},
	{"units: [mm]\n+", "wrong-type", "1:8", "`units`", "indentation"},
	{"game:\n+", "missing-value", "1:1", "`game` has no value", "take the key out"},
	{"game: ~\n+", "missing-value", "1:1", "`game`", "take the key out"},
	{"game: \"  \"\n+", "missing-value", "1:7", "`game` is an empty text", "take the key out"},
	{"game: \"a\\x1b[31m\"\n+", "bad-text", "1:7", "U+001B", "plain"},
	{"game: \"\\u202Etxt\"\n+", "bad-text", "1:7", "U+202E", "plain"},
	{"game: " + strings.Repeat("x", 201) + "\n+", "bad-text", "1:7", "201 characters", "short"},
	{"trays: {id: a}\n", "wrong-type", "1:8", "`trays` has to be a list, and here is a group", "indentation"},
	{"trays: [a]\n", "wrong-type", "1:9", "a tray has to be", "indentation"},
	{"+    label: {game}\n", "wrong-type", "5:12", "`label` has to be a text", "quotes"},
	{"+    label: {game} stores\n", "syntax", "5:19", "no YAML", "in quotes"},
	{"+    wall: [1]\n", "wrong-type", "5:11", "`wall` has to be a text or a number", "quotes"},
	{"+    wall: 1 furlong\n", "bad-length", "5:11", `"1 furlong" has an unknown unit "furlong"`, "31 mm"},
	{"+    wall: NaN\n", "bad-length", "5:11", "NaN", "31 mm"},
	{"+    wall: .inf\n", "bad-length", "5:11", ".inf", "31 mm"},
	{"+    wall: 1e308\n", "bad-length", "5:11", "1e308", "31 mm"},
	{"+    wall: 1/0\n", "bad-length", "5:11", "divides by zero", "31 mm"},
	{"+    wall: 0x1F\n", "bad-length", "5:11", "0x1F", "31 mm"},
	{"+    wall: 6,5\n", "bad-length", "5:11", "decimal point", "31 mm"},
	{"+    wall: 101 m\n", "bad-length", "5:11", "longer than 100 m", "31 mm"},
	{"+    halves: two\n", "bad-number", "5:13", `"two" is no whole number`, "whole number"},
	{"+    halves: 1.5\n", "bad-number", "5:13", "1.5", "whole number"},
	{"+    halves: 99999999999999999999\n", "bad-number", "5:13", "999", "whole number"},
	{"+cases: [{name: x, stack: [a], copies: 2000000}]\n", "bad-number", "5:39", "more than 1000000", "whole number"},
	{"+    pockets: {at: [1, 1]}\n", "wrong-type", "5:14", "`pockets` has to be a list", "indentation"},
	{"P{at: 5, round: 2}", "wrong-type", "5:20", "`at` takes 2 values", "[x, y]"},
	{"P{at: [5], round: 2}", "wrong-type", "5:20", "`at` takes 2 values", "[x, y]"},
	{"P{at: [5, [6]], round: 2}", "wrong-type", "5:24", "the y of `at`", "indentation"},
	{"P{at: [1, 1], size: [2, 3, 4]}", "wrong-type", "5:34", "`size` takes 2 values", "[length, width]"},
	{"P{at: [1, 1], round: 2, turn: 15 deg}", "bad-number", "5:44", "15 deg", "12.5"},
	{"P{at: [1, 1], round: 2, turn: 400}", "bad-number", "5:44", "400 is not from -360 to 360", "from -360 to 360"},
	{"P{at: [1, 1], round: 2, turn: .nan}", "bad-number", "5:44", ".nan", "12.5"},
	{"P{at: [1, 1], round: 2, depth: thru}", "bad-length", "5:45", "thru", "31 mm"},
	{"P{at: [1, 1], round: 2, grid: [2.5, 1]}", "bad-number", "5:45", "2.5", "whole number"},
	{"P{at: [1, 1], round: 2, notch: {n: 1}}", "wrong-type", "5:45", "`notch`", "quotes"},
	{"case: {inside: [1, 2]}\n+", "wrong-type", "1:16", "takes 3 values", "[length, width, height]"},
	{"\tgame: x\n", "syntax", "1:5", "tab", "indentation"},
	{"game: 'x\n", "syntax", "1:7", "no YAML", "quotes"},
	{"game: x\n units: mm\n", "syntax", "1:7", "no YAML", "indentation"},
	{"game: !!str x\n", "syntax", "1:7", "a tag", "plain"},
	{"? game\n: x\n", "syntax", "1:1", "question mark", "plain"},
	{"&k game: x\n", "syntax", "1:1", "plain name", "plain"},
	{"game: *name\n", "unknown-anchor", "1:7", "&name", "anchor"},
	{"game: x\n---\ngame: y\n", "syntax", "2:1", "second document", "one job"},
	{"game: Tidewr\xe4ck\n", "encoding", "1:13", "0xe4 is not UTF-8", "UTF-8"},
	{"\xff\xfeg\x00a\x00", "encoding", "1:1", "UTF-16", "UTF-8"},
	{"\x89PNG\r\n\x1a\n\x00", "encoding", "1:1", "a picture, a PDF or an archive", "save it as CSV"},
	{"g\x00a\x00m\x00e\x00", "encoding", "1:2", "U+0000", "UTF-8"},
	{"roster: none.csv\n+", "missing-file", "1:9", "none.csv", "job's folder"},
}

var wrongJobs = []struct{ text, rule, where, message, hint string }{
	{"game: x\n", "no-trays", "1:1", "no trays", "trays:"},
	{"cases: [{name: x, inside: [1, 2, 3]}]\n", "no-trays", "1:1", "no trays", "trays:"},
	{"trays: []\n", "no-trays", "1:1", "no trays", "trays:"},
	{"+  - {size: [1, 2], layers: [{foam: x, thickness: 1}]}\n", "tray-without-id", "5:5", "no `id`", "a-z"},
	{"+  - {id: a, size: [1, 2], layers: [{foam: x, thickness: 1}]}\n", "duplicate-id", "5:10", `"a" is taken by the tray in line 2`, "id of its own"},
	{"+    halves: 2\n  - {id: a-2, size: [1, 2], layers: [{foam: x, thickness: 1}]}\n", "duplicate-id", "6:10", `"a-2"`, "-1 and -2"},
	{"I../../x", "bad-id", "2:9", `"../../x"`, "a-z, 0-9 and single -"},
	{"ICrew", "bad-id", "2:9", `"Crew"`, "a-z"},
	{"Ia b", "bad-id", "2:9", `"a b"`, "a-z"},
	{"Icrew.", "bad-id", "2:9", `"crew."`, "a-z"},
	{"Icon", "device-id", "2:9", `"con"`, "call the tray con-tray"},
	{"Inul", "device-id", "2:9", `"nul"`, "nul-tray"},
	{"Icom1", "device-id", "2:9", `"com1"`, "com1-tray"},
	{"I-a", "bad-id", "2:9", `"-a"`, "a-z"},
	{"Iä", "bad-id", "2:9", `"ä"`, "a-z"},
	{"I" + strings.Repeat("a", 41), "bad-id", "2:9", "aaa", "40"},
	{"+    corner: -1\n", "size-too-small", "5:13", "`corner` is -1 mm", "0 or more"},
	{"+    ease: -1/4 in\n", "size-too-small", "5:11", "-6.35 mm", "0 or more"},
	{"+    wall: -6\n", "size-too-small", "5:11", "-6 mm", "0 or more"},
	{"units: in\n+    wall: -1/4\n", "size-too-small", "6:11", "-1/4 in", "0 or more"},
	{"+    halves: 3\n", "bad-halves", "5:13", "`halves` is 3", "1 or 2"},
	{"+    halves: 0\n", "count-too-small", "5:13", "`halves` is 0", "1 or more"},
	{"+    cut: blok\n", "unknown-word", "5:10", `"blok"`, "did you mean block?"},
	{"+    waste: plug\n", "unknown-word", "5:12", "`waste` of a tray is \"plug\"", "take it out here, and write `waste: plug` at each pocket"},
	{"+    waste: clean\n", "unknown-word", "5:12", `"clean"`, "did you mean clear?"},
	{"+    relief: dogbones\n", "unknown-word", "5:13", `"dogbones"`, "did you mean dogbone?"},
	{"+    label: \"{gmae} x\"\n", "unknown-placeholder", "5:12", "{gmae}", "did you mean {game}?"},
	{"+    label: \"{game x\"\n", "open-brace", "5:12", "without its partner", "{game}"},
	{"Cname: x, stack: [a], holds: [crab], inside: [1, 2, 3]", "stack-and-holds", "4:39", "a `stack` and `holds`", "keep the stack"},
	{"tray_defaults: {id: b}\n+", "id-as-default", "1:21", "`id`", "each tray"},
	{"trays:\n  - {id: a, size: [100, 80]}\n", "tray-without-layers", "2:5", "no `layers`", "foam: pe-30"},
	{"trays:\n  - {id: a, size: [100, 80], layers: []}\n", "tray-without-layers", "2:5", "no `layers`", "foam: pe-30"},
	{"trays:\n  - {id: a, size: [100, 80], layers: [{foam: pe-30}]}\n", "layer-without", "2:39", "no thickness", "1 in"},
	{"trays:\n  - {id: a, size: [100, 80], layers: [{foam: pe-30, thickness: 0}]}\n", "size-too-small", "2:64", "`thickness` is 0 mm", "above 0"},
	{"trays:\n  - {id: a, layers: [{foam: pe-30, thickness: 1}]}\n", "tray-without-size", "2:5", `tray "a" has no size`, "`case`"},
	{"case: {inside: [1, 2, 3]}\n+", "size-and-case", "4:11", "`size`", "leave"},
	{"+cases: [{name: x, inside: [1, 2, 3], stack: [a]}]\n", "size-and-case", "3:11", "`size`", "leave"},
	{"Cname: x, stack: [a], inside: [1, 0, 3]", "size-too-small", "4:43", "the width of `inside` is 0 mm", "above 0"},
	{"Cname: x, stack: [a], corner: -1, inside: [1, 1, 3]", "size-too-small", "4:39", "`corner`", "0 or more"},
	{"Cstack: [a], inside: [1, 2, 3]", "case-without-name", "4:9", "no `name`", "{case}"},
	{"Cname: x, stack: [a, bilge], inside: [1, 2, 3]", "unknown-tray", "4:30", `"bilge"`, "known are a"},
	{"Cname: x, stack: [a], copies: 0, inside: [1, 2, 3]", "count-too-small", "4:39", "`copies` is 0", "1 or more"},
	{"Cname: x, stack: [a]", "case-without-inside", "4:9", "no `inside`", "height"},
	{"Cname: x, stack: [a], inside: [1, 2, 3]}, {name: x, stack: [a], inside: [1, 2, 3]", "duplicate-case", "4:51", `"x" is here a second time`, "`copies`"},
	{"Cname: x, stack: [a], inside: [1, 2, 3]}, {name: y, stack: [a], inside: [1, 2.5, 3]", "cases-differ", "2:5", `cases "x" and "y"`, "a tray for each"},
	{"Cname: x, stack: [a], inside: [1, 2, 3]}, {name: y, stack: [a], ease: 1, inside: [1, 2, 3]", "cases-differ", "2:5", "ease", "a tray for each"},
	{"P{round: 20}", "pocket-without-place", "5:15", "no `at`", "[x, y]"},
	{"P{at: [1, 1]}", "pocket-without-shape", "5:15", "no shape", "`size`"},
	{"P{at: [1, 1], for: crab}", "pocket-without-shape", "5:15", `"crab"`, "roster"},
	{"P{at: [1, 1], size: [-4, 2]}", "size-too-small", "5:35", "the length of `size` is -4 mm", "above 0"},
	{"P{at: [1, 1], slot: [4, 0]}", "size-too-small", "5:38", "the width of `slot` is 0 mm", "above 0"},
	{"P{at: [1, 1], round: 0}", "size-too-small", "5:35", "`round` is 0 mm", "above 0"},
	{"P{at: [1, 1], round: 5, depth: 0}", "size-too-small", "5:45", "`depth` is 0 mm", "above 0"},
	{"P{at: [1, 1], round: 5, notch_width: 0}", "size-too-small", "5:51", "`notch_width` is 0 mm", "above 0"},
	{"P{at: [1, 1], round: 5, size: [4, 4]}", "several-shapes", "5:15", "round and size", "keep one"},
	{"P{at: [1, 1], round: 5, corner: 1}", "corner-without-size", "5:46", "`corner` goes with `size`", "take"},
	{"P{at: [1, 1], round: 5, pitch: [1, 1]}", "pitch-without-grid", "5:45", "goes with `grid`", "take"},
	{"P{at: [1, 1], round: 5, grid: [2, 1]}", "grid-without-pitch", "5:44", "no `pitch`", "steps"},
	{"P{at: [1, 1], round: 5, grid: [2, 1], pitch: [0, 9]}", "grid-without-pitch", "5:44", "no `pitch`", "steps"},
	{"P{at: [1, 1], round: 5, grid: [0, 1], pitch: [9, 9]}", "count-too-small", "5:45", "the columns of `grid` is 0", "1 or more"},
	{"P{at: [1, 1], round: 5, notch: top}", "unknown-side", "5:45", `"top"`, "n, e, s and w"},
	{"P{at: [1, 1], round: 5, notch: [n, q]}", "unknown-side", "5:49", `"q"`, "n, e, s and w"},
	{"P{at: [1, 1], round: 5, notch: [n, n]}", "side-twice", "5:49", "twice", "once"},
	{"P{at: [1, 1], outline: x.dxf, notch: ends}", "notch-of-outline", "5:51", "outline", "n, e, s, w"},
	{"P{at: [1, 1], outline: ../../etc/passwd}", "outside-folder", "5:37", "outside the job's folder", "beside the job"},
	{"P{at: [1, 1], outline: /etc/passwd}", "outside-folder", "5:37", "outside the job's folder", "beside the job"},
	{`P{at: [1, 1], outline: a\b.dxf}`, "outside-folder", "5:37", "outside the job's folder", "with /"},
	{"P{at: [1, 1], outline: a/../../b.dxf}", "outside-folder", "5:37", "outside the job's folder", "beside the job"},
	{"roster: ../roster.csv\n+", "outside-folder", "1:9", "outside the job's folder", "beside the job"},
	{"shop_rules: ../rules.yaml\n+", "outside-folder", "1:13", "outside the job's folder", "beside the job"},
	{"shop_rules: .\n+", "outside-folder", "1:13", "no path", "beside the job"},
}

// expand fills in what a line of the tables leaves out: + stands for smallTray,
// and before the whole text P for it with one pocket, I for it with another id,
// and C for a tray without a size and a case.
func expand(text string) string {
	switch {
	case strings.HasPrefix(text, "P"):
		return smallTray + "    pockets: [" + text[1:] + "]\n"
	case strings.HasPrefix(text, "I"):
		return strings.Replace(smallTray, "id: a", "id: "+text[1:], 1)
	case strings.HasPrefix(text, "C"):
		return "trays:\n  - id: a\n    layers: [{foam: pe-30, thickness: 1 in}]\ncases: [{" + text[1:] + "}]\n"
	}
	return strings.Replace(text, "+", smallTray, 1)
}

func TestUnreadableJobs(t *testing.T) {
	for _, c := range unreadableJobs {
		t.Run(c.rule, func(t *testing.T) {
			found, unread := complaints(t, folder("job.yaml", expand(c.text)))
			assert.True(t, unread, "%v", found)
			require.Len(t, found, 1, c.text)
			wellFormed(t, found)
			f := found[0]
			assert.Equal(t, []string{c.rule, "job.yaml:" + c.where}, []string{f.Rule, f.Where}, "%q: %v", c.text, f)
			assert.Contains(t, f.Message, c.message)
			assert.Contains(t, f.Hint, c.hint)
		})
	}
}

func TestWrongJobs(t *testing.T) {
	for _, c := range wrongJobs {
		t.Run(c.rule, func(t *testing.T) {
			found, unread := complaints(t, folder("job.yaml", expand(c.text)))
			assert.False(t, unread, "%v", found)
			require.Len(t, found, 1, "%q: %v", c.text, found)
			wellFormed(t, found)
			f := found[0]
			assert.True(t, found.Failed())
			assert.Equal(t, []string{c.rule, "job.yaml:" + c.where}, []string{f.Rule, f.Where}, "%q: %v", c.text, f)
			assert.Contains(t, f.Message, c.message)
			assert.Contains(t, f.Hint, c.hint)
		})
	}
}

// All of a file's problems are shown at once, in the file's order, and a wrong
// default once.
func TestFindingsInOrder(t *testing.T) {
	found, unread := complaints(t, folder("job.yaml", `cases: [{name: x, stack: [b, c]}]
tray_defaults: {wall: -1, label: "{a}", layers: [{foam: pe-30, thickness: 1 in}]}
case: {inside: [100, 80, 50]}
trays:
  - {id: a, edge: -1}
  - {id: b, halves: 5}
  - {id: a}
`))
	assert.False(t, unread)
	var where []string
	for _, f := range found {
		where = append(where, f.Where+" "+f.Rule)
	}
	assert.Equal(t, []string{
		"job.yaml:1:30 unknown-tray", "job.yaml:2:23 size-too-small", "job.yaml:2:34 unknown-placeholder", "job.yaml:5:19 size-too-small",
		"job.yaml:6:21 bad-halves", "job.yaml:7:10 duplicate-id",
	}, where)
}

// A roster that cannot be read is told once: no name of a piece is called unknown for it. Nor
// does a job of open cases need trays where there is one.
func TestWhatARosterLeavesOpen(t *testing.T) {
	names := "roster: roster.csv\n" + smallTray + "    holds: [krakn]\n    pockets: [{at: [1, 1], for: krakn}]\n"
	for _, roster := range []string{"id,count\n", header + "\"crab,1,2,3,4\n", "\xff\xfe"} {
		found, unread := complaints(t, folder("roster.csv", roster, "job.yaml", names))
		assert.True(t, unread)
		for _, f := range found {
			assert.Contains(t, f.Where, "roster.csv", "%v", found)
		}
	}
	found, _ := complaints(t, folder("job.yaml", "roster: none.csv\n"+smallTray+"    holds: [krakn]\n"))
	require.Len(t, found, 1, "%v", found)
	for text, rules := range map[string]int{
		"cases: [{name: x, inside: [9, 9, 9], holds: [crab]}]\n":                0,
		"cases: [{name: x, inside: [9, 9, 9], stack: [a]}]\n":                   2,
		"cases: [{name: x, inside: [9, 9, 9]}, {name: y, inside: [9, 9, 9]}]\n": 0,
	} {
		found, _ := complaints(t, folder("roster.csv", header+"crab,1,2,3,4\n", "job.yaml", "roster: roster.csv\n"+text))
		assert.Len(t, found, rules, "%s: %v", text, found)
	}
}

func TestUnknownPieces(t *testing.T) {
	found, unread := complaints(t, folder("roster.csv", contractRoster, "job.yaml", "roster: roster.csv\n"+smallTray+
		`    holds: [krakn, crew]
    pockets:
      - {at: [1, 1], for: krakn}
      - {at: [1, 1], for: krakn, round: 5}
`))
	assert.False(t, unread)
	require.Len(t, found, 2)
	assert.Equal(t, "job.yaml:6:13", found[0].Where)
	assert.Equal(t, "did you mean kraken?", found[0].Hint)
	assert.Equal(t, "job.yaml:8:9", found[1].Where)
	assert.Contains(t, found[1].Message, `no piece "krakn"`)
	assert.Contains(t, found[1].Hint, "did you mean kraken?")
	wellFormed(t, found)
}
