package main

import (
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing/fstest"

	"github.com/urfave/cli/v2"

	"traywright/cam"
	"traywright/cam/finding"
	"traywright/cam/process"
	"traywright/profiles"
)

var (
	newNameFlag    = &cli.StringFlag{Name: "name", Usage: "the machine's `NAME`: small letters, digits and -"}
	newProcessFlag = &cli.StringFlag{Name: "process", Usage: "what cuts: `router|laser|knife|hot-wire`"}
	newTravelFlag  = &cli.StringFlag{Name: "travel", Usage: "how far it goes, as `X x Y x Z`: \"400 x 300 x 80\" or \"16 in x 12 in x 3 in\""}
	newFeedFlag    = &cli.StringFlag{Name: "max-feed", Usage: "fastest cutting move, as `FEED`: \"3000 mm/min\" or \"120 in/min\""}
	newRapidFlag   = &cli.StringFlag{Name: "rapid", Usage: "fastest move that cuts nothing, as `FEED`"}
	newZeroFlag    = &cli.StringFlag{Name: "z-zero", Usage: "where Z is 0, `top|bed`: the foam's top or what it lies on"}
	newClassFlag   = &cli.StringFlag{Name: "controller", Usage: "the `CLASS` of its controller; traywright profiles controllers lists them"}
	newRPMFlag     = &cli.StringFlag{Name: "max-rpm", Usage: "of a router's spindle, `TURNS` a minute"}
	newCutterFlag  = &cli.StringSliceFlag{Name: "cutter", Usage: "of a router, as `\"DIAMETER reach LENGTH flutes N\"`: \"1/4 in reach 1 1/4 in flutes 2 nut 3/4 in edges 1 1/8 in shank 1/4 in helix up\"; may be given more than once"}
	newPowerFlag   = &cli.StringFlag{Name: "watts", Usage: "of a laser: its light in `WATTS`, not what the plug takes"}
	newWaveFlag    = &cli.StringFlag{Name: "wavelength", Usage: "of a laser, in `NM`: 10600 for a CO2 tube, about 450 for a blue diode"}
	newScaleFlag   = &cli.StringFlag{Name: "power-scale", Usage: "of a laser: the `S` word of full power"}
	newLitFlag     = &cli.StringFlag{Name: "laser-on", Usage: "of a laser: the word that lights its beam, `M3|M4`"}
	newWholeFlag   = &cli.StringFlag{Name: "whole-power", Usage: "of a laser: whether its S takes no decimals, `yes|no`"}
	newLeastFlag   = &cli.StringFlag{Name: "least-power", Usage: "of a laser: the least `PER-CENT` of full power at which its beam burns"}
	newOffFlag     = &cli.StringFlag{Name: "standoff", Usage: "of a laser: from nozzle to foam where the beam is in focus, as `LENGTH`"}
	newColoursFlag = &cli.StringFlag{Name: "dxf-colours", Usage: "of a laser that takes drawings: the numbers of its colours, as `\"MARK POCKET OUTLINE\"`: \"5 1 7\""}
	newSaveFlag    = &cli.StringFlag{Name: "save", Usage: "write NAME.yaml into the folder of profiles `DIR`"}
	newUnitsFlag   = &cli.StringFlag{Name: unitsFlag.Name, Usage: "lengths without a unit, and those that are printed, are in `mm|in`"}
)

func newProfileCommand(s *session) *cli.Command {
	return command(&cli.Command{
		Name:      "new",
		Usage:     "ask for a machine of your own, and write it as a profile file",
		ArgsUsage: " ",
		Description: "Asks what no flag says: on a terminal, or of the lines of standard input, one answer a line in the order of the\n" +
			"questions, an empty one for the default. `?` explains a question. A question without a default wants an answer.\n" +
			"What is not asked for has a default that says so in the file and in the listing. Nothing is ever overwritten.\n" +
			"Example: traywright profiles new --name mine --process router --travel \"16 in x 12 in x 3 in\" --cutter \"1/4 in reach 1 1/4 in flutes 2\" --save my-profiles",
		Flags: talkFlags(newNameFlag, newProcessFlag, newTravelFlag, newFeedFlag, newRapidFlag, newZeroFlag, newClassFlag, newRPMFlag, newCutterFlag,
			newPowerFlag, newWaveFlag, newScaleFlag, newLitFlag, newWholeFlag, newLeastFlag, newOffFlag, newColoursFlag,
			newChordFlag, newTrailFlag, newOutFlag, newTurnFlag, newCountsFlag, newWireFlag, newLengthFlag, newCurrentFlag, newSaveFlag, newUnitsFlag),
		Action: func(c *cli.Context) error {
			s.settle(c)
			if c.Args().Present() {
				return usage(fmt.Sprintf("profiles new takes no argument, and there is %q", c.Args().First()), "every answer is a flag; add --help to see them")
			}
			return s.newProfile(c)
		},
	})
}

