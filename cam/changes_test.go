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
	is("b/new.ngc", "gcode", "pe-30", program)
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
