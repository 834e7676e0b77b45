package page

import (
	"bytes"
	"go/ast"
	"go/parser"
	"go/token"
	"image"
	"image/png"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/geometry/units"
)

// Every colour is in palette.go: nothing else makes one out of numbers, or takes
// one that a library has. Rust is the moving tool's, and only that function has it.
func TestColoursComeFromThePalette(t *testing.T) {
	entries, err := os.ReadDir(".")
	require.NoError(t, err)
	rusty := map[string]bool{}
	for _, e := range entries {
		if !strings.HasSuffix(e.Name(), ".go") || strings.HasSuffix(e.Name(), "_test.go") || e.Name() == "palette.go" {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), e.Name(), nil, 0)
		require.NoError(t, err)
		for _, d := range file.Decls {
			name := e.Name()
			if f, is := d.(*ast.FuncDecl); is {
				name = f.Name.Name
			}
			ast.Inspect(d, func(n ast.Node) bool {
				switch n := n.(type) {
				case *ast.CompositeLit:
					if s, is := n.Type.(*ast.SelectorExpr); is {
						assert.False(t, strings.Contains("RGBA64 NRGBA64 Gray16 CMYK YCbCr Alpha", s.Sel.Name) && isName(s.X, "color"), "%s: %s makes a colour", e.Name(), name)
					}
				case *ast.SelectorExpr:
					assert.False(t, isName(n.X, "color") && strings.Contains("White Black Opaque Transparent", n.Sel.Name), "%s: %s takes a colour", e.Name(), name)
				case *ast.CallExpr:
					if isName(n.Fun, "rgb") {
						_, constant := n.Args[0].(*ast.BasicLit)
						assert.False(t, constant, "%s: %s makes a colour", e.Name(), name)
					}
				case *ast.Ident:
					if n.Name == "rust" {
						rusty[name] = true
					}
				}
				return true
			})
		}
	}
	assert.Equal(t, map[string]bool{"tool": true, "toolColour": true}, rusty)
}

func isName(e ast.Expr, name string) bool {
	id, is := e.(*ast.Ident)
	return is && id.Name == name
}

// rustIn counts the pixels of the tool's colour.
func rustIn(im image.Image) (n int) {
	for y := range im.Bounds().Dy() {
		for x := range im.Bounds().Dx() {
			if im.At(x, y) == rust {
				n++
			}
		}
	}
	return n
}

// A frame of a cut shows the tool, as wide as it is; nothing that stands still has
// its colour, a picture with everything wrong neither.
func TestRustIsTheMovingTool(t *testing.T) {
	r, wanted := badTray()
	assert.Zero(t, rustIn(drawSheet(t, "bad", r, routerOptions(wanted))))
	assert.Zero(t, rustIn(drawSection(t, "bad-section", r, AtY, 90, SectionOptions{Wanted: wanted})))
	assert.Zero(t, rustIn(drawOverview(t, "overview", demoPlan(t), OverviewOptions{})))
	charts, err := KerfPictures(kerfFits(t, measuredTable()), units.Millimetre)
	require.NoError(t, err)
	for _, c := range charts {
		im, err := png.Decode(bytes.NewReader(c.Data))
		require.NoError(t, err)
		assert.Zero(t, rustIn(im), c.Name)
	}
	o := FrameOptions{PictureOptions: PictureOptions{Machine: fixtureMachine(), ThicknessMM: fixtureThickness}}
	require.NoError(t, Frames(r, 3, o, func(number int, data []byte) error {
		im, err := png.Decode(bytes.NewReader(data))
		require.NoError(t, err)
		if number < 3 {
			assert.Greater(t, rustIn(im), 20, "frame %d", number)
		} else {
			assert.Zero(t, rustIn(im), "it is done: no tool moves any more")
		}
		return nil
	}))
}
