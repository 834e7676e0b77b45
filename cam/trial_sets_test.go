package cam

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/finding"
	"traywright/profiles"
)

// What has a hand set a wire of 2 A hotter or colder, or a blade's A0 elsewhere; and what does not.
func TestCommentsThatSetAWireOrABlade(t *testing.T) {
	for text, sets := range map[string]bool{
		"6A": true, "supply to 2 A, then 2.5 amps": true, "2,5 A": true, "set the current to six": true, "heat it to 400": true, "12 V": true, "2000 mA": true,
		"set the PSU to 6": true, "turn the knob to 9": true, "power: 60 percent": true, "supply to maximum": true, "heat until it glows": true, "the wire red hot": true,
		"six amps": true, "two amps": false, "2 A": false, "wait 10 s until the supply stays at 2 A": false, "wait half an hour with the supply on": false, "pocket 9 of 12": false, "a ramp of 6 mm": false,
	} {
		assert.Equal(t, sets, setsWire("", text, 2), text)
	}
	assert.True(t, aSum.MatchString("06e496ab0f1683701e23f6271db9af0a"), "no current of 0 A")
	assert.False(t, aSum.MatchString("6 A"))
	assert.False(t, aSum.MatchString("6A"), "hexadecimal as well")
	assert.Empty(t, (&sheetWork{}).sets(profiles.Machine{}, "seal of words", "03ea8a587de813b55067e8a28760742a", nil), "of which no job has the key")
	assert.True(t, setsWire("caution", "supply at six amperes", 2))
	assert.True(t, setsWire("caution", "raise the supply", 2))
	assert.False(t, setsWire("caution", "supply isolated, at most 25 V", 2))
	ccw, cw := profiles.Machine{}, profiles.Machine{ACounts: profiles.AClockwise}
	for text, sets := range map[string]bool{
		"A0 along Y": true, "A0 against X": true, "point it left for A=0": true, "A counts clockwise": true, "A0 along -X": true,
		"A zero: edge along Y": true, "point it at yourself and call that A0": true, "a quarter turn, then set A zero": true, "A 0 is toward the operator": true,
		"A0 along X": false, "A0 along X, A counter-clockwise": false, "a left pocket": false, "go back": false,
	} {
		assert.Equal(t, sets, aims(text, ccw), text)
	}
	assert.True(t, aims("A counter-clockwise", cw))
	assert.False(t, aims("A clockwise", cw))
}

// A program that takes more than an hour says its time in other words, which are `cut`'s as well.
func TestTimesOfEveryLengthAreWritten(t *testing.T) {
	for _, seconds := range []float64{0, 59, 61, 3599, 3600, 90_000, -1} {
		text := fmt.Appendf(nil, "(time: %s estimated, not less than %s at the feeds written)\n", finding.Duration(seconds), finding.Duration(seconds))
		assert.Empty(t, (&Tried{trial: Trial{Text: text}}).unwritten(), "%s", text)
	}
	assert.NotEmpty(t, (&Tried{trial: Trial{Text: []byte("(time: take yours)\n")}}).unwritten())
}
