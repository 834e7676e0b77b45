package cam

import (
	"context"

	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/stock"
)

// PurchaseReport is a number of sheets to buy, as their foam is sold; where no size is known
// that holds a blank, the blank.
type PurchaseReport struct {
	Foam        string     `json:"foam" means:"to buy"`
	ThicknessMM float64    `json:"thickness_mm" means:"as sold"`
	SizeMM      [2]float64 `json:"size_mm" means:"length and width"`
	Count       int        `json:"count" means:"of sheets"`
	Price       float64    `json:"price,omitzero" means:"of one, where the stock says it"`
	Cost        float64    `json:"cost,omitzero" means:"of all of them"`
}

// buy is what foam to buy for all sheets.
func buy(r Request, p *plan.Plan, works []*sheetWork) ([]stock.Purchase, float64, error) {
	var blanks []stock.Blank
	for _, w := range works {
		if w.k > 1 {
			continue // cut of the same foam as the one before
		}
		size, _ := w.laid(p.Machine, r.Unit)
		for _, l := range w.sheet.Layers {
			blanks = append(blanks, stock.Blank{Foam: l.Foam.ID, ThicknessMM: l.Sold().MM(), SizeMM: size, Count: w.made(), Sold: l.Foam.SizesMM()})
		}
	}
	return stock.Buy(context.Background(), blanks)
}

// bought puts what is to be bought into the report and onto the pages.
func (r *Result) bought(q Request, works []*sheetWork, pages *page.CutSheet) error {
	list, waste := r.Layout.Buy, r.Layout.WasteShare
	if r.Plan.Job.Stock == nil {
		var err error
		if list, waste, err = buy(q, r.Plan, works); err != nil {
			return err
		}
		r.Report.Buy = describeBuy(list)
	}
	pages.Buy, pages.WasteShare, pages.Cost = list, waste, r.Layout.Cost
	r.Report.Totals.Cost = round(r.Layout.Cost, 1e-4)
	r.Report.Totals.WasteShare = round(waste, 1e-4)
	return nil
}

// DowelReport is dowels that the layers are placed with while glue sets, used again for each tray.
type DowelReport struct {
	DiameterMM float64 `json:"diameter_mm" means:"of the dowel"`
	Count      int     `json:"count" means:"of dowels"`
	LengthMM   float64 `json:"length_mm" means:"at least"`
}

func describeDowels(p *plan.Plan) (rows []DowelReport) {
	for _, d := range p.Dowels() {
		rows = append(rows, DowelReport{d.Diameter.MM(), d.Count, d.Length.MM()})
	}
	return rows
}

// describeBuy is what is to be bought in the report.
func describeBuy(list []stock.Purchase) (rows []PurchaseReport) {
	for _, p := range list {
		rows = append(rows, PurchaseReport{Foam: p.Foam, ThicknessMM: round(p.ThicknessMM, 1e-4), SizeMM: [2]float64{round(p.SizeMM[0], 1e-3), round(p.SizeMM[1], 1e-3)},
			Count: p.Count, Price: p.Price, Cost: round(p.Price*float64(p.Count), 1e-4)})
	}
	return rows
}
