package profiles

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The least and the most that a row may say, and what is beyond: a slipped point, another
// unit, or what no bench does (a stepover of 1 leaves ridges, a ramp of 90 degrees is a
// plunge, a share above 1 is more than all). Common practice, no source.
func TestNumbersBeyondAnyBenchAreRefused(t *testing.T) {
	inRow := func(text, beside, key, v string) string {
		if i := strings.Index(text, key+": "); i >= 0 {
			end := strings.IndexAny(text[i:], ",}")
			return text[:i] + key + ": " + v + text[i+end:]
		}
		return strings.Replace(text, beside, beside+", "+key+": "+v, 1)
	}
	inFoam := func(key, v string) string { return inRow(foam("", ""), "loose_mm: 2", key, v) }
	inMachine := func(key, v string) string {
		lines := strings.Split(machine("", ""), "\n")
		for i, l := range lines {
			if strings.HasPrefix(l, "  "+key+":") {
				lines[i] = "  " + key + ": " + v
				return strings.Join(lines, "\n")
			}
		}
		return strings.Replace(machine("", ""), "  z_zero", "  "+key+": "+v+"\n  z_zero", 1)
	}
	inRecipe := func(key, v string) string { return inRow(recipe("", ""), "stepdown_mm: 6", key, v) }
	inTool := func(key, v string) string {
		text := machine("", "")
		if i := strings.Index(text, "thin cutter"); strings.Contains(text[i:], key+": ") && key != "shank_mm" {
			j := i + strings.Index(text[i:], key+": ")
			return text[:j] + key + ": " + v + text[j+strings.IndexAny(text[j:], ",}"):]
		}
		return machine("name: thin cutter", "name: thin cutter, "+key+": "+v)
	}
	inController := func(key, v string) string { return inRow(machine("", ""), "{arcs: chords", key, v) }
	for _, rows := range []struct {
		in   func(key, v string) string
		text string // key, below, least, most, above
	}{
		{inFoam, `density_kg_m3 1.9 2 600 601
			least_wall_mm 0.4 0.5 100 101
			least_edge_mm 0.4 0.5 100 101
			loose_mm -0.1 0 50 51
			thicker_mm -0.1 0 20 21
			thinner_mm -0.1 0 20 21
			least_left_mm -0.1 0 20 21`},
		{inMachine, `rapid_mm_per_min 9 10 200000 200001
			max_feed_mm_per_min 9 10 200000 200001
			acceleration_mm_per_s2 0.9 1 100000 100001
			corner_mm -0.1 0 5 5.1
			clearance_mm -0.1 0 200 201
			power_w 0.05 0.1 10000 10001
			wavelength_nm 179 180 20000 20001
			max_rpm 99 100 200000 200001
			zero_mm -0.1 0 10 11
			bed_cut_mm -0.1 0 100 101`},
		{inTool, `diameter_mm 0.005 0.01 100 101
			reach_mm -0.1 0 500 501
			flute_mm 0.05 0.1 500 501
			stickout_mm 0.05 0.1 500 501
			shank_mm -0.1 0 100 101
			collet_mm 0.9 1 200 201
			runout_mm -0.1 0 2 3`},
		{inController, `chord_mm 0.00005 0.0001 1 2
			spin_up_s -0.1 0 60 61
			power_scale 0.5 1 100000 100001
			least_power_percent -0.1 0 90 91
			path_tolerance_mm 0.0005 0.001 0.05 0.06`},
		{inRecipe, `kerf_mm 0.005 0.01 50 51
			kerf_interval_mm -0.1 0 10 10.1
			kerf_off_mm -0.1 0 10 10.1
			feed_mm_per_min 0.9 1 100000 100001
			plunge_mm_per_min 0.9 1 100000 100001
			stepdown_mm 0.04 0.05 200 201
			stepover 0.005 0.01 0.95 1
			rpm 99 100 200000 200001
			finish_mm -0.1 0 10 11
			breakthrough_mm -0.1 0 10 11
			skin_mm -0.1 0 10 11
			tab_count -1 0 100 101
			tab_width_mm -0.1 0 100 101
			tab_height_mm -0.1 0 100 101
			ramp_degrees 0.05 0.1 89 90
			power_percent 0.05 0.1 100 101
			mm_per_pass 0.05 0.1 200 201
			most_mm 0.05 0.1 500 501
			passes 0 1 100 101
			focus_step_mm -0.1 0 50 51
			lead_in_mm -0.1 0 50 51
			corner_radius_mm -0.1 0 50 51
			taper_degrees -0.1 0 45 46
			mark_depth_mm 0.04 0.05 20 21
			mark_share 0.001 0.005 0.5 0.6`},
	} {
		for line := range strings.Lines(rows.text) {
			f := strings.Fields(line)
			for i, v := range f[1:] {
				_, err := with(t, rows.in(f[0], v))
				beyond := fmt.Sprintf("%s is not from %s to %s", v, f[2], f[3])
				assert.Equal(t, i == 0 || i == 3, err != nil && strings.Contains(err.Error(), f[0]) && strings.Contains(err.Error(), beyond), "%s: %s: %v", f[0], v, err)
			}
		}
	}
}
