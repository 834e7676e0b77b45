package drawing

import (
	"context"
	"path"
	"strings"
)

// Format is how a drawing is written down.
type Format uint8

const (
	DXF Format = iota
	SVG
)

// FormatOf is the format of a file by its name's ending, in capitals or not.
func FormatOf(name string) (Format, error) {
	switch strings.ToLower(path.Ext(name)) {
	case ".dxf":
		return DXF, nil
	case ".svg":
		return SVG, nil
	}
	return 0, fault(0, "is neither .dxf nor .svg", "save the outline as DXF or SVG, true size")
}

// Read reads a drawing of the format: see ReadDXF and ReadSVG.
func (f Format) Read(ctx context.Context, data []byte) ([]Piece, error) {
	if f == SVG {
		return ReadSVG(ctx, data)
	}
	return ReadDXF(ctx, data)
}
