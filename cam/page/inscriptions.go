package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
)

// Inscription is a text that will be cut into foam, once, and everywhere that
// it goes: for somebody to read aloud before it is.
type Inscription struct {
	Text string             `json:"text" means:"as it will be cut"`
	On   []InscriptionPlace `json:"on" means:"where"`
}

// InscriptionPlace is one label with that text.
type InscriptionPlace struct {
	Tray     string  `json:"tray" means:"its id"`
	Copies   int     `json:"copies" means:"of the tray"`
	Make     string  `json:"make" means:"mark, outline or cut" one:"mark|outline|cut"`
	HeightMM float64 `json:"height_mm" means:"of a capital"`
	DepthMM  float64 `json:"depth_mm" means:"of one that is cut"`
	Through  bool    `json:"through" means:"goes through the sheet"`
}

// Inscriptions lists every text that will be cut, in the order in which the
// trays have them first; never nil.
func Inscriptions(p *plan.Plan) []Inscription {
	list := []Inscription{}
	for _, t := range p.Trays {
		for _, m := range t.Marks {
			if m.Picture != "" {
				continue
			}
			i := slices.IndexFunc(list, func(r Inscription) bool { return r.Text == m.Text })
			if i < 0 {
				i = len(list)
				list = append(list, Inscription{Text: m.Text})
			}
			list[i].On = append(list[i].On, InscriptionPlace{
				Tray: t.ID, Copies: t.Copies, Make: m.Make.String(), HeightMM: math.Round(m.HeightMM*1000) / 1000, DepthMM: m.Depth.MM(), Through: m.Through,
			})
		}
	}
	return list
}

// Where is everywhere that the text goes, in words.
func (r Inscription) Where(u units.Unit) string {
	var list []string
	for _, o := range r.On {
		list = append(list, o.say(u))
	}
	return strings.Join(list, "; ")
}

// say is where a label goes, in words.
func (o InscriptionPlace) say(u units.Unit) string {
	how := map[string]string{
		job.Marked.String(): "engraved", job.Outlined.String(): "engraved along its edges", job.Cut.String(): "cut " + Length(o.DepthMM, u) + " deep",
	}[o.Make]
	if o.Through {
		how = "cut through"
	}
	copies := ""
	if o.Copies > 1 {
		copies = fmt.Sprintf(" (%d to make)", o.Copies)
	}
	return fmt.Sprintf("%s%s: %s, %s high", o.Tray, copies, how, Length(o.HeightMM, u))
}
