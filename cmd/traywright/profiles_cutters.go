package main

import (
	"errors"
	"fmt"
	"strings"

	"traywright/profiles"
)

// tools asks for a router's cutters, one after the other, and for what only its owner knows of a
// blade or a wire; the rest of what cuts in another machine is that of the shipped one.
func (a *answers) tools(like profiles.Machine) error {
	if !a.own.Process.Traits().Turning {
		a.own.Tools = []profiles.OwnTool{{}}
		return a.askEach(a.bladeOrWire(like, &a.own.Tools[0]))
	}
	for _, text := range a.c.StringSlice(newCutterFlag.Name) {
		if err := a.cutter(text); err != nil {
			return usage(fmt.Sprintf("--%s: %v", newCutterFlag.Name, err), a.cutterAbout())
		}
		if err := a.askHeld(); err != nil {
			return err
		}
	}
	if len(a.own.Tools) > 0 {
		return nil
	}
	q := question{newCutterFlag.Name, "a cutter, such as " + a.aCutter(), a.cutterAbout(), "", false, a.cutter, false}
	for {
		had := len(a.own.Tools)
		if err := a.ask(q); err != nil {
			return err
		}
		if len(a.own.Tools) == had {
			return nil // no more
		}
		if err := a.askHeld(); err != nil {
			return err
		}
		q.ask, q.fallback = "another cutter", noMore
		q.take = func(text string) error {
			if text == noMore {
				return nil
			}
			return a.cutter(text)
		}
	}
}

// noMore ends the list of cutters.
const noMore = "none"

// aCutter is one that goes through an inch of foam.
func (a *answers) aCutter() string {
	return a.example("6 mm reach 32 mm flutes 2", "1/4 in reach 1 1/4 in flutes 2")
}

func (a *answers) cutterAbout() string {
	return "Its diameter as measured, how far it reaches (from the collet's nose to its tip, as it is clamped: the nose must not touch the foam; through a sheet of 1 in it takes " +
		a.example("27 mm", "1.1 in") + "), and how many edges it has. Behind that, what you know of: " +
		a.example("nut 19 mm (the diameter of the collet's nut), edges 30 mm (their length), shank 6 mm", "nut 3/4 in (the diameter of the collet's nut), edges 1 1/8 in (their length), shank 1/4 in") +
		", helix up, down or straight. The one to be tried first comes first."
}

// notKnown answers what nobody has measured yet.
const notKnown = "not known"

// askHeld asks what was not said of the last cutter. Not known is an answer, and is kept as one.
func (a *answers) askHeld() error {
	t := &a.own.Tools[len(a.own.Tools)-1]
	var list []question
	for _, w := range a.cutterWords(t) {
		if w.known() {
			continue
		}
		list = append(list, question{"", w.ask + " of the cutter of " + a.show(t.DiameterMM), w.about, notKnown, false, func(text string) error {
			if strings.EqualFold(text, notKnown) {
				return nil
			}
			return w.take(text)
		}, false})
	}
	return a.askEach(list)
}

// cutterWord is what may be said of a cutter behind its diameter.
type cutterWord struct {
	word, ask, about string
	known            func() bool
	take             func(text string) error
}

// cutterWords are those that may be left out.
func (a *answers) cutterWords(t *profiles.OwnTool) []cutterWord {
	length := func(word string, in *float64, least, most float64) func(string) error {
		return func(text string) error {
			mm, err := a.length(text)
			if err == nil && (mm < least || mm > most) {
				err = fmt.Errorf("%s of %s is not between %s and %s: write the unit", word, a.show(mm), a.show(least), a.show(most))
			}
			if err == nil {
				*in = mm
			}
			return err
		}
	}
	given := func(v *float64) func() bool { return func() bool { return *v > 0 } }
	return []cutterWord{
		{"nut", "the diameter of the collet's nut, over all that turns with it,", "It turns just above the foam, beside the cutter, and must pass by every clamp. Until it is known, room is kept for one of " + a.show(19) + ". Measure it with the machine unplugged.",
			given(&t.ColletMM), length("a nut", &t.ColletMM, max(1, t.DiameterMM), 200)},
		{"edges", "the length of the cutting edges", "From the tip to where the edges end. Deeper than that its shank rubs, and foam gets hot.",
			given(&t.FluteMM), length("edges", &t.FluteMM, 0.1, t.ReachMM)},
		{"shank", "the diameter of the shank", "Above its edges. Where it is wider than they are, nothing is cut deeper than they are long.",
			given(&t.ShankMM), length("a shank", &t.ShankMM, thinnestCutterMM, 50)},
		{"helix", "the helix (up, down or straight)", "Up throws chips out of the cut and lifts the foam, down packs them into the cut, straight does neither.",
			func() bool { return t.Helix != "" }, func(text string) error {
				switch h := profiles.Helix(strings.ToLower(text)); h {
				case profiles.HelixUp, profiles.HelixDown, profiles.HelixStraight:
					t.Helix = h
					return nil
				}
				return fmt.Errorf("%q is none of up, down, straight", text)
			}},
	}
}

// cutter reads one, such as 3.175 mm reach 22 mm flutes 1 nut 19 mm.
func (a *answers) cutter(text string) error {
	said := cutterSaid(text)
	if said["reach"] == "" || said["flutes"] == "" {
		return fmt.Errorf("%q does not say diameter, reach and flutes: write %s", text, a.aCutter())
	}
	var t profiles.OwnTool
	var err error
	if t.DiameterMM, err = a.length(said[""]); err != nil {
		return err
	}
	if t.ReachMM, err = a.length(said["reach"]); err != nil {
		return err
	}
	n, err := count(said["flutes"], 1, 20, "number of flutes")
	if err != nil || n != float64(int(n)) {
		return errors.New("flutes are a whole number from 1 to 20")
	}
	t.Flutes = int(n)
	if err := a.checkCutter(t, said[""]); err != nil {
		return err
	}
	for _, w := range a.cutterWords(&t) {
		if value := said[w.word]; value != "" {
			if err := w.take(value); err != nil {
				return err
			}
		}
	}
	for _, other := range a.own.Tools {
		if other.DiameterMM == t.DiameterMM {
			return fmt.Errorf("there is a cutter of %s already", a.show(t.DiameterMM))
		}
	}
	a.own.Tools = append(a.own.Tools, t)
	return nil
}

// cutterSaid is what stands behind each word; the diameter stands behind none.
func cutterSaid(text string) map[string]string {
	said, word := map[string]string{}, ""
	for _, field := range strings.Fields(strings.ToLower(text)) {
		switch field {
		case "reach", "flutes", "nut", "edges", "shank", "helix":
			word = field
		default:
			said[word] = strings.TrimSpace(said[word] + " " + field)
		}
	}
	return said
}

// checkCutter refuses what a forgotten unit makes of a cutter.
func (a *answers) checkCutter(t profiles.OwnTool, diameter string) error {
	switch {
	case t.DiameterMM < thinnestCutterMM:
		return fmt.Errorf("a cutter of %s is thinner than any for foam: was %s in meant? Write the unit", a.show(t.DiameterMM), diameter)
	case t.DiameterMM > 50:
		return fmt.Errorf("a cutter of %s is thicker than any for foam: write the unit", a.show(t.DiameterMM))
	case t.ReachMM < t.DiameterMM/2:
		return fmt.Errorf("a reach of %s is less than the cutter is thick: write the unit", a.show(t.ReachMM))
	}
	return nil
}
