package page

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/rivo/uniseg"
	"golang.org/x/text/unicode/norm"

	"traywright/geometry/lettering"
)

// pageFonts are what pictures and paper show: own tells the characters of the Go fonts, and extra draws what those lack.
type pageFonts struct {
	own   func(rune) bool
	extra *letters
}

// mostMarks is how many accents and signs one letter may carry: more of them would run over the lines above and below.
const mostMarks = 8

// clean puts text on one line and shows the number of every character that no font has, as [9F8D]: what is read
// aloud or looked up, which a box is not. Marks that turn the direction of writing are left out, save those of apart.
func (l pageFonts) clean(s string) string {
	text, _ := l.look(s)
	return text
}

// lacking are the characters of a text that no font has, each once.
func (l pageFonts) lacking(s string) []rune {
	_, lacks := l.look(s)
	return lacks
}

// look is text as it can be shown, and what of it cannot. What a reader takes for one letter, with its accents and signs, is
// of one font.
func (l pageFonts) look(s string) (text string, lacks []rune) {
	if strings.IndexFunc(s, func(r rune) bool { return !plain(r) }) < 0 {
		return s, nil
	}
	var b strings.Builder
	for rest, state, one := strings.Map(onOneLine, s), -1, ""; rest != ""; {
		one, rest, _, state = uniseg.FirstGraphemeClusterInString(rest, state)
		one, over := fewMarks(one)
		shows, numbered := l.letter(one)
		b.WriteString(shows)
		for _, r := range numbered {
			fmt.Fprintf(&b, "[%04X]", r)
		}
		for _, r := range append(numbered, over...) {
			if !slices.Contains(lacks, r) {
				lacks = append(lacks, r)
			}
		}
	}
	return b.String(), lacks
}

func plain(r rune) bool { return r >= ' ' && r < 0x7f }

// onOneLine is a character of a line, -1 for one that is left out.
func onOneLine(r rune) rune {
	switch {
	case r == 0xa0 || isMark(r) || unicode.Is(unicode.Prepended_Concatenation_Mark, r):
		return r
	case unicode.IsSpace(r) || unicode.IsControl(r):
		return ' '
	case unicode.Is(unicode.Cf, r) && !unicode.Is(unicode.Join_Control, r):
		return -1
	}
	return r
}

// fewMarks leaves out what one letter has too much of.
func fewMarks(one string) (string, []rune) {
	var over []rune
	marks := 0
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.M, r) && !unicode.Is(unicode.Variation_Selector, r) {
			if marks++; marks > mostMarks {
				over = append(over, r)
				return -1
			}
		}
		return r
	}, one), over
}

// letter is what can be shown of one letter with its accents and signs: all of it, or what of it the Go fonts have. The
// rest lacks.
func (l pageFonts) letter(one string) (shows string, lacks []rune) {
	bare := strings.Map(func(r rune) rune {
		if unicode.In(r, unicode.Join_Control, unicode.Variation_Selector, unicode.Other_Default_Ignorable_Code_Point) {
			return -1
		}
		return r
	}, one)
	switch composed := norm.NFC.String(bare); {
	case l.allOwn(bare):
		return bare, nil
	case l.allOwn(composed):
		return composed, nil
	case l.extra.draws(one):
		return one, nil
	}
	for _, r := range bare {
		if l.allOwn(string(r)) {
			shows += string(r)
		} else {
			lacks = append(lacks, r)
		}
	}
	return shows, lacks
}

// allOwn is whether the Go fonts show a text as it is: of accents they have none to put over a letter.
func (l pageFonts) allOwn(s string) bool {
	return strings.IndexFunc(s, func(r rune) bool {
		return !plain(r) && r != 0xa0 && !isMark(r) && (unicode.Is(unicode.M, r) || !l.own(r))
	}) < 0
}

// Lacking are the characters of a text that the letters of pictures and paper, and a font of the user's, lack, each once:
// they are shown as their numbers, [9F8D].
func Lacking(text string, own *lettering.Face) []rune {
	return pageFonts{lettersHave(), lettersOf(own)}.lacking(text)
}

// lettersHave is whether pictures and paper both have a character.
var lettersHave = sync.OnceValue(func() func(rune) bool {
	regular, _, err := parseFonts()
	return func(r rune) bool { return err == nil && r <= 0xffff && regular.Index(r) != 0 }
})

// letterByLetter is a text in parts, each of which a reader takes for one letter. Marks of apart go with the letter inside.
func letterByLetter(s string) (list []string) {
	open := ""
	for state, one := -1, ""; s != ""; {
		one, s, _, state = uniseg.FirstGraphemeClusterInString(s, state)
		switch {
		case one == string(fromRight) || one == string(fromLeft):
			open += one
		case one == string(endApart) && open == "" && len(list) > 0:
			list[len(list)-1] += one
		default:
			list, open = append(list, open+one), ""
		}
	}
	return list
}

// shorten is s without space around it, or as much of its beginning as fits
// with an ellipsis behind; "" when not even one letter does. What fits must fit
// as well with less of it.
func shorten(s string, fits func(string) bool) string {
	s = strings.TrimSpace(s)
	if fits(s) {
		return s
	}
	all := letterByLetter(s)
	begins := func(text string) string {
		text, _ = cutApart(text+"…", "")
		return text
	}
	low, high := 0, len(all)
	for low < high {
		middle := (low + high + 1) / 2
		if fits(begins(strings.Join(all[:middle], ""))) {
			low = middle
		} else {
			high = middle - 1
		}
	}
	if low = outsideNumber(all, low); low == 0 {
		return ""
	}
	return begins(strings.TrimRight(strings.Join(all[:low], ""), " ,;:-"))
}
