package profiles

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// controllerRow is a laser's, whose controller has these keys.
func controllerRow(keys [][2]string) string {
	var list []string
	for _, k := range keys {
		list = append(list, k[0]+": "+k[1])
	}
	return fmt.Sprintf("machines:\n- {id: mine, name: mine, process: laser, source: s, travel_mm: [300, 200, 0], rapid_mm_per_min: 900, max_feed_mm_per_min: 900, acceleration_mm_per_s2: 9,\n"+
		"  corner_mm: 0, clearance_mm: 0, z_zero: top, power_w: 40, wavelength_nm: 10600, controller: {%s}, tools: [{id: spot, number: 1, name: a spot, diameter_mm: 0.2}]}\n", strings.Join(list, ", "))
}

// The ways in which a hint about a controller's key says what to write.
var (
	hintWrite = regexp.MustCompile(`write (\w+): (\[[^\]]*\]|[\w.]+)`)
	hintKnown = regexp.MustCompile(`(?:known are |did you mean )(\w+)`)
	hintLess  = regexp.MustCompile(`(?:write|give) (?:a (?:whole )?number from \d+ to )?(\d+)`)
	hintPut   = regexp.MustCompile(`put (\w+) into start`)
	faultKey  = regexp.MustCompile(`controller\.(\w+)(?:\[(\d+)\])?`)
)

// follow does literally what the last of the faults says.
func follow(t *testing.T, keys [][2]string, text string) [][2]string {
	t.Helper()
	faults := strings.Split(text, "x.yaml:")
	last := faults[len(faults)-1]
	_, hint, ok := strings.Cut(last, "hint: ")
	require.True(t, ok, "no hint: %s", last)
	set := func(key, value string) {
		if i := slices.IndexFunc(keys, func(k [2]string) bool { return k[0] == key }); i >= 0 {
			keys[i][1] = value
			return
		}
		keys = append(keys, [2]string{key, value})
	}
	at := faultKey.FindStringSubmatch(last)
	value := func() string {
		for _, k := range keys {
			if len(at) > 0 && k[0] == at[1] {
				return k[1]
			}
		}
		return ""
	}
	switch write, known, less, put := hintWrite.FindStringSubmatch(hint), hintKnown.FindStringSubmatch(hint), hintLess.FindStringSubmatch(hint), hintPut.FindStringSubmatch(hint); {
	case write != nil:
		set(write[1], write[2])
	case put != nil:
		for i, k := range keys {
			if k[0] == "start" {
				keys[i][1] = strings.Replace(k[1], "[", "["+put[1]+", ", 1)
			}
		}
	case strings.HasPrefix(hint, "take") || strings.HasPrefix(hint, "keep one"):
		require.NotNil(t, at, last)
		keys = slices.DeleteFunc(keys, func(k [2]string) bool { return k[0] == at[1] })
	case known != nil && at != nil && at[2] != "":
		wrong := regexp.MustCompile(`is "([^"]*)"`).FindStringSubmatch(last)
		set(at[1], strings.Replace(value(), wrong[1], known[1], 1))
	case known != nil && at != nil:
		set(at[1], known[1])
	case less != nil && at != nil:
		set(at[1], less[1])
	case strings.Contains(hint, "such as 0.01"):
		set("chord_mm", "0.01")
	default:
		t.Fatalf("nobody could follow: %s", last)
	}
	return keys
}

// What a controller cannot take is refused, and whoever does what the hints say, one after
// the other, has a controller that loads.
func TestHintsOfAControllerWork(t *testing.T) {
	for _, row := range []string{
		"like: small; power_scale: 1000; air: [M7, M9]", "like: small; power_scale: 1000; air_assist: M7", "like: pc; power_scale: 1000; air_assist: M9", "like: pc; power_scale: 1000; air: M8", "like: pc; power_scale: 1000; air: [M9, M7]",
		"like: small; power_scale: 1000; dust: [M8]", "like: small; power_scale: 1000; air: [M7]", "like: pc; power_scale: 1000; air_assist: M8; air: [M8, M9]", "like: drawing; air: [M7, M9]", "like: drawing; air_assist: M8", "like: drawing; start: G90; power_scale: 1000",
		"like: small; power_scale: 1000; start: [G90, G64]", "like: printer; power_scale: 255; end: [M30]", "like: pc; power_scale: 1000; end: [M5]", "like: small; power_scale: 1000; end: M2", "like: pc; power_scale: 1000; start: [G17, G94]",
		"like: pc; power_scale: 1000; longest_line: 260", "like: small; power_scale: 1000; longest_line: 100", "like: small; power_scale: 1000; longest_line: many", "like: pc; power_scale: 1000; units: in; decimals: 3", "like: printer; power_scale: 255; units: in",
		"like: small; power_scale: 1000; axes: [X, Z]", "like: small; power_scale: 1000; axes: X", "like: pc; power_scale: 1000; arcs: chords", "like: small; power_scale: 1000; tool_change: automatic", "like: printer; power_scale: 255; tool_change: manual",
		"like: small; power_scale: 1000; path_tolerance_mm: 0.01", "like: printer; power_scale: 255; comments: brackets", "like: printer; power_scale: 255; spindle_words: joined", "like: pc; power_scale: 1000; dwell_unit: min", "like: pcc; power_scale: 1000", "like: pc",
		"like: pc; power_scale: 1000; laser_on: M5", "like: pc; power_scale: 1000; whole_power: 1", "like: pc; power_scale: 1000; least_power_percent: 95", "like: pc; power_scale: 1000; decimals: 2",
	} {
		var keys [][2]string
		for _, k := range strings.Split(row, "; ") {
			name, text, _ := strings.Cut(k, ": ")
			keys = append(keys, [2]string{name, text})
		}
		_, err := with(t, controllerRow(keys))
		require.Error(t, err, row)
		for range 8 {
			if err == nil {
				break
			}
			keys = follow(t, keys, err.Error())
			_, err = with(t, controllerRow(keys))
		}
		assert.NoError(t, err, "%s -> %v", row, keys)
	}
}