// newProfile asks, writes the file, and shows what is in it.
func (s *session) newProfile(c *cli.Context) error {
	catalog, err := profiles.Shipped()
	if err != nil {
		return err
	}
	answers, err := until(c.Context, func() (*answers, error) { return s.askAll(c, catalog) })
	if err != nil {
		return err
	}
	name := answers.file()
	text := catalog.OwnFile(answers.own)
	held, err := profilesIn(answers.dir)
	if err != nil {
		return err
	}
	before, err := laid(held)
	if err != nil {
		return err
	}
	if _, taken := before.Machine(answers.own.ID); taken {
		return usage(fmt.Sprintf("there is a machine %q already", answers.own.ID), "take another name")
	}
	held[answers.own.ID+".yaml"] = &fstest.MapFile{Data: text}
	after, err := over(held)
	if err != nil {
		return err
	}
	wires := ofWires(after, answers.own.ID)
	s.print(wires)
	if wires.Failed() {
		return refusal(wires)
	}
	err = s.deliver(c.Context, func(d *delivery) error {
		if err := d.makeFolders(answers.dir); err != nil {
			return cannotWrite(answers.dir, err)
		}
		return d.files([]namedFile{{name, text}})
	}, func() error { return s.showNew(c, after, answers, name, text) })
	return err
}

// laid is the shipped catalog with a folder laid over it, which may be empty.
func laid(folder fstest.MapFS) (*profiles.Catalog, error) {
	if len(folder) == 0 {
		return profiles.Shipped()
	}
	return over(folder)
}

// newProfileReport is what --json prints of a new file.
type newProfileReport struct {
	SchemaVersion int              `json:"schema_version"`
	Machine       string           `json:"machine"`
	Files         []cam.FileReport `json:"files"`
	Findings      finding.List     `json:"findings"`
}

// showNew lists the new machine, with the source of every number, and says what is next.
func (s *session) showNew(c *cli.Context, catalog *profiles.Catalog, a *answers, name string, text []byte) error {
	recipes := 0
	for _, r := range catalog.Recipes() {
		if r.Machine == a.own.ID {
			recipes++
		}
	}
	if c.Bool(jsonFlag.Name) {
		return writeJSON(s.out, newProfileReport{cam.SchemaVersion, a.own.ID, []cam.FileReport{{Path: filepath.ToSlash(name), SHA256: cam.Sum(text), Kind: "profile", Machine: a.own.ID}}, nil})
	}
	if !s.quiet {
		w := profileWriter{s.columns(2), catalog, a.unit}
		m, _ := catalog.Machine(a.own.ID)
		w.machine(m)
		if err := w.Flush(); err != nil {
			return err
		}
	}
	s.say("wrote %s: the machine, and %s to start from", name, finding.Counted(recipes, "recipe"))
	if through := throughMM(catalog, a.own.ID); through > 0 {
		s.say("its cutters go through sheets of up to %s: what is thicker is refused, until a longer cutter is in its profile", a.shownDown(through))
	}
	if recipes == 0 {
		s.noRecipe(catalog, a, name)
	}
	for _, what := range append(a.notSaid(), darkMarks(catalog, a.own.ID)...) {
		s.say("not known yet: %s", what)
	}
	switch {
	case a.drawn() && recipes == 0:
	case a.drawn():
		s.say("next: look at what says `default`; the machine takes drawings, so that no air cut can be made for it: begin with a coupon, traywright coupon --help")
	default:
		s.say("next: look at what says `default`, then traywright profiles trial %s --profiles %s --out %s", a.own.ID, asTyped(a.dir), a.own.ID+"-trial")
	}
	s.say("in a job, with the folder beside it: `machine: %s` and `profiles: %s`", a.own.ID, filepath.Base(a.dir))
	return nil
}

// notSaid is what only the owner knows and has left open, and what is done without it.
func (a *answers) notSaid() []string {
	var list []string
	m, is := a.own, a.own.Process.Traits()
	if is.Beam && m.StandoffMM == 0 && (m.TravelMM[2] > 0 || a.drawn()) {
		list = append(list, "standoff_mm, so that no pass lowers the head (focus_step_mm is 0 in its recipes): measure it and write both")
	}
	if is.Blade && m.Tools[0].TrailMM == 0 && m.ChordMM == 0 {
		list = append(list, "trail_mm of its blade, so that nothing can be cut with it: measure it and write it into the blade's row; of a blade that an axis turns say --chord instead")
	}
	if is.Wire && m.Tools[0].LengthMM == 0 {
		list = append(list, "length_mm of its wire, so that its voltage is not known: measure it and write it into the wire's row")
	}
	return list
}

