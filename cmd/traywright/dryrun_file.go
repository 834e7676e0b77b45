package main

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"traywright/profiles/strict"
)

// What a file is that dryrun is given. People mix up the files of a folder; one message
// says which it is, instead of a hundred about its first letters.

// largestProgram bounds what is read of one file.
const largestProgram = 64 << 20

// readProgram reads a file that may be G-code.
func readProgram(name string) ([]byte, error) {
	if info, err := os.Stat(name); err == nil && info.Mode().IsRegular() && info.Size() > largestProgram {
		return nil, usage(fmt.Sprintf("%s: has %d MiB, and %d MiB are the most that dryrun reads of a program", name, (info.Size()+1<<20-1)>>20, largestProgram>>20), "split it, and name the parts")
	}
	text, err := readPlain(name)
	if errors.Is(err, errFolder) {
		return nil, usage(name+": is a folder, and dryrun reads programs", programsIn(name))
	}
	if err != nil {
		return nil, cannotRead(name, err)
	}
	if what, hint := mistaken(text, name); what != "" {
		return nil, usage(fmt.Sprintf("%s: is %s, and no program", name, what), hint)
	}
	if bytes.IndexByte(text, 0) >= 0 {
		return nil, usage(name+": is no G-code: it has bytes in it that no text has", "name programs, not pictures, drawings or archives")
	}
	return text, nil
}

// programsIn says which programs of a folder could be meant.
func programsIn(folder string) string {
	first := ""
	_ = filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		if err == nil && entry.Type().IsRegular() && slices.Contains([]string{".ngc", ".nc", ".gcode"}, strings.ToLower(filepath.Ext(path))) {
			first = path
			return filepath.SkipAll
		}
		return nil // what cannot be looked into may hold some
	})
	if first == "" {
		return "no program was found in it; name one, such as an .ngc file of what `traywright cut` wrote"
	}
	return "name the programs in it, one or more: `traywright dryrun " + asTyped(first) + "`"
}

// begins are how further files begin, as no program does but some other text may.
var begins = []struct{ with, what string }{
	{"BM", "a picture (BMP)"}, {"RIFF", "a picture (WebP)"},
	{"AutoCAD Binary DXF", "a drawing (DXF)"}, {"{", "a document in JSON, such as report.json"},
}

// Texts that are no programs, by what their first lines hold.
var (
	dxfText = regexp.MustCompile(`^\s*(999\s*\r?\n.*\r?\n\s*)*0\s*\r?\n\s*SECTION`)
	svgText = regexp.MustCompile(`(?i)<svg[\s>]`)
	webText = regexp.MustCompile(`(?i)^\s*<(!doctype html|html|\?xml)`)
	jobKey  = regexp.MustCompile(`(?m)^(game|trays|cases|tray_defaults|roster|case|holds):`)
	ruleKey = regexp.MustCompile(`(?m)^(permits|forbids|requires|owner):`)
	yamlKey = regexp.MustCompile(`(?m)^[a-z_]+:(\s|$)`)
)

// mistaken says what a file is that is no program, and what to do; empty for all that
// may be one.
func mistaken(text []byte, name string) (what, hint string) {
	const programs = "name programs, such as the .ngc files of an output folder"
	if what := strict.NoText(text); what != "" {
		return what, programs
	}
	for _, b := range begins {
		if bytes.HasPrefix(text, []byte(b.with)) {
			return b.what, programs
		}
	}
	head := bytes.TrimPrefix(text[:min(len(text), 16<<10)], []byte("\ufeff"))
	switch {
	case dxfText.Match(head):
		return "a drawing (DXF)", "a job takes it as the outline of a pocket; " + programs
	case svgText.Match(head):
		return "a drawing (SVG)", "a job takes it as the outline of a pocket; " + programs
	case webText.Match(head):
		return "a page for a browser", programs
	case isTable(head, "id", "count", "length", "width"):
		return "a roster", "name it in a job (roster: FILE); " + programs
	case isTable(head, "foam", "machine", "axis", "size"):
		return "a table of coupon measurements", "it is for `traywright kerf " + name + "`"
	case jobKey.Match(head):
		return "a job", fmt.Sprintf("check it with `traywright check %s`, or give it with --job, and name its programs", name)
	case ruleKey.Match(head):
		return "a file of shop rules", "give it with --shop-rules, and name programs"
	case yamlKey.Match(head):
		return "a file of profiles or settings (YAML)", programs
	}
	return "", ""
}

// isTable reports whether the first line that is no comment names columns, some of them
// these.
func isTable(head []byte, columns ...string) bool {
	for line := range strings.Lines(string(head)) {
		line = strings.ToLower(strings.TrimSpace(line))
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		named := map[string]bool{}
		for _, cell := range strings.FieldsFunc(line, func(r rune) bool { return strings.ContainsRune(",;\t", r) }) {
			named[strings.Trim(strings.TrimSpace(cell), `"`)] = true
		}
		for _, c := range columns {
			if !named[c] {
				return false
			}
		}
		return true
	}
	return false
}
