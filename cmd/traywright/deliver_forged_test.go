package main

import (
	"bytes"
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"image"
	"image/color/palette"
	"image/png"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
)

// A report whose sums and seal are right takes no stranger's files away: their names are none of ours, or
// what they hold no run wrote.
func TestASealedForgeryTakesNothing(t *testing.T) {
	var drawn bytes.Buffer
	require.NoError(t, png.Encode(&drawn, image.NewPaletted(image.Rect(0, 0, 9, 9), palette.WebSafe)))
	const dxf = "0\r\nSECTION\r\n2\r\nHEADER\r\n9\r\n$ACADVER\r\n1\r\nAC1015\r\n9\r\n$INSBASE\r\n10\r\n0\r\n20\r\n0\r\n0\r\nENDSEC\r\n0\r\nEOF\r\n"
	theirs := []cam.File{
		someFile("thesis.txt", "ten years"), someFile("photo.png", "one summer"),
		{Path: "saw.png", Data: drawn.Bytes()}, {Path: "a/a-1-pe-30-25.4mm.png", Data: drawn.Bytes()}, {Path: "001-a.png", Data: drawn.Bytes()},
		{Path: "cut-sheet.md", Data: []byte("# My own sheet\n- [x] done\n")}, {Path: "coupon.md", Data: []byte("# Coupon\n")}, {Path: "trial.md", Data: []byte("# Trial\n<!-- seal: 00 -->\n")},
		{Path: "coupon.csv", Data: []byte("foam,thickness,machine,axis,size,hole,plug\npe-30,25.4,bench-laser,x,20,20.31,19.62\n")},
		{Path: "cut-sheet.pdf", Data: []byte("%PDF-1.4\n/Producer (another)\nstartxref\n9\n%%EOF\n")},
		{Path: "look.html", Data: []byte("<!doctype html>\n<html lang=\"en\" data-state=\"loading\">\n")},
		{Path: "a/a-block.svg", Data: []byte("<svg xmlns=\"http://www.w3.org/2000/svg\"/>\n")}, {Path: "a/a-block.dxf", Data: []byte(dxf)},
		{Path: "coupon.ngc", Data: []byte("G21 G90 G17 G94\nM2\n")}, {Path: "trial-1-moves.nc", Data: []byte("(seal of moves: 00)\nM2\n")}, {Path: "a/a-block.gcode", Data: []byte("M2\n")},
	}
	dir := t.TempDir()
	require.NoError(t, fill(context.Background(), dir, sealedFolder(t, theirs...)))
	var want []string
	for _, f := range theirs {
		want = append(want, filepath.FromSlash(f.Path))
	}
	assert.ElementsMatch(t, want, personsIn(t, dir))
}

func personsIn(t *testing.T, dir string) (names []string) {
	s, err := lookInto(dir)
	require.NoError(t, err)
	for _, p := range s.persons {
		if p.why != "" {
			names = append(names, p.path)
		}
	}
	return names
}

// commandsThatWriteFolders are all of those, each with flags under which it writes most kinds of files.
var commandsThatWriteFolders = map[string][]string{
	"cut":     {"cut", filepath.Join("testdata", "forged", "job.yaml"), "--finished", "--quiet", "--out"},
	"by hand": {"cut", filepath.Join("testdata", "forged", "hand.yaml"), "--quiet", "--out"},
	"r12":     {"cut", filepath.Join("testdata", "forged", "job.yaml"), "--dxf", "r12", "--quiet", "--out"},
	"coupon":  {"coupon", "--foam", "pe-30", "--thickness", "25.4", "--machine", "bench-router", "--quiet", "--out"},
	"trial":   {"profiles", "trial", "bench-router", "--out"},
	"kerf":    {"kerf", filepath.Join("testdata", "forged", "k.readings"), "--quiet", "--out"},
	"dryrun":  {"dryrun", filepath.Join("testdata", "forged", "a.ngc"), "--section", "y=10", "--out"},
	"frames":  {"dryrun", filepath.Join("testdata", "forged", "a.ngc"), "--frame-count", "2", "--frames"},
}

// Each command knows all of its own files again, and may write twice; whatever a person changes in one of
// them is theirs, though a report, forged after that, has its new sum and a good seal.
func TestAForgedReportTakesNoEdit(t *testing.T) {
	ends := map[string]bool{}
	for name, args := range commandsThatWriteFolders {
		t.Run(name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "out")
			write := func() int {
				return run(context.Background(), append(append([]string{"traywright"}, args...), dir), strings.NewReader(""), io.Discard, io.Discard)
			}
			require.Zero(t, write())
			require.Empty(t, personsIn(t, dir))
			require.Zero(t, write(), "a second time")
			written := tree(t, dir)
			for _, file := range slices.Sorted(maps.Keys(written)) {
				path := filepath.Join(dir, filepath.FromSlash(file))
				info, err := os.Stat(path)
				require.NoError(t, err)
				if info.IsDir() || file == cam.ReportName {
					continue
				}
				ends[filepath.Ext(file)] = true
				text, err := os.ReadFile(path)
				require.NoError(t, err)
				edited := editedBy(file, text)
				require.NotEqual(t, text, edited, file)
				require.NoError(t, os.WriteFile(path, edited, 0o600))
				report := forge(t, dir, file, edited)
				assert.Equal(t, []string{filepath.FromSlash(file)}, personsIn(t, dir))
				assert.Equal(t, 1, write(), file)
				now, err := os.ReadFile(path)
				require.NoError(t, err)
				assert.Equal(t, edited, now)
				require.NoError(t, os.WriteFile(path, text, 0o600))
				require.NoError(t, os.WriteFile(filepath.Join(dir, cam.ReportName), report, 0o600))
			}
		})
	}
	for _, end := range []string{".md", ".csv", ".svg", ".html", ".dxf", ".pdf", ".png", ".ngc"} {
		assert.True(t, ends[end], "no %s was edited", end)
	}
}

