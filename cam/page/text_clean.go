package page

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"

	"traywright/geometry/lettering"
)

// clean puts text on one line and shows the number of every character that has says no to, as
// [9F8D]: what is read aloud or looked up, which a box is not. An accent that cannot be put over its
// letter, and marks that turn the direction of writing, are left out.
func clean(s string, has func(rune) bool) string {
	fine := func(r rune) bool { return r >= ' ' && r < 0x7f }
	if strings.IndexFunc(s, func(r rune) bool { return !fine(r) }) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		switch {
		case fine(r) || r == 0xa0:
			b.WriteRune(r)
		case unicode.IsSpace(r) || unicode.IsControl(r):
			b.WriteByte(' ')
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		case has(r):
			b.WriteRune(r)
		default:
			fmt.Fprintf(&b, "[%04X]", r)
		}
	}
	return b.String()
}

// Lacking are the characters of a text that the letters of pictures and paper, and a font of the user's, lack, each once:
// they are shown as their numbers, [9F8D].
func Lacking(text string, own *lettering.Face) []rune {
	extra := lettersOf(own)
	return lacking(text, func(r rune) bool {
		_, drawn := extra.find(r)
		return drawn || lettersHave()(r)
	})
}

func lacking(text string, has func(rune) bool) (list []rune) {
	clean(text, func(r rune) bool {
		has := has(r)
		if !has && !slices.Contains(list, r) {
			list = append(list, r)
		}
		return has
	})
	return list
}

// lettersHave is whether pictures and paper both have a character.
var lettersHave = sync.OnceValue(func() func(rune) bool {
	regular, _, err := parseFonts()
	return func(r rune) bool { return err == nil && r <= 0xffff && regular.Index(r) != 0 }
})

// shorten is s without space around it, or as much of its beginning as fits
// with an ellipsis behind; "" when not even one letter does. What fits must fit
// as well with less of it.
func shorten(s string, fits func(string) bool) string {
	s = strings.TrimSpace(s)
	if fits(s) {
		return s
	}
	all := []rune(s)
	low, high := 0, len(all)
	for low < high {
		middle := (low + high + 1) / 2
		if fits(string(all[:middle]) + "…") {
			low = middle
		} else {
			high = middle - 1
		}
	}
	if low = outsideNumber(all, low); low == 0 {
		return ""
	}
	return strings.TrimRight(string(all[:low]), " ,;:-") + "…"
}
