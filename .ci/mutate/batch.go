package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

// function is what surrounds a change: a function can hold several changes at
// once, each in a copy of its own that it calls when that change is the one to be
// tested. So a package is compiled once for all of them.
type function struct {
	start, end          int    // offsets of the declaration
	name, nameEnd, body int    // offsets of its name, and just inside its body
	receiver, arguments string // of a call of a copy: "x." and "(a, b...)"
	returns             bool
	callable            bool // not init, and every parameter has a name
}

// around describes a declaration.
func around(d *ast.FuncDecl, set *token.FileSet) *function {
	start, name, end := set.Position(d.Type.Pos()), set.Position(d.Name.Pos()), set.Position(d.End())
	f := &function{
		start: start.Offset, name: name.Offset, nameEnd: name.Offset + len(d.Name.Name), end: end.Offset,
		body: set.Position(d.Body.Lbrace).Offset + 1, returns: d.Type.Results != nil,
		callable: d.Name.Name != "init" && d.Name.Name != "main",
	}
	names := func(list *ast.FieldList) (all []string) {
		if list == nil {
			return nil
		}
		for _, field := range list.List {
			dots := ""
			if _, ok := field.Type.(*ast.Ellipsis); ok {
				dots = "..."
			}
			if len(field.Names) == 0 {
				f.callable = false
			}
			for _, n := range field.Names {
				f.callable = f.callable && n.Name != "_"
				all = append(all, n.Name+dots)
			}
		}
		return all
	}
	if d.Recv != nil {
		f.receiver = strings.Join(names(d.Recv), "") + "."
	}
	if kinds := names(d.Type.TypeParams); len(kinds) > 0 {
		f.arguments = "[" + strings.Join(kinds, ", ") + "]"
	}
	f.arguments += "(" + strings.Join(names(d.Type.Params), ", ") + ")"
	return f
}

// together says whether a change can be tested from a binary that it shares.
func (m mutant) together() bool { return m.around != nil && m.around.callable }

// span is the lines that a mutant's copy has in its file.
type span struct {
	file        string
	first, last int
	mutant      int
}

// compose writes the files of a package with a copy of a function for each
// mutant but those that are wrong, and says where the copies stand.
func compose(mutants []mutant, wrong map[int]bool) (files map[string]string, spans []span) {
	calls := map[string]map[int]string{} // of a file, by their offset
	copies := map[string]string{}
	for n, m := range mutants {
		f, source := m.around, m.source
		if wrong[n] || !m.together() {
			continue
		}
		if calls[m.file] == nil {
			calls[m.file] = map[int]string{}
		}
		name := fmt.Sprintf("%s_mutant%d", source[f.name:f.nameEnd], n)
		call := "return " + f.receiver + name + f.arguments
		if !f.returns {
			call = f.receiver + name + f.arguments + "; return"
		}
		calls[m.file][f.body] += fmt.Sprintf(" if mutantAt(%d) { %s };", n, call)
		line := bytes.Count(source, []byte("\n")) + strings.Count(copies[m.file], "\n") + 2
		text := string(source[f.start:f.name]) + name + string(source[f.nameEnd:m.start]) + m.new + string(source[m.end:f.end]) + "\n"
		copies[m.file] += text
		spans = append(spans, span{filepath.Base(m.file), line, line + strings.Count(text, "\n") - 1, n})
	}
	files = map[string]string{}
	for _, m := range mutants {
		if calls[m.file] == nil || files[m.file] != "" {
			continue
		}
		var out strings.Builder
		for i, c := range m.source {
			out.WriteString(calls[m.file][i])
			out.WriteByte(c)
		}
		files[m.file] = out.String() + "\n" + copies[m.file]
	}
	return files, spans
}

// selector is the file that tells a package which of its mutants is tested. When none
// is, it writes down which ones a test would have come to.
const selector = `package %s

import (
	"fmt"
	"os"
	"strconv"
	"sync/atomic"
)

var mutantNow = func() int {
	text, _ := os.ReadFile(%q)
	n, err := strconv.Atoi(string(text))
	if err != nil {
		return -1
	}
	return n
}()

var mutantsReached [%d]atomic.Bool

func mutantAt(n int) bool { return n == mutantNow || mutantNow < 0 && mutantReached(n) }

func mutantReached(n int) bool {
	if mutantsReached[n].Load() || mutantsReached[n].Swap(true) {
		return false
	}
	f, err := os.OpenFile(%q, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err == nil {
		fmt.Fprintln(f, n)
		f.Close()
	}
	return false
}
`

// overlay lays texts over the tree's files.
func (b bench) overlay(files map[string]string) (string, error) {
	replace, laid := map[string]string{}, filepath.Join(b.folder, "laid") // not beside the tree, whose path the compiler's complaints leave out
	if err := os.MkdirAll(laid, 0o755); err != nil {
		return "", err
	}
	for file, text := range files {
		to := filepath.Join(laid, filepath.Base(file)) // so that the complaints name it
		if err := os.WriteFile(to, []byte(text), 0o644); err != nil {
			return "", err
		}
		replace[filepath.Join(b.tree, file)] = to
	}
	table, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		return "", err
	}
	name := filepath.Join(b.folder, "overlay.json")
	return name, os.WriteFile(name, table, 0o644)
}

var packageName = regexp.MustCompile(`(?m)^package (\w+)`)

var complaint = regexp.MustCompile(`(?m)([^/\s:]+\.go):(\d+):\d+: `)

// buildTogether compiles a package's tests with all mutants in one binary, and
// those that stand alone in one each. It adds to wrong what does not compile.
func (b bench) buildTogether(p pkg, mutants []mutant, wrong map[int]bool, binary string) error {
	for n, m := range mutants {
		if _, err := os.Stat(b.alone(p, n)); err == nil || m.together() || wrong[n] {
			continue
		}
		overlay, err := b.overlay(map[string]string{m.file: string(m.source[:m.start]) + m.new + string(m.source[m.end:])})
		if err != nil {
			return err
		}
		if _, err := b.build(p, b.alone(p, n), "-overlay", overlay); err != nil {
			wrong[n] = true
		}
	}
	for {
		files, spans := compose(mutants, wrong)
		name := packageName.FindSubmatch(mutants[0].source)
		files[p.folder+"/mutant_now.go"] = fmt.Sprintf(selector, name[1], b.now(), len(mutants)+1, b.reached())
		overlay, err := b.overlay(files)
		if err != nil {
			return err
		}
		out, err := b.build(p, binary, "-gcflags=-e", "-overlay", overlay)
		if err == nil {
			return nil
		}
		before := len(wrong)
		for _, found := range complaint.FindAllStringSubmatch(string(out), -1) {
			line, _ := strconv.Atoi(found[2])
			for _, s := range spans {
				if s.file == found[1] && s.first <= line && line <= s.last {
					wrong[s.mutant] = true
				}
			}
		}
		if len(wrong) == before {
			return fmt.Errorf("%s: the mutants do not compile together: %w\n%s", p.folder, err, out)
		}
	}
}
