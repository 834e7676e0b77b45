package page

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"path"
	"regexp"
	"strings"
	"sync"

	"traywright/cam/finding"
)

// LookName is the file of the page that a person looks at.
const LookName = "look.html"

// lookFiles are the page's parts as they stand: a template, its styles, and modules that
// import nothing but each other.
//
//go:embed look/look.html.tmpl look/look.css look/*.mjs
var lookFiles embed.FS

// lookModules are the page's scripts, each behind those that it imports.
var lookModules = []string{"dom", "follow", "area", "carve", "player", "relief", "tray", "chest", "card", "ticks", "ribbon", "stock", "stage", "ask", "room", "hands", "loose", "live", "page"}

// LookInput is what the page has in it beside what a cut sheet says.
type LookInput struct {
	Report   []byte     // JSON
	Verdict  string     // of all corners of what may be off; "" where none were tried
	Programs []LookFile // which the page shows cutting
	Live     bool       // a program stands behind the page: see live.mjs
	Planned  bool       // no program has been tried yet, and the trays are shown as planned
	Cautions []string   // of a plan; else those of its sheets
}

// LookFile is a program's text by its path in the folder.
type LookFile struct {
	Path string
	Data []byte
}

// lookPage is what the template prints.
type lookPage struct {
	cutSheetText
	Policy                  string // what the page may load and run: itself
	Style                   template.CSS
	Script                  template.JS
	Report, Programs, Scene template.JS
	Job, Verdict            string
	Live, Planned           bool
	Cautions, Burns         []string
	Found                   finding.List
	Steps                   []lookStep
	Packing                 []lookPacking
}

// lookStep is a program in the order of work. Key is what its ticks are kept under.
type lookStep struct {
	stepRow
	Base  string // its file's name without folder
	Key   string
	Boxes []int // numbers of its copies
	Work  []string

	Roughed [][2]string // what a larger tool takes, or has taken, and why
}

// lookPacking is a tray's packing list and its layers.
type lookPacking struct {
	trayRow
	Index  int // of the tray
	Layers []string
	Glue   string
	Rows   []packingRow
}

// Look writes the whole job as one page of HTML that needs nothing else, no network and no
// file beside it. Whatever names and programs hold, no text of theirs becomes markup or a script.
// The error is w's, or of a report that is no JSON.
func (c CutSheet) Look(w io.Writer, in LookInput) error {
	page, err := c.lookPage(in)
	if err != nil {
		return err
	}
	return lookTemplate.Execute(w, page)
}

var lookTemplate = template.Must(template.New("look.html.tmpl").ParseFS(lookFiles, "look/look.html.tmpl"))

func (c CutSheet) lookPage(in LookInput) (lookPage, error) {
	var flat bytes.Buffer
	if err := json.Compact(&flat, in.Report); err != nil {
		return lookPage{}, fmt.Errorf("the report: %w", err)
	}
	texts, keys := map[string]string{}, map[string]string{}
	for _, p := range in.Programs {
		texts[p.Path] = string(p.Data)
		sum := sha256.Sum256(p.Data)
		keys[p.Path] = p.Path + " " + hex.EncodeToString(sum[:6])
	}
	embedded, err := json.Marshal(texts)
	if err != nil {
		return lookPage{}, err
	}
	drawn := c.lookData()
	if in.Planned {
		drawn.Setups = c.plannedSetups()
	}
	scene, err := json.Marshal(drawn)
	if err != nil {
		return lookPage{}, err
	}
	p := lookPage{
		cutSheetText: c.text(), Style: template.CSS(lookStyle()), Script: template.JS(lookScript()),
		Report: inScript(flat.Bytes()), Programs: inScript(embedded), Scene: inScript(scene), Job: c.Plan.Job.File, Verdict: strings.TrimPrefix(in.Verdict, "corners of what may be off: "), Burns: c.Burns,
		Live: in.Live, Planned: in.Planned, Cautions: in.Cautions,
	}
	p.Policy = fmt.Sprintf("default-src 'none'; script-src '%s'; style-src '%s'; font-src data:; img-src data:; base-uri 'none'; form-action 'none'", integrity(string(p.Script)), integrity(string(p.Style)))
	if in.Live {
		p.Policy += "; connect-src 'self'"
	}
	p.Found = p.Findings.Folded()
	p.gather(c, keys)
	return p, nil
}

// gather brings together what belongs to a program, and to a tray.
func (p *lookPage) gather(c CutSheet, keys map[string]string) {
	for i, row := range p.cutSheetText.Steps {
		step := lookStep{stepRow: row, Base: path.Base(row.File), Key: cmp.Or(keys[row.File], row.File), Work: p.Sheets[i].Work, Roughed: c.roughing(c.Sheets[i])}
		for n := range min(row.Copies, mostBoxes) {
			step.Boxes = append(step.Boxes, n+1)
		}
		p.Steps = append(p.Steps, step)
		for _, text := range c.Sheets[i].Cautions {
			p.Cautions = appendNew(p.Cautions, text)
		}
	}
	packing := c.packing()
	for i, row := range p.Trays {
		tray := lookPacking{trayRow: row, Index: i, Glue: c.gluedSo(&c.Plan.Trays[i]), Rows: packing[row.ID]}
		for _, l := range c.Plan.Trays[i].Layers {
			tray.Layers = append(tray.Layers, l.Foam.ID+" "+l.Words(c.Unit))
		}
		p.Packing = append(p.Packing, tray)
	}
}

// inScript is JSON that may stand in a script element: no "<" of it is one.
func inScript(text []byte) template.JS {
	return template.JS(bytes.ReplaceAll(text, []byte("<"), []byte(`\u003c`)))
}

// integrity is a text's hash as a content security policy names it.
func integrity(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

var (
	imports = regexp.MustCompile(`(?m)^import .*\n`)
	exports = regexp.MustCompile(`(?m)^export `)
	types   = regexp.MustCompile(`(?m)^\s*/\*\* @[^\n]* \*/\n`) // for the checker alone
)

// lookScript is all modules as one script, in which each sees the names of those before it.
var lookScript = sync.OnceValue(func() string {
	var b strings.Builder
	b.WriteString("\"use strict\";\n(() => {\n")
	for _, name := range lookModules {
		text := lookText(name + ".mjs")
		for _, no := range []*regexp.Regexp{types, imports, exports} {
			text = no.ReplaceAllString(text, "")
		}
		b.WriteString(text)
	}
	b.WriteString("})();\n")
	return b.String()
})

// lookStyle is the page's styles, with the palette as their variables.
var lookStyle = sync.OnceValue(func() string {
	return fmt.Sprintf(":root{--paper:%s;--foam:%s;--ink:%s;--soft:%s;--hair:%s;--rust:%s;--deep:%s;--sea:%s;--pale:%s;--warn:%s;--white:%s}\n%s",
		hexOf(paper), hexOf(foamColour), hexOf(ink), hexOf(softInk), hexOf(hairline), toolColour(), hexOf(depths[4]), hexOf(depths[3]), hexOf(depths[0]), hexOf(yellow), hexOf(white), lookFonts()+lookText("look.css"))
})

// toolColour is rust, for pages that show the tool moving.
func toolColour() string { return hexOf(rust) }

// lookText is one of the page's parts. They are in the program, so they are there.
func lookText(name string) string {
	text, _ := lookFiles.ReadFile("look/" + name)
	return string(text)
}
