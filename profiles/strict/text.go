package strict

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"traywright/cam/finding"
)

// Text makes text of a file's bytes: UTF-8, with or without a byte-order mark,
// every line ending a line feed. Other encodings are named where that is
// possible. It is false, with a finding, when the bytes are no such text or more
// than MostBytes; smaller is the hint then.
func Text(log *finding.Log, file string, data []byte, smaller string) (string, bool) {
	start := finding.Start(file)
	if len(data) > MostBytes {
		log.CannotRead(start, "file-too-large", fmt.Sprintf("the file is larger than %d MiB", MostBytes>>20), smaller)
		return "", false
	}
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) {
		log.CannotRead(start, "encoding", "the file is in UTF-16, not in UTF-8", "save it again as UTF-8")
		return "", false
	}
	if NoText(data) != "" {
		log.CannotRead(start, "encoding", "the file is a picture, a PDF or an archive, and no text", "name the text file; of a spreadsheet, save it as CSV")
		return "", false
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(string(data))
	at := start
	for i, r := range text {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(text[i:], "\ufffd"):
			log.CannotRead(at, "encoding", fmt.Sprintf("the byte 0x%02x is not UTF-8; the file is probably in Latin-1 or Windows-1252", text[i]), "save it again as UTF-8")
			return "", false
		case r != '\n' && r != '\t' && unicode.IsControl(r):
			log.CannotRead(at, "encoding", fmt.Sprintf("there is a control character, U+%04X; the file is no text in UTF-8", r), "save it again as UTF-8")
			return "", false
		case r == '\n':
			at = finding.Position{File: file, Line: at.Line + 1, Column: 1}
		default:
			at.Column++
		}
	}
	return text, true
}

// noTexts are how files begin that are no text; none of them is how a text of ours may.
var noTexts = []struct{ with, what string }{
	{"\x89PNG", "a picture (PNG)"}, {"\xff\xd8\xff", "a picture (JPEG)"}, {"GIF8", "a picture (GIF)"},
	{"II*\x00", "a picture (TIFF)"}, {"MM\x00*", "a picture (TIFF)"}, {"\x00\x00\x00\x18ftyp", "a picture (HEIC)"},
	{"%PDF-", "a PDF"}, {"PK\x03\x04", "an archive, or a table of a spreadsheet"}, {"\x1f\x8b", "an archive"},
}

// NoText says what a file is that is no text, as far as its first bytes tell; "" for all others.
func NoText(data []byte) string {
	for _, b := range noTexts {
		if bytes.HasPrefix(data, []byte(b.with)) {
			return b.what
		}
	}
	return ""
}

// line makes one line of a text: white space collapsed, and nothing in it that a
// terminal would obey or that would turn the text around it.
func line(text string, longest int) (string, error) {
	text = strings.Join(strings.Fields(text), " ")
	if n := utf8.RuneCountInString(text); n > longest {
		return "", fmt.Errorf("has %d characters, more than %d", n, longest)
	}
	for _, r := range text {
		if control(r) {
			return "", fmt.Errorf("has a control character in it, U+%04X", r)
		}
	}
	return text, nil
}

// control is what must never reach a terminal, a program or a page: control
// characters, and those that turn the direction of the text around them.
func control(r rune) bool {
	return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == utf8.RuneError
}

// Shown is a text as a terminal may have it, line feeds and tabs left in: what must never
// reach one stands there as its number, \u001b.
func Shown(text string) string {
	if !strings.ContainsFunc(text, control) {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		if control(r) && r != '\n' && r != '\t' {
			fmt.Fprintf(&b, `\u%04x`, r)
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// plain is what YAML takes for a text without quotes, save for words of its own.
var plain = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)

// Plain reports whether every reader of YAML takes a text for one as it stands.
func Plain(text string) bool {
	return plain.MatchString(text) && !slices.Contains([]string{"y", "n", "yes", "no", "on", "off", "true", "false", "null"}, text)
}

// Quote is one line of text as YAML takes it whatever is in it. Control characters never
// get this far: the readers refuse them.
func Quote(text string) string {
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(text) + `"`
}
