package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os/exec"
	"runtime"
	"time"

	"github.com/urfave/cli/v2"

	"traywright/cam"
)

var noOpenFlag = &cli.BoolFlag{Name: "no-open", Usage: "print the address and open no browser"}

func lookCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "look",
		Usage:     "show the job as a page on this computer, live while it is edited, and edit it",
		ArgsUsage: "JOB",
		Description: "Prints the page's address alone on a line, and shows each state that the job, its roster, rules,\n" +
			"profiles and drawings come to, until it is interrupted. The page is for this computer and this run alone.\n" +
			"Nothing is written but what a hand changes there: pockets dragged, numbers set, into the job's own text.\n" +
			"Example: traywright look testdata/tidewrack/job.yaml --no-open",
		Flags: jobFlags(noOpenFlag, measuredFlag),
		Action: func(c *cli.Context) error {
			s.settle(c)
			path, err := jobArgument(c)
			if err != nil {
				return err
			}
			return s.look(c, path)
		},
	})
}

// lookAnswer is what --json prints.
type lookAnswer struct {
	SchemaVersion int    `json:"schema_version"`
	Address       string `json:"address"`
}

// look serves the page until it is interrupted.
func (s *session) look(c *cli.Context, path string) error {
	feed := newLookFeed(s, c, path)
	if err := feed.begin(); err != nil {
		return err
	}
	listening, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return usage("no address of this computer is free for the page: "+cause(err).Error(), "end another program that listens, or try again")
	}
	server := newLookServer(listening.Addr().String(), feed)
	if err := s.tellAddress(server.address()); err != nil {
		return err
	}
	if !c.Bool(noOpenFlag.Name) {
		openBrowser(server.address())
	}
	s.say("looking at %s; interrupt (Ctrl-C) ends it", path)
	answering := &http.Server{Handler: server, ReadHeaderTimeout: 5 * time.Second, BaseContext: func(net.Listener) context.Context { return c.Context }}
	go feed.run(c.Context)
	context.AfterFunc(c.Context, func() { answering.Close() })
	err = answering.Serve(listening)
	feed.work.Lock() // a step that is being written ends first, and leaves nothing beside the job
	defer feed.work.Unlock()
	if !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

func (s *session) tellAddress(address string) error {
	if s.json {
		return writeJSON(s.out, lookAnswer{cam.SchemaVersion, address})
	}
	_, err := fmt.Fprintln(s.out, address)
	return err
}

// openBrowser asks the system for its browser; where it has none, the address is printed.
func openBrowser(address string) {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	}
	opening := exec.Command(name, args...)
	if opening.Start() == nil {
		go opening.Wait()
	}
}
