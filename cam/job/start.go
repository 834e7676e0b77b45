package job

import (
	"embed"
	"io/fs"

	"traywright/geometry/units"
)

//go:embed start/* start-in/*
var starter embed.FS

// Starter is what a new user begins from: a small commented job, roster and
// shop rules, in mm or in inches.
func Starter(unit units.Unit) fs.FS {
	folder := "start"
	if unit == units.Inch {
		folder = "start-in"
	}
	sub, err := fs.Sub(starter, folder)
	if err != nil {
		return starter // cannot happen: the folder is embedded
	}
	return sub
}
