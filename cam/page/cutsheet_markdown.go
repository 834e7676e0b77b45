package page

import (
	_ "embed"
	"strings"
	"text/template"
)

//go:embed cutsheet.md.tmpl
var cutSheetMarkdown string

var cutSheetTemplate = template.Must(template.New("cut sheet").Funcs(template.FuncMap{"md": markdown, "boxes": boxes, "next": next, "alikeHead": func() string { return alikeHead }}).Parse(cutSheetMarkdown))

// markdownEscapes keep the user's text from being read as Markdown or HTML, and
// on one line.
var markdownEscapes = strings.NewReplacer(
	"\\", "\\\\", "|", "\\|", "`", "\\`", "*", "\\*", "_", "\\_", "[", "\\[", "]", "\\]",
	"#", "\\#", "<", "&lt;", ">", "&gt;", "&", "&amp;", "\r", " ", "\n", " ",
)

func markdown(s string) string { return markdownEscapes.Replace(s) }

// next numbers steps from 1.
func next(i int) int { return i + 1 }

// boxes is a box to tick for each copy, as far as a line goes.
func boxes(copies int) string {
	return strings.TrimSpace(strings.Repeat("[ ] ", min(copies, mostBoxes)))
}
