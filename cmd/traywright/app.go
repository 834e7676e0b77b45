package main

import (
	"fmt"
	"regexp"

	"github.com/urfave/cli/v2"
)

func newApp(s *session) *cli.App {
	return &cli.App{
		Name:  "traywright",
		Usage: "foam trays, from measured pieces to files that a machine can cut",
		Description: "Write a job and a roster, check them, cut. `traywright man safety` comes first; everything is in `traywright man readme`.\n" +
			"Exit codes: 0 done, 1 the job is refused or a check failed, 2 wrong usage, an input that cannot be read or a place that cannot be written.",
		Commands: []*cli.Command{
			startCommand(s), checkCommand(s), arrangeCommand(s), cutCommand(s), lookCommand(s), dryRunCommand(s), couponCommand(s), kerfCommand(s), profilesCommand(s), hotWireCommand(s), measureCommand(s), outlineCommand(s),
			keysCommand(s), schemaCommand(s), completionCommand(s), manCommand(s),
		},
		Version:         version(),
		Writer:          s.out,
		ErrWriter:       s.talk,
		Reader:          s.in,
		OnUsageError:    onUsageError,
		ExitErrHandler:  func(*cli.Context, error) {},
		CommandNotFound: nil,
	}
}

// command fills in what every command has in common.
func command(c *cli.Command) *cli.Command {
	c.OnUsageError = onUsageError
	c.HideHelpCommand = true
	return c
}

// badValue is how the command-line library says that a flag's value is none.
var badValue = regexp.MustCompile(`^invalid (?:boolean )?value ("[^"]*") for (?:flag )?-+([a-z-]+)`)

func onUsageError(_ *cli.Context, err error, _ bool) error {
	const hint = "add --help to see what the command takes"
	if found := badValue.FindStringSubmatch(err.Error()); found != nil {
		return usage(fmt.Sprintf("--%s does not take %s", found[2], found[1]), hint)
	}
	return usage(err.Error(), hint)
}

// Flags that several commands share.
var (
	machineFlag  = &cli.StringFlag{Name: "machine", Usage: "use machine `NAME` instead of the job's"}
	profilesFlag = &cli.StringFlag{Name: "profiles", Usage: "add the foams, machines and recipes in `DIR`"}
	rulesFlag    = &cli.StringSliceFlag{Name: "shop-rules", Usage: "add the shop rules in `FILE`; may be given more than once, the strictest rules"}
	measuredFlag = &cli.StringSliceFlag{Name: "measured", Usage: "a sheet's real thickness, as `FOAM/THICKNESS=LENGTH`: pe-30/25.4=25.1, or \"pe-30/1 in=25.1 mm\"; may be given more than once"}
	unitsFlag    = &cli.StringFlag{Name: "units", Usage: "print lengths in `mm|in`; left out, the job's own units"}
	plainUnits   = &cli.StringFlag{Name: unitsFlag.Name, Usage: "print lengths in `mm|in`; left out, mm"} // of commands without a job
	jsonFlag     = &cli.BoolFlag{Name: "json", Usage: "print the report as JSON on standard output, nothing else"}
	quietFlag    = &cli.BoolFlag{Name: "quiet", Usage: "print errors only"}
	noColorFlag  = &cli.BoolFlag{Name: "no-color", Usage: "no colour in messages (also the environment variable NO_COLOR)"}
)

// talkFlags are taken by every command, jobFlags by those that read a job.
func talkFlags(more ...cli.Flag) []cli.Flag {
	return append(more, jsonFlag, quietFlag, noColorFlag)
}

func jobFlags(more ...cli.Flag) []cli.Flag {
	return talkFlags(append(more, machineFlag, profilesFlag, rulesFlag, unitsFlag)...)
}
