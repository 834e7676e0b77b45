// Package strict reads YAML files of which every key is known: jobs, profiles and
// shop rules. It keeps the place of everything, so that whoever wrote the file is
// shown where it is wrong and not only that it is.
//
//	bytes -> text (text.go) -> tokens, within bounds (tree_tokens.go) -> tree (tree.go) -> values, asked for one by one
//
// Reading goes on after a value that cannot be read, so that all of a file's
// problems are shown at once. Such a value reads as zero.
package strict

import "traywright/cam/finding"

// MostBytes bounds a file: a job of 20,000 pockets, each on a line of its own,
// takes a third of it.
const MostBytes = 4 << 20

// Options are what kinds of files differ in.
type Options struct {
	Kind string // what the file is, for messages: "job"
	// Aliases lets a value stand for one that has an anchor. Where the file must mean
	// what a person reads in it, they are refused.
	Aliases     bool
	Paths       bool   // a message names a value by its path, foams[2].density_kg_m3, and not by its key alone
	LongestText int    // in characters
	Smaller     string // hint for a file that is too large
	Begin       string // hint for a file that is empty
}

// Document is a file while it is read: profiles or shop rules.
type Document struct {
	log  finding.Log
	root Value
}

// Read parses a file. Whether it could be is for Err to say, after the values
// have been taken.
func Read(file string, data []byte) *Document {
	d := &Document{log: finding.Log{First: file}}
	o := Options{Kind: "document", Paths: true, LongestText: 1000, Smaller: "split it into several"}
	if text, ok := Text(&d.log, file, data, o.Smaller); ok {
		d.root, _ = Parse(&d.log, file, text, o)
	}
	return d
}

// Root is the file's outermost value; absent when the file cannot be read.
func (d *Document) Root() Value { return d.root }

// Err is nil, or a finding.List in the file's order. Everything in it counts as an
// input that cannot be read: half of a file is not the file.
func (d *Document) Err() error { return d.log.All().AsUnread().Err() }
