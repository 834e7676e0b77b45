package page

import (
	"fmt"
	"math"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/process"
	"traywright/geometry/units"
	"traywright/profiles"
)

// settingsOf are the numbers of a recipe that a page shows, in the order that
// its process has them; none for a process without cutting paths.
func settingsOf(m profiles.Machine, r profiles.Recipe) []process.Setting {
	door, ok := process.For(m.Process)
	if !ok {
		return nil
	}
	return door.Settings(r)
}

// settingValue is a setting's number with its unit.
func settingValue(s process.Setting, u units.Unit) string {
	switch v := s.Number.Value; s.Unit {
	case process.PerMinute:
		return Length(v, u) + "/min"
	case process.PassCount:
		return fmt.Sprintf("%.0f", math.Ceil(v))
	case process.KerfMillimetres:
		return kerfWide(v, u)
	case process.Percent:
		return fmt.Sprintf("%g %%", math.Round(v*100)/100)
	case process.TurnsPerMinute:
		return fmt.Sprintf("%g rpm", v)
	case process.Seconds:
		return fmt.Sprintf("%g s", v)
	case process.Amperes:
		return fmt.Sprintf("%g A", v)
	default:
		return Length(v, u)
	}
}

// settingText is a setting within a sentence: a unit that stands for one thing
// alone needs no name.
func settingText(s process.Setting, u units.Unit) string {
	switch s.Unit {
	case process.PassCount:
		return finding.Counted(int(math.Ceil(s.Number.Value)), "pass")
	case process.Percent, process.TurnsPerMinute:
		return settingValue(s, u)
	default:
		return s.Name + " " + settingValue(s, u)
	}
}

// sourcesOf says where numbers come from, those of one source together.
func sourcesOf(settings []process.Setting) []string {
	var sources []string
	names := map[string][]string{}
	for _, s := range settings {
		source := s.Number.Source
		if s.Name != "kerf" { // a recipe's source begins with the kerf that was measured at another feed
			source = profiles.SettingsSource(source)
		}
		if source == "" {
			continue
		}
		if names[source] == nil {
			sources = append(sources, source)
		}
		names[source] = append(names[source], s.Name)
	}
	for i, source := range sources {
		sources[i] = strings.Join(names[source], ", ") + ": " + source
	}
	return sources
}
