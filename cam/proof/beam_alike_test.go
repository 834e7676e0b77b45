package proof

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/profiles"
)

// A cutter goes down while it turns; a beam moves its focus in the dark. Scales of
// power end at 255 or 1000, and no spindle in foam turns so slowly (common practice).
func TestAlikeOf(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want Alike
	}{
		"a beam":                          {"G21 G90\nM3 S0\nG0 X1 Y1\nG1 X9 S500 F900\nM5\nM2\n", Alike{NeverDown: true, Powers: true, MostS: 500}},
		"a beam, focus lowered between":   {"G21 G90\nG0 Z0\nM4 S500\nG1 X9 F900\nM5\nG0 Z-5\nM4 S500\nG1 X0\nM5\nM2\n", Alike{NeverDown: true, Powers: true, MostS: 500}},
		"a beam that says a speed":        {"G21 G90\nM3 S18000\nG1 X9 F900\nM5\nM2\n", Alike{NeverDown: true, MostS: 18000}},
		"a beam that dips":                {"G21 G90\nG0 Z1\nM3 S500\nG1 Z0 F900\nG1 X9\nM5\nM2\n", Alike{Shallow: true, Powers: true, MostS: 500}},
		"a beam that trembles":            {"G21 G90\nG0 Z1\nM3 S500\nG1 Z0.9 F900\nG1 X9\nM5\nM2\n", Alike{NeverDown: true, Powers: true, MostS: 500}},
		"a router":                        {"G21 G90\nS18000 M3\nG0 X0 Y0 Z5\nG1 Z-5 F400\nG1 X9 F900\nM5\nM2\n", Alike{Turns: true, MostS: 18000}},
		"a router that ramps":             {"G21 G90\nS18000 M3\nG0 X0 Y0 Z5\nG1 X9 Z-5 F400\nM5\nM2\n", Alike{Turns: true, MostS: 18000}},
		"a router in inches":              {"G20 G90\nS12000 M3\nG0 X0 Y0 Z.2\nG1 Z-.25 F20\nG1 X2\nM5\nM2\n", Alike{Turns: true, MostS: 12000}},
		"a knife, which turns nothing":    {"G21 G90\nG0 Z5\nG1 Z-5 F400\nG1 X9\nM2\n", Alike{}},
		"nothing":                         {"", Alike{}},
		"a wire, hot all the way":         {"G21 G90\nG0 X0 Y0\nM3 S40\nG1 X9 F200\nG0 X20\nG1 X30\nM5\nM2\n", Alike{NeverDown: true, Powers: true, HotRapids: true, MostS: 40}},
		"a beam that dips a little":       {"G21 G90\nG0 Z1\nM3 S12000\nG1 Z-0.2 F900\nG1 X9\nM5\nM2\n", Alike{Shallow: true, Turns: true, MostS: 12000}},
		"an engraving":                    {"G21 G90\nG0 Z0\nM3 S12000\nG1 Z-0.9 F900\nG1 X9\nM5\nM2\n", Alike{Shallow: true, Turns: true, MostS: 12000}},
		"a groove of a millimetre":        {"G21 G90\nG0 Z0\nM3 S12000\nG1 Z-1 F900\nG1 X9\nM5\nM2\n", Alike{Turns: true, MostS: 12000}},
		"a beam at the most of its scale": {"G21 G90\nM3 S1000\nG1 X9 F900\nM5\nM2\n", Alike{NeverDown: true, Powers: true, MostS: 1000}},
		"a wire with a cold rapid":        {"G21 G90\nM3 S40\nG1 X9 F200\nG0 X20\nG1 X30\nM5\nG0 X40\nM3\nG1 X50\nM5\nM2\n", Alike{NeverDown: true, Powers: true, MostS: 40}},
		"a wire switched off between":     {"G21 G90\nM3 S40\nG1 X9 F200\nG0 X20\nG1 X30\nM5\nM3\nG1 X50\nM5\nM2\n", Alike{NeverDown: true, Powers: true, MostS: 40}},
		"a beam that leaves lit":          {"G21 G90\nM3 S40\nG1 X9 F200\nG0 X20\nM5\nM2\n", Alike{NeverDown: true, Powers: true, MostS: 40}},
		"rapids only":                     {"G21 G90\nM3 S500\nG0 X5\nM5\nM2\n", Alike{MostS: 500}},
		"what begins below an unsaid top": {"G21 G90\nM3 S18000\nG1 Z-5 F400\nG1 X9\nM5\nM2\n", Alike{Turns: true, MostS: 18000}},
	} {
		assert.Equal(t, c.want, Run("", []byte(c.text), Setup{CellMM: 1}, nil).Alike, name)
	}

	// Where Z0 is on the bed a router's depth counts from the foam's top, and a beam's dip stays one.
	bed := Setup{CellMM: 1, ThicknessMM: 20}
	bed.Machine.ZZero = profiles.ZBed
	router := Run("", []byte("G21 G90\nG0 Z25\nS18000 M3\nG0 X0 Y0\nG1 Z-0.3 F400\nG1 X9\nG0 Z25\nM5\nM2\n"), bed, nil).Alike
	assert.Equal(t, Alike{Turns: true, MostS: 18000}, router)
	dips := Run("", []byte("G21 G90\nG0 Z0.5\nM3 S12000\nG1 Z0 F900\nG1 X9\nM5\nM2\n"), bed, nil).Alike
	assert.True(t, dips.Shallow)
}
