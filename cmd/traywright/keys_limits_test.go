package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
	"traywright/profiles/strict"
)

// limitsOf are the least and the most that a key's schema names for a bare number.
func limitsOf(t *testing.T, g *strict.Group, key string) (least, most float64, is bool) {
	t.Helper()
	text, err := json.Marshal(g.Schema("")["$defs"].(map[string]any)[g.Name].(map[string]any)["properties"].(map[string]any)[key])
	require.NoError(t, err)
	if strings.Contains(string(text), `"array"`) {
		return 0, 0, false // of lists this says nothing
	}
	found := regexp.MustCompile(`"maximum":([-+.e0-9]+),"minimum":([-+.e0-9]+)`).FindStringSubmatch(string(text))
	if found == nil {
		return 0, 0, false
	}
	_, err = fmt.Sscan(found[2]+" "+found[1], &least, &most)
	require.NoError(t, err)
	return least, most, true
}

// The least and the most that `keys` prints for a number are taken, and what lies beyond is not.
func TestLimitsAreThosePrinted(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Mkdir(filepath.Join(dir, "own"), 0o755))
	beyond := regexp.MustCompile("not from|is more than|is less than|longer than|is no whole number|[`.a-z_]+ is -?[0-9.]+( mm)?$")
	tried := 0
	for _, d := range documents {
		kind, is := kindsOfFile(dir)[d.name]
		if !is {
			continue
		}
		for _, g := range d.keys().Reach() {
			keys, limits := []string{}, map[string][2]float64{}
			for _, r := range g.Rows {
				if least, most, has := limitsOf(t, g, r.Key); has {
					keys, limits[r.Key] = append(keys, r.Key), [2]float64{least, most}
				}
			}
			tried += len(keys)
			together := len(keys)
			if d.name == "job" {
				together = 1 // what can be read is judged only where all can be read
			}
			for some := range slices.Chunk(keys, max(1, together)) {
				for _, beside := range []float64{-1, 0, 1} {
					for end := range 2 {
						lines := []string{}
						for _, key := range some {
							step := math.Ceil(limits[key][1] / 1000)
							lines = append(lines, key+": "+strconv.FormatFloat(limits[key][end]+beside*step, 'f', -1, 64))
						}
						taken := beside == 0 || end == 0 && beside > 0 || end == 1 && beside < 0
						for i, said := range toldOf(t, dir, kind, placeOf[g.Name], lines) {
							if beside == 0 || !taken {
								assert.Equal(t, taken, !beyond.MatchString(said), "%s: %s: %s", g.Name, lines[i], said)
							}
						}
					}
				}
			}
		}
	}
	assert.Greater(t, tried, 60)
}

// whole is a job with a place for one more key in each of its groups.
const whole = `game: Tidewrack
machine: bench-router
roster: roster.csv
case:
  inside: [260, 180, 60]
  #case
cases:
- name: Harbour
  stack: [crew]
  #cases
stock:
  #stock
  sheets:
  - foam: pe-45
    thickness: 50.8
    size: [1000, 500]
    #sheet
trays:
- id: crew
  layers:
  - foam: pe-45
    thickness: 50.8
    #layer
  pockets:
  - at: [40, 40]
    size: [60, 40]
    depth: 20
    #pocket
  - at: [130, 40]
    for: buoy
  labels:
  - at: [30, 120]
    height: 20
    #label
  emblems:
  - picture: mark.svg
    size: [30, 30]
    at: [200, 40]
    #emblem
  #tray
#job
`

// What `keys` prints as a default is what holds where the key is left out: written, it changes
// nothing.
func TestDefaultsAreThosePrinted(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	write("roster.csv", "id,count,length,width,height\nbuoy,1,40,30,20\n")
	write("mark.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="30mm" height="30mm" viewBox="0 0 30 30"><path d="M2 2H28V28H2Z"/></svg>`)
	report := func(text string) string {
		write("job.yaml", text)
		_, out, talk := typed("check", filepath.Join(dir, "job.yaml"), "--json")
		require.NotContains(t, out, `"severity": "error"`, text+talk)
		return out
	}
	plain, tried := report(whole), 0
	literal := regexp.MustCompile(`^(-?[0-9.]+( mm)?|\[1, 1\]|mm|none|auto|sheets|snug|left|mark|false|rect|any)$`)
	for _, g := range job.Keys().Reach() {
		for _, r := range g.Rows {
			if slot := "#" + g.Name + "\n"; literal.MatchString(r.Default) && strings.Contains(whole, slot) {
				if strings.Contains("grid pitch", r.Key) {
					continue // asks for the other
				}
				tried++
				assert.Equal(t, plain, report(strings.Replace(whole, slot, r.Key+": "+r.Default+"\n", 1)), "%s.%s", g.Name, r.Key)
			}
		}
	}
	assert.Greater(t, tried, 25)
}
