package main

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles"
	"traywright/profiles/strict"
)

// first are the questions that the others hang on.
func (a *answers) first(shipped *profiles.Catalog) []question {
	return []question{
		a.inUnits(),
		{newProcessFlag.Name, "what cuts: router, laser, knife or hot-wire", "A router turns a cutter; a knife is a blade that is dragged, or turned by an axis; a hot-wire stands upright and melts its way. A knife in your own hand needs no profile: `machine: by-hand`. Whatever cuts with light is a laser, a diode on a router's frame too: " +
			"the safety table and the owner's rules go by this word. There is no default.", "", false, func(text string) (err error) {
			a.own.Process, err = processNamed(text)
			return err
		}, false},
		{newSaveFlag.Name, "the folder of profiles to keep it in", "One file, NAME.yaml, is written into it. Beside a job it can be named there: `profiles: my-profiles`.", "my-profiles", false,
			func(text string) error { a.dir = text; return nil }, false},
		{newNameFlag.Name, "its name", "Small letters, digits and -, such as attic-router. Jobs name it: `machine: attic-router`.", "", false, func(text string) error {
			a.own.ID = text
			if name := strings.Trim(strings.ToLower(text), "-"); name != text || strings.Trim(name, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" || len(name) > 40 {
				return fmt.Errorf("%s is no name: small letters, digits and -, at most 40", finding.Quote(text))
			}
			if strict.IsDevice(text) {
				return fmt.Errorf("no file of Windows can be called %q, which is a device there; take %s-bench, say", text, text)
			}
			return a.free(shipped)
		}, false},
	}
}

// inUnits asks what bare numbers are in.
func (a *answers) inUnits() question {
	return question{newUnitsFlag.Name, "the unit of lengths without one, mm or in", "Any length may carry its own unit all the same: 12 in, 1/8 in, 300 mm.", "mm", false, func(text string) error {
		switch strings.ToLower(text) {
		case "mm":
			a.unit = units.Millimetre
		case "in":
			a.unit = units.Inch
		default:
			return fmt.Errorf("%q is neither mm nor in", text)
		}
		return nil
	}, false}
}

// free refuses a name that is taken, before anything else is asked.
func (a *answers) free(shipped *profiles.Catalog) error {
	if _, taken := shipped.Machine(a.own.ID); taken {
		return fmt.Errorf("there is a machine %q already: take another name", a.own.ID)
	}
	if name := a.file(); exists(name) {
		return fmt.Errorf("%s is there already, and profiles new never overwrites: take another name, or edit the file", name)
	}
	return nil
}

// file is where the profile goes.
func (a *answers) file() string { return filepath.Join(a.dir, a.own.ID+".yaml") }

func exists(name string) bool {
	_, err := os.Lstat(name)
	return err == nil
}

// machine are the questions about the machine without its tools; like is the shipped
// one whose numbers are defaults.
func (a *answers) machine(like profiles.Machine) []question {
	per := func(n profiles.Number) string { return a.show(n.Value) + "/min" }
	travel := "how far it goes, X by Y by Z, such as " + a.threeLengths()
	if a.flat() {
		travel = "how far it goes, X by Y, such as " + a.twoLengths()
	}
	list := []question{
		{newTravelFlag.Name, travel, "What the head or the bed really travels from stop to stop, not the size of the table. Its manual says it; better: jog and measure. " +
			"What would go beyond it is refused.", "", false, a.travel, false},
		{newFeedFlag.Name, "its fastest cutting move", "What its controller is set to, X or Y, whichever is slower. Recipes are kept below it.", per(like.MaxFeedMMPerMin), true, func(text string) (err error) {
			a.own.MaxFeedMMPerMin, err = a.feed(text)
			return err
		}, false},
		{newRapidFlag.Name, "its fastest move that cuts nothing", "For times only: a machine goes as fast as its controller lets it.", per(like.RapidMMPerMin), true, func(text string) (err error) {
			a.own.RapidMMPerMin, err = a.feed(text)
			return err
		}, false},
	}
	if !a.own.Process.Traits().Wire {
		list = append(list, a.zero(like))
	}
	return append(list, a.ofProcess(like)...)
}

// drawn tells whether the machine takes drawings, and no program.
func (a *answers) drawn() bool { return a.own.Controller == profiles.Drawing }

