package cam

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
)

// Sum is the SHA-256 of a file's bytes, in hex, as files[].sha256 has it.
func Sum(data []byte) string {
	s := sha256.Sum256(data)
	return hex.EncodeToString(s[:])
}

// How a sealed report begins its last line but one, and how every report ends.
const (
	sealKey   = ",\n  \"seal\": \""
	sealEnd   = "\"\n}\n"
	reportEnd = "\n}\n"
)

// seal adds a last key to a report's text, an indented JSON object: the sum of the
// text without it. It tells an edit from what was written; it keeps out nobody who
// means to forge one. A text of another form stays as it is.
func seal(report []byte) []byte {
	body, ok := bytes.CutSuffix(report, []byte(reportEnd))
	if !ok {
		return report
	}
	return append(bytes.Clone(body), sealKey+Sum(report)+sealEnd...)
}

// Sealed reports whether a report's text is just what seal made.
func Sealed(text []byte) bool {
	at := bytes.LastIndex(text, []byte(sealKey))
	if at < 0 {
		return false
	}
	report := append(bytes.Clone(text[:at]), reportEnd...)
	return bytes.Equal(text, seal(report))
}
