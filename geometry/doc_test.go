package geometry

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestEveryExportedFunctionHasAnExample goes through the package as go doc does; an
// example that no Output is compared with is not run, and does not count.
func TestEveryExportedFunctionHasAnExample(t *testing.T) {
	files, fset := sources(t)
	pkg, err := doc.NewFromFiles(fset, files, "traywright/geometry")
	require.NoError(t, err)
	functions := 0
	check := func(name string, f *doc.Func) {
		functions++
		ran := false
		for _, e := range f.Examples {
			ran = ran || e.Output != "" || e.EmptyOutput
		}
		assert.True(t, ran, "%s has no example that runs", name)
		assert.NotEmpty(t, f.Doc, "%s says nothing", name)
	}
	for _, f := range pkg.Funcs {
		check(f.Name, f)
	}
	for _, typ := range pkg.Types {
		assert.NotEmpty(t, typ.Doc, typ.Name)
		for _, f := range typ.Funcs {
			check(f.Name, f)
		}
		for _, f := range typ.Methods {
			if f.Level == 0 { // not one of an embedded type
				check(typ.Name+"."+f.Name, f)
			}
		}
	}
	assert.Greater(t, functions, 60, "the package was not read")
}

func sources(t *testing.T) ([]*ast.File, *token.FileSet) {
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	fset := token.NewFileSet()
	var files []*ast.File
	for _, e := range entries {
		if strings.HasSuffix(e.Name(), ".go") {
			f, err := parser.ParseFile(fset, e.Name(), nil, parser.ParseComments)
			require.NoError(t, err)
			files = append(files, f)
		}
	}
	return files, fset
}