// darkMarks says that a laser's recipes do not burn labels, where its owner has said at what power
// the beam burns. Nothing is raised: no recipe to start from is hotter than one that ships.
func darkMarks(catalog *profiles.Catalog, id string) []string {
	m, _ := catalog.Machine(id)
	least := m.Controller.LeastWritten()
	for _, r := range catalog.Recipes() {
		if power := r.PowerPercent.Value * r.MarkShare.Value; r.Machine == id && power > 0 && power < least*(1-1e-9) {
			return []string{fmt.Sprintf("a mark_share that burns labels: %.3g %% of full power is below the %.3g %% at which the beam burns, so a coupon is refused, and its hint says which share to try on a scrap", power, least)}
		}
	}
	return nil
}

// noRecipe says that the machine cuts nothing yet, and how it comes to its first coupon.
func (s *session) noRecipe(catalog *profiles.Catalog, a *answers, name string) {
	m, _ := catalog.Machine(a.own.ID)
	s.say("no recipe, so that nothing can be cut with it yet, and no coupon: those that ship are for another light or far more of it, or for none of this process, and nobody knows how foam takes this one")
	if door, built := process.For(m.Process); !built || door.FitsTools() || len(m.Tools) == 0 {
		return // no programs are written for it
	}
	s.say("find by hand, on a scrap that the safety table allows and with no more heat to a mm than 5 times a shipped recipe's, which is refused, a feed in mm/min, a power in per cent, how deep one pass goes and how wide the cut is, mm, and write them for FEED, POWER, DEEP and WIDE into %s, and for MARK, at most 0.5, the least power at which it burns over POWER (15 over POWER where nobody knows that: judged, no source):", name)
	s.say("  recipes: [{machine: %s, tool: %s, source: tried by hand, foams: {pe-30: {feed_mm_per_min: FEED, power_percent: POWER, mm_per_pass: DEEP, kerf_mm: WIDE, kerf_off_mm: 0.2, pause_s: 3, mark_share: MARK, focus_step_mm: 0, lead_in_mm: 1, corner_radius_mm: 0.5, taper_degrees: 0}}}]", m.ID, m.Tools[0].ID)
	s.say("then: traywright coupon --foam pe-30 --thickness \"1/4 in\" --machine %s --profiles %s --shop-rules RULES --out coupon", m.ID, asTyped(a.dir))
}

// throughMM is the thickest sheet that a router's cutters go through, mm, with what they
// go below it; 0 where nothing limits that.
func throughMM(catalog *profiles.Catalog, machine string) float64 {
	m, _ := catalog.Machine(machine)
	most := 0.0
	for _, t := range m.Tools {
		for _, r := range catalog.Recipes() {
			if r.Machine == machine && r.Tool == t.ID && m.Process.Traits().Turning {
				most = max(most, t.Reach()-r.BreakthroughMM.Value)
			}
		}
	}
	return most
}

// Slips of the pen that a number of a machine shows: a unit that was forgotten.
const (
	thinnestCutterMM = 0.5
	leastBedMM       = 50
)

// checkTravel refuses a bed that is no machine's.
func (a *answers) checkTravel(text string) error {
	switch mm := a.own.TravelMM; {
	case mm[0] < leastBedMM || mm[1] < leastBedMM:
		return fmt.Errorf("%q is a bed of %s by %s: write the unit, such as 16 in x 12 in x 3 in", text, a.show(mm[0]), a.show(mm[1]))
	case a.own.Process.Traits().Turning && mm[2] < 10:
		return fmt.Errorf("%q lets a cutter go up and down by %s: write the unit", text, a.show(mm[2]))
	}
	return nil
}

// processNamed is the process that somebody means; a diode is a laser, whatever it is
// mounted on.
func processNamed(text string) (profiles.Process, error) {
	var names []string
	for _, p := range profiles.Processes() {
		if p.Traits().ByHand {
			continue // there is no machine to describe: profiles --yaml by-hand prints the rows
		}
		if strings.EqualFold(text, string(p)) {
			return p, nil
		}
		names = append(names, string(p))
	}
	hint := cmp.Or(finding.DidYouMean(text, names), "a cutter that turns is a router; whatever cuts with light, a diode on a router's frame too, is a laser")
	return "", errors.New(finding.Quote(text) + " is none of " + strings.Join(names, ", ") + ": " + hint)
}
