package plan

import (
	"fmt"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Labels and emblems, from the job to a sheet:
//
//  1. the label's names are filled in;
//  2. what is engraved is set once for each tool that could do it, letters as far
//     apart as its grooves need, until one does all of a tray: Sheet.Marks;
//  3. what is cut gets its bridges, letters as far apart as the foam holds, and
//     becomes holes of every sheet that it reaches: Sheet.Cuts;
//  4. all of it is held against the rim, the pockets and each other.

// Mark is a label or an emblem with its shape and place decided.
type Mark struct {
	Name     string // "label 1 (Tidewrack)", for messages
	Text     string // of a label, its names filled in; "" of an emblem
	Picture  string // file of an emblem; "" of a label
	Position finding.Position
	Font     string
	HeightMM float64 // of a label's capitals
	Make     job.Make
	Through  bool
	Depth    units.Length    // of one that is cut, from the tray's top
	Design   geometry.Region // what is cut, bridges left standing, or engraved
	Paths    []geometry.Path // of one that is engraved: the way of the tool's centre
	WidthMM  float64         // of the groove along Paths
	Bridges  int             // that hold its islands
	Box      geometry.Box    // of all that goes
}

// mark is a label or an emblem on its way through the steps.
type mark struct {
	Mark
	at       place
	tray     geometry.Box // that it is to be on, without its edge
	label    *job.Label   // of a label
	emblem   *job.Emblem  // of an emblem
	making   job.Making
	line     lettering.Line     // of a label, in the tray
	drawn    geometry.Region    // of an emblem, in the tray
	contours []geometry.Contour // what distances are measured from
	reachMM  float64            // and how far the groove reaches beyond
	outside  bool
}

// makeMarks makes the tray's labels and emblems.
func (m *maker) makeMarks(b *board) {
	if !b.known || !m.built() {
		return
	}
	values := m.values(b.source)
	for i := range b.source.Labels {
		if k := m.newLabel(b, i, values); k != nil {
			b.marks = append(b.marks, k)
		}
	}
	for i := range b.source.Emblems {
		if k := m.newEmblem(b, i); k != nil {
			b.marks = append(b.marks, k)
		}
	}
	m.engrave(b)
	for _, k := range b.marks {
		if k.Make == job.Cut {
			m.shapeCut(b, k)
		}
	}
	b.dropShapeless()
}

func (m *maker) newLabel(b *board, i int, values job.Names) *mark {
	l := &b.source.Labels[i]
	at := place{position: l.Position, text: fmt.Sprintf("%s, label %d", b.at.text, i+1), tray: b.ID}
	template := l.Text
	if template == "" {
		template = labelTemplate(b.source)
	}
	text, empty := job.Fill(template, values)
	if len(empty) > 0 {
		m.log.fail(at, "label-without-name", fmt.Sprintf("has %s in it, and %s", strings.Join(empty, ", "), nameless(empty[0])),
			"write the name itself, or take the label out")
		return nil
	}
	k := &mark{at: at, label: l, making: l.Making}
	k.Mark = Mark{Name: fmt.Sprintf("label %d (%s)", i+1, clipped(text)), Text: text, Position: l.Position, Font: l.Font}
	if l.FontFile != "" {
		k.Font = l.FontFile
	}
	return k.begin(b)
}

// nameless says why a placeholder has no name.
func nameless(placeholder string) string {
	switch placeholder {
	case "{game}":
		return "the job names no game"
	case "{case}":
		return "no case stacks the tray"
	case "{group}":
		return "no piece of the tray is in a group"
	}
	return "there is no such name"
}

// clipped keeps a message on its line.
func clipped(text string) string {
	if r := []rune(text); len(r) > 40 {
		return string(r[:40]) + "..."
	}
	return text
}

func (m *maker) newEmblem(b *board, i int) *mark {
	e := &b.source.Emblems[i]
	at := place{position: e.Position, text: fmt.Sprintf("%s, emblem %d (%s)", b.at.text, i+1, clipped(e.File)), tray: b.ID}
	shape, ok := m.Pictures[e.Picture]
	if !ok || shape.Empty() {
		m.log.fail(at, "picture-not-read", "has no shape: the picture has not been read", "put it into the job's folder")
		return nil
	}
	k := &mark{at: at, emblem: e, making: e.Making}
	k.Mark = Mark{Name: fmt.Sprintf("emblem %d (%s)", i+1, clipped(e.File)), Picture: e.File, Position: e.Position}
	k.drawn = m.placed(shape, e)
	return k.begin(b)
}

func (k *mark) begin(b *board) *mark {
	k.tray = b.box().Grow(-b.source.Edge.MM())
	k.Make, k.Through, k.Depth = k.making.Make, k.making.Through, k.making.Depth
	return k
}

// placed turns an emblem and puts the lower-left corner of its box at `at`. One
// that was to fit into a size lies in the middle of it.
func (m *maker) placed(shape geometry.Region, e *job.Emblem) geometry.Region {
	box := shape.Bounds()
	room := geometry.Box{Min: box.Min, Max: box.Min.Add(geometry.Point{X: e.Length.MM(), Y: e.Picture.Width.MM()})}
	if e.Length == 0 || e.Picture.Width == 0 {
		room = box
	}
	toMiddle := middle(room).Sub(middle(box))
	turn := turned(e.Turn)
	low := geometry.NewRegion(geometry.Rectangle(room, 0)).Transform(turn).Bounds().Min
	return shape.Transform(geometry.Translate(toMiddle.X, toMiddle.Y)).Transform(turn).
		Transform(geometry.Translate(e.X.MM()-low.X, e.Y.MM()-low.Y))
}

// dropShapeless forgets what has been reported and has no shape.
func (b *board) dropShapeless() {
	var kept []*mark
	for _, k := range b.marks {
		if len(k.contours) > 0 {
			kept = append(kept, k)
		}
	}
	b.marks = kept
}

// move shifts the mark, for the second of two halves.
func (k *mark) move(by geometry.Point) {
	t := geometry.Translate(by.X, by.Y)
	k.Design, k.drawn, k.line = k.Design.Transform(t), k.drawn.Transform(t), k.line.Transform(t)
	for i, p := range k.Paths {
		k.Paths[i] = p.Transform(t)
	}
	for i, c := range k.contours {
		k.contours[i] = c.Transform(t)
	}
	k.Box = geometry.Box{Min: k.Box.Min.Add(by), Max: k.Box.Max.Add(by)}
}

// marksOf puts what is engraved onto the slab that is on top.
func (m *maker) marksOf(b *board, s slab, sheet *Sheet) {
	if s.top != 0 || b.marking == nil {
		return
	}
	for _, k := range b.marks {
		if k.Make != job.Cut {
			sheet.Marks = append(sheet.Marks, k.Paths...)
		}
	}
	if len(sheet.Marks) == 0 {
		return
	}
	t := task{at: s.at, tool: b.marking.tool.ID, layers: s.layers}
	recipes, no := m.recipes(t, b.marking.tool)
	if no != nil {
		m.refused(t, no)
		return
	}
	sheet.Marking = Cut{Tool: b.marking.tool, Recipes: recipes}
}

// values are the names for a tray's labels.
func (m *maker) values(t *job.Tray) job.Names {
	return job.Names{Game: m.Job.Game, Case: strings.Join(m.casesOf(t), ", "), Tray: t.ID, Group: strings.Join(m.groupsOf(t), ", ")}
}

// groupsOf are the groups of the pieces that the tray is for, each once.
func (m *maker) groupsOf(t *job.Tray) []string {
	var groups []string
	add := func(group string) {
		if group != "" && !slices.Contains(groups, group) {
			groups = append(groups, group)
		}
	}
	for _, p := range t.Pockets {
		if piece := m.pieces[p.For]; piece != nil {
			add(piece.Group)
		}
	}
	for _, name := range t.Holds {
		if piece := m.pieces[name]; piece != nil {
			add(piece.Group)
			continue
		}
		for _, p := range m.Job.Roster {
			if p.Group == name {
				add(name)
				break
			}
		}
	}
	return groups
}

// topFoam is what marks are engraved into.
func (b *board) topFoam() profiles.Foam { return b.Layers[0].Foam }
