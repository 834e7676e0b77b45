package main

import (
	"bytes"
	"io"
	"io/fs"
	"time"
)

// standardInput is the name of a job that is typed in or comes through a pipe. What it names
// lies in the folder where the program was started.
const standardInput = "-"

// typedIn are files, and standard input among them.
func (s *session) typedIn(files fs.FS) (fs.FS, error) {
	if s.in == nil {
		return nil, errNotPlain
	}
	text, err := io.ReadAll(io.LimitReader(s.in, largestInput))
	return typedFiles{files, standardInput, text}, err
}

// typedFiles are files, one of which has another text.
type typedFiles struct {
	fs.FS
	name string
	text []byte
}

// Open opens a file, or what was typed in.
func (f typedFiles) Open(name string) (fs.File, error) {
	if name == f.name {
		return typedFile{bytes.NewReader(f.text)}, nil
	}
	return f.FS.Open(name)
}

// typedFile is what was typed in, as a file; it describes itself.
type typedFile struct{ *bytes.Reader }

func (f typedFile) Stat() (fs.FileInfo, error) { return f, nil }
func (f typedFile) Close() error               { return nil }
func (f typedFile) Name() string               { return standardInput }
func (f typedFile) Mode() fs.FileMode          { return 0o400 }
func (f typedFile) ModTime() time.Time         { return time.Time{} }
func (f typedFile) IsDir() bool                { return false }
func (f typedFile) Sys() any                   { return nil }
