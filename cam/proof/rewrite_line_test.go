package proof_test

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"traywright/geometry"
)

// A program of ours as lines that can be said otherwise.

// line is a line of a program as its words, or a comment alone.
type line struct {
	words   []string // a letter and its number each
	comment string
	from    geometry.Point // where a move starts, mm
	points  float64        // the A with which it starts, and
	turn    float64        // with which it ends
	moves   bool
}

func (l line) String() string {
	s := strings.Join(l.words, " ")
	if l.comment != "" {
		s = strings.TrimSpace(s + " (" + l.comment + ")")
	}
	return s
}

// word is the number behind a letter.
func (l line) word(letter byte) (float64, bool) {
	for _, w := range l.words {
		if w[0] == letter {
			v, err := strconv.ParseFloat(w[1:], 64)
			return v, err == nil
		}
	}
	return 0, false
}

// has reports whether the line has a code, however it is written.
func (l line) has(word string) bool {
	return slices.ContainsFunc(l.words, func(w string) bool { return isCode(w, word) })
}

// isCode reports whether a word is a code: G1 is also G01, G1. and G1.0.
func isCode(w, code string) bool {
	v, err := strconv.ParseFloat(w[1:], 64)
	return err == nil && fmt.Sprintf("%c%v", w[0], v) == code
}

// without is the words but those of some letters.
func (l line) without(letters string) []string {
	return slices.DeleteFunc(slices.Clone(l.words), func(w string) bool { return strings.Contains(letters, w[:1]) })
}

// parsed is a program of ours as lines, with the place where each move starts.
func parsed(program string) []line {
	var list []line
	var at geometry.Point
	a := 0.0
	for text := range strings.SplitSeq(strings.TrimSpace(program), "\n") {
		if comment, ok := strings.CutPrefix(text, "("); ok {
			list = append(list, line{comment: strings.TrimSuffix(comment, ")")})
			continue
		}
		l := line{words: strings.Fields(text), from: at, points: a}
		if v, ok := l.word('A'); ok {
			a = v
		}
		l.turn = a
		l.moves = l.has("G0") || l.has("G1") || l.has("G2") || l.has("G3")
		if x, ok := l.word('X'); ok {
			at.X = x
		}
		if y, ok := l.word('Y'); ok {
			at.Y = y
		}
		list = append(list, l)
	}
	return list
}

func xy(p geometry.Point) []string {
	return []string{fmt.Sprintf("X%.4f", p.X), fmt.Sprintf("Y%.4f", p.Y)}
}

// to is where a move leads.
func (l line) to() geometry.Point {
	p := l.from
	if x, ok := l.word('X'); ok {
		p.X = x
	}
	if y, ok := l.word('Y'); ok {
		p.Y = y
	}
	return p
}

// arc is a level arc's centre and signed turn.
func (l line) arc() (center geometry.Point, turn float64, ok bool) {
	i, _ := l.word('I')
	j, _ := l.word('J')
	_, climbs := l.word('Z')
	if !l.has("G2") && !l.has("G3") || climbs || !l.lacks('R') {
		return center, 0, false
	}
	center = l.from.Add(geometry.Point{X: i, Y: j})
	a, b := l.from.Sub(center), l.to().Sub(center)
	turn = math.Atan2(a.Cross(b), a.Dot(b))
	if l.from.DistanceTo(l.to()) < 1e-6 {
		turn = 0
	}
	switch {
	case l.has("G3") && turn <= 0:
		turn += 2 * math.Pi
	case l.has("G2") && turn >= 0:
		turn -= 2 * math.Pi
	}
	return center, turn, true
}

// divided is an arc in parts: arcs again, or chords.
func (l line) divided(shares []float64, chords bool) []line {
	center, turn, _ := l.arc()
	start, radius := l.from.Sub(center), l.from.DistanceTo(center)
	angle := math.Atan2(start.Y, start.X)
	code, from := "G1", l.from
	if !chords {
		code = l.words[0]
	}
	var list []line
	for i, share := range shares {
		sin, cos := math.Sincos(angle + share*turn)
		to := center.Add(geometry.Point{X: radius * cos, Y: radius * sin})
		to = geometry.Point{X: math.Round(to.X*1e4) / 1e4, Y: math.Round(to.Y*1e4) / 1e4}
		if i == len(shares)-1 {
			to = l.to()
		}
		part := line{words: append([]string{code}, xy(to)...), from: from, moves: true}
		if !chords {
			part.words = append(part.words, fmt.Sprintf("I%.4f", center.X-from.X), fmt.Sprintf("J%.4f", center.Y-from.Y))
		}
		for _, w := range l.words {
			switch {
			case w[0] == 'F' && i == 0:
				part.words = append(part.words, w)
			case w[0] == 'A' && i == len(shares)-1:
				part.words = append(part.words, w)
			case w[0] == 'A':
				part.words = append(part.words, fmt.Sprintf("A%.4f", l.points+share*(l.turn-l.points)))
			}
		}
		list, from = append(list, part), to
	}
	return list
}
