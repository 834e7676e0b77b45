package main

import (
	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/geometry/units"
)

func trialCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "trial",
		Usage:     "write an air cut to meet a machine with, and a page that says how",
		ArgsUsage: "MACHINE",
		Description: "No foam is needed, no cutter and no blade: the head goes round the bed's corners, along its diagonals and round squares at a\n" +
			"safe height, nothing switched on; a router's empty spindle turns for a moment in a program of its own, a beam stays dark, a wire cold.\n" +
			"Read trial.md first. The machine's own manual and its owner's rules come before it.\n" +
			"Example: traywright profiles trial bench-router --out trial",
		Flags: talkFlags(profilesFlag, plainUnits, outFlag, keepFlag),
		Action: func(c *cli.Context) error {
			s.settle(c)
			name, err := oneArgument(c, "a machine's name")
			if err != nil {
				return err
			}
			return s.meet(c, name)
		},
	})
}

// meet writes the air cut of a machine.
func (s *session) meet(c *cli.Context, name string) error {
	out := folderOf(c, outFlag)
	if out.dir == "" {
		return usage("profiles trial needs a folder to write into", "add --out DIR")
	}
	if err := out.mayWrite(); err != nil {
		return err
	}
	unit, err := chosenUnit(c, units.Millimetre)
	if err != nil {
		return err
	}
	catalog, err := readCatalog(c)
	if err != nil {
		return err
	}
	machine, found := catalog.FindMachine(name, "profiles trial")
	if found.Failed() {
		return found
	}
	result, err := until(c.Context, func() (cam.Result, error) { return cam.Meet(machine, catalog, unit) })
	if err != nil {
		return err
	}
	show := func() error { return s.show(c, cam.Request{Unit: unit}, result) }
	if err := s.deliverResult(c, out, result, nil, show); err != nil {
		return err
	}
	s.say("read %s before you start: nothing that cuts, an empty bed, a hand on the stop", asTyped(out.dir+"/"+cam.MeetName+".md"))
	return nil
}
