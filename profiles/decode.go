package profiles

import (
	"errors"
	"fmt"
	"maps"
	"slices"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"

	"traywright/geometry/units"
)

// file is a file of profiles as written. Every part may be missing.
type file struct {
	Foams    []foamRow    `yaml:"foams"`
	Machines []machineRow `yaml:"machines"`
	Recipes  []recipeRows `yaml:"recipes"`
	Safety   []safetyRow  `yaml:"safety"`
}

type foamRow struct {
	Foam        `yaml:",inline"`
	Thicknesses []string `yaml:"thicknesses"`
}

type machineRow struct {
	Machine `yaml:",inline"`
}

// recipeRows are the recipes of several foams for one tool.
type recipeRows struct {
	Machine string                       `yaml:"machine"`
	Tool    string                       `yaml:"tool"`
	Source  string                       `yaml:"source"`
	Common  map[string]Number            `yaml:"common"`
	Foams   map[string]map[string]Number `yaml:"foams"`
}

// UnmarshalYAML reads a number with its source, {value: 6, source: ...}, or a
// bare number, which takes the source of its row.
func (n *Number) UnmarshalYAML(node ast.Node) error {
	var row struct {
		Value  float64 `yaml:"value"`
		Source string  `yaml:"source"`
	}
	if _, ok := node.(ast.MapNode); ok {
		if err := yaml.NodeToValue(node, &row, yaml.Strict()); err != nil {
			return err
		}
		*n = Number{row.Value, row.Source}
		return nil
	}
	if err := yaml.NodeToValue(node, &row.Value); err != nil {
		return err
	}
	*n = Number{Value: row.Value}
	return nil
}

// take reads one file into the catalog.
func (c *Catalog) take(name string, text []byte, ours bool) error {
	var f file
	if err := yaml.UnmarshalWithOptions(text, &f, yaml.Strict()); err != nil {
		return decodeError(name, err)
	}
	if len(f.Safety) > 0 && !ours {
		return fmt.Errorf("%s: safety: the safety table cannot be changed; what the owner of a machine allows goes into the shop rules", name)
	}
	for _, row := range f.Foams {
		foam, err := row.foam()
		if err != nil {
			return fmt.Errorf("%s: foam %s: %w", name, row.ID, err)
		}
		c.foams = put(c.foams, foam, func(g Foam) bool { return g.ID == foam.ID })
	}
	for _, row := range f.Machines {
		m := row.Machine
		fillSources(m.numbers(), m.Source)
		c.machines = put(c.machines, m, func(n Machine) bool { return n.ID == m.ID })
	}
	for _, rows := range f.Recipes {
		if err := c.takeRecipes(rows); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
	}
	for _, row := range f.Safety {
		c.safety = append(c.safety, row.verdicts()...)
	}
	return nil
}

// decodeError is a YAML error as FILE:LINE:COLUMN and what is wrong.
func decodeError(name string, err error) error {
	var at yaml.Error
	if errors.As(err, &at) && at.GetToken() != nil && at.GetToken().Position != nil {
		p := at.GetToken().Position
		return fmt.Errorf("%s:%d:%d: %s", name, p.Line, p.Column, at.GetMessage())
	}
	return fmt.Errorf("%s: %w", name, err)
}

func (row foamRow) foam() (Foam, error) {
	foam := row.Foam
	for _, text := range row.Thicknesses {
		l, err := units.Parse(text, units.Millimetre)
		if err != nil {
			return foam, fmt.Errorf("thicknesses: %w", err)
		}
		foam.Thicknesses = append(foam.Thicknesses, l)
	}
	slices.Sort(foam.Thicknesses)
	fillSources([]named{{"density_kg_m3", &foam.DensityKgM3}, {"least_wall_mm", &foam.LeastWallMM},
		{"least_edge_mm", &foam.LeastEdgeMM}, {"loose_mm", &foam.LooseMM}}, foam.Source)
	for _, fit := range slices.Sorted(maps.Keys(foam.Fits)) {
		n := foam.Fits[fit]
		fillSources([]named{{fit, &n}}, foam.Source)
		foam.Fits[fit] = n
	}
	if foam.StockSource == "" {
		foam.StockSource = "trade sizes, from memory"
	}
	return foam, nil
}

