package job_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

func mmOf(x float64) units.Length { return units.Length(x * 1e6) }

// labelled is a small tray with labels and emblems, as they stand between the
// brackets.
func labelled(labels, emblems string) string {
	return smallTray + "    labels: [" + labels + "]\n    emblems: [" + emblems + "]\n"
}

func TestLabels(t *testing.T) {
	j := mustLoad(t, folder("job.yaml", labelled(
		`{text: "{tray}", at: [12, 4], height: 6 mm},
		 {at: [1/2 in, -4], height: 20, font: go-bold, align: center, make: outline, turn: 90, arc: -40, tool: fine},
		 {at: [0, 0], box: [60, 8], font: fonts/Harbour.TTF, align: right, make: through, spacing: 0},
		 {at: [0, 0], box: [60, 8], height: 12, make: 2.5 mm}`,
		`{picture: art/anchor.svg, at: [3, 4], width: 40, turn: 15},
		 {picture: kraken.png, at: [3, 4], size: [40, 30], make: through, invert: true, threshold: 40 %},
		 {picture: kraken.jpg, at: [3, 4], height: 30, make: 1/8 in, threshold: 0.25}`)))
	at := func(x, y float64) job.Making { return job.Making{X: mmOf(x), Y: mmOf(y)} }
	bold, strokes, cut, deep := at(12.7, -4), at(12, 4), at(0, 0), at(0, 0)
	bold.Make, bold.Turn, bold.Tool = job.Outlined, 90, "fine"
	cut.Make, cut.Through = job.Cut, true
	deep.Make, deep.Depth = job.Cut, mmOf(2.5)
	assert.Equal(t, []job.Label{
		{Making: strokes, Text: "{tray}", Height: 6 * mm, Font: "strokes"},
		{Making: bold, Height: 20 * mm, Font: "go-bold", Align: job.AlignCenter, Arc: -40 * mm},
		{Making: cut, BoxLength: 60 * mm, BoxWidth: 8 * mm, FontFile: "fonts/Harbour.TTF", Align: job.AlignRight, SpacingGiven: true},
		{Making: deep, BoxLength: 60 * mm, BoxWidth: 8 * mm, Height: 12 * mm, Font: "go-bold"},
	}, unplacedLabels(j.Trays[0].Labels))
	turned, holes, eighth := at(3, 4), at(3, 4), at(3, 4)
	turned.Turn = 15
	holes.Make, holes.Through = job.Cut, true
	eighth.Make, eighth.Depth = job.Cut, mmOf(3.175)
	assert.Equal(t, []job.Emblem{
		{Making: turned, Picture: job.Picture{File: "art/anchor.svg", Length: 40 * mm}},
		{Making: holes, Picture: job.Picture{File: "kraken.png", Length: 40 * mm, Width: 30 * mm, Threshold: 0.4, Invert: true}},
		{Making: eighth, Picture: job.Picture{File: "kraken.jpg", Width: 30 * mm, Threshold: 0.25}},
	}, unplacedEmblems(j.Trays[0].Emblems))
}

func unplacedLabels(list []job.Label) []job.Label {
	for i := range list {
		list[i].Position = finding.Position{}
	}
	return list
}

func unplacedEmblems(list []job.Emblem) []job.Emblem {
	for i := range list {
		list[i].Position = finding.Position{}
	}
	return list
}

// A label in tray_defaults is every tray's that has none of its own.
func TestLabelsAsDefaults(t *testing.T) {
	j := mustLoad(t, folder("job.yaml", `tray_defaults:
  size: [100, 80]
  layers: [{foam: pe-30, thickness: 1 in}]
  labels: [{text: "{tray}", at: [12, 4], height: 6}]
trays:
  - id: crew
  - {id: stores, labels: [{at: [1, 1], height: 9}, {at: [1, 20], height: 9}]}
  - {id: bare, labels: []}
`))
	assert.Len(t, j.Trays[0].Labels, 1)
	assert.Equal(t, "job.yaml:4:12", j.Trays[0].Labels[0].Position.String())
	assert.Len(t, j.Trays[1].Labels, 2)
	assert.Empty(t, j.Trays[2].Labels)
	j.Trays[0].Labels[0].Text = "changed"
	assert.Equal(t, "{tray}", j.Defaults.Labels[0].Text, "nothing is shared")
}

