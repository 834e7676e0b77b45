package job

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// decode makes text of a file's bytes: UTF-8, with or without a byte-order mark,
// every line ending a line feed. Other encodings are named where that is
// possible.
func (l *log) decode(file string, data []byte) (string, bool) {
	start := Position{File: file, Line: 1, Column: 1}
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		l.CannotRead(start, "encoding", "the file is in UTF-16, not in UTF-8", "save it again as UTF-8")
		return "", false
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(data))
	at := start
	for i, r := range text {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(text[i:], "\ufffd"):
			l.CannotRead(at, "encoding", fmt.Sprintf("the byte 0x%02x is not UTF-8; the file is probably in Latin-1 or Windows-1252", text[i]), "save it again as UTF-8")
			return "", false
		case r != '\n' && r != '\t' && unicode.IsControl(r):
			l.CannotRead(at, "encoding", fmt.Sprintf("there is a control character, U+%04X; the file is no text in UTF-8", r), "save it again as UTF-8")
			return "", false
		case r == '\n':
			at = Position{File: file, Line: at.Line + 1, Column: 1}
		default:
			at.Column++
		}
	}
	return text, true
}

// maxText is the most characters in a name or a label.
const maxText = 200

// line makes one line of a text: white space collapsed, and nothing in it that
// a terminal would obey or that would turn the text around it.
func line(text string) (string, error) {
	text = strings.Join(strings.Fields(text), " ")
	if n := utf8.RuneCountInString(text); n > maxText {
		return "", fmt.Errorf("has %d characters, more than %d", n, maxText)
	}
	for _, r := range text {
		if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == utf8.RuneError {
			return "", fmt.Errorf("has a control character in it, U+%04X", r)
		}
	}
	return text, nil
}

// quote shows a text of the user's in a message: quoted, and not too long.
func quote(text string) string {
	if r := []rune(text); len(r) > 60 {
		text = string(r[:60]) + "..."
	}
	return fmt.Sprintf("%q", text)
}
