package profiles

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
)

var idPattern = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,39}$`)

// check refuses a catalog in which a number has no source or cannot be meant.
func (c *Catalog) check() error {
	for _, f := range c.foams {
		if err := f.check(); err != nil {
			return fmt.Errorf("foam %q: %w", f.ID, err)
		}
	}
	for i := range c.machines {
		if err := c.machines[i].check(); err != nil {
			return fmt.Errorf("machine %q: %w", c.machines[i].ID, err)
		}
	}
	for i := range c.recipes {
		if err := c.checkRecipe(&c.recipes[i]); err != nil {
			r := c.recipes[i]
			return fmt.Errorf("recipe for %q on %q with %q: %w", r.Foam, r.Machine, r.Tool, err)
		}
	}
	for _, v := range c.safety {
		if !slices.Contains([]Answer{Refused, OwnerWord, Caution, Allowed}, v.Answer) || v.Reason == "" || v.Source == "" {
			return fmt.Errorf("safety of %s under %s: needs an answer (refused, owner, caution, allowed), a reason and a source", v.Kind, v.Process)
		}
	}
	return nil
}

// within says what is wrong with a number that must lie between two others.
func within(key string, n Number, low, high float64) error {
	switch {
	case math.IsNaN(n.Value) || n.Value < low || n.Value > high:
		return fmt.Errorf("%s: %v is not between %v and %v", key, n.Value, low, high)
	case n.Source == "":
		return fmt.Errorf("%s: has no source; write where the number is from, or `starting value, measure your own`", key)
	}
	return nil
}

func (f Foam) check() error {
	if !idPattern.MatchString(f.ID) {
		return errors.New("an id is made of a-z, 0-9 and -")
	}
	if f.Kind == "" {
		return errors.New("kind: is missing; it is the foam's chemistry, or `unknown`")
	}
	for _, l := range f.Thicknesses {
		if l <= 0 || l.MM() > 1000 {
			return fmt.Errorf("thicknesses: %v is no thickness of a sheet", l)
		}
	}
	errs := []error{
		within("density_kg_m3", f.DensityKgM3, 1, 2000), within("least_wall_mm", f.LeastWallMM, 0, 100),
		within("least_edge_mm", f.LeastEdgeMM, 0, 100), within("loose_mm", f.LooseMM, 0, 100),
	}
	for _, fit := range []string{"tight", "snug", "easy"} {
		n, ok := f.Fits[fit]
		if !ok {
			errs = append(errs, fmt.Errorf("fits: %s is missing", fit))
			continue
		}
		errs = append(errs, within("fits "+fit, n, -50, 50))
	}
	return errors.Join(errs...)
}

func (m *Machine) check() error {
	if !idPattern.MatchString(m.ID) {
		return errors.New("an id is made of a-z, 0-9 and -")
	}
	if !slices.Contains(Processes(), m.Process) {
		return fmt.Errorf("process: %q is none of laser, hot-wire, router, knife", m.Process)
	}
	if m.ZZero != ZTop && m.ZZero != ZBed {
		return fmt.Errorf("z_zero: %q is neither top nor bed", m.ZZero)
	}
	if len(m.Tools) == 0 {
		return errors.New("tools: the machine has none")
	}
	return errors.Join(m.checkController(), m.checkTools(), m.checkNumbers())
}

func (m *Machine) checkController() error {
	c := m.Controller
	switch {
	case !slices.Contains([]string{"none", "manual", "automatic"}, c.ToolChange):
		return fmt.Errorf("controller tool_change: %q is none of none, manual, automatic", c.ToolChange)
	case !slices.Contains([]string{"", "M7", "M8"}, c.AirAssist):
		return fmt.Errorf("controller air_assist: %q is neither M7 nor M8", c.AirAssist)
	case !c.Arcs && !(c.ChordMM >= 0.0001 && c.ChordMM <= 1):
		return errors.New("controller chord_mm: a controller without arcs needs a chord error between 0.0001 and 1")
	case m.Process == Laser && !(c.PowerScale >= 1 && c.PowerScale <= 100000):
		return errors.New("controller power_scale: a laser needs the S word of full power, 1 to 100000")
	}
	return nil
}

func (m *Machine) checkTools() error {
	seen := map[int]bool{}
	for _, t := range m.Tools {
		switch {
		case !idPattern.MatchString(t.ID):
			return fmt.Errorf("tool %q: an id is made of a-z, 0-9 and -", t.ID)
		case t.Number < 0 || t.Number > 99999 || seen[t.Number]:
			return fmt.Errorf("tool %s: its number must be its own, 0 to 99999", t.ID)
		}
		seen[t.Number] = true
		if err := within("tool "+t.ID+" diameter_mm", t.DiameterMM, 0.001, 100); err != nil {
			return err
		}
		if err := within("tool "+t.ID+" reach_mm", t.ReachMM, 0, 1000); err != nil {
			return err
		}
	}
	return nil
}

func (m *Machine) checkNumbers() error {
	errs := []error{
		within("travel_mm X", m.TravelMM[0], 1, 100000), within("travel_mm Y", m.TravelMM[1], 1, 100000),
		within("travel_mm Z", m.TravelMM[2], 0, 10000),
		within("rapid_mm_per_min", m.RapidMMPerMin, 1, 1e6), within("max_feed_mm_per_min", m.MaxFeedMMPerMin, 1, 1e6),
		within("acceleration_mm_per_s2", m.AccelerationMMPerS2, 1, 1e6),
		within("corner_mm", m.CornerMM, 0, 10), within("clearance_mm", m.ClearanceMM, 0, 500),
	}
	switch m.Process {
	case Router:
		errs = append(errs, within("max_rpm", m.MaxRPM, 1, 1e6), within("clearance_mm", m.ClearanceMM, 0.5, 500))
	case Laser:
		errs = append(errs, within("power_w", m.PowerW, 0.001, 1e5), within("wavelength_nm", m.WavelengthNM, 100, 20000))
	}
	return errors.Join(errs...)
}

// checkRecipe wants the foam, machine and tool to be known, and the numbers
// that the process takes.
func (c *Catalog) checkRecipe(r *Recipe) error {
	m, ok := c.Machine(r.Machine)
	if !ok {
		return errors.New("there is no such machine")
	}
	if _, ok := m.Tool(r.Tool); !ok {
		return errors.New("the machine has no such tool")
	}
	if _, ok := c.Foam(r.Foam); !ok {
		return errors.New("there is no such foam")
	}
	errs := []error{
		within("kerf_mm", r.KerfMM, 0.01, 100), within("feed_mm_per_min", r.FeedMMPerMin, 1, 1e6),
		within("breakthrough_mm", r.BreakthroughMM, 0, 20), within("corner_radius_mm", r.CornerRadiusMM, 0, 50),
	}
	switch m.Process {
	case Router:
		errs = append(errs, within("plunge_mm_per_min", r.PlungeMMPerMin, 1, 1e6), within("stepdown_mm", r.StepdownMM, 0.05, 200),
			within("stepover", r.Stepover, 0.05, 0.9), within("rpm", r.RPM, 1, m.MaxRPM.Value), within("finish_mm", r.FinishMM, 0, 10),
			within("skin_mm", r.SkinMM, 0, 20), within("tab_count", r.TabCount, 0, 100), within("ramp_degrees", r.RampDegrees, 0.5, 45))
	case Laser:
		errs = append(errs, within("power_percent", r.PowerPercent, 0.1, 100), within("passes", r.Passes, 1, 100),
			within("focus_step_mm", r.FocusStepMM, 0, 50), within("lead_in_mm", r.LeadInMM, 0, 50))
	}
	return errors.Join(errs...)
}
