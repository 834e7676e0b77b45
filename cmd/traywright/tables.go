package main

import (
	"fmt"
	"io"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/stock"
	"traywright/geometry/units"
)

// writeTables prints the plan for a person: every tray, then every case's
// stack with the room left.
func (s *session) writeTables(p *plan.Plan, u units.Unit) error {
	t := s.columns(2)
	fmt.Fprintln(t, "TRAY\tSIZE\tTHICK\tPOCKETS\tWEIGHT\tCOPIES\tLAYERS")
	for _, tray := range p.Trays {
		var layers []string
		for _, l := range tray.Layers {
			layers = append(layers, l.Foam.ID+" "+solid(l.Words(u)))
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%d\t%s\t%d\t%s\n", tray.ID, across(tray.Length, tray.Width, u), solid(tray.Thickness().Format(u)), len(tray.Pockets)-len(tray.Dowels()), solid(finding.Grams(tray.FoamG+tray.PiecesG)), tray.Copies, strings.Join(layers, "\u00a0/ "))
	}
	for _, c := range p.Cases {
		writeStack(t, p, c, u)
	}
	fmt.Fprintln(t)
	return t.Flush()
}

// writeStock prints what lies on which sheet of the stock, and what to buy.
func (s *session) writeStock(l stock.Layout, u units.Unit) error {
	t := s.columns(2)
	fmt.Fprintln(t, "SHEET\tFOAM\tSIZE\tUSED\tPARTS")
	for _, s := range l.Setups {
		var parts []string
		for _, p := range s.Parts {
			parts = append(parts, p.Label())
		}
		fmt.Fprintf(t, "%s\t%s %s\t%s x %s\t%.0f %%\t%s\n", s.Name, s.Foam, page.Length(s.Layer, u), page.Length(s.SizeMM[0], u), page.Length(s.SizeMM[1], u), 100*s.UsedShare, page.Listed(parts))
	}
	fmt.Fprintln(t)
	for _, p := range l.Buy {
		price := ""
		if p.Price > 0 {
			price = fmt.Sprintf(", %.2f", p.Price*float64(p.Count))
		}
		fmt.Fprintf(t, "to buy: %d x %s, %s thick, %s%s\n", p.Count, p.Foam, page.Thick(p.ThicknessMM, u), strings.ReplaceAll(page.Sold(p.SizeMM[0], p.SizeMM[1], u), "×", "x"), price)
	}
	fmt.Fprintf(t, "waste: %.0f %% of what is cut up\n\n", 100*l.WasteShare)
	return t.Flush()
}

func writeStack(w io.Writer, p *plan.Plan, c plan.Case, u units.Unit) {
	copies := ""
	if c.Copies > 1 {
		copies = fmt.Sprintf(", %d copies", c.Copies)
	}
	fmt.Fprintf(w, "\nCASE %s%s\tTHICKNESS\tFROM THE TOP\tWEIGHT\n", c.Name, copies)
	var top units.Length
	for _, i := range c.Stack {
		level := p.Level(i)
		thickness := level.Trays[0].Thickness()
		top += thickness
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\n", level.Name(), thickness.Format(u), top.Format(u), finding.Grams(level.WeightG()))
	}
	fmt.Fprintf(w, "together\t%s of %s\t%s left\t%s\n", c.Height.Format(u), c.Inside.Height.Format(u), c.Room.Format(u), finding.Grams(c.WeightG))
}
