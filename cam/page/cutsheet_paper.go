package page

import (
	"fmt"
	"io"
	"slices"

	"traywright/geometry/units"
)

// paper writes the pages as PDF.
func (t cutSheetText) paper(w io.Writer, size Paper, extra *letters, unit units.Unit) error {
	d, err := newDocument(size, t.Title+": cut sheet", extra)
	if err != nil {
		return err
	}
	c := &cutSheetPages{document: d, size: size, unit: unit}
	if err := c.overview(t); err != nil {
		return err
	}
	for _, data := range t.Sawn {
		picture, err := c.embed(data)
		if err != nil {
			return err
		}
		c.pages = append(c.pages, sheetPage{head: "Sheets to part first, by straight cuts", picture: &picture})
	}
	c.passes(t)
	for _, s := range t.Sheets {
		if err := c.sheet(s); err != nil {
			return fmt.Errorf("%s: %w", s.Head, err)
		}
	}
	for _, g := range t.Glued {
		c.glued(g)
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
	figure      string // the time that it takes; "" on a page that goes on
	picture     *embedded
	rows        []placedRow
}

// margin of the cut sheet's pages, and the gap between its columns.
const (
	margin    = 12.0
	columnGap = 8.0
	footerMM  = 7.0
	headMM    = 9.0
)

// bleed is the share of a picture's width that is its own empty margin on each
// side: the page has one already. What is between them is as wide as the page's
// text, always, so that no letter in it becomes too small.
const bleed = marginPX / float64(shortPX)

// overview is the job at a glance. Its text begins beside the first picture, of the cases where there
// are any; further pictures have pages of their own behind it.
func (c *cutSheetPages) overview(job cutSheetText) error {
	p := sheetPage{head: "Cut sheet for " + job.Title, aside: fmt.Sprintf("%s (%s), about", job.Machine, job.Process), figure: job.Time}
	if job.Hand {
		p.aside, p.figure = job.Machine+", foam up to", job.Thickest
	}
	for i, data := range job.Overview {
		picture, err := c.embed(data)
		if err != nil {
			return err
		}
		pictured := p
		pictured.picture = &picture
		switch content := job.overview; {
		case i > 0:
			c.pages = append(c.pages, pictured)
		case c.fits(pictured, content):
		case c.whole(p, content(c.typeset(spreadPT))) && !c.whole(pictured, content(c.typeset(spreadPT))): // what is to be bought and done goes before a picture
			pictured.aside, pictured.figure = "continued", ""
			c.spread(content, p, pictured)
		default:
			c.spread(c.listed(pictured, content), pictured)
		}
	}
	return nil
}

// listed has the list of programs before what is to be bought, where only so all of it stands on
// the first page.
func (c *cutSheetPages) listed(p sheetPage, content func(typeset) []block) func(typeset) []block {
	if t := c.typeset(spreadPT); c.whole(p, content(t)) || !c.whole(p, listBefore(content(t))) {
		return content
	}
	return func(t typeset) []block { return listBefore(content(t)) }
}

// whole reports whether a page has all of the list of programs, and so all that stands before it.
func (c *cutSheetPages) whole(p sheetPage, blocks []block) bool {
	top, bottom := c.span(p)
	_, rest := flow(blocks, c.columns(top, bottom), false)
	return !slices.ContainsFunc(rest, isList)
}

func isList(b block) bool { return b.list }

// listBefore moves the list of programs before what it may stand over.
func listBefore(blocks []block) []block {
	if i := slices.IndexFunc(blocks, isList); i >= 0 {
		list := blocks[i]
		blocks = slices.Insert(slices.Delete(blocks, i, i+1), i-list.over, list)
	}
	return blocks
}

// overview is what the first page says.
func (t cutSheetText) overview(s typeset) (blocks []block) {
	add := func(head string, texts []string, set func(string, []string) block) {
		if len(texts) > 0 {
			blocks = append(blocks, set(head, texts))
		}
	}
	if t.InAll != "" {
		add("In all", []string{t.InAll}, s.paragraphs)
	}
	blocks = append(blocks, s.ticks("Before you start", nil, t.Before), s.foam(t.Material))
	before := len(blocks)
	if t.Stocked {
		add("To buy", t.Buy, s.paragraphs)
	} else {
		add("To buy, where none is at hand", t.Buy, s.paragraphs)
	}
	add("Sheets to part first, by straight cuts", t.Saw, s.paragraphs)
	if len(t.Steps) > 0 {
		inTurn := ""
		if slices.ContainsFunc(t.Sheets, func(s sheetText) bool { return s.Together }) {
			inTurn = t.InTurn() + "."
		}
		list := s.steps(t.Steps, inTurn)
		list.list, list.over = true, len(blocks)-before
		blocks = append(blocks, list)
	}
	add("Worth a look", worth(t.Findings), s.paragraphs)
	add("Which file is for whom", t.Files, s.paragraphs)
	if len(t.Glued) == 0 {
		add("Gluing up", t.Gluing, s.numbered)
	} else {
		add("Gluing up, packing", []string{t.GluedPages()}, s.paragraphs)
	}
	for i, k := range t.Cases {
		b := s.stack(k)
		b.newColumn = i == 0
		blocks = append(blocks, b)
	}
	return blocks
}

// glued is a tray's own page.
func (c *cutSheetPages) glued(g gluedText) {
	p := sheetPage{head: g.Head, aside: g.Aside + ", thick", figure: g.Figure}
	content := func(t typeset) (blocks []block) {
		if len(g.Steps) > 0 {
			blocks = append(blocks, t.glueUp(g.trayText, "Top to bottom", c.unit), t.numbered("Step by step", g.Steps))
		}
		if len(g.Packing) > 0 {
			blocks = append(blocks, t.packing(g.Tray.ID, g.Packing))
		}
		if len(g.Steps) > 0 {
			blocks = append(blocks, t.fromAbove(g.Tray, "From above"))
		}
		return blocks
	}
	if !c.fits(p, content) {
		c.spread(content, p)
	}
}

// passes is a page for a hand that cuts thick foam; none for a machine.
func (c *cutSheetPages) passes(job cutSheetText) {
	if !job.Hand {
		return
	}
	p := sheetPage{head: passesHead, aside: "up to", figure: job.Thickest}
	content := func(t typeset) []block {
		return []block{t.paragraphs("Common practice and judgment, no source", job.Passes)}
	}
	if !c.fits(p, content) {
		c.spread(content, p)
	}
}

// paperHeights are the heights that a sheet's picture may have, in pixels: a lower
// one where the page's text needs the room. Its letters stay as they are.
var paperHeights = []float64{1100, 960, 820, 680}

// partedHeights are those of a sheet with several parts, which a lower picture cannot tell apart.
var partedHeights = paperHeights[:3]

func (c *cutSheetPages) sheet(s sheetText) error {
	content := func(t typeset) []block {
		blocks := []block{t.ticks("Before you start", s.Owner, s.Cautions)}
		if len(s.Burns) > 0 {
			blocks = append(blocks, t.framed("If it burns", s.Burns))
		}
		blocks = append(blocks, t.facts("Settings", s.Settings))
		zero := t.paragraphs(s.ZeroHead, s.Zero)
		zero.newColumn = true
		blocks = append(blocks, zero, t.work(s.Work, s.Made, s.Copies))
		if len(s.Alike) > 0 {
			blocks = append(blocks, t.ticks(alikeHead, nil, s.Alike))
		}
		if len(s.Order) > 0 {
			blocks = append(blocks, t.facts("Order of cutting", s.Order))
		}
		for _, tray := range s.Trays {
			blocks = append(blocks, t.glueUp(tray, s.GlueHead(tray), c.unit))
			if len(tray.Packing) > 0 {
				blocks = append(blocks, t.packing(tray.Tray.ID, tray.Packing))
			}
		}
		return blocks
	}
	p := sheetPage{head: s.Head, aside: s.Aside + ", each about", figure: s.Time}
	if s.Hand {
		p.aside = s.Aside + ", true size"
	}
	return c.pictured(p, s, content)
}

// pictured adds a page with the tallest picture beside which its text fits. Where that takes several pages in any case, the
// picture is the tallest beside which the zero point still stands. A picture is drawn only where the least that it can be high
// leaves room.
func (c *cutSheetPages) pictured(p sheetPage, s sheetText, content func(typeset) []block) error {
	heights := paperHeights
	if s.Parted {
		heights = partedHeights
	}
	onePage := func(float64) bool { return c.fits(p, content) }
	several := func(height float64) bool { // the lowest in any case
		if height > heights[len(heights)-1] && !c.zeroBeside(p, content(c.typeset(spreadPT))) {
			return false
		}
		c.spread(content, p)
		return true
	}
	for _, laid := range []func(float64) bool{onePage, several} {
		for _, height := range heights {
			before := len(c.pages)
			p.picture = &embedded{ratio: s.Least(height)}
			if !laid(height) {
				continue
			}
			c.pages = c.pages[:before]
			data, err := s.Picture(height)
			if err != nil {
				return err
			}
			ratio, err := ratioOf(data)
			if err != nil {
				return err
			}
			if p.picture = (&embedded{ratio: ratio}); laid(height) {
				*p.picture, err = c.embed(data) // the page has it already
				return err
			}
		}
	}
	return nil
}

// zeroBeside is whether the zero point, which begins a column where there is room for that, and all before it stand on
// the picture's page.
func (c *cutSheetPages) zeroBeside(p sheetPage, blocks []block) bool {
	top, bottom := c.span(p)
	_, rest := flow(blocks, c.columns(top, bottom), false)
	return len(rest) < len(blocks)-slices.IndexFunc(blocks, func(b block) bool { return b.newColumn })
}

// spreadPT is the size of letters where text takes several pages, in points.
const spreadPT = 8.0

// leastPT is the size of the smallest letters on paper, in points.
const leastPT = 7.0

// span is where a page's text begins and ends.
func (c *cutSheetPages) span(p sheetPage) (top, bottom float64) {
	_, height := c.size.mm()
	top = margin + headMM
	if p.picture != nil {
		top += c.pictureMM(*p.picture) + 4
	}
	return top, height - margin - footerMM
}

func (c *cutSheetPages) typeset(size float64) typeset {
	width, _ := c.size.mm()
	return typeset{c.document, size, (width - 2*margin - columnGap) / 2}
}

// fits adds a page with all its text, in letters as small as it takes; it reports
// false, and adds nothing, when that would be too small to read.
func (c *cutSheetPages) fits(p sheetPage, content func(typeset) []block) bool {
	top, bottom := c.span(p)
	for size := 8.5; size >= leastPT; size -= 0.5 {
		blocks := content(c.typeset(size))
		for _, forced := range []bool{true, false} {
			if rows, rest := flow(blocks, c.columns(top, bottom), forced); len(rest) == 0 {
				p.rows = rows
				c.pages = append(c.pages, p)
				return true
			}
		}
	}
	return false
}

// spread lays text over these pages and as many more as it takes.
func (c *cutSheetPages) spread(content func(typeset) []block, pages ...sheetPage) {
	rest := content(c.typeset(spreadPT))
	for i := 0; i < len(pages) || len(rest) > 0; i++ {
		p := sheetPage{head: pages[0].head, aside: "continued"}
		if i < len(pages) {
			p = pages[i]
		}
		top, bottom := c.span(p)
		p.rows, rest = flow(rest, c.columns(top, bottom), false)
		c.pages = append(c.pages, p)
	}
}

// pictureMM is the height of a picture without its margins.
func (c *cutSheetPages) pictureMM(p embedded) float64 {
	width, _ := c.size.mm()
	return (width - 2*margin) * (p.ratio - 2*bleed) / (1 - 2*bleed)
}

// columns are the two of a page.
func (c *cutSheetPages) columns(top, bottom float64) []column {
	width, _ := c.size.mm()
	right := margin + (width-2*margin+columnGap)/2
	return []column{{margin, top, bottom}, {right, top, bottom}}
}

func (c *cutSheetPages) draw() {
	width, _ := c.size.mm()
	whole := (width - 2*margin) / (1 - 2*bleed)
	for n, p := range c.pages {
		c.page(c.size, false)
		if p.picture != nil {
			c.show(*p.picture, (width-whole)/2, margin+headMM-bleed*whole, whole)
		}
		c.head(p)
		for _, r := range p.rows {
			r.draw(r.x, r.y)
		}
		c.foot(n)
	}
}

// head is what the page is of, and at its right how long that takes, larger than
// all else.
func (c *cutSheetPages) head(p sheetPage) {
	width, _ := c.size.mm()
	title, small, large := style{11, true}, style{9, false}, style{20, true}
	y, right := margin+large.capMM(), width-margin
	c.text(right, y, p.figure, large, ink, 1)
	if p.figure != "" {
		right -= c.width(p.figure, large) + 2
	}
	aside := c.shorten(p.aside, small, (width-2*margin)/2)
	c.text(right, y, aside, small, softInk, 1)
	c.text(margin, y, c.shorten(p.head, title, right-margin-5-c.width(aside, small)), title, ink, 0)
}

// footText stands on every page.
const footText = "The machine's manual, its owner's rules, local codes and trained people come before this page. Read SAFETY.md first."

func (c *cutSheetPages) foot(n int) {
	width, height := c.size.mm()
	small := style{leastPT, false}
	c.stroke(hairline, 0.2)
	c.Line(margin, height-margin-4, width-margin, height-margin-4)
	c.text(margin, height-margin, footText, small, softInk, 0)
	c.text(width-margin, height-margin, fmt.Sprintf("%d of %d", n+1, len(c.pages)), small, softInk, 1)
}
