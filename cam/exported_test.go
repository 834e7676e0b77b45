package cam_test

import (
	"bytes"
	"encoding/json"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// keptExports may stay though no room uses them: geometry is a library of its own, whose
// offset has sharp corners too.
var keptExports = []string{
	"geometry.OffsetSharp",
}

// forInterfaces are methods that the standard library calls, by an interface.
var forInterfaces = []string{"Error", "String", "MarshalJSON", "MarshalText", "UnmarshalText", "At", "Bounds", "ColorModel", "IsZero"}

// TestExportedNamesAreUsedOutside holds that what a room shows is asked for by another
// room's code, tests not counted.
func TestExportedNamesAreUsedOutside(t *testing.T) {
	ours, from := readRooms(t)
	e := exports{shown: map[string]types.Object{}, used: map[string]bool{}}
	for _, p := range ours {
		e.count(t, p, from)
	}
	require.Greater(t, len(e.used), 400)
	var idle []string
	for name, o := range e.shown {
		if of := typeOf(o); !e.used[name] && (of == "" || !e.used[of]) && !slices.Contains(keptExports, name) {
			idle = append(idle, name)
		}
	}
	slices.Sort(idle)
	assert.Empty(t, idle, "exported, and used by no code of another room: make it the room's own, or let it go")
}

// listed is a package as `go list` tells of it.
type listed struct {
	ImportPath, Dir, Export string
	GoFiles                 []string
}

// readRooms lists the program's packages, and knows the types of all that they import.
func readRooms(t *testing.T) (ours []listed, from types.Importer) {
	out, err := exec.Command("go", "list", "-deps", "-export", "-json=ImportPath,Dir,Export,GoFiles", "traywright/...").Output()
	require.NoError(t, err)
	compiled := map[string]string{}
	for d := json.NewDecoder(bytes.NewReader(out)); d.More(); {
		var p listed
		require.NoError(t, d.Decode(&p))
		compiled[p.ImportPath] = p.Export
		if strings.HasPrefix(p.ImportPath, "traywright/") {
			ours = append(ours, p)
		}
	}
	return ours, importer.ForCompiler(token.NewFileSet(), "gc", func(path string) (io.ReadCloser, error) { return os.Open(compiled[path]) })
}

// exports are the names that the rooms show, and those of them that another room's code uses.
type exports struct {
	shown map[string]types.Object
	used  map[string]bool
}

func (e *exports) count(t *testing.T, p listed, from types.Importer) {
	set := token.NewFileSet()
	var files []*ast.File
	for _, name := range p.GoFiles {
		f, err := parser.ParseFile(set, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		files = append(files, f)
	}
	info := types.Info{Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}
	_, err := (&types.Config{Importer: from}).Check(p.ImportPath, set, files, &info)
	require.NoError(t, err)
	for _, o := range info.Defs {
		if name := exportName(o); name != "" && o.Pkg().Name() != "main" {
			e.shown[name] = o
		}
	}
	for _, o := range info.Uses {
		if o.Pkg() != nil && o.Pkg().Path() != p.ImportPath && strings.HasPrefix(o.Pkg().Path(), "traywright/") {
			e.used[exportName(o)] = true
			e.hold(o.Type())
		}
	}
}

// exportName is how a name is told of outside its room, room.Name or room.Type.Method; ""
// where it cannot be told of, or an interface asks for it.
func exportName(o types.Object) string {
	if o == nil || !o.Exported() || o.Pkg() == nil {
		return ""
	}
	room := strings.TrimPrefix(o.Pkg().Path(), "traywright/") + "."
	if f, ok := o.(*types.Func); ok && f.Signature().Recv() != nil {
		of, ok := types.Unalias(pointed(f.Signature().Recv().Type())).(*types.Named)
		if !ok || !of.Obj().Exported() || types.IsInterface(of) || slices.Contains(forInterfaces, o.Name()) {
			return ""
		}
		return room + of.Obj().Name() + "." + o.Name()
	}
	if o.Parent() != o.Pkg().Scope() {
		return ""
	}
	return room + o.Name()
}

// typeOf names the type of a constant, whose words stand with it; "" is nothing's name.
func typeOf(o types.Object) string {
	if c, ok := o.(*types.Const); ok {
		if of, ok := types.Unalias(c.Type()).(*types.Named); ok {
			return exportName(of.Obj())
		}
	}
	return ""
}

func pointed(t types.Type) types.Type {
	if p, ok := t.(*types.Pointer); ok {
		return p.Elem()
	}
	return t
}

// hold marks the types that come into another room's hands with a value of a type.
func (e *exports) hold(t types.Type) {
	switch t := types.Unalias(t).(type) {
	case *types.Named:
		if o := t.Obj(); o.Pkg() != nil && strings.HasPrefix(o.Pkg().Path(), "traywright/") && !e.used["type "+t.String()] {
			e.used["type "+t.String()] = true
			e.used[exportName(o)] = true
			e.hold(t.Underlying())
		}
	case *types.Struct:
		for f := range t.Fields() {
			if f.Exported() {
				e.hold(f.Type())
			}
		}
	case *types.Signature:
		for v := range t.Params().Variables() {
			e.hold(v.Type())
		}
		for v := range t.Results().Variables() {
			e.hold(v.Type())
		}
	case *types.Interface:
		for m := range t.Methods() {
			e.hold(m.Type())
		}
	case *types.Map:
		e.hold(t.Key())
		e.hold(t.Elem())
	case interface{ Elem() types.Type }: // pointer, slice, array, channel
		e.hold(t.Elem())
	}
}
