package main

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"traywright": main,
		"stubborn": func() { // a program that does not heed an interrupt
			os.Exit(withInterrupts(func(context.Context) int {
				os.Stdout.WriteString("running\n")
				select {}
			}))
		},
	})
}

// TestScripts runs testdata/script/*.txtar: the program as a user types it.
func TestScripts(t *testing.T) {
	demo, err := filepath.Abs("../../testdata/tidewrack")
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(env *testscript.Env) error {
			env.Setenv("DEMO", demo)
			env.Setenv("COLUMNS", "999")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":   exits,
			"nothing": nothing,
			"lines":   lines,
			"json":    document,
		},
	})
}

// document wants one JSON document, and nothing else, on standard output: json
func document(ts *testscript.TestScript, _ bool, _ []string) {
	in := json.NewDecoder(strings.NewReader(ts.ReadFile("stdout")))
	var one struct {
		SchemaVersion int `json:"schema_version"`
	}
	ts.Check(in.Decode(&one))
	if one.SchemaVersion == 0 {
		ts.Fatalf("the document names no schema_version")
	}
	if err := in.Decode(&one); !errors.Is(err, io.EOF) {
		ts.Fatalf("something follows the document: %v", err)
	}
}

// exits runs a command and wants its exit code: exits 2 traywright check x.yaml
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	err = ts.Exec(args[1], args[2:]...)
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
	if strings.Contains(ts.ReadFile("stderr"), "panic") {
		ts.Fatalf("a panic")
	}
}

// nothing wants a folder to hold exactly the named entries: nothing left DIR [NAME...]
func nothing(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 || args[0] != "left" {
		ts.Fatalf("usage: nothing left DIR [NAME...]")
	}
	entries, err := os.ReadDir(ts.MkAbs(args[1]))
	ts.Check(err)
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if got, want := strings.Join(names, " "), strings.Join(args[2:], " "); got != want {
		ts.Fatalf("%s holds %q, want %q", args[1], got, want)
	}
}

// lines wants stdout or stderr to have N lines: lines stderr 2
func lines(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: lines stdout|stderr N")
	}
	text := strings.TrimSuffix(ts.ReadFile(args[0]), "\n")
	got := 0
	if text != "" {
		got = strings.Count(text, "\n") + 1
	}
	if strconv.Itoa(got) != args[1] {
		ts.Fatalf("%d lines on %s, want %s:\n%s", got, args[0], args[1], text)
	}
}
