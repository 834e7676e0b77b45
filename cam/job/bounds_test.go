package job_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/job"
)

// rowsOf is a row again and again, each with its number.
func rowsOf(n int, row string) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "  - "+strings.ReplaceAll(row, "%", "%[1]d")+"\n", i)
	}
	return b.String()
}

// What a job may have of anything, as messages name it: so many are read, one more is told.
func TestBoundsOfAJob(t *testing.T) {
	const head = "game: g\nmachine: bench-router\n"
	const layers = "layers: [{foam: pe-30, thickness: 25}]"
	tray := func(keys string) string {
		return head + "trays:\n- id: a\n  size: [9000, 9000]\n  " + layers + "\n" + keys
	}
	for what, c := range map[string]struct {
		most int
		text func(n int) string
	}{
		"trays": {500, func(n int) string { return head + "trays:\n" + rowsOf(n, "{id: t%, size: [90, 90], "+layers+"}") }},
		"layers": {200, func(n int) string {
			return head + "trays:\n- id: a\n  size: [90, 90]\n  layers:\n" + rowsOf(n, "{foam: pe-30, thickness: %.5}")
		}},
		"cases": {500, func(n int) string {
			return tray("cases:\n") + rowsOf(n, "{name: c%, stack: [a], inside: [9000, 9000, 100]}")
		}},
		"labels": {50, func(n int) string { return tray("  labels:\n") + rowsOf(n, "{text: t%, at: [10, 10], height: 5}") }},
		"emblems": {20, func(n int) string {
			return tray("  emblems:\n") + rowsOf(n, "{picture: p%.png, at: [10, 10], width: 20}")
		}},
		"holds": {1000, func(n int) string { return tray("  holds:\n") + rowsOf(n, "k%") }},
		"pockets": {20_000, func(n int) string {
			return tray(fmt.Sprintf("  pockets:\n  - {at: [10, 10], size: [1, 1], depth: 5, grid: [%d, 1], pitch: [2, 2]}\n  - {at: [10, 10], size: [1, 1], depth: 5}\n", n-1))
		}},
		"copies": {1_000_000, func(n int) string {
			return tray("cases:\n") + fmt.Sprintf("  - {name: c, stack: [a], inside: [9000, 9000, 100], copies: %d}\n", n)
		}},
		"rows":   {20_000, nil},
		"halves": {2, func(n int) string { return tray(fmt.Sprintf("  halves: %d\n", n)) }},
		"turn": {360, func(n int) string {
			return tray(fmt.Sprintf("  pockets:\n  - {at: [10, 10], size: [1, 1], depth: 5, turn: %d}\n", n))
		}},
		"turn of a label": {360, func(n int) string {
			return tray(fmt.Sprintf("  labels: [{text: a, at: [10, 10], height: 5, turn: %d}, {text: b, at: [50, 50], height: 5, turn: -%[1]d}]\n", n))
		}},
		"weight": {100_000, nil},
		"turned": {360, func(n int) string {
			return tray(fmt.Sprintf("  pockets:\n  - {at: [10, 10], size: [1, 1], depth: 5, turn: -%d}\n", n))
		}},
	} {
		told := func(n int) string {
			var files []string
			if c.text == nil {
				files = []string{"job.yaml", withRoster("mm"), "roster.csv", header + strings.ReplaceAll(rowsOf(n, "r%,1,2,3,4"), "  - ", "")}
				if what == "weight" {
					files[3] = fmt.Sprintf("weight_g,%scrab,1,2,3,4\n", header+fmt.Sprint(n)+",")
				}
			} else {
				files = []string{"job.yaml", c.text(n)}
			}
			_, found, err := job.Load(folder(files...), "job.yaml")
			return fmt.Sprint(found, err)
		}
		number := fmt.Sprint(c.most)
		beyond := func(text string) bool {
			return strings.Contains(text, "more than "+number) || strings.Contains(text, "to "+number) || strings.Contains(text, "`halves` is 3")
		}
		assert.False(t, beyond(told(c.most)), "%s: %.300s", what, told(c.most))
		assert.True(t, beyond(told(c.most+1)), "%s: %.300s", what, told(c.most+1))
	}
}
