package cam

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestCompareRuns(t *testing.T) {
	file := func(path, kind, foam, text string) (FileReport, File) {
		return FileReport{Path: path, Kind: kind, Foam: foam, SHA256: Sum([]byte(text))}, File{path, []byte(text)}
	}
	texts := map[string]string{}
	var before []FileReport
	was := func(path, kind, foam, text string) {
		f, _ := file(path, kind, foam, text)
		before, texts[path] = append(before, f), text
	}
	var now Result
	is := func(path, kind, foam, text string) {
		f, data := file(path, kind, foam, text)
		now.Report.Files, now.Files = append(now.Report.Files, f), append(now.Files, data)
	}
	old := func(path string) []byte {
		if text, ok := texts[path]; ok {
			return []byte(text)
		}
		return nil
	}
	const program = "(made of sheets)\nG21 G90\nG1 X1 Y2\nM2\n"
	was("a/same.ngc", "gcode", "pe-30", program)
	is("a/same.ngc", "gcode", "pe-30", program)
	was("a/words.ngc", "gcode", "pe-30", program)
	is("a/words.ngc", "gcode", "pe-30", "(made of offcuts) (and so on)\nG21 G90 ; as ever\nG1 X1 Y2\nM2\n")
	was("a/moves.ngc", "gcode", "pe-30", program)
	is("a/moves.ngc", "gcode", "pe-30", "(made of sheets)\nG21 G90\nG1 X1 Y2.1\nM2\n")
	was("a/foam.ngc", "gcode", "pe-30", program)
	is("a/foam.ngc", "gcode", "pe-45", program+"(another foam)\n")
	was("a/lost.ngc", "gcode", "pe-30", program)
	delete(texts, "a/lost.ngc")
	is("a/lost.ngc", "gcode", "pe-30", program+"(of which nothing is left)\n")
	was("a/gone.ngc", "gcode", "pe-30", program)
	is("b/new.ngc", "gcode", "pe-30", program+"G0 X0\n")
	was("a/picture.png", "png", "", "1")
	is("a/picture.png", "png", "", "2")
	was("a/same.dxf", "dxf", "pe-30", "1")
	is("a/same.dxf", "dxf", "pe-30", "2")

	assert.Equal(t, Changes{
		Same: []string{"a/same.ngc"}, Reworded: []string{"a/words.ngc"},
		Again: []string{"a/moves.ngc", "a/foam.ngc", "a/lost.ngc"}, New: []string{"b/new.ngc"}, Gone: []string{"a/gone.ngc"},
	}, CompareRuns(before, old, now))
	assert.Equal(t, Changes{}, CompareRuns(nil, old, Result{}))

	before, now = nil, Result{}
	was("a.dxf", "dxf", "pe-30", "1")
	is("a.dxf", "dxf", "pe-30", "2")
	is("a-finished.dxf", "dxf", "pe-30", "2")
	assert.Equal(t, Changes{Again: []string{"a.dxf"}}, CompareRuns(before, old, now))
}

// What other names hide, and what is cut more often, is told: nobody cuts again what
// lies there, or forgets what is missing.
func TestCompareRunsByMoves(t *testing.T) {
	const base, pad = "G21 G90\nG1 X1 Y2\nM2\n", "G21 G90\nG1 X3 Y4\nM2\n"
	run := func(files ...FileReport) (r Result, texts map[string][]byte) {
		texts = map[string][]byte{}
		for i := range files {
			text := []byte("(" + files[i].Path + ")\n" + files[i].SHA256)
			files[i].Kind, files[i].Foam, files[i].SHA256 = "gcode", "pe-45", Sum(text)
			r.Files, texts[files[i].Path] = append(r.Files, File{files[i].Path, text}), text
		}
		r.Report.Files = files
		return r, texts
	}
	file := func(path string, made int, text string) FileReport {
		return FileReport{Path: path, Made: made, SHA256: text}
	}
	compare := func(before, now []FileReport) Changes {
		was, texts := run(before...)
		is, _ := run(now...)
		return CompareRuns(was.Report.Files, func(path string) []byte { return texts[path] }, is)
	}
	// Names as they were before they told the tray, when nothing was said of how often.
	assert.Equal(t, Changes{Renamed: []string{"a/a-2.ngc, which was a/2.ngc"}, Gone: []string{"b/1.ngc"}},
		compare([]FileReport{file("a/2.ngc", 0, base), file("b/2.ngc", 0, base), file("b/1.ngc", 0, pad)}, []FileReport{file("a/a-2.ngc", 2, base)}))
	assert.Equal(t, Changes{Same: []string{"a/a-2.ngc"}, More: []string{"a/a-2.ngc, 3 instead of 2"}},
		compare([]FileReport{file("a/a-2.ngc", 2, base)}, []FileReport{file("a/a-2.ngc", 3, base)}))
	assert.Equal(t, Changes{Renamed: []string{"b/b-2.ngc, which was a/a-2.ngc"}, More: []string{"b/b-2.ngc, 3 instead of 2"}},
		compare([]FileReport{file("a/a-2.ngc", 2, base)}, []FileReport{file("b/b-2.ngc", 3, base)}))
	assert.Equal(t, Changes{Again: []string{"a/a-2.ngc"}}, compare([]FileReport{file("a/a-2.ngc", 2, base)}, []FileReport{file("a/a-2.ngc", 3, pad)}))
}
