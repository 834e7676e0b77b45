package main

import (
	"fmt"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/token"
	"go/types"
	"io"
	"math"
	"os"
	"os/exec"
	"strings"
)

// types are those of a package's expressions, as far as the files named tell them.
func (p pkg) types(set *token.FileSet, trees []*ast.File) (types.Info, error) {
	known := types.Info{Types: map[ast.Expr]types.TypeAndValue{}}
	out, err := exec.Command("go", "list", "-export", "-deps", "-f", "{{.ImportPath}} {{.Export}}", "./"+p.folder).Output()
	if err != nil {
		return known, fmt.Errorf("go list %s: %w", p.folder, err)
	}
	exports := map[string]string{}
	for line := range strings.Lines(string(out)) {
		if path, file, ok := strings.Cut(strings.TrimSpace(line), " "); ok {
			exports[path] = file
		}
	}
	from := importer.ForCompiler(set, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
	reads := types.Config{Importer: from, Error: func(error) {}} // of some files alone not all is known
	reads.Check(p.folder, set, trees, &known)
	return known, nil
}

// tolerance is what is below it a tolerance, as constants has it.
const tolerance = 1e-3

// measured tells a comparison of two floats that are worked out, or of one with a tolerance: whether it
// holds where both are the same to the last bit, no test can arrange and nobody can want, so that `<` does
// not become `<=` there. Against 0 or a limit that stands in the code it does.
func measured(n *ast.BinaryExpr, known types.Info) bool {
	for _, x := range []ast.Expr{n.X, n.Y} {
		of := known.Types[x]
		if of.Type == nil {
			return false
		}
		if basic, ok := of.Type.Underlying().(*types.Basic); !ok || basic.Info()&types.IsFloat == 0 {
			return false
		}
		if of.Value != nil {
			value, _ := constant.Float64Val(constant.ToFloat(of.Value))
			if value == 0 || math.Abs(value) >= tolerance {
				return false
			}
		}
	}
	return true
}
