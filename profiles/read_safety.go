package profiles

import "traywright/profiles/strict"

// marks say how sure a source is.
var marks = []string{"read", "after a secondary text", "from memory", "common practice"}

// readVerdicts reads a kind of foam with a cell for every process. What the
// row says of heat holds for the cells in which foam gets hot.
func readVerdicts(v strict.Value) []row[Verdict] {
	m := v.Map(safetyKeys.Names()...)
	heat := m.Need("heat").Map(heatKeys.Names()...)
	hot := Verdict{
		Products: heat.Need("products").Text(), Limits: heat.Need("limits").Text(),
		Source: heat.Need("source").Text(), Mark: heat.Need("mark").OneOf(marks...),
	}
	kind, chemistry := m.Need("kind").Name(), m.Need("chemistry").Text()
	var list []row[Verdict]
	for _, p := range Processes() {
		cell := m.Need(string(p))
		verdict := readVerdict(cell)
		if p == Laser || p == HotWire {
			verdict.Products, verdict.Limits = hot.Products, hot.Limits
			if verdict.Source == "" {
				verdict.Source, verdict.Mark = hot.Source, hot.Mark
			}
		}
		if cell.Present() && (verdict.Source == "" || verdict.Mark == "") {
			cell.Fail("has no source with a mark", "")
		}
		verdict.Kind, verdict.Chemistry, verdict.Process = kind, chemistry, p
		list = append(list, at(cell, verdict))
	}
	return list
}

func readVerdict(v strict.Value) Verdict {
	m := v.Map(verdictKeys.Names()...)
	return Verdict{
		Answer: Answer(m.Need("answer").OneOf(string(Refused), string(OwnerWord), string(Caution), string(Allowed))),
		Reason: m.Need("reason").Text(), Source: m.Get("source").Text(), Mark: m.Get("mark").OneOf(marks...),
	}
}
