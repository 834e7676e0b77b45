package arrange

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
)

// Every key that a tray, a pocket, a label, an emblem and a case can have, once
// with a value and once without, as README's tables name them.
func TestWriteEveryKey(t *testing.T) {
	j := bench(piece("crab", "g", 2, 20, 10, 5, job.Lying), piece("off", "g", 1, 20, 10, 5, job.Lying))
	j.Roster[0].Name = "Crab  of\nstone"
	j.ShopRules = "rules.yaml"
	whole := tray("whole")
	whole.Label, whole.Halves, whole.Cut, whole.NoBridges, whole.LeaveTight, whole.Tool = "{game}", 2, job.Block, true, true, "flat-3"
	whole.Pockets = []job.Pocket{
		{For: "crab", X: mm, Y: 2 * mm, Shape: job.SizeShape, Length: 3 * mm, Width: 4 * mm, Corner: mm / 2, Depth: 5 * mm, Columns: 2, Rows: 1,
			PitchX: 6 * mm, Turn: 7.5, Relief: job.TBone, Notch: job.North | job.West, NotchWidth: 8 * mm, NotchReach: 9 * mm, Fit: "snug", Tool: "flat-6"},
		{For: "off", X: mm, Y: 2 * mm, Shape: job.RoundShape, Diameter: 3 * mm, Through: true, Columns: 1, Rows: 1, Fit: whole.Fit, Tool: whole.Tool},
		{X: mm, Shape: job.SlotShape, Length: 3 * mm, Width: 2 * mm, Columns: 1, Rows: 3, PitchY: 4 * mm, Relief: job.Dogbone, Notch: job.East | job.South},
		{X: mm, Shape: job.OutlineShape, OutlineFile: "ray 1.svg"},
	}
	whole.Labels = []job.Label{
		{Making: job.Making{X: mm, Y: 2 * mm}},
		{Making: job.Making{X: mm, Turn: 90, Make: job.Outlined, Tool: "flat-6"}, Text: "yes", Height: 3 * mm, BoxLength: 4 * mm, BoxWidth: 5 * mm,
			Font: "strokes", Align: job.AlignCenter, Arc: 6 * mm, Spacing: 0, SpacingGiven: true},
	}
	whole.Emblems = []job.Emblem{
		{Making: job.Making{Make: job.Cut, Depth: 2 * mm}, Picture: job.Picture{File: "a.png", Length: 7 * mm}},
		{Making: job.Making{Make: job.Cut, Through: true}, Picture: job.Picture{File: "a.png", Width: 8 * mm, Threshold: 0.5, Invert: true}},
		{Picture: job.Picture{File: "a.png", Length: 7 * mm, Width: 8 * mm}},
	}
	plain := job.Tray{ID: "plain", Length: 250 * mm, Width: 190 * mm, Halves: 1, Layers: layers(inch, inch/4)[:1]}
	j.Trays = []job.Tray{whole, plain}
	j.Cases = []job.Case{{Name: "Gull Watch", Copies: 2, Inside: inside(40 * mm), Stack: []string{"plain"}}, {Name: "on", Copies: 1, Inside: job.Inside{Length: mm, Width: 2 * mm, Height: 3 * mm}}}
	_, body, _ := strings.Cut(string(Write(j, j, "router")), "\n\n")
	assert.Equal(t, `game: "Tidewrack"
units: mm
roster: "roster.csv"
machine: bench-router
shop_rules: "rules.yaml"

trays:
  # 250 mm x 190 mm, 7 pockets
  - id: whole
    label: "{game}"
    size: [250, 190]
    corner: 8
    ease: 1
    layers:
      - {foam: pe-30, thickness: 25.4}
      - {foam: pe-45, thickness: 6.35}
    wall: 6
    edge: 10
    fit: easy
    halves: 2
    cut: block
    bridges: none
    tight_corners: left
    tool: flat-3
    labels:
      - {at: [1, 2]}
      - {text: "yes", at: [1, 0], height: 3, box: [4, 5], font: strokes, align: center, arc: 6, spacing: 0, turn: 90, make: outline, tool: flat-6}
    emblems:
      - {picture: "a.png", at: [0, 0], width: 7, make: 2}
      - {picture: "a.png", at: [0, 0], height: 8, threshold: 0.5, invert: true, make: through}
      - {picture: "a.png", at: [0, 0], size: [7, 8]}
    pockets:
      - {for: crab, at: [1, 2], size: [3, 4], corner: 0.5, depth: 5, grid: [2, 1], pitch: [6, 0], turn: 7.5, relief: tbone, notch: [n, w], notch_width: 8, notch_reach: 9, fit: snug, tool: flat-6} # 2 x Crab of stone
      - {for: "off", at: [1, 2], round: 3, depth: through} # off
      - {at: [1, 0], slot: [3, 2], grid: [1, 3], pitch: [0, 4], relief: dogbone, notch: [e, s]}
      - {at: [1, 0], outline: "ray 1.svg"}
  # 250 mm x 190 mm, 0 pockets
  - id: plain
    corner: 0
    ease: 0
    layers:
      - {foam: pe-30, thickness: 25.4}

cases:
  - name: "Gull Watch"
    copies: 2
    inside: [250, 190, 40]
    corner: 8
    ease: 1
    stack: [plain] # top to bottom
  - name: "on"
    inside: [1, 2, 3]
    stack: [] # top to bottom
`, body)
}

// A length in inches that has no short form is written in millimetres, exact.
func TestWriteLengthsExactly(t *testing.T) {
	w := writer{unit: 1}
	assert.Equal(t, "1/4", w.length(inch/4))
	assert.Equal(t, "1 1/2", w.length(inch*3/2))
	assert.Equal(t, "6 mm", w.length(6*mm))
	w.unit = 0
	assert.Equal(t, "0.000001", w.length(1))
}
