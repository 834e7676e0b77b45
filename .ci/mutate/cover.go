package main

import (
	"bufio"
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"time"
)

// test is one test, fuzz target's seeds or example of a package: how long it
// took, and which code of the package it ran.
type test struct {
	name   string
	took   time.Duration
	blocks []block
}

// block is a stretch of code that runs as a whole, as Go's coverage counts it.
type block struct {
	file                         string // its name alone: a package is one folder
	line, col, lastLine, lastCol int
}

func (b block) holds(m mutant) bool {
	after := m.line > b.line || m.line == b.line && m.col >= b.col
	before := m.line < b.lastLine || m.line == b.lastLine && m.col < b.lastCol
	return b.file == filepath.Base(m.file) && after && before
}

// within says whether a block lies in the function around the change.
func (b block) within(m mutant) bool {
	return b.file == filepath.Base(m.file) && m.around.first <= b.line && b.lastLine <= m.around.last
}

// suite is the tests of a package, the quickest first, and all their blocks,
// run or not.
type suite struct {
	tests []test
	all   []block
}

// measure runs every test of a package on its own and notes what it runs. It
// fails when a test fails on the code as it is.
func (b bench) measure(p pkg) (suite, error) {
	var s suite
	binary := filepath.Join(b.folder, "measured.test")
	if out, err := b.build(p, binary, "-cover"); err != nil {
		return s, fmt.Errorf("%s: its tests do not build: %w\n%s", p.folder, err, out)
	}
	listed, err := b.start(p, binary, "-test.list", ".").Output()
	if err != nil {
		return s, fmt.Errorf("%s: its tests cannot be listed: %w", p.folder, err)
	}
	for name := range strings.FieldsSeq(string(listed)) {
		if !strings.HasPrefix(name, "Test") && !strings.HasPrefix(name, "Fuzz") && !strings.HasPrefix(name, "Example") {
			continue
		}
		t := test{name: name}
		began := time.Now()
		profile, err := b.profile(p, binary, name)
		if err != nil {
			return s, err
		}
		t.took = time.Since(began)
		s.all, t.blocks = readProfile(profile)
		s.tests = append(s.tests, t)
	}
	slices.SortStableFunc(s.tests, func(a, b test) int { return int(a.took - b.took) })
	return s, nil
}

// profile runs one test; what a program that the test starts runs counts too.
func (b bench) profile(p pkg, binary, name string) ([]byte, error) {
	folder, err := os.MkdirTemp(b.folder, "cover-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(folder)
	file := filepath.Join(folder, "profile.txt")
	data := filepath.Join(folder, "data")
	if err := os.Mkdir(data, 0o755); err != nil {
		return nil, err
	}
	cmd := b.start(p, binary, append(only([]test{{name: name}}), "-test.timeout", "10m", "-test.coverprofile", file, "-test.gocoverdir", data)...)
	cmd.Env = append(cmd.Env, "GOCOVERDIR="+data)
	if out, err := cmd.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%s: %s fails as it is: %w\n%s", p.folder, name, err, out)
	}
	if out, err := exec.Command("go", "tool", "covdata", "textfmt", "-i", data, "-o", file).CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%s: the coverage of %s cannot be read: %w\n%s", p.folder, name, err, out)
	}
	return os.ReadFile(file)
}

// readProfile returns all blocks of a profile, and those that ran.
func readProfile(profile []byte) (all, ran []block) {
	for s := bufio.NewScanner(bytes.NewReader(profile)); s.Scan(); {
		place, rest, found := strings.Cut(s.Text(), ".go:")
		var b block
		var statements, count int
		if n, err := fmt.Sscanf(rest, "%d.%d,%d.%d %d %d", &b.line, &b.col, &b.lastLine, &b.lastCol, &statements, &count); !found || n != 6 || err != nil {
			continue
		}
		b.file = filepath.Base(place) + ".go"
		all = append(all, b)
		if count > 0 {
			ran = append(ran, b)
		}
	}
	return all, ran
}

// reaching are the tests that run the code of a change: no other can notice it.
// What stands in no block (the expression of a case) is run when anything of its
// function is, and what stands in no function (a constant) by every test.
func (s suite) reaching(m mutant) []test {
	runs := func(b block) bool { return b.holds(m) }
	if !slices.ContainsFunc(s.all, runs) {
		if m.around == nil {
			return s.tests
		}
		runs = func(b block) bool { return b.within(m) }
	}
	var list []test
	for _, t := range s.tests {
		if slices.ContainsFunc(t.blocks, runs) {
			list = append(list, t)
		}
	}
	return list
}

// only are the flags that run some tests and no others.
func only(tests []test) []string {
	names := make([]string, len(tests))
	for i, t := range tests {
		names[i] = regexp.QuoteMeta(t.name)
	}
	return []string{"-test.short", "-test.failfast", "-test.run", "^(" + strings.Join(names, "|") + ")$"}
}
