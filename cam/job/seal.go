package job

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"
)

// sealMark begins the line of a written file that tells an edit by hand.
const sealMark = "# text: "

// Digest is a short sum of a text, in hex.
func Digest(text []byte) string {
	s := sha256.Sum256(text)
	return hex.EncodeToString(s[:8])
}

// Seal is a YAML file of a head, lines of comment, and a body, with a line between
// them by which Edited knows a change of either.
func Seal(head string, body []byte) []byte {
	return append([]byte(head+sealMark+Digest(append([]byte(head), body...))+"\n"), body...)
}

// Unseal is what a file was sealed from; false where it was not.
func Unseal(text []byte) (head string, body []byte, ok bool) {
	first, rest, ok := bytes.Cut(text, []byte("\n"+sealMark))
	_, body, _ = bytes.Cut(rest, []byte("\n"))
	return string(first) + "\n", body, ok
}

// Edited reports whether a file that Seal made was changed since; a file of another
// origin counts as edited.
func Edited(text []byte) bool {
	head, rest, ok := bytes.Cut(text, []byte("\n"+sealMark))
	if !ok {
		return true
	}
	mark, body, _ := bytes.Cut(rest, []byte("\n"))
	return strings.TrimSpace(string(mark)) != Digest(slices.Concat(head, []byte("\n"), body))
}
