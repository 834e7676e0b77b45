package job

import (
	"embed"
	"io/fs"
)

//go:embed start/*
var starter embed.FS

// Starter is what a new user begins from: a small commented job, roster and
// shop rules.
func Starter() fs.FS {
	sub, err := fs.Sub(starter, "start")
	if err != nil {
		return starter // cannot happen: the folder is embedded
	}
	return sub
}
