package plan

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/job"
)

// What is known of a letter is what would come out anew, in whichever order letters and grooves are
// asked for, and of more than are kept.
func TestWhatIsKnownOfALetterIsWhatComesAnew(t *testing.T) {
	m := newMaker(Input{Job: &job.Job{}})
	r := rand.New(rand.NewPCG(21, 3))
	letters, fine := []rune("ABGKMQRWaegmsw8&é"), 0
	for n := range 300 {
		if n == 200 { // it is full
			fineStrokes.Lock()
			for i := range mostStrokes - len(fineStrokes.known) {
				fineStrokes.known[strokeKey{rune(-i - 1), 1, m.TolMM}] = true
			}
			fineStrokes.Unlock()
		}
		letter, share := letters[r.IntN(len(letters))], float64(1+r.IntN(16))/32
		anew := m.strokeFineAnew(letter, share)
		require.Equal(t, anew, m.strokeFine(letter, share), "%c %v", letter, share)
		if anew {
			fine++
		}
	}
	assert.Less(t, len(fineStrokes.known), 300)
	assert.Greater(t, min(fine, 300-fine), 50)
}
