package page

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/finding"
	"traywright/cam/process"
	"traywright/geometry/units"
	"traywright/profiles"
)

func TestSettingsInWords(t *testing.T) {
	for _, c := range []struct {
		unit           process.SettingUnit
		value          float64
		in             units.Unit
		text, onItsOwn string
	}{
		{process.PerMinute, 600, units.Millimetre, "feed 600 mm/min", "600 mm/min"},
		{process.PerMinute, 508, units.Inch, "feed 20 in/min", "20 in/min"},
		{process.Millimetres, 8, units.Millimetre, "feed 8 mm", "8 mm"},
		{process.PassCount, 1, units.Millimetre, "1 pass", "1"},
		{process.PassCount, 2.1, units.Millimetre, "3 passes", "3"},
		{process.Percent, 4.5, units.Inch, "4.5 %", "4.5 %"},
		{process.TurnsPerMinute, 18000, units.Inch, "18000 rpm", "18000 rpm"},
	} {
		s := process.Setting{Name: "feed", Number: profiles.Number{Value: c.value}, Unit: c.unit}
		assert.Equal(t, c.text, settingText(s, c.in))
		assert.Equal(t, c.onItsOwn, settingValue(s, c.in))
	}
}

func TestTimesInWords(t *testing.T) {
	for seconds, want := range map[float64]string{210: "about 3 min 30 s, an estimate", 30: "about 30 s, an estimate"} {
		assert.Equal(t, want, about(seconds), seconds)
	}
}

func TestPlural(t *testing.T) {
	assert.Equal(t, []string{"0 pockets", "1 pocket", "2 pockets", "2 passes"}, []string{finding.Counted(0, "pocket"), finding.Counted(1, "pocket"), finding.Counted(2, "pocket"), finding.Counted(2, "pass")})
}

func TestKerfsDistancesAndVolumes(t *testing.T) {
	assert.Equal(t, []string{"3.175 mm", "6 mm", "1/8 in"}, []string{kerfWide(3.175, units.Millimetre), kerfWide(6, units.Millimetre), kerfWide(3.175, units.Inch)})
	assert.Equal(t, []string{"1.23 m", "2.0 ft", "53.7 mm", "1 in", "not known"},
		[]string{Distance(1234, units.Millimetre), Distance(609.6, units.Inch), Distance(53.7, units.Millimetre), Distance(25.4, units.Inch), Distance(1e12, units.Inch)})
	assert.Equal(t, []string{"1.5 cm³", "1.00 in³", "not known"}, []string{Volume(1500, units.Millimetre), Volume(16387.064, units.Inch), Volume(1e15, units.Inch)})
}
