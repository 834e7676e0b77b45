package arrange

import (
	"strconv"
	"strings"

	"traywright/cam/job"
)

// keys are the keys of a list's entry, in order.
type keys []string

func (k *keys) add(key, value string) { *k = append(*k, key+": "+value) }

func (k keys) String() string { return "{" + strings.Join(k, ", ") + "}" }

func number(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

func (w *writer) labels(list []job.Label) {
	if len(list) > 0 {
		w.line("    labels:")
	}
	for _, l := range list {
		var k keys
		if l.Text != "" {
			k.add("text", text(l.Text))
		}
		k.add("at", w.pair(l.X, l.Y))
		if l.Height != 0 {
			k.add("height", w.length(l.Height))
		}
		if l.BoxLength != 0 {
			k.add("box", w.pair(l.BoxLength, l.BoxWidth))
		}
		if font := l.Font + l.FontFile; font != "" {
			k.add("font", text(font))
		}
		if l.Align != job.AlignLeft {
			k.add("align", [...]string{"left", "center", "right"}[l.Align])
		}
		if l.Arc != 0 {
			k.add("arc", w.length(l.Arc))
		}
		if l.SpacingGiven {
			k.add("spacing", w.length(l.Spacing))
		}
		w.making(&k, l.Making)
		w.line("      - %s", k)
	}
}

func (w *writer) emblems(list []job.Emblem) {
	if len(list) > 0 {
		w.line("    emblems:")
	}
	for _, e := range list {
		var k keys
		k.add("picture", text(e.File))
		k.add("at", w.pair(e.X, e.Y))
		switch {
		case e.Picture.Width == 0:
			k.add("width", w.length(e.Length))
		case e.Length == 0:
			k.add("height", w.length(e.Picture.Width))
		default:
			k.add("size", w.pair(e.Length, e.Picture.Width))
		}
		if e.Threshold != 0 {
			k.add("threshold", number(e.Threshold))
		}
		if e.Invert {
			k.add("invert", "true")
		}
		w.making(&k, e.Making)
		w.line("      - %s", k)
	}
}

func (w *writer) making(k *keys, m job.Making) {
	if m.Turn != 0 {
		k.add("turn", number(m.Turn))
	}
	switch {
	case m.Make == job.Outlined:
		k.add("make", "outline")
	case m.Make == job.Cut && m.Through:
		k.add("make", "through")
	case m.Make == job.Cut:
		k.add("make", w.length(m.Depth))
	}
	if m.Tool != "" {
		k.add("tool", text(m.Tool))
	}
}
