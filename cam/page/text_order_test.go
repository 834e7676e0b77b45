package page

import (
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// seen are the characters of a line as they stand from left to right, none of them mirrored.
func seen(line string) string {
	var b strings.Builder
	for _, s := range inOrder(line) {
		letters := []rune(s.text)
		if s.backwards {
			slices.Reverse(letters)
		}
		b.WriteString(string(letters))
	}
	return b.String()
}

// hebrew has Hebrew letters for capitals, as the examples of UAX 9 have it.
func hebrew(text string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'A' && r <= 'Z' {
			return 'א' + r - 'A'
		}
		return r
	}, text)
}

// Lines as UAX 9 orders them: its examples in 3.4 (L2), whose isolates are what a name of ours is in a line, and numbers by
// W1 to W7 (3.3.4) and brackets by N0 (3.3.5).
func TestLinesStandInOrder(t *testing.T) {
	for _, c := range [][2]string{
		{"car means CAR.", "car means RAC."},
		{"he said “<car MEANS CAR>.” “<IT DOES>,” she agreed.", "he said “RAC SNAEM car.” “SEOD TI,” she agreed."},
		{"<KING (2) 12 mm>, 3 mm deep", "mm 12 )2( GNIK, 3 mm deep"},
		{"2 × <KING 12>, 25.4 mm", "2 × 12 GNIK, 25.4 mm"},
		{"CASE 12abc", "12 ESACabc"},
		{"CASE 10%, 2 x", "2 ,10% ESAC x"},
		{"<A>, <B>: <C>", "A, B: C"},
		{"1 <OPEN", "1 NEPO"},
		{"shut> 1", "shut 1"},
		{"x\ufffcy <A\ufffcB> \ufffcC", "x\ufffcy B\ufffcA \ufffcC"}, // what stands for a name meanwhile, in the line itself
		{"x\ufffcy", "x\ufffcy"},
	} {
		marks := strings.NewReplacer("<", string(fromRight), ">", string(endApart))
		assert.Equal(t, hebrew(c[1]), seen(hebrew(marks.Replace(c[0]))), c[0])
	}
}

// The order is that of FriBidi, Debian's libfribidi-bin, where that is installed: of lines of both directions. Marks over
// letters are left out, which a terminal's order parts from their letters, and a font's does not.
func TestLinesStandAsFriBidiHasThem(t *testing.T) {
	program, err := exec.LookPath("fribidi")
	if err != nil {
		require.Empty(t, os.Getenv("TRAYWRIGHT_GATE"), "the gate installs fribidi")
		t.Skip("fribidi is not installed")
	}
	pool := []rune("abאבגדرز12٣٤ ,.-+%$()[]:/!\u00a0")
	var lines []string
	rapid.Check(t, func(r *rapid.T) {
		line := string(rapid.SliceOfN(rapid.SampledFrom(pool), 1, 20).Draw(r, "line"))
		if fromRightIn(line) && strings.TrimSpace(line) == line {
			lines = append(lines, line)
		}
	})
	for direction, mark := range map[string]string{"--ltr": "", "--rtl": string(fromRight)} {
		cmd := exec.Command(program, direction, "--nopad", "--nobreak", "--charset", "UTF-8", "--vtol", "--novisual")
		cmd.Stdin = strings.NewReader(strings.Join(lines, "\n") + "\n")
		out, err := cmd.Output()
		require.NoError(t, err)
		theirs := strings.Split(strings.TrimSpace(string(out)), "\n")
		require.Len(t, theirs, len(lines))
		for n, line := range lines {
			want := ""
			for _, place := range strings.Fields(theirs[n]) {
				i, err := strconv.Atoi(place)
				require.NoError(t, err)
				want += string([]rune(line)[i])
			}
			assert.Equal(t, want, seen(mark+line), "%s %+q", direction, line)
		}
	}
}

// hostile is text of all directions, with what turns it, joins it and piles up on it.
var hostile = rapid.StringOfN(rapid.SampledFrom([]rune("abאבגرز12٣ ,(-)%龍x\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\u200e\u200f\u061c\u200d\u200c\u0301\u05b0\ufe0f\ufffc\u0000\n\u2029\U0001f1e9\u0600")), 0, 20, -1)

