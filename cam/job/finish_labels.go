package job

import (
	"cmp"

	"traywright/cam/finding"
)

// marks are the tray's labels and emblems, not shared with the defaults.
func (d *trayDraft) marks() ([]Label, []Emblem) {
	var labels []Label
	for _, l := range d.labels {
		if l.Font == "" && l.FontFile == "" {
			l.Font = "go-bold"
			if l.Make == Marked {
				l.Font = strokes
			}
		}
		labels = append(labels, l.Label)
	}
	var emblems []Emblem
	for _, e := range d.emblems {
		emblems = append(emblems, e.Emblem)
	}
	return labels, emblems
}

// newBook gathers the names that the job knows.
func (f *finisher) newBook() *nameBook {
	list := []knownName{{Text: f.Game, What: "the game", Form: "{game}"}}
	for _, c := range f.draft.cases {
		list = append(list, knownName{Text: c.Name, What: "the case", Form: "{case}"})
	}
	for i := range f.draft.trays {
		list = append(list, knownName{Text: f.draft.trays[i].ID, What: "the tray", Form: "{tray}", ID: true})
	}
	for _, p := range f.Roster {
		list = append(list,
			knownName{Text: p.Group, What: "the group", Form: "{group}", ID: true},
			knownName{Text: p.ID, What: "the piece", ID: true},
			knownName{Text: p.Name, What: "the piece"})
	}
	return newNameBook(list)
}

// checkTexts looks at the tray's label and at the texts that are cut.
func (f *finisher) checkTexts(d *trayDraft) {
	f.checkText(d.labelAt, d.Label)
	for _, l := range d.labels {
		f.checkText(l.textAt, l.Text)
	}
}

// checkText finds placeholders that do not exist and names that are almost right.
func (f *finisher) checkText(at finding.Position, text string) {
	if text == "" {
		return
	}
	f.checkTemplate(at, text)
	for _, s := range f.book.suspects(text) {
		f.Warn(at, "name-misspelt", "the label "+finding.Quote(text)+": "+s.String(),
			"did you mean "+cmp.Or(finding.Quote(s.meant()), finding.Quote(s.Name.Text))+"?"+filledIn(s.Name))
	}
}

// filledIn says how a name need not be typed at all.
func filledIn(n knownName) string {
	if n.Form == "" {
		return ""
	}
	return " Write " + n.Form + ", and it is spelt as the job has it"
}