// zero asks where Z is 0.
func (a *answers) zero(like profiles.Machine) question {
	return question{newZeroFlag.Name, "where you set Z to 0: top (of the foam) or bed (what it lies on)", "Z is touched off there before each program. Bed is the top of whatever the foam lies on, of the board where one lies on the bed. There it is the same for every sheet, but every sheet's thickness has to be right.", string(like.ZZero), true, func(text string) error {
		a.own.ZZero = profiles.ZZero(strings.ToLower(text))
		if a.own.ZZero != profiles.ZTop && a.own.ZZero != profiles.ZBed {
			return fmt.Errorf("%q is neither top nor bed", text)
		}
		if a.own.ZZero == profiles.ZBed && a.own.Process.Traits().Beam {
			return errors.New("a laser has its Z0 where its beam is in focus on the foam's top: top")
		}
		return nil
	}, true}
}

// flat tells whether nothing goes up or down by a program: a wire, or a beam that takes drawings.
func (a *answers) flat() bool {
	is := a.own.Process.Traits()
	return is.Wire || is.Upright && a.drawn()
}

// controller asks for the class of what reads the programs.
func (a *answers) controller(like profiles.Machine) question {
	about, names := "", []string{}
	for _, c := range profiles.Controllers() {
		about += string(c.Class) + ": " + c.Name + "; "
		names = append(names, string(c.Class))
	}
	return question{newClassFlag.Name, "its controller: " + strings.Join(names, ", "), about + "what a class cannot take, it is never sent.", string(like.Controller.Class), true, func(text string) error {
		a.own.Controller = profiles.Class(strings.ToLower(text))
		if !slices.Contains(names, string(a.own.Controller)) {
			return fmt.Errorf("%s is no class of controller: %s", finding.Quote(text), finding.Suggest(text, names))
		}
		if a.own.ChordMM > 0 && a.own.Controller != profiles.PC {
			return errors.New("of these only pc is known to turn a blade by an A axis; a blade that swivels by itself needs none")
		}
		if a.drawn() && a.own.Process.Traits().Wire {
			return errors.New("a wire goes through slits along one way, and a drawing of closed lines has no such way: name the class that reads its programs")
		}
		return nil
	}, false}
}

// ofProcess are the questions that only a router or only a laser is asked.
func (a *answers) ofProcess(like profiles.Machine) []question {
	into := func(v *float64, least, most float64, what string) func(string) error {
		return func(text string) (err error) {
			*v, err = count(text, least, most, what)
			return err
		}
	}
	switch is := a.own.Process.Traits(); {
	case is.Turning:
		return []question{{newRPMFlag.Name, "its spindle's most turns a minute", "As its plate says. Recipes turn no faster, and feed less where it turns slower.",
			fmt.Sprint(like.MaxRPM.Value), true, into(&a.own.MaxRPM, profiles.MostPowerScale+1, 200000, "speed of a spindle, in turns a minute,"), false}}
	case is.Beam:
		return append([]question{
			{newPowerFlag.Name, "the watts of its light", "Of the light itself, as its plate or manual says; not what the plug takes, and not what a shop prints in large letters. Heat is judged by it. There is no default.", "", false,
				into(&a.own.PowerW, 0.1, 10000, "power in watts"), false},
			{newWaveFlag.Name, "its wavelength in nm", "10600 for a CO2 tube, about 450 for a blue diode, 1064 for a fibre. Eyewear is chosen by it, and recipes are for one light only. There is no default.", "", false,
				into(&a.own.WavelengthNM, 180, 20000, "wavelength in nm"), false},
			{newScaleFlag.Name, "the S word of full power", "What its controller's setting for full power says: often 1000 or 255. A wrong one burns with another power than the program says. There is no default.", "", false,
				into(&a.own.PowerScale, 1, 100000, "scale of power"), true},
		}, append(append(a.lit(like), a.standoff()), a.colours()...)...)
	}
	return nil
}

