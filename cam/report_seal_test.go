package cam

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"traywright/cam/finding"
)

// FIPS 180-4 as its example gives it: the sum of "abc".
func TestSumIsSHA256(t *testing.T) {
	assert.Equal(t, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", Sum([]byte("abc")))
}

func sealedReport(t *testing.T) []byte {
	text, err := Report{SchemaVersion: SchemaVersion, Findings: finding.List{}}.JSON()
	require.NoError(t, err)
	return text
}

func TestASealedReportIsStillOneDocument(t *testing.T) {
	text := sealedReport(t)
	require.True(t, Sealed(text))
	var read map[string]any
	require.NoError(t, json.Unmarshal(text, &read))
	assert.Len(t, read["seal"], 64)
	assert.False(t, Sealed(nil))
	assert.False(t, Sealed([]byte("{\n}\n")))
	assert.Equal(t, []byte("no report"), seal([]byte("no report")))
}

// Whatever is changed, taken out or put in, the seal tells.
func TestASealTellsEveryEdit(t *testing.T) {
	text := sealedReport(t)
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.IntRange(0, len(text)).Draw(t, "at")
		gone := rapid.IntRange(0, len(text)-at).Draw(t, "gone")
		put := rapid.SliceOfN(rapid.Byte(), 0, 8).Draw(t, "put")
		edited := append(append(bytes.Clone(text[:at]), put...), text[at+gone:]...)
		if !bytes.Equal(edited, text) && Sealed(edited) {
			t.Fatalf("an edit passes: %q", edited)
		}
	})
}