// editedBy is what a person, or the program that they use for it, does to a file.
func editedBy(name string, text []byte) []byte {
	switch filepath.Ext(name) {
	case ".png": // one colour of its palette is another, and the chunk's sum is right again
		at := bytes.Index(text, []byte("PLTE"))
		n := int(binary.BigEndian.Uint32(text[at-4:]))
		edited := bytes.Clone(text)
		edited[at+4] ^= 1
		binary.BigEndian.PutUint32(edited[at+4+n:], crc32.ChecksumIEEE(edited[at:at+4+n]))
		return edited
	case ".pdf": // another title, of the same length, in one part
		return bytes.Replace(text, []byte("/CreationDate (D:2000"), []byte("/CreationDate (D:2001"), 1)
	case ".dxf": // one vertex is elsewhere
		at := bytes.LastIndex(text, []byte("\r\n10\r\n"))
		return slices.Concat(text[:at], []byte("\r\n10\r\n7"), text[at+len("\r\n10\r\n"):])
	case ".md":
		return bytes.Replace(text, []byte("- [ ]"), []byte("- [x]"), 1)
	case ".csv":
		return bytes.Replace(text, []byte(",,"), []byte(",20.3,"), 1)
	case ".ngc":
		return bytes.Replace(text, []byte("\nG0 "), []byte("\n(slowly here)\nG0 "), 1)
	}
	return bytes.Replace(text, []byte(">"), []byte("> "), 1)
}

// forge gives a folder's report the sum that a file has now, and seals it anew; it returns the report as it was.
func forge(t *testing.T, dir, file string, data []byte) (before []byte) {
	before, err := os.ReadFile(filepath.Join(dir, cam.ReportName))
	require.NoError(t, err)
	text := before[:bytes.LastIndex(before, []byte(",\n  \"seal\""))]
	var report struct {
		Files []cam.FileReport `json:"files"`
	}
	require.NoError(t, json.Unmarshal(before, &report))
	at := slices.IndexFunc(report.Files, func(f cam.FileReport) bool { return f.Path == file })
	require.GreaterOrEqual(t, at, 0, file)
	text = bytes.ReplaceAll(text, []byte(report.Files[at].SHA256), []byte(cam.Sum(data)))
	sum := cam.Sum(append(bytes.Clone(text), "\n}\n"...))
	sealed := fmt.Appendf(bytes.Clone(text), ",\n  \"seal\": \"%s\"\n}\n", sum)
	require.True(t, cam.Sealed(sealed))
	require.NoError(t, os.WriteFile(filepath.Join(dir, cam.ReportName), sealed, fs.ModePerm))
	return before
}

// What an older version wrote has its form, but no sum of its own in DXF, PNG and PDF: nobody can tell it from a
// person's, so it is kept, and the run says why.
func TestWhatAnOlderVersionWroteIsKept(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	var talk bytes.Buffer
	write := func(more ...string) int {
		args := append(append([]string{"traywright"}, commandsThatWriteFolders["cut"]...), dir)
		return run(context.Background(), append(args, more...), strings.NewReader(""), io.Discard, &talk)
	}
	require.Zero(t, write())
	old := map[string][]byte{}
	for file := range tree(t, dir) {
		path := filepath.Join(dir, filepath.FromSlash(file))
		text, err := os.ReadFile(path)
		bare := withoutSum(file, text)
		if err != nil || len(bare) == len(text) {
			continue
		}
		require.NoError(t, os.WriteFile(path, bare, 0o600))
		forge(t, dir, file, bare)
		old[file] = bare
	}
	require.Greater(t, len(old), 3)
	assert.Equal(t, 1, write())
	assert.Contains(t, talk.String(), "those of older versions have none")
	assert.Equal(t, 0, write("--keep-mine"), talk.String())
	for file, bare := range old {
		end := filepath.Ext(file)
		kept, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(strings.TrimSuffix(file, end)+".mine"+end)))
		require.NoError(t, err)
		assert.Equal(t, bare, kept)
	}
}

// withoutSum is a DXF, a PNG or a PDF as older versions wrote it, any other file as it is.
func withoutSum(name string, text []byte) []byte {
	begin := map[string]string{".dxf": "999\r\nseal: ", ".png": "\x00\x00\x00OtEXttraywright run\x00", ".pdf": "% seal: "}[filepath.Ext(name)]
	at := bytes.Index(text, []byte(begin))
	if begin == "" || at < 0 {
		return text
	}
	end := map[string]int{".dxf": 2, ".png": 4, ".pdf": 1}[filepath.Ext(name)]
	return slices.Concat(text[:at], text[at+len(begin)+64+end:])
}