// lit are the questions of how a program lights a beam, whose defaults are those of the
// controller's class.
func (a *answers) lit(like profiles.Machine) []question {
	class := like.Controller
	for _, c := range profiles.Controllers() {
		if c.Class == a.own.Controller {
			class = c
		}
	}
	oneOf := func(v *string, words ...string) func(string) error {
		return func(text string) error {
			for _, w := range words {
				if strings.EqualFold(text, w) {
					*v = w
					return nil
				}
			}
			return fmt.Errorf("%s is neither %s nor %s", finding.Quote(text), words[0], words[1])
		}
	}
	whole := map[bool]string{true: "yes", false: "no"}[class.WholePower]
	return []question{
		{newLitFlag.Name, "the word that lights its beam, M3 or M4", "M3 keeps the power whatever the speed. M4, where the controller has a mode for lasers, lowers it with the speed, in corners too, and is dark at rest: " +
			"a glass tube that needs 15 % goes dark there and leaves corners uncut.", class.LaserOn, true, oneOf(&a.own.LaserOn, "M3", "M4"), true},
		{newWholeFlag.Name, "whether its S takes whole numbers only, yes or no", "With yes every power is rounded down to a whole S, and one that cannot be said so is refused.", whole, true, oneOf(&a.own.WholePower, "yes", "no"), true},
		{newLeastFlag.Name, "the least per cent of full power at which its beam burns", "Many glass tubes are dark, or flicker, below 10 to 15 %. What a program would need less for is refused. Try it: lines on a scrap, from 5 % up.", notKnown, true, func(text string) (err error) {
			if strings.EqualFold(text, notKnown) {
				return nil
			}
			a.own.LeastPower, err = count(text, 0.1, 90, "power in per cent")
			return err
		}, false},
	}
}

// standoff asks how far the nozzle stands off the foam.
func (a *answers) standoff() question {
	return question{newOffFlag.Name, "from nozzle to foam where its beam is in focus, such as " + a.example("8 mm", "5/16 in"), "Z0 is there, never the nozzle on the foam. Measure it with the gauge that came with the lens, or find it with lines on a sloping scrap. " +
		"Until it is known no pass may lower the head.", notKnown, true, func(text string) (err error) {
		if strings.EqualFold(text, notKnown) {
			return nil
		}
		if a.own.StandoffMM, err = a.length(text); err == nil && (a.own.StandoffMM < 0.1 || a.own.StandoffMM > 500) {
			err = fmt.Errorf("%q is not between 0.1 mm and 500 mm", text)
		}
		return err
	}, false}
}

// colours asks by which of them its own software knows marks, pockets and outlines, where it takes
// drawings.
func (a *answers) colours() []question {
	if !a.drawn() {
		return nil
	}
	return []question{{newColoursFlag.Name, "the colours of marks, pockets and outlines in a drawing, as their numbers of 1 to 255, such as 5 1 7", "Software that chooses power by colour " +
		"has a list of its own: take three numbers that it has settings for. A mark in the colour of a pocket is cut through. Left out, each has one of ours, which the cut sheet names.", "ours", true, func(text string) (err error) {
		var n [3]float64
		parts := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' })
		if len(parts) != len(n) {
			return fmt.Errorf("%s is not three numbers, such as 5 1 7", finding.Quote(text))
		}
		for i, part := range parts {
			if n[i], err = count(part, 1, 255, "number of a colour"); err != nil || n[i] != math.Trunc(n[i]) {
				return cmp.Or(err, fmt.Errorf("%s is no whole number", finding.Quote(part)))
			}
		}
		a.own.DXFColours = profiles.DXFColours{Mark: int(n[0]), Pocket: int(n[1]), Outline: int(n[2])}
		if one, other := a.own.DXFColours.Alike(); one != "" {
			return fmt.Errorf("%s and %s have one colour: %s", one, other, profiles.ApartHint)
		}
		return nil
	}, false}}
}

// travel reads X, Y and Z.
func (a *answers) travel(text string) error {
	parts := strings.FieldsFunc(strings.ReplaceAll(strings.ToLower(text), "by", "x"), func(r rune) bool { return r == 'x' || r == '×' || r == ',' })
	if a.flat() && len(parts) == 2 {
		parts = append(parts, "0")
	}
	if len(parts) != 3 {
		if a.flat() {
			return fmt.Errorf("%q is not two lengths, such as %s", text, a.twoLengths())
		}
		return fmt.Errorf("%q is not three lengths, such as %s", text, a.threeLengths())
	}
	for i, part := range parts {
		l, err := units.Parse(part, a.unit)
		if err != nil {
			return err
		}
		if a.own.TravelMM[i] = l.MM(); l < 0 || l.MM() > 10000 {
			return fmt.Errorf("%s is no travel", strings.TrimSpace(part))
		}
	}
	return a.checkTravel(text)
}

func (a *answers) twoLengths() string { return a.example("600 x 400", "24 x 16") }

func (a *answers) threeLengths() string { return a.example("400 x 300 x 80", "16 x 12 x 3") }
