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

// Read reads the outlines of a drawing of the format.
func (f Format) Read(ctx context.Context, data []byte) ([]Piece, error) {
	if f == SVG {
		return readSVG(ctx, data)
	}
	return readDXF(ctx, data)
}
