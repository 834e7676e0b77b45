// Command moves prints what the dry run's reader makes of programs, one JSON document a
// line, for gcode_controller.py to hold against a controller's own interpreter.
//
// usage: go run ./.ci/outside/moves FILE...
package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"

	"traywright/cam/finding"
	"traywright/cam/proof/read"
)

// program is one program as read.
type program struct {
	File       string   `json:"file"`
	Errors     []string `json:"errors"`
	Unfollowed int      `json:"unfollowed"`
	Steps      []step   `json:"steps"`
}

// step is read.Step in its own words; mm.
type step struct {
	Line    int        `json:"line"`
	Action  int        `json:"action"`
	From    [3]float64 `json:"from"`
	To      [3]float64 `json:"to"`
	Center  [2]float64 `json:"center"`
	Unknown int        `json:"unknown"` // axes whose place is not known at the step's end
	Feed    float64    `json:"feed"`
	Seconds float64    `json:"seconds"`
	Spin    int        `json:"spin"`
	S       float64    `json:"s"`
	Tool    int        `json:"tool"`
	Air     int        `json:"air"`
	Turn    *float64   `json:"turn"` // where A is at its end, degrees; null where that is not known
}

func main() {
	out := bufio.NewWriter(os.Stdout)
	encoder := json.NewEncoder(out)
	for _, name := range os.Args[1:] {
		text, err := os.ReadFile(name)
		if err == nil {
			err = encoder.Encode(describe(name, read.Program(text, read.Options{Turns: true})))
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
	}
	if err := out.Flush(); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func describe(name string, t read.Trace) program {
	p := program{File: name, Errors: []string{}, Unfollowed: t.Unfollowed, Steps: []step{}}
	for _, f := range t.Findings {
		if f.Severity == finding.Error {
			p.Errors = append(p.Errors, fmt.Sprintf("%d: %s: %s", f.Line, f.Rule, f.Message))
		}
	}
	for i, s := range t.Steps {
		p.Steps = append(p.Steps, step{
			Line: s.Line, Action: int(s.Action), From: [3]float64{s.From.X, s.From.Y, s.From.Z}, To: [3]float64{s.To.X, s.To.Y, s.To.Z},
			Center: [2]float64{s.Center.X, s.Center.Y}, Unknown: int(s.Unknown&^s.Named | s.Machine), Feed: s.FeedMMPerMin, Seconds: s.Seconds,
			Spin: int(s.Spin), S: s.S, Tool: s.Tool, Air: int(s.Air), Turn: turn(t, i),
		})
	}
	return p
}

// turn is where A is at the end of a step; nil where that is not known.
func turn(t read.Trace, i int) *float64 {
	if !t.Steps[i].Turned {
		return nil
	}
	return &t.Turns[i]
}
