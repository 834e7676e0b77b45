package cam

import (
	"bytes"
	"path"
	"regexp"
	"strings"

	"traywright/cam/page"
	"traywright/cam/proof"
)

// Every file of a run tells by itself that it is as a run wrote it, so that no report, whoever wrote
// that, can make a person's out to be one that may go: what people write into, a page, a
// table or a drawing in text, ends in the sum of what stands before; a program has its seals; and of
// what no one edits by hand and keeps its form, a picture, a DXF and a PDF, the form is ours.

// signs are how the last line begins and ends where that is the file's sum.
var signs = map[string][2]string{
	".md": {"<!-- seal: ", " -->\n"}, ".svg": {"<!-- seal: ", " -->\n"}, ".html": {"<!-- seal: ", " -->\n"}, ".csv": {"# seal: ", "\n"},
}

// signed is the file with the sum of what is in it at its end, where its kind has one.
func signed(f File) File {
	if sign, ok := signs[path.Ext(f.Path)]; ok {
		f.Data = append(bytes.Clone(f.Data), sign[0]+Sum(f.Data)+sign[1]...)
	}
	return f
}

// Signed reports whether a file is as a run wrote it, as far as the file itself can tell.
func Signed(name string, data []byte) bool {
	switch end := path.Ext(name); end {
	case ".md", ".svg", ".html", ".csv":
		at := bytes.LastIndex(data, []byte(signs[end][0]))
		return at >= 0 && bytes.Equal(data, signed(File{name, data[:at]}).Data)
	case ".png":
		return page.OurPicture(data)
	case ".dxf":
		return formOfDXF.Match(data)
	case ".pdf":
		return page.OurPaper(data)
	}
	moves, words := namedSeal(movesSeal, data), namedSeal(wordsSeal, data)
	return moves == proof.MovesSeal(data) && words == proof.WordsSeal(data)
}

// formOfDXF is the header that drawing.WriteDXF writes, which no other program has in this order.
var formOfDXF = regexp.MustCompile(strings.ReplaceAll(
	`^0 SECTION 2 HEADER 9 \$ACADVER 1 AC10(09|15) 9 \$EXTMIN 10 \S+ 20 \S+ 30 \S+ 9 \$EXTMAX 10 \S+ 20 \S+ 30 \S+ 9 \$INSUNITS 70 4 9 \$MEASUREMENT 70 1 (9 \$HANDSEED 5 \S+ )?0 ENDSEC `,
	" ", `\r\n`))

var (
	movesSeal = regexp.MustCompile(`seal of moves: ([0-9a-f]+)`)
	wordsSeal = regexp.MustCompile(`seal of words: ([0-9a-f]+)`)
)

// namedSeal is what a program says its seal is, "" where it says none.
func namedSeal(of *regexp.Regexp, program []byte) string {
	if found := of.FindSubmatch(program); found != nil {
		return string(found[1])
	}
	return ""
}
