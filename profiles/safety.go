package profiles

import "slices"

// Answer is what the safety table says of one kind of foam under one process.
// The zero value refuses.
type Answer string

const (
	Refused   Answer = "refused" // never
	OwnerWord Answer = "owner"   // only with the machine owner's written word
	Caution   Answer = "caution" // with what the reason says
	Allowed   Answer = "allowed" // with the usual care
)

// Verdict is one cell of the safety table.
type Verdict struct {
	Kind      string  `json:"kind"`
	Chemistry string  `json:"chemistry"`
	Process   Process `json:"process"`
	Answer    Answer  `json:"answer"`
	Reason    string  `json:"reason"`
	Products  string  `json:"products"` // of heat
	Limits    string  `json:"limits"`   // workplace exposure, ppm
	Source    string  `json:"source"`
}

// UnknownKind is the row for a foam whose chemistry nobody has stated.
const UnknownKind = "unknown"

// Safety is the table's cell. A kind or process that it does not have is
// answered as an unknown foam, and where that is missing too, refused.
func (c *Catalog) Safety(kind string, p Process) Verdict {
	for _, k := range []string{kind, UnknownKind} {
		if v, ok := find(c.safety, func(v Verdict) bool { return v.Kind == k && v.Process == p }); ok {
			return v
		}
	}
	return Verdict{Kind: kind, Process: p, Answer: Refused, Reason: "the safety table does not have it", Source: "this project's decision"}
}

// SafetyTable is the whole table, kind by kind, in the order it is written.
func (c *Catalog) SafetyTable() []Verdict { return slices.Clone(c.safety) }

// Processes lists the processes in the table's order.
func Processes() []Process { return []Process{Laser, HotWire, Router, Knife} }

// safetyRow is a kind's row as written.
type safetyRow struct {
	Kind      string `yaml:"kind"`
	Chemistry string `yaml:"chemistry"`
	Products  string `yaml:"products"`
	Limits    string `yaml:"limits"`
	Source    string `yaml:"source"`
	Laser     cell   `yaml:"laser"`
	HotWire   cell   `yaml:"hot-wire"`
	Router    cell   `yaml:"router"`
	Knife     cell   `yaml:"knife"`
}

type cell struct {
	Answer Answer `yaml:"answer"`
	Reason string `yaml:"reason"`
}

func (row safetyRow) verdicts() []Verdict {
	var list []Verdict
	for i, c := range []cell{row.Laser, row.HotWire, row.Router, row.Knife} {
		list = append(list, Verdict{
			Kind: row.Kind, Chemistry: row.Chemistry, Process: Processes()[i], Answer: c.Answer, Reason: c.Reason,
			Products: row.Products, Limits: row.Limits, Source: row.Source,
		})
	}
	return list
}