var wrongLabels = []struct{ labels, emblems, rule, where, message, hint string }{
	{"{height: 6}", "", "label-without-place", "5:14", "no `at`", "base line"},
	{"{at: [1, 1]}", "", "label-without-height", "5:14", "neither `height` nor `box`", "box: ["},
	{"{at: [1, 1], height: 0}", "", "size-too-small", "5:35", "`height` is 0 mm", "above 0"},
	{"{at: [1, 1], box: [1, -1]}", "", "size-too-small", "5:36", "the width of `box`", "above 0"},
	{"{at: [1, 1], height: 6, arc: 0}", "", "arc-without-radius", "5:43", "`arc` is 0", "radius"},
	{"{at: [1, 1], height: 6, align: centre}", "", "unknown-word", "5:45", `"centre"`, "did you mean center?"},
	{"{at: [1, 1], height: 6, make: engrave}", "", "unknown-word", "5:44", `"engrave"`, "known are mark, outline, through; or write a depth"},
	{"{at: [1, 1], height: 6, make: throgh}", "", "unknown-word", "5:44", `"throgh"`, "did you mean through?"},
	{"{at: [1, 1], height: 6, make: -1 mm}", "", "size-too-small", "5:44", "the depth of `make` is -1 mm", "above 0"},
	{"{at: [1, 1], height: 6, font: ../x.ttf}", "", "outside-folder", "5:44", "outside the job's folder", "beside the job"},
	{"{at: [1, 1], height: 6, text: \"{grup}\"}", "", "unknown-placeholder", "5:44", "{grup}", "did you mean {group}?"},
	{"{at: [1, 1], height: 6, text: \"{}\"}", "", "unknown-placeholder", "5:44", `"{}"`, "{group}"},
	{"{at: [1, 1], height: 6, text: \"a } b\"}", "", "open-brace", "5:44", "partner", "{group}"},
	{"", "{at: [1, 1], width: 4}", "emblem-without-picture", "6:15", "no `picture`", "anchor.svg"},
	{"", "{picture: a.png, width: 4}", "emblem-without-place", "6:15", "no `at`", "lower-left"},
	{"", "{picture: a.png, at: [1, 1]}", "emblem-without-size", "6:15", "no size", "`width: 40 mm`"},
	{"", "{picture: a.png, at: [1, 1], width: 4, height: 4}", "several-sizes", "6:62", "more than one size", "keep one"},
	{"", "{picture: /etc/passwd, at: [1, 1], width: 4}", "outside-folder", "6:25", "outside", "beside the job"},
	{"", "{picture: a.png, at: [1, 1], width: 4, threshold: 1}", "threshold-out-of-range", "6:65", `"1"`, "0.4 or 40 %"},
	{"", "{picture: a.png, at: [1, 1], width: 4, invert: yes}", "unknown-word", "6:62", `"yes"`, "true"},
	{"", "{picture: a.png, at: [1, 1], width: 4, make: outlines}", "unknown-word", "6:60", `"outlines"`, "did you mean outline?"},
}

func TestWrongLabels(t *testing.T) {
	for _, c := range wrongLabels {
		t.Run(c.rule, func(t *testing.T) {
			found, unread := complaints(t, folder("job.yaml", labelled(c.labels, c.emblems)))
			assert.False(t, unread, "%v", found)
			require.Len(t, found, 1, "%v", found)
			wellFormed(t, found)
			f := found[0]
			assert.True(t, found.Failed())
			assert.Equal(t, []string{c.rule, "job.yaml:" + c.where}, []string{f.Rule, f.Where}, "%v", f)
			assert.Contains(t, f.Message, c.message)
			assert.Contains(t, f.Hint, c.hint)
		})
	}
}

func TestUnreadableLabels(t *testing.T) {
	for _, c := range []struct{ labels, emblems, rule string }{
		{"{at: [1], height: 6}", "", "wrong-type"},
		{"{at: [1, 1], heigth: 6}", "", "unknown-key"},
		{"{at: [1, 1], height: tall}", "", "bad-length"},
		{"{at: [1, 1], height: 6, make: 3 furlongs}", "", "bad-length"},
		{"{at: [1, 1], height: 6, make: [1]}", "", "wrong-type"},
		{"{at: [1, 1], height: 6, turn: 361}", "", "bad-number"},
		{"{at: [1, 1], height: 6, text: ''}", "", "missing-value"},
		{"{at: [1, 1], height: 6, text: " + strings.Repeat("x", 10_000) + "}", "", "bad-text"},
		{`{at: [1, 1], height: 6, text: "a\u202eb"}`, "", "bad-text"},
		{"", "{picture: a.png, at: [1, 1], width: 4, threshold: dark}", "bad-number"},
		{"", "{pictures: a.png}", "unknown-key"},
	} {
		found, unread := complaints(t, folder("job.yaml", labelled(c.labels, c.emblems)))
		assert.True(t, unread, "%+v", found)
		require.Len(t, found, 1, "%v", found)
		assert.Equal(t, c.rule, found[0].Rule, "%v", found)
		wellFormed(t, found)
	}
}

// A label that is almost a name says where, and what was meant.
func TestMisspeltNames(t *testing.T) {
	text := `game: Tidewrack
roster: roster.csv
case: {inside: [100, 80, 50]}
tray_defaults: {layers: [{foam: pe-30, thickness: 1 in}], label: "Tidewrak {tray}"}
trays:
  - id: stores
    labels: [{text: "Gull Wacht", at: [1, 1], height: 6}]
  - id: crew
    label: "The deckhnads of {case}"
    labels: [{text: "krakens, crew, GULL WATCH", at: [1, 1], height: 6}]
cases: [{name: Gull Watch, stack: [stores, crew]}]
`
	j, found, err := job.Load(folder("job.yaml", text, "roster.csv", contractRoster), "job.yaml")
	require.NoError(t, err)
	require.NotNil(t, j)
	require.Len(t, found, 3, "%v", found)
	wellFormed(t, found)
	assert.False(t, found.Failed())
	assert.Equal(t, finding.Finding{
		Severity: finding.Warning, Rule: "name-misspelt", Where: "job.yaml:4:66",
		Message: `the label "Tidewrak {tray}": "tidewrak" is almost the game "Tidewrack"`,
		Hint:    `did you mean "Tidewrack"? Write {game}, and it is spelt as the job has it`,
	}, found[0])
	assert.Equal(t, "job.yaml:7:21", found[1].Where)
	assert.Contains(t, found[1].Hint, `did you mean "Gull Watch"? Write {case}`)
	assert.Equal(t, "job.yaml:9:12", found[2].Where)
	assert.Contains(t, found[2].Hint, `did you mean "deckhand"?`)
}
