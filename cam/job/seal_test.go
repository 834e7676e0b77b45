package job

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestEdited(t *testing.T) {
	text := Seal("# a file\n", []byte("trays:\n  - id: crew\n"))
	assert.False(t, Edited(text))
	assert.True(t, Edited(nil))
	assert.True(t, Edited([]byte("trays: []\n")))
	assert.True(t, Edited(append(text, '#')))
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.IntRange(0, len(text)-1).Draw(t, "at")
		edited := bytes.Clone(text)
		edited[at] = rapid.Byte().Draw(t, "put")
		if !bytes.Equal(edited, text) && !Edited(edited) {
			t.Fatalf("an edit passes: %q", edited)
		}
	})
}
