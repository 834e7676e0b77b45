package arrange

import (
	"slices"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

// sheetsLacking are errors for the sheets that a stock has none of, and that the job would be arranged of if it had: with
// a row for each of them it is. None where that is not what is wrong. Found once, and told once.
func (m *maker) sheetsLacking() (list finding.List) {
	if m.hinting || m.Job.Stock == nil || m.Refuses == nil {
		return nil
	}
	if !m.looked {
		m.looked = true
		for _, stock := range []*job.Stock{m.plenty(), nil} {
			j := *m.Job
			j.Stock = stock
			if r := m.tried(j); r.Job != nil {
				m.lacking = m.lackingFor(r.Job)
				break
			}
		}
	}
	return slices.DeleteFunc(slices.Clone(m.lacking), func(f finding.Finding) bool { return slices.Contains(m.found, f) })
}

// plenty is the job's stock with as many sheets as anybody wants, as large as any machine, in the thicknesses that it has; of foams
// that it does not have, in all that are sold.
func (m *maker) plenty() *job.Stock {
	const large = 5_000_000_000 // nm a side
	stock := *m.Job.Stock
	stock.Sheets = nil
	for _, f := range m.Catalog.Foams() {
		thicknesses := m.offered(f)
		for _, s := range m.Job.Stock.Sheets { // some are cut to a thickness of one's own
			if s.Foam == f.ID && !slices.Contains(thicknesses, s.Thickness) {
				thicknesses = append(slices.Clone(thicknesses), s.Thickness)
			}
		}
		for _, l := range thicknesses {
			stock.Sheets = append(stock.Sheets, job.StockSheet{Foam: f.ID, Thickness: l, Length: large, Width: large})
		}
	}
	return &stock
}

// lackingFor are errors for the sheets of an arranged job that cannot be cut of the stock, each once.
func (m *maker) lackingFor(j *job.Job) (list finding.List) {
	type sheet struct {
		foam      string
		thickness units.Length
	}
	known := map[sheet]bool{}
	for _, t := range j.Trays {
		for _, l := range t.Layers {
			if key := (sheet{l.Foam, l.Thickness}); !known[key] {
				known[key] = true
				t.Cut = job.Sheets
				if why := m.refused(t, []job.Layer{{Foam: l.Foam, Thickness: l.Thickness}}); why != nil {
					list = append(list, m.finding(finding.Error, t.Position, why.Rule, why.Hint, "tray %s: a sheet of %s of %s cannot be cut; what speaks against it: %s",
						t.ID, m.length(l.Thickness), l.Foam, why.Message))
				}
			}
		}
	}
	return list
}
