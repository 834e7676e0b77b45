package job

import (
	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// dowelWish is what a tray has of registration holes, from its own keys, those of `tray_defaults`
// or those of the job.
type dowelWish struct {
	way         int              // which of registrations
	at, dowelAt finding.Position // of `registration` and of `dowel`
	dowel       units.Length     // diameter
}

func (d *dowelWish) keys(r *reader) []strict.Key {
	return []strict.Key{key("registration", d.read), key("dowel", func(v strict.Value) { d.readDowel(r, v) })}
}

func (d *dowelWish) read(v strict.Value) {
	if v.Present() {
		d.way, d.at = v.Word(registrations...), v.At()
	}
}

func (d *dowelWish) readDowel(r *reader, v strict.Value) {
	if v.Present() {
		d.dowel, d.dowelAt = r.above(v), v.At()
	}
}

// diameter is that of a tray's dowels; 0 where it is to have none.
func (d dowelWish) diameter() units.Length {
	if d.way == 0 {
		return 0
	}
	return d.dowel
}

// ears reports whether their holes are to lie beside the rim.
func (d dowelWish) ears() bool { return registrations[d.way] == "ears" }

// checkDowels finds registration without a diameter, and diameters of which nobody says what they
// are for. Each is said once, where it stands.
func (f *finisher) checkDowels() {
	wishes := []dowelWish{f.defaults.dowelWish}
	for _, t := range f.draft.trays {
		wishes = append(wishes, t.dowelWish)
	}
	used, told := map[finding.Position]bool{}, map[finding.Position]bool{}
	for _, w := range wishes {
		used[w.dowelAt] = used[w.dowelAt] || w.way > 0
		if w.way > 0 && w.dowelAt.Line == 0 && !told[w.at] {
			told[w.at] = true
			f.Fail(w.at, "registration-without-dowel", "`registration: "+registrations[w.way]+"` says nothing of the dowels", "write their diameter beside it: `dowel: 8 mm`")
		}
	}
	for _, w := range wishes {
		if w.dowelAt.Line > 0 && w.at.Line == 0 && !used[w.dowelAt] && !told[w.dowelAt] {
			told[w.dowelAt] = true
			f.Fail(w.dowelAt, "dowel-without-registration", "there is a `dowel`, and no `registration`", "write `registration: dowels` beside it, or take `dowel` out")
		}
	}
}
