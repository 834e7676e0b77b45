package cam

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"path"
	"regexp"

	"traywright/cam/proof"
)

// Every file of a run tells by itself that it is as a run wrote it, so that no report, whoever wrote
// that, can make a person's out to be one that may go: a program has its seals, every other kind the
// sum of the file without that sum, where its format has room for a remark.

// room is where a kind of file bears its sum: how that begins and ends, and where it stands in a file without one.
type room struct {
	begin, end string
	at         func(data []byte) int
}

var (
	lastLine = func(data []byte) int { return len(data) }
	html     = room{"<!-- seal: ", " -->\n", lastLine}
	rooms    = map[string]room{
		".md": html, ".svg": html, ".html": html, ".csv": {"# seal: ", "\n", lastLine},
		// A comment of DXF is a pair with the code 999; the first of a file is where readers meet one most.
		".dxf": {"999\r\nseal: ", "\r\n", func([]byte) int { return 0 }},
		// The last three lines of a PDF are startxref, a number and %%EOF (ISO 32000-1, 7.5.5); % begins a comment (7.2.3).
		".pdf": {"% seal: ", "\n", func(data []byte) int { return bytes.LastIndex(data, []byte("startxref")) }},
		".png": picture("traywright run"), Arranged: picture("traywright"),
	}
)

// Arranged is, in the place of a name's ending, a picture that `arrange` draws: that command draws
// over its own alone.
const Arranged = ".arranged"

// How a PNG ends, and the place of a chunk's own sum.
const (
	pngEnd     = "\x00\x00\x00\x00IEND\xaeB`\x82"
	pngNoneYet = "\x00\x00\x00\x00"
)

// picture is a PNG's room, a chunk of text before the last: length, type, keyword, zero, text, sum
// (ISO/IEC 15948, 5.3 and 11.3.4).
func picture(keyword string) room {
	text := keyword + "\x00"
	begin := binary.BigEndian.AppendUint32(nil, uint32(len(text)+len(Sum(nil))))
	return room{string(begin) + "tEXt" + text, pngNoneYet, func(data []byte) int {
		if !bytes.HasSuffix(data, []byte(pngEnd)) {
			return -1
		}
		return len(data) - len(pngEnd)
	}}
}

// Sign puts into a file the sum of what is in it, where its kind has room for one.
func Sign(f File) File {
	r, ok := rooms[path.Ext(f.Path)]
	if !ok {
		return f
	}
	at := r.at(f.Data)
	if at < 0 {
		return f
	}
	mark := []byte(r.begin + Sum(f.Data) + r.end)
	if r.end == pngNoneYet {
		chunk := mark[4 : len(mark)-4]
		binary.BigEndian.PutUint32(mark[len(mark)-4:], crc32.ChecksumIEEE(chunk))
	}
	f.Data = bytes.Join([][]byte{f.Data[:at], mark, f.Data[at:]}, nil)
	return f
}

// Signed reports whether a file is as a run wrote it, as far as the file itself can tell.
func Signed(name string, data []byte) bool {
	if r, ok := rooms[path.Ext(name)]; ok {
		at := bytes.LastIndex(data, []byte(r.begin))
		end := at + len(r.begin) + len(Sum(nil)) + len(r.end)
		return at >= 0 && end <= len(data) && bytes.Equal(data, Sign(File{name, bytes.Join([][]byte{data[:at], data[end:]}, nil)}).Data)
	}
	moves, words := namedSeal(movesSeal, data), namedSeal(wordsSeal, data)
	return moves == proof.MovesSeal(data) && words == proof.WordsSeal(data)
}

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