// Whatever a name has in it, the words before and behind it stay where they are, and its own letters stay between them.
func TestANameLeavesItsLineInOrder(t *testing.T) {
	ours := rapid.StringMatching(`[a-z0-9 ,.:×(-]{0,12}`)
	has := pageFonts{own: func(rune) bool { return true }}
	rapid.Check(t, func(r *rapid.T) {
		before, name, behind := ours.Draw(r, "before"), hostile.Draw(r, "name"), ours.Draw(r, "behind")
		alone := has.clean(apart(name))
		if !fromRightIn(alone) {
			return
		}
		line := seen(has.clean(before + apart(name) + behind))
		require.True(r, strings.HasPrefix(line, before) && strings.HasSuffix(line, behind), "%+q", line)
		letters := func(s string) string {
			list := []rune(strings.Map(func(r rune) rune {
				if isMark(r) {
					return -1
				}
				return r
			}, s))
			slices.Sort(list)
			return string(list)
		}
		require.Equal(r, letters(alone), letters(line[len(before):len(line)-len(behind)]))
	})
}

// A name that breaks over lines, or is cut short, is apart on each of them, and is not cut within what a reader takes for
// one letter.
func TestANameIsCutBetweenLetters(t *testing.T) {
	f := monospaced()
	f.own = func(rune) bool { return true }
	words := rapid.StringOfN(rapid.SampledFrom([]rune("אבגدر ab 12é\u0301\u05b0\u05bc")), 1, 30, -1)
	bare := func(s string) string {
		return strings.Map(func(r rune) rune {
			if isMark(r) || r == ' ' {
				return -1
			}
			return r
		}, s)
	}
	rapid.Check(t, func(r *rapid.T) {
		text := f.clean("2 × " + apart(words.Draw(r, "name")) + ", 12 mm")
		width := float64(rapid.IntRange(3, 40).Draw(r, "width"))
		lines := f.wrap(text, bodyType, width, 0)
		require.Equal(r, bare(text), bare(strings.Join(lines, "")))
		ends := map[int]bool{}
		at := 0
		for _, one := range letterByLetter(bare(text)) {
			at += len(one)
			ends[at] = true
		}
		at = 0
		for _, line := range lines {
			require.Equal(r, strings.ContainsRune(line, fromRight) || strings.ContainsRune(line, fromLeft), strings.ContainsRune(line, endApart), "%+q", lines)
			at += len(bare(line))
			require.True(r, ends[at], "%+q is cut within a letter", lines)
		}
		short := f.shorten(text, bodyType, width)
		require.Equal(r, strings.Count(short, string(fromRight))+strings.Count(short, string(fromLeft)), strings.Count(short, string(endApart)), "%+q", short)
		if short != text && short != "" {
			cut := bare(strings.Replace(short, "…", "", 1))
			require.True(r, strings.HasPrefix(bare(text), cut) && (ends[len(cut)] || strings.ContainsAny(bare(text)[len(cut):len(cut)+1], ",")), "%+q of %+q", short, text)
		}
	})
}

// Whatever a text has in it, it is one line that fits where it is told to, and its ink stays on that line. A failure is a
// panic as well.
func FuzzAnyTextIsALine(f *testing.F) {
	for _, text := range []string{"שלום 12", "a\u202eb\u2067c\u2069\u2069", strings.Repeat("\u0301", 10_000), "ب\u200dب\u0651", "龍\ufffc\u2066", "\xff\u0600א", "[9F8D]א…", "\u2067\u2067\u2069 א"} {
		f.Add(text, 90)
	}
	set, err := newTypesetter(lettersOf(dragonFont(f, map[rune]rune{'א': 'M', 'ש': 'H', 'ب': 'I', '龍': 'N', 'x': 'x', '\u0301': '\'', '\u0651': 'o'})))
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, text string, room int) {
		room = 1 + (room&0x7fffffff)%400
		shows := set.clean(text)
		require.Equal(t, shows, set.clean(shows))
		require.False(t, strings.ContainsAny(shows, "\n\r\t\u202a\u202b\u202c\u202d\u202e\u200e\u200f\u2028\u2029"), "%+q", shows)
		require.LessOrEqual(t, set.width(set.shorten(text, smallType, float64(room)), smallType), float64(room))
		for _, line := range set.wrap(text, smallType, float64(room), 5) {
			require.True(t, set.width(line, smallType) <= float64(room) || len(letterByLetter(line)) <= len("[10FFFF]"), "%+q in %d", line, room)
		}
		n, box := inked(t, set, apart(text), style{size: 12})
		require.True(t, n == 0 || box.Min.X >= 18 && box.Min.Y > 10 && box.Max.Y < 70, "%+q is in %v", text, box)
	})
}
