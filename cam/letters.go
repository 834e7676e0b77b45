package cam

import (
	"cmp"
	"fmt"
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
)

// lettersLacking warns of words that pictures and paper cannot show as they are written.
func lettersLacking(r Request) finding.List {
	own := r.Art.Fonts[r.Job.PageFont]
	var lacking []rune
	where := ""
	eachWord(r, func(text, at string) {
		for _, c := range page.Lacking(text, own) {
			where = cmp.Or(where, at)
			if !slices.Contains(lacking, c) {
				lacking = append(lacking, c)
			}
		}
	})
	if lacking == nil {
		return nil
	}
	const most = 8
	shown := string(lacking[:min(most, len(lacking))])
	if n := len(lacking) - most; n > 0 {
		shown += fmt.Sprintf(" and %d more", n)
	}
	whose, hint := "the letters of pictures and paper lack", "name a font file in the job's folder that has them, `page_font: FILE`"
	if own != nil {
		whose, hint = "the letters of pictures and paper, and the font "+r.Job.PageFont+", lack", "name another font as `page_font`"
	}
	return finding.List{{
		Severity: finding.Warning, Rule: "letters-lacking", Where: where,
		Message: fmt.Sprintf("%s %s: there a piece with one of them stands as its id, and all else has its number, such as [%04X]", whose, shown, lacking[0]),
		Hint:    hint + ", or spell them in Latin, Greek or Cyrillic letters; pages that end in .md, and look.html, have all words as written",
	}}
}

// eachWord looks at every text of the user's that stands on pictures and paper, and where it comes from.
func eachWord(r Request, look func(text, at string)) {
	look(r.Job.Game, r.Job.File)
	for _, t := range r.Job.Trays {
		look(t.Label, t.Position.String())
	}
	for _, c := range r.Job.Cases {
		look(c.Name, c.Position.String())
	}
	for _, p := range r.Job.Roster {
		look(cmp.Or(p.Name, p.ID), p.Position.String())
	}
	for _, t := range r.Job.Trays {
		for _, k := range t.Pockets {
			if !slices.ContainsFunc(r.Job.Roster, func(p job.Piece) bool { return p.ID == k.For }) {
				look(k.For, k.Position.String())
			}
		}
	}
	for _, rules := range r.Rules {
		look(rules.Owner, rules.File)
		for _, q := range rules.Requires {
			look(q.What, fmt.Sprintf("%s:%d", rules.File, q.Line))
		}
	}
}
