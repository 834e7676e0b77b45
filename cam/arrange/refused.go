package arrange

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/plan"
	"traywright/geometry/units"
	"traywright/profiles"
)

// refused is the first thing that speaks against a tray of some layers, with nothing in
// it but these pockets: what the machine cannot cut, or its owner forbids. nil for
// nothing. Equal trays are asked for once.
func (m *maker) refused(t job.Tray, layers []job.Layer, pockets ...job.Pocket) *finding.Finding {
	if m.Refuses == nil {
		return nil
	}
	t.ID, t.Label, t.Layers, t.Pockets = "trial", "trial", layers, pockets
	t.Labels, t.Emblems, t.Holds, t.Halves, t.Dowel = nil, nil, nil, 1, 0 // its holes are found when all pockets have places
	key := fmt.Sprint(t.Chosen, t.Length, t.Width, t.Corner, t.Cut, t.Tool, layers, pockets)
	if known, asked := m.asked[key]; asked {
		return known
	}
	j := *m.Job
	j.Roster, j.Cases, j.Trays = nil, nil, []job.Tray{t}
	if j.Stock != nil && len(pockets) == 0 {
		stock := *j.Stock
		stock.Unfilled = true
		j.Stock = &stock
	}
	var first *finding.Finding
	for _, f := range m.Refuses(&j) {
		if f.Severity == finding.Error {
			first = &f
			break
		}
	}
	m.asked[key] = first
	return first
}

// stock is the foam of a tray's i-th layer in those of its thicknesses that can be cut as a sheet of a tray; in
// none where none can. Who counts in inches gets sheets that are sold in inches, where they
// do.
func (m *maker) stock(i int, model *job.Tray) supply {
	id := model.Layers[i].Foam
	f, _ := m.Catalog.Foam(id)
	t := *model
	t.Cut = job.Sheets
	f.Thicknesses = slices.DeleteFunc(slices.Clone(f.Thicknesses), func(l units.Length) bool {
		return m.refused(t, []job.Layer{{Foam: id, Thickness: l}}) != nil
	})
	if inches := slices.DeleteFunc(slices.Clone(f.Thicknesses), func(l units.Length) bool { return l%plan.Step(units.Inch) != 0 }); m.inches && len(inches) > 0 {
		f.Thicknesses = inches
	}
	return supply{f, model.Layers[i], model.Layers}
}

// checkStock says once of each foam of the model that no sheet of it can be cut, and why
// the thinnest cannot.
func (k *choosing) checkStock() {
	for i, f := range []supply{k.pad, k.under} {
		sold, _ := k.Catalog.Foam(f.ID)
		if len(f.Thicknesses) > 0 || len(sold.Thicknesses) == 0 || i > 0 && f.ID == k.pad.ID {
			continue
		}
		sheet := job.Layer{Foam: f.ID, Thickness: slices.Min(k.offered(sold))}
		model := k.model
		model.Cut = job.Sheets
		k.cannotCut(k.refused(model, []job.Layer{sheet}), sheet, "not even a sheet", "can")
	}
	if n := len(k.model.Layers); n > 1 && !k.found.Failed() {
		k.cannotCut(k.refused(k.model, k.model.Layers[n-1:]), k.model.Layers[n-1], "the base, a sheet", "cannot")
	}
}

// offered are the thicknesses of a foam that is sold which the job's stock has; all of them where
// it has none, or there is no stock.
func (m *maker) offered(sold profiles.Foam) []units.Length {
	if m.Job.Stock == nil {
		return sold.Thicknesses
	}
	var list []units.Length
	for _, s := range m.Job.Stock.Sheets {
		if s.Foam == sold.ID && slices.Contains(sold.Thicknesses, s.Thickness) {
			list = append(list, s.Thickness)
		}
	}
	if len(list) == 0 {
		return sold.Thicknesses
	}
	return list
}

func (k *choosing) cannotCut(why *finding.Finding, sheet job.Layer, what, can string) {
	if why == nil || k.toldOf[why.Message] {
		return
	}
	k.toldOf[why.Message] = true
	k.add(finding.Error, k.c.Position, why.Rule, why.Hint, "case %q: %s of %s of %s %s be cut; what speaks against it: %s",
		k.c.Name, what, k.length(sheet.Thickness), sheet.Foam, can, why.Message)
}

// cuttable are those of a kind's pockets that can be cut in layers that are deep enough for
// each. Where none can, wrong says why, and which wider one could.
func (m *maker) cuttable(k kind, t *job.Tray, layersFor func(plan.Need) []job.Layer) (list []plan.Need, wrong *finding.Finding) {
	var why *finding.Finding
	for _, n := range k.needs {
		no := m.refusedPocket(k, n, t, layersFor(n))
		if no == nil {
			list = append(list, n)
		} else if why == nil {
			why = no
		}
	}
	if why == nil || len(list) > 0 {
		return list, nil
	}
	n := k.needs[0]
	reason, _, _ := strings.Cut(why.Message, " (near ")
	f := m.finding(finding.Error, k.piece.Position, why.Rule, m.wider(k, n, t, layersFor(n), why.Hint),
		"the piece %s needs a pocket of %s x %s that %s", k.piece.ID, m.length(n.Length), m.length(n.Width), reason)
	return nil, &f
}

// refusedPocket is what speaks against a pocket in the middle of a tray that is large enough for it.
func (m *maker) refusedPocket(k kind, n plan.Need, t *job.Tray, layers []job.Layer) *finding.Finding {
	depth, ok := m.depthIn(n, layers)
	if !ok {
		return nil // a tray too thin is told otherwise
	}
	k.needs = []plan.Need{n}
	b := k.cells(m.step, m.step)[0]
	trial := *t
	const rim = 10_000_000 // nm, beside the edge
	b.x, b.y = t.Edge+rim, t.Edge+rim
	trial.Layers = layers
	trial.Length, trial.Width, trial.Corner, trial.Ease = b.length()+2*b.x, b.width()+2*b.y, 0, 0
	pockets := b.pockets(k.habits, depth, &trial)
	for i := range pockets {
		pockets[i].For = ""
	}
	no := m.refused(trial, layers, pockets...)
	if no != nil && m.refused(trial, layers) != nil {
		return nil // what speaks against the tray itself is told otherwise, too
	}
	return no
}

// wider says which measure in the roster makes a pocket wide enough for the machine, where
// one up to an inch more does, and what else would do.
func (m *maker) wider(k kind, n plan.Need, t *job.Tray, layers []job.Layer, otherwise string) string {
	const most = 25_400_000 // nm
	if n.Outline != "" {
		return otherwise
	}
	across, side, narrow := k.piece.Width, "width", &n.Width
	if n.Pose == "lying" {
		across, side = k.piece.Height, "height"
	}
	if n.Length < n.Width {
		across, side, narrow = k.piece.Length, "length", &n.Length
	}
	for more := m.step; more <= most; more += m.step {
		*narrow += m.step
		if n.Round {
			side, n.Length, n.Width = "length and width", *narrow, *narrow
		}
		if m.refusedPocket(k, n, t, layers) == nil {
			return fmt.Sprintf("give it a %s of %s in the roster, and it has that much play; or take a thinner cutter", side, m.enough(across+more))
		}
	}
	return otherwise
}
