package main

import (
	"bufio"
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
)

// mutant is one change of one file: the bytes from start to end become new.
type mutant struct {
	file       string
	line, col  int
	around     *function // nil outside of one
	start, end int
	old, new   string
	text       string // the line, as it was
	source     []byte // the file, as it was
}

func (m mutant) String() string {
	return fmt.Sprintf("%s:%d:%d: %s -> %s | %s", m.file, m.line, m.col, m.old, m.new, m.text)
}

// key is how equivalent.txt names a change: it outlives other lines that come
// and go.
func (m mutant) key() string {
	return fmt.Sprintf("%s:%d: %s -> %s | %s", m.file, m.col, m.old, m.new, m.text)
}

// operators are what each operator may become: its neighbours in meaning, by
// which people err.
var operators = map[token.Token][]string{
	token.ADD: {"-"}, token.SUB: {"+"}, token.MUL: {"/"}, token.QUO: {"*"}, token.REM: {"*"},
	token.LSS: {"<=", ">="}, token.LEQ: {"<", ">"}, token.GTR: {">=", "<="}, token.GEQ: {">", "<"},
	token.EQL: {"!="}, token.NEQ: {"=="}, token.LAND: {"||"}, token.LOR: {"&&"},
	token.AND: {"|"}, token.OR: {"&"}, token.SHL: {">>"}, token.SHR: {"<<"},
	token.ADD_ASSIGN: {"-="}, token.SUB_ASSIGN: {"+="}, token.MUL_ASSIGN: {"/="}, token.QUO_ASSIGN: {"*="},
	token.INC: {"--"}, token.DEC: {"++"},
}

// names are identifiers that are as good as constants or operators.
var names = map[string]string{"true": "false", "false": "true", "min": "max", "max": "min"}

// mutants are all changes of a package that are not known to change nothing,
// in a random order: each place once, its new text drawn.
func (p pkg) mutants(random *rand.Rand, known map[string]bool) ([]mutant, error) {
	var list []mutant
	set := token.NewFileSet()
	var trees []*ast.File
	var texts [][]byte
	for _, file := range p.files {
		text, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		tree, err := parser.ParseFile(set, file, text, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		trees, texts = append(trees, tree), append(texts, text)
	}
	types, err := p.types(set, trees)
	if err != nil {
		return nil, err
	}
	for i, tree := range trees {
		list = append(list, sites(set, p.files[i], tree, texts[i], types, random)...)
	}
	random.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	kept := list[:0]
	for _, m := range list {
		if !known[m.key()] {
			kept = append(kept, m)
		}
	}
	return kept, nil
}

// sites are the places of one file that can be changed.
func sites(set *token.FileSet, file string, tree *ast.File, text []byte, known types.Info, random *rand.Rand) []mutant {
	lines := bytes.Split(text, []byte("\n"))
	var list []mutant
	var f *function
	change := func(at token.Pos, old string, choices ...string) {
		if len(choices) == 0 {
			return
		}
		p := set.Position(at)
		list = append(list, mutant{
			file: file, line: p.Line, col: p.Column, around: f, start: p.Offset, end: p.Offset + len(old), old: old,
			new: choices[random.IntN(len(choices))], text: strings.TrimSpace(string(lines[p.Line-1])), source: text,
		})
	}
	var visit func(n ast.Node) bool
	visit = func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec, *ast.ArrayType:
			return false // the length of an array is not what it does
		case *ast.CallExpr:
			switch f := n.Fun.(type) {
			case *ast.SelectorExpr:
				if f.Sel.Name == "Inf" || f.Sel.Name == "FormatFloat" {
					return false // of these numbers the sign alone counts
				}
			case *ast.Ident:
				if f.Name == "make" && len(n.Args) == 3 {
					ast.Inspect(n.Args[1], visit) // how much room is made beforehand changes nothing
					return false
				}
			}
		case *ast.BinaryExpr:
			to := operators[n.Op]
			if len(to) == 2 && measured(n, known) {
				to = to[1:]
			}
			change(n.OpPos, n.Op.String(), to...)
		case *ast.AssignStmt:
			change(n.TokPos, n.Tok.String(), operators[n.Tok]...)
		case *ast.IncDecStmt:
			change(n.TokPos, n.Tok.String(), operators[n.Tok]...)
		case *ast.UnaryExpr:
			if n.Op == token.NOT || n.Op == token.SUB {
				change(n.OpPos, n.Op.String(), "")
			}
		case *ast.BasicLit:
			change(n.Pos(), n.Value, constants(n)...)
		case *ast.Ident:
			if to, ok := names[n.Name]; ok {
				change(n.Pos(), n.Name, to)
			}
		}
		return true
	}
	for _, d := range tree.Decls {
		f = nil
		if d, ok := d.(*ast.FuncDecl); ok {
			f = around(d, set)
		}
		ast.Inspect(d, visit)
	}
	return list
}

// constants are what a number may become. A tiny one is a tolerance, of which twice
// as much would say nothing; a large one a bound, of which one more would.
func constants(lit *ast.BasicLit) []string {
	switch lit.Kind {
	case token.INT:
		n, err := strconv.ParseInt(lit.Value, 0, 64)
		if err != nil {
			return nil
		}
		if n == 0 {
			return []string{"1"}
		}
		return []string{strconv.FormatInt(n+1, 10), strconv.FormatInt(n-1, 10)}
	case token.FLOAT:
		x, err := strconv.ParseFloat(lit.Value, 64)
		if err != nil {
			return nil
		}
		more := strconv.FormatFloat(x+1, 'g', -1, 64)
		switch {
		case x < 1e-3:
			return []string{more}
		case x >= 1e3:
			return []string{strconv.FormatFloat(2*x, 'g', -1, 64)}
		}
		return []string{more, strconv.FormatFloat(2*x, 'g', -1, 64)}
	}
	return nil
}

// readEquivalent reads the changes that were looked at and found to change
// nothing: a line each, as mutant.key, and under it, indented, why.
func readEquivalent(file string) (map[string]bool, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	known := map[string]bool{}
	for s := bufio.NewScanner(f); s.Scan(); {
		if line := s.Text(); line != "" && line[0] != '#' && line[0] != '\t' {
			known[line] = true
		}
	}
	return known, nil
}
