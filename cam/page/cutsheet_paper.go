package page

import (
	"fmt"
	"io"

	"traywright/geometry/units"
)

// paper writes the pages as PDF.
func (t cutSheetText) paper(w io.Writer, size Paper, unit units.Unit) error {
	d, err := newDocument(size, t.Title+": cut sheet")
	if err != nil {
		return err
	}
	c := &cutSheetPages{document: d, size: size, unit: unit}
	if err := c.overview(t); err != nil {
		return err
	}
	for _, s := range t.Sheets {
		if err := c.sheet(s); err != nil {
			return fmt.Errorf("%s: %w", s.Head, err)
		}
	}
	c.draw()
	return d.write(w)
}

// cutSheetPages is the document in the making: pages are laid out first and drawn
// when it is known how many there are.
type cutSheetPages struct {
	*document
	size  Paper
	unit  units.Unit
	pages []sheetPage
}

// sheetPage is one laid-out page.
type sheetPage struct {
	head, aside string
	picture     *picture
	pictureMM   float64 // its width without its margins
	rows        []placedRow
}

// margin of the cut sheet's pages, and the gap between its columns.
const (
	margin    = 12.0
	columnGap = 8.0
	footerMM  = 7.0
	headMM    = 9.0
)

// bleed is the share of a picture's width that is its own white margin on each
// side: the page has one already.
const bleed = 0.02

func (c *cutSheetPages) overview(job cutSheetText) error {
	p, err := c.embed(job.Overview)
	if err != nil {
		return err
	}
	c.layOut("Cut sheet for "+job.Title, fmt.Sprintf("%s (%s)", job.Machine, job.Process), p, func(t typeset) []block {
		blocks := []block{t.ticks("Before you start", nil, job.Before), t.foam(job.Material)}
		if len(job.Findings) > 0 {
			blocks = append(blocks, t.paragraphs("Worth a look", worth(job.Findings)))
		}
		for i, k := range job.Cases {
			b := t.stack(k)
			b.newColumn = i == 0
			blocks = append(blocks, b)
		}
		return blocks
	})
	return nil
}

func (c *cutSheetPages) sheet(s sheetText) error {
	p, err := c.embed(s.Picture)
	if err != nil {
		return err
	}
	c.layOut(s.Head, s.Aside, p, func(t typeset) []block {
		blocks := []block{t.ticks("Before you start", s.Owner, s.Cautions)}
		if len(s.Burns) > 0 {
			blocks = append(blocks, t.framed("If it burns", s.Burns))
		}
		blocks = append(blocks, t.facts("Settings", s.Settings))
		zero := t.paragraphs("Zero point", s.Zero)
		zero.newColumn = true
		blocks = append(blocks, zero, t.work(s.Work, s.Copies), t.glueUp(s, c.unit))
		if len(s.Packing) > 0 {
			blocks = append(blocks, t.packing(s.Tray.ID, s.Packing))
		}
		return blocks
	})
	return nil
}

// layOut puts a picture and blocks of text under it on one page: the letters
// shrink before the picture does, and only what will not fit even then goes on
// overleaf.
func (c *cutSheetPages) layOut(head, aside string, p picture, content func(typeset) []block) {
	width, height := c.size.mm()
	width -= 2 * margin
	bottom := height - margin - footerMM
	column := (width - columnGap) / 2
	sizes := []float64{8.5, 8, 7.5, 7}
	made := make([][]block, len(sizes))
	for _, share := range []float64{1, 0.94, 0.86, 0.78, 0.7} {
		pictureMM := share * min(width, 0.5*height/p.trimmed())
		top := margin + headMM + pictureMM*p.trimmed() + 6
		for i, size := range sizes {
			if made[i] == nil {
				made[i] = content(typeset{c.document, size, column})
			}
			for _, forced := range []bool{true, false} {
				rows, rest := flow(made[i], c.columns(top, bottom), forced)
				if len(rest) == 0 {
					c.pages = append(c.pages, sheetPage{head, aside, &p, pictureMM, rows})
					return
				}
			}
		}
	}
	c.spread(head, aside, p, made[1], bottom)
}

// spread lays blocks over as many pages as they take.
func (c *cutSheetPages) spread(head, aside string, p picture, blocks []block, bottom float64) {
	width, height := c.size.mm()
	pictureMM := min(width-2*margin, 0.45*height/p.trimmed())
	rows, rest := flow(blocks, c.columns(margin+headMM+pictureMM*p.trimmed()+6, bottom), false)
	c.pages = append(c.pages, sheetPage{head, aside, &p, pictureMM, rows})
	for len(rest) > 0 {
		rows, rest = flow(rest, c.columns(margin+headMM, bottom), false)
		c.pages = append(c.pages, sheetPage{head: head, aside: "continued", rows: rows})
	}
}

// columns are the two of a page.
func (c *cutSheetPages) columns(top, bottom float64) []column {
	width, _ := c.size.mm()
	right := margin + (width-2*margin+columnGap)/2
	return []column{{margin, top, bottom}, {right, top, bottom}}
}

func (c *cutSheetPages) draw() {
	for n, p := range c.pages {
		c.page(c.size, false)
		if p.picture != nil {
			c.trimmed(p)
		}
		c.head(p)
		for _, r := range p.rows {
			r.draw(r.x, r.y)
		}
		c.foot(n)
	}
}

// trimmed shows a page's picture in its middle, its white margins over the
// page's.
func (c *cutSheetPages) trimmed(p sheetPage) {
	width, _ := c.size.mm()
	whole := p.pictureMM / (1 - 2*bleed)
	c.show(*p.picture, (width-whole)/2, margin+headMM-bleed*whole, whole)
}

// trimmed is the height over the width of a picture without its white margins.
func (p picture) trimmed() float64 { return (p.ratio - 2*bleed) / (1 - 2*bleed) }

func (c *cutSheetPages) head(p sheetPage) {
	width, _ := c.size.mm()
	title, small := style{11, true}, style{9, false}
	aside := c.shorten(p.aside, small, (width-2*margin)/2)
	c.text(width-margin, margin+title.capMM(), aside, small, softInk, 1)
	c.text(margin, margin+title.capMM(), c.shorten(p.head, title, width-2*margin-5-c.width(aside, small)), title, ink, 0)
}

// footText stands on every page.
const footText = "The machine's manual, its owner's rules, local codes and trained people come before this page. Read SAFETY.md first."

func (c *cutSheetPages) foot(n int) {
	width, height := c.size.mm()
	small := style{7, false}
	c.stroke(hairline, 0.2)
	c.Line(margin, height-margin-4, width-margin, height-margin-4)
	c.text(margin, height-margin, footText, small, softInk, 0)
	c.text(width-margin, height-margin, fmt.Sprintf("%d of %d", n+1, len(c.pages)), small, softInk, 1)
}
