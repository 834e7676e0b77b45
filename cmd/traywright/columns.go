package main

import (
	"bytes"
	"io"
	"os"
	"strconv"
	"strings"

	"github.com/rivo/uniseg"
	"golang.org/x/term"

	"traywright/geometry/units"
)

// leastLast is how narrow a table's last column gets before any other is folded.
const leastLast = 24

// leastWidth is how many columns any terminal is taken to have, and what a file or pipe gets where
// COLUMNS does not say more.
const leastWidth = 80

// widthOf is how many columns there are to print in.
func widthOf(w io.Writer) int {
	if f, ok := w.(*os.File); ok {
		if columns, _, err := term.GetSize(int(f.Fd())); err == nil {
			return max(leastWidth, columns)
		}
	}
	columns, _ := strconv.Atoi(os.Getenv("COLUMNS"))
	return max(leastWidth, columns)
}

// columns sets lines of cells, each behind a tab, in columns of a terminal, two of which some
// scripts' letters take, folding the widest where a line would not fit. Lines without a tab are
// text, and part a table from the next. Nothing is printed before Flush.
type columns struct {
	bytes.Buffer
	out        io.Writer
	width, gap int
}

func (s *session) columns(gap int) *columns { return &columns{out: s.out, width: s.width, gap: gap} }

// Flush prints all that was written.
func (c *columns) Flush() error {
	var b strings.Builder
	var block [][]string
	end := func() {
		c.table(&b, block)
		block = nil
	}
	for line := range strings.Lines(c.String()) {
		line = strings.TrimSuffix(line, "\n")
		if strings.Contains(line, "\t") {
			block = append(block, strings.Split(strings.TrimRight(line, "\t"), "\t"))
			continue
		}
		end()
		c.text(&b, line)
	}
	end()
	c.Reset()
	_, err := io.WriteString(c.out, strings.ReplaceAll(b.String(), "\u00a0", " "))
	return err
}

// text is one line, folded where it is too long, what follows two columns in.
func (c *columns) text(b *strings.Builder, line string) {
	words := strings.TrimLeft(line, " ")
	indent := line[:len(line)-len(words)]
	for i, part := range foldedTo(words, c.width-len(indent)-2) {
		if i == 1 {
			indent += "  "
		}
		b.WriteString(indent + part + "\n")
	}
}

// table sets rows in columns. A row's last cell counts for its column's width as any other.
func (c *columns) table(b *strings.Builder, rows [][]string) {
	widths := c.widths(rows)
	for _, row := range rows {
		parts := make([][]string, len(row))
		lines := 1
		for i, cell := range row {
			parts[i] = foldedTo(cell, widths[i])
			lines = max(lines, len(parts[i]))
		}
		for n := range lines {
			line := ""
			for i, part := range parts {
				text := ""
				if n < len(part) {
					text = part[n]
				}
				line += text + strings.Repeat(" ", widths[i]-uniseg.StringWidth(text)+c.gap)
			}
			b.WriteString(strings.TrimRight(line, " ") + "\n")
		}
	}
}

// widths are those of the columns: as wide as their cells, and where that is too much the widest
// that can be folded made narrower.
func (c *columns) widths(rows [][]string) []int {
	var wide, least []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(wide) {
				wide, least = append(wide, 0), append(least, 0)
			}
			wide[i] = max(wide[i], uniseg.StringWidth(cell))
			for _, word := range wholeWords(cell) {
				least[i] = max(least[i], uniseg.StringWidth(word))
			}
		}
	}
	all := -c.gap
	for _, w := range wide {
		all += w + c.gap
	}
	for ; all > c.width; all-- {
		widest := -1
		for i := range wide {
			if wide[i] > least[i] && (widest < 0 || wide[i] > wide[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		if last := len(wide) - 1; wide[last] > max(least[last], leastLast) {
			widest = last
		}
		wide[widest]--
	}
	return wide
}

// foldedTo parts a text into lines of at most so many columns, between words; a word that is longer
// stays whole.
func foldedTo(text string, width int) []string {
	if uniseg.StringWidth(text) <= width {
		return []string{text}
	}
	var lines []string
	line := ""
	for _, word := range wholeWords(text) {
		switch {
		case line == "":
			line = word
		case uniseg.StringWidth(line)+1+uniseg.StringWidth(word) > width:
			lines, line = append(lines, line), word
		default:
			line += " " + word
		}
	}
	return append(lines, line)
}

// solid is a text that is folded nowhere.
func solid(text string) string { return strings.ReplaceAll(text, " ", "\u00a0") }

// across is a length by a width, folded nowhere.
func across(length, width units.Length, u units.Unit) string {
	return solid(strings.TrimSuffix(length.Format(u), " "+u.String()) + " x " + width.Format(u))
}

// wholeWords are a text's words; what stands between backquotes is typed as it is, and is one.
func wholeWords(text string) []string {
	var words []string
	open := false
	for word := range strings.SplitSeq(text, " ") {
		if word == "" {
			continue
		}
		if open {
			words[len(words)-1] += " " + word
		} else {
			words = append(words, word)
		}
		open = open != (strings.Count(word, "`")%2 == 1)
	}
	return words
}
