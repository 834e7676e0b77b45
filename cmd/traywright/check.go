package main

import (
	"errors"
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
)

func checkCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "check",
		Usage:     "read everything, do all the arithmetic, write nothing",
		ArgsUsage: "JOB",
		Description: "Prints trays, stacks and weights, and a finding for everything that is wrong or worth a look.\n" +
			"With --proof: every label that will be cut or engraved, once, for you to read aloud before it is; nothing else.\n" +
			"Example: traywright check testdata/tidewrack/job.yaml --units in",
		Flags: jobFlags(proofFlag, measuredFlag),
		Action: func(c *cli.Context) error {
			s.settle(c)
			path, err := jobArgument(c)
			if err != nil {
				return err
			}
			request, err := s.request(c, path)
			if err != nil {
				return s.refused(err)
			}
			result, err := checked(c, request)
			if err != nil {
				return err
			}
			if c.Bool(proofFlag.Name) && !c.Bool(jsonFlag.Name) {
				return s.proof(request, result)
			}
			err = s.show(c, request, result)
			if !c.Bool(jsonFlag.Name) {
				s.checkVerdict()
			}
			return err
		},
	})
}

var proofFlag = &cli.BoolFlag{Name: "proof", Usage: "print every label that will be cut, once, with where it goes, and nothing else"}

// proof prints the texts that will be cut, each once, and where each goes.
func (s *session) proof(r cam.Request, result cam.Result) error {
	s.print(result.Report.Findings)
	for _, p := range result.Report.Proof {
		if _, err := fmt.Fprintf(s.out, "%s\n    %s\n", p.Text, p.Where(r.Unit)); err != nil {
			return err
		}
	}
	if len(result.Report.Proof) == 0 {
		s.say("no label is cut: write `labels` for a tray")
	}
	return refusal(result.Report.Findings)
}

// show prints a result: the report alone with --json, else tables and findings.
func (s *session) show(c *cli.Context, r cam.Request, result cam.Result) error {
	if c.Bool(jsonFlag.Name) {
		text, err := result.Report.JSON()
		if err != nil {
			return err
		}
		if _, err := s.out.Write(text); err != nil {
			return err
		}
		s.count(result.Report.Findings)
	} else {
		if result.Plan != nil && !s.quiet && result.Report.Findings.Unread() {
			s.say("no sizes and weights are printed: some of them would be of what nobody knows")
		} else if result.Plan != nil && !s.quiet {
			if err := s.writeTables(result.Plan, r.Unit); err != nil {
				return err
			}
			if len(result.Layout.Setups) > 0 {
				if err := s.writeStock(result.Layout, r.Unit); err != nil {
					return err
				}
			}
		}
		s.print(result.Report.Findings)
		if result.Plan != nil && !result.Report.Findings.Failed() {
			s.tellWhose(r.Catalog, result.Plan)
		}
	}
	return refusal(result.Report.Findings)
}

// showCut prints a result that foam is cut by: cautions behind the rest.
func (s *session) showCut(c *cli.Context, r cam.Request, result cam.Result) error {
	err := s.show(c, r, result)
	if !c.Bool(jsonFlag.Name) {
		s.caution(r, result)
	}
	return err
}

// caution says what to mind at the machine, if the job may go there.
func (s *session) caution(r cam.Request, result cam.Result) {
	if result.Plan == nil || result.Report.Findings.Failed() {
		return
	}
	s.say("before you cut:")
	for _, text := range cam.Cautions(r, result.Plan) {
		s.say("  %s", text)
	}
	if t := result.Report.Totals; t != nil && t.Words(r.Unit) != "" {
		s.say("in all: %s", t.Words(r.Unit))
	}
}

// refused ends a check that found no job to plan with its verdict, as one that did; a file that
// is not there, or a word of the command line, is no job's fault and has no place in one.
func (s *session) refused(err error) error {
	var found finding.List
	if s.json || !errors.As(err, &found) || !slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Where != "" }) {
		return err
	}
	s.print(found)
	s.checkVerdict()
	return refusal(found)
}

// checkVerdict is the last line of a check.
func (s *session) checkVerdict() {
	if s.told[finding.Error] > 0 {
		s.refusedAs(jobIsRefused)
		return
	}
	s.verdict("check refuses nothing")
}

// The verdicts on what has errors: of a check, and of what would have written.
const (
	jobIsRefused     = "the job is refused"
	nothingIsWritten = "refused, and nothing is written"
)

// refusedAs is the verdict on what has errors.
func (s *session) refusedAs(verdict string) {
	s.verdict("%s: %s", verdict, finding.Counted(s.told[finding.Error], "error"))
}

// verdict is the last line of talk: what came of it.
func (s *session) verdict(done string, args ...any) {
	s.say("%s; %s, %s", fmt.Sprintf(done, args...), finding.Counted(s.told[finding.Warning], "warning"), finding.Counted(s.told[finding.Note], "note"))
}