// takeRecipes spreads a group over its foams.
func (c *Catalog) takeRecipes(rows recipeRows) error {
	for _, foam := range slices.Sorted(maps.Keys(rows.Foams)) {
		r := Recipe{Foam: foam, Machine: rows.Machine, Tool: rows.Tool, Source: rows.Source}
		for _, numbers := range []map[string]Number{rows.Common, rows.Foams[foam]} {
			if err := r.set(numbers); err != nil {
				return fmt.Errorf("recipe for %s on %s with %s: %w", foam, rows.Machine, rows.Tool, err)
			}
		}
		fillSources(r.numbers(), r.Source)
		c.recipes = put(c.recipes, r, func(s Recipe) bool {
			return s.Foam == r.Foam && s.Machine == r.Machine && s.Tool == r.Tool
		})
	}
	return nil
}

// set gives the recipe the numbers that are named.
func (r *Recipe) set(numbers map[string]Number) error {
	fields := r.numbers()
	for _, key := range slices.Sorted(maps.Keys(numbers)) {
		at := slices.IndexFunc(fields, func(f named) bool { return f.name == key })
		if at < 0 {
			return fmt.Errorf("there is no key %q", key)
		}
		*fields[at].number = numbers[key]
	}
	return nil
}

// named is a number and its key.
type named struct {
	name   string
	number *Number
}

// fillSources gives the row's source to every number that names none.
func fillSources(numbers []named, source string) {
	for _, n := range numbers {
		if n.number.Source == "" {
			n.number.Source = source
		}
	}
}

// numbers are the recipe's numbers by their keys.
func (r *Recipe) numbers() []named {
	return []named{
		{"kerf_mm", &r.KerfMM}, {"feed_mm_per_min", &r.FeedMMPerMin}, {"plunge_mm_per_min", &r.PlungeMMPerMin},
		{"stepdown_mm", &r.StepdownMM}, {"stepover", &r.Stepover}, {"rpm", &r.RPM}, {"finish_mm", &r.FinishMM},
		{"breakthrough_mm", &r.BreakthroughMM}, {"skin_mm", &r.SkinMM}, {"tab_count", &r.TabCount},
		{"tab_width_mm", &r.TabWidthMM}, {"tab_height_mm", &r.TabHeightMM}, {"ramp_degrees", &r.RampDegrees},
		{"power_percent", &r.PowerPercent}, {"passes", &r.Passes}, {"focus_step_mm", &r.FocusStepMM},
		{"lead_in_mm", &r.LeadInMM}, {"corner_radius_mm", &r.CornerRadiusMM}, {"taper_degrees", &r.TaperDegrees},
	}
}

// numbers are the machine's numbers by their keys, its tools' included.
func (m *Machine) numbers() []named {
	list := []named{
		{"travel_mm X", &m.TravelMM[0]}, {"travel_mm Y", &m.TravelMM[1]}, {"travel_mm Z", &m.TravelMM[2]},
		{"rapid_mm_per_min", &m.RapidMMPerMin}, {"max_feed_mm_per_min", &m.MaxFeedMMPerMin},
		{"acceleration_mm_per_s2", &m.AccelerationMMPerS2}, {"corner_mm", &m.CornerMM}, {"clearance_mm", &m.ClearanceMM},
		{"power_w", &m.PowerW}, {"wavelength_nm", &m.WavelengthNM}, {"max_rpm", &m.MaxRPM},
	}
	for i := range m.Tools {
		t := &m.Tools[i]
		list = append(list, named{t.ID + " diameter_mm", &t.DiameterMM}, named{t.ID + " reach_mm", &t.ReachMM}, named{t.ID + " shank_mm", &t.ShankMM})
	}
	return list
}
