package main

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"traywright/cam"
)

func checkCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "check",
		Usage:     "read everything, do all the arithmetic, write nothing",
		ArgsUsage: "JOB",
		Description: "Prints trays, stacks and weights, and a finding for everything that is wrong or worth a look.\n" +
			"Example: traywright check testdata/tidewrack/job.yaml --units in",
		Flags: jobFlags(),
		Action: func(c *cli.Context) error {
			s.settle(c)
			path, err := oneArgument(c, "a job file")
			if err != nil {
				return err
			}
			request, err := s.request(c, path)
			if err != nil {
				return err
			}
			return s.show(c, request, cam.Check(request))
		},
	})
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
	} else {
		if result.Plan != nil && !s.quiet {
			if err := writeTables(s.out, result.Plan, r.Unit); err != nil {
				return err
			}
		}
		s.print(result.Report.Findings)
		s.caution(r, result)
	}
	if result.Report.Findings.Failed() {
		return errRefused
	}
	return nil
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
}

// verdict is the last line of talk: what came of it.
func (s *session) verdict(result cam.Result, done string, args ...any) {
	counts := map[string]int{}
	for _, f := range result.Report.Findings {
		counts[f.Severity.String()]++
	}
	s.say("%s; %d warnings, %d notes", fmt.Sprintf(done, args...), counts["warning"], counts["note"])
}
