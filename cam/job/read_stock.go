package job

import (
	"fmt"

	"traywright/cam/finding"
	"traywright/geometry/units"
	"traywright/profiles/strict"
)

// Stock is the foam that is at hand and that can be bought. Without it, each layer is cut from
// a blank of its own.
type Stock struct {
	Position finding.Position
	Margin   units.Length // least foam between a part and its sheet's edge
	Sheets   []StockSheet // in the order of the file
	// Unfilled is the stock of trays whose pockets, and with them their tools, nobody knows yet: what
	// a hint asks for has to do for any.
	Unfilled bool
}

// StockSheet is a size of sheet: an offcut that is there, or one that a shop sells.
type StockSheet struct {
	Position      finding.Position
	Name          string // "" where nobody has given one
	Foam          string // profile name
	Thickness     units.Length
	Length, Width units.Length
	Count         int     // how many there are; 0 is as many as needed
	Price         float64 // of one, in whatever money; 0 where nobody has said
}

// AtHand reports whether the sheet is there already and costs nothing more.
func (s StockSheet) AtHand() bool { return s.Count > 0 && s.Price == 0 }

// Bounds of a stock.
const (
	mostStock = 2000
	mostPrice = 100_000
)

// stock reads the job's key: the rows themselves, or the name of a file that has them.
func (r *reader) stock(v strict.Value) *Stock {
	if !v.Present() {
		return nil
	}
	if v.IsMap() {
		return r.stockOf(v, &stockKeys)
	}
	name := r.path(v)
	if name == "" {
		return nil
	}
	text, ok := r.readFile(r.fsys, name, v.At())
	if !ok {
		return nil
	}
	root, ok := strict.Parse(&r.log.Log, name, text, strict.Options{Kind: "stock", LongestText: maxText, Smaller: "make it two files", Begin: "a stock has `margin:` and `sheets:`"})
	if !ok {
		return nil
	}
	if !root.IsMap() {
		r.CannotRead(root.At(), "wrong-type", fmt.Sprintf("here is %s, not a stock", root.Written()), "a stock has `margin:` and `sheets:`")
		return nil
	}
	rack := &reader{log: r.log, fsys: r.fsys}
	return rack.stockOf(root, &rackKeys, key("units", rack.readUnit))
}

// stockOf reads the rows of a stock.
func (r *reader) stockOf(v strict.Value, known *strict.Group, more ...strict.Key) *Stock {
	s := &Stock{Position: v.At()}
	var margin, sheets strict.Value
	v.As("the stock").Keys(known, append([]strict.Key{
		key("margin", func(v strict.Value) { margin = v }),
		key("sheets", func(v strict.Value) { sheets = v }),
	}, more...)...)
	if margin.Present() {
		s.Margin = r.notBelow(margin)
	}
	for _, item := range sheets.ListUpTo(mostStock, "make it two jobs") {
		s.Sheets = append(s.Sheets, r.stockSheet(item))
	}
	if len(s.Sheets) == 0 {
		r.Fail(v.At(), "stock-without-sheets", "the stock has no sheets", "write `sheets:` with rows such as {foam: pe-30, thickness: 1 in, size: [1000, 500]}, or take `stock` out")
	}
	return s
}

func (r *reader) stockSheet(item strict.Value) StockSheet {
	s := StockSheet{Position: item.At()}
	thick, sized := false, false // written, if wrongly
	item.As("a sheet of `stock`").Keys(&sheetKeys,
		key("name", func(v strict.Value) { s.Name = v.Text() }),
		key("foam", func(v strict.Value) { s.Foam, s.Position = v.Text(), v.At() }),
		key("thickness", func(v strict.Value) { s.Thickness, thick = r.above(v), true }),
		key("size", func(v strict.Value) { s.Length, s.Width = r.pairOf(v); sized = true }),
		key("count", func(v strict.Value) { s.Count = v.Whole(1, mostCount) }),
		key("price", func(v strict.Value) { s.Price = v.Number(0, mostPrice) }),
	)
	if s.Foam == "" || !thick || !sized {
		r.Fail(item.At(), "stock-sheet-without", "this sheet has no foam, no thickness or no size", "write {foam: pe-30, thickness: 1 in, size: [1000, 500]}")
	}
	return s
}
