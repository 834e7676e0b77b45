package profiles

import "slices"

// Answer is what the safety table says of a kind of foam under a process.
type Answer string

// The answers, strictest first.
const (
	Refused   Answer = "refused" // never, whoever asks
	OwnerWord Answer = "owner"   // only with the word of the machine's owner, in writing
	Caution   Answer = "caution" // with what the reason says
	Allowed   Answer = "allowed" // with the usual care
)

// Verdict is one cell of the safety table: a kind of foam under a process.
type Verdict struct {
	Kind      string  `json:"kind"`
	Chemistry string  `json:"chemistry"` // what the kind is called
	Process   Process `json:"process"`
	Answer    Answer  `json:"answer"`
	Reason    string  `json:"reason"`
	Products  string  `json:"products"` // what heat makes of it; "" where it stays cold
	Limits    string  `json:"limits"`   // workplace limits of the products, with units; no promise of safety
	Source    string  `json:"source"`
	Mark      string  `json:"mark"` // how sure the source is: read, after a secondary text, from memory, common practice
}

// UnknownKind is the kind of a foam whose chemistry nobody has stated.
const UnknownKind = "unknown"

// cell is a place in the safety table.
type cell struct {
	kind    string
	process Process
}

// Safety is the table's verdict. A kind that the table does not know is judged
// as an unknown foam; what even that row does not answer is refused.
func (c *Catalog) Safety(kind string, p Process) Verdict {
	for _, k := range []string{kind, UnknownKind} {
		if v, ok := c.safety[cell{k, p}]; ok {
			return v
		}
	}
	return Verdict{
		Kind: kind, Process: p, Answer: Refused, Reason: "the safety table does not know it",
		Source: "common practice, no source", Mark: "common practice",
	}
}

// Kinds lists the kinds of foam that the safety table knows, in its order.
func (c *Catalog) Kinds() []string { return slices.Clone(c.kinds) }

// SafetyTable is the whole table, kind by kind and in each by process.
func (c *Catalog) SafetyTable() []Verdict {
	var list []Verdict
	for _, k := range c.kinds {
		for _, p := range Processes() {
			list = append(list, c.Safety(k, p))
		}
	}
	return list
}
