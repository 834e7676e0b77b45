package profiles

import (
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var updateDocuments = flag.Bool("update-documents", false, "rewrite the table in SAFETY.md from the data")

const (
	safetyDocument = "../SAFETY.md"
	tableBegin     = "<!-- generated from profiles/data/safety.yaml; go test ./profiles -update-documents rewrites it -->\n"
	tableEnd       = "<!-- end -->"
)

// SAFETY.md quotes the safety table, and quotes what the program decides by.
func TestSafetyDocumentQuotesTheTable(t *testing.T) {
	data, err := os.ReadFile(safetyDocument)
	require.NoError(t, err)
	before, rest, ok := strings.Cut(strings.ReplaceAll(string(data), "\r\n", "\n"), tableBegin)
	require.True(t, ok, "the table's first line")
	quoted, after, ok := strings.Cut(rest, tableEnd)
	require.True(t, ok, "the table's last line")
	table := markdown(shippedCatalog(t))
	if *updateDocuments {
		require.NoError(t, os.WriteFile(safetyDocument, []byte(before+tableBegin+table+tableEnd+after), 0o644))
		return
	}
	assert.Equal(t, table, quoted)
}

var answerWords = map[Answer]string{Refused: "**refused**", OwnerWord: "**owner's word**", Caution: "**caution**", Allowed: "allowed"}

// markdown is the safety table as SAFETY.md has it: the answers, then what heat
// gives.
func markdown(c *Catalog) string {
	var s strings.Builder
	s.WriteString("\n| foam | laser | hot wire | router | knife |\n|---|---|---|---|---|\n")
	for _, kind := range c.Kinds() {
		fmt.Fprintf(&s, "| `%s`: %s |", kind, c.Safety(kind, Laser).Chemistry)
		for _, p := range []Process{Laser, HotWire, Router, Knife} {
			v := c.Safety(kind, p)
			fmt.Fprintf(&s, " %s: %s |", answerWords[v.Answer], v.Reason)
		}
		s.WriteString("\n")
	}
	s.WriteString("\n| foam | heat gives | workplace limits | source | mark |\n|---|---|---|---|---|\n")
	for _, kind := range c.Kinds() {
		v := c.Safety(kind, Laser)
		fmt.Fprintf(&s, "| `%s` | %s | %s | %s | %s |\n", kind, v.Products, v.Limits, v.Source, v.Mark)
	}
	s.WriteString("\nRouter and knife: common practice, no source, save that\n\n")
	for _, v := range c.SafetyTable() {
		if (v.Process == Router || v.Process == Knife) && v.Mark != "common practice" {
			fmt.Fprintf(&s, "- `%s`, %s: %s (%s)\n", v.Kind, v.Process, v.Source, v.Mark)
		}
	}
	s.WriteString("\n")
	return s.String()
}

// The table is sound in itself: every kind has every process, no cell is empty,
// a bar would break the page, and what makes hydrogen cyanide or hydrogen
// chloride is never left to anybody's word.
func TestSafetyTableIsSound(t *testing.T) {
	c := shippedCatalog(t)
	require.Len(t, c.SafetyTable(), len(c.Kinds())*len(Processes()))
	for _, v := range c.SafetyTable() {
		assert.NotContains(t, v.Chemistry+v.Reason+v.Products+v.Limits+v.Source, "|")
		assert.Contains(t, answerWords, v.Answer)
		hot := v.Process == Laser || v.Process == HotWire
		assert.Equal(t, hot, v.Products != "" && v.Limits != "", "%s %s", v.Kind, v.Process)
		if hot && (strings.Contains(v.Products, "hydrogen c") || v.Kind == UnknownKind) {
			assert.Equal(t, Refused, v.Answer, "%s %s", v.Kind, v.Process)
		}
	}
}

// Wherever heat gives one of these, its workplace limits are told as OSHA and
// NIOSH publish them (their pages on each, or from memory where that is said; the
// 8-hour mean where nothing is said).
func TestExposureLimits(t *testing.T) {
	published := []struct{ product, limit string }{
		{"hydrogen cyanide", "hydrogen cyanide: OSHA 10 ppm, NIOSH 4.7 ppm short-term"},
		{"isocyanates", "2,4-TDI: OSHA 0.02 ppm ceiling, NIOSH sets none"},
		{"isocyanates", "MDI: OSHA 0.02 ppm ceiling, NIOSH 0.005 ppm, 0.02 ppm ceiling"},
		{"hydrogen chloride", "hydrogen chloride: OSHA 5 ppm ceiling, NIOSH 5 ppm ceiling"},
		{"styrene", "styrene: OSHA 100 ppm, 200 ppm ceiling, NIOSH 50 ppm, 100 ppm short-term"},
		{"carbon monoxide", "carbon monoxide: OSHA 50 ppm, NIOSH 35 ppm, 200 ppm ceiling"},
		{"formaldehyde", "formaldehyde: OSHA 0.75 ppm, 2 ppm short-term, NIOSH 0.016 ppm, 0.1 ppm ceiling"},
		{"traces of chloroprene", "chloroprene: OSHA 25 ppm, NIOSH 1 ppm ceiling"},
		{"acetic acid", "acetic acid: OSHA 10 ppm, NIOSH 10 ppm, 15 ppm short-term (from memory)"},
		{"acetaldehyde", "acetaldehyde: OSHA 200 ppm, NIOSH sets none (from memory)"},
		{"acrolein", "acrolein: OSHA 0.1 ppm, NIOSH 0.1 ppm, 0.3 ppm short-term (from memory)"},
		{"ammonia", "ammonia: OSHA 50 ppm, NIOSH 25 ppm, 35 ppm short-term (from memory)"},
		{"benzene", "benzene: OSHA 1 ppm, 5 ppm short-term, NIOSH 0.1 ppm, 1 ppm short-term (from memory)"},
		{"toluene", "toluene: OSHA 200 ppm, 300 ppm ceiling, NIOSH 100 ppm, 150 ppm short-term (from memory)"},
		{"naphthalene", "naphthalene: OSHA 10 ppm, NIOSH 10 ppm, 15 ppm short-term (from memory)"},
		{"acetone", "acetone: OSHA 1000 ppm, NIOSH 250 ppm (from memory)"},
		{"acrylonitrile", "acrylonitrile: OSHA 2 ppm, 10 ppm ceiling, NIOSH 1 ppm, 10 ppm ceiling (from memory)"},
		{"hydrogen bromide", "hydrogen bromide: OSHA 3 ppm, NIOSH 3 ppm ceiling (from memory)"},
		{"sulphur dioxide", "sulphur dioxide: OSHA 5 ppm, NIOSH 2 ppm, 5 ppm short-term (from memory)"},
		{"phenol", "phenol: OSHA 5 ppm, NIOSH 5 ppm, 15.6 ppm ceiling (from memory)"},
		{"nitrogen dioxide", "nitrogen dioxide: OSHA 5 ppm ceiling, NIOSH 1 ppm short-term (from memory)"},
	}
	seen := 0
	for _, v := range shippedCatalog(t).SafetyTable() {
		for _, p := range published {
			if strings.Contains(v.Products, p.product) {
				assert.Contains(t, v.Limits, p.limit, v.Kind)
				seen++
			}
		}
	}
	assert.GreaterOrEqual(t, seen, 2*len(published), "each under laser and hot wire")
}

// Whatever burns gives carbon monoxide (from memory): every row whose products
// anybody knows names it, with its limits.
func TestEveryBurningRowNamesCarbonMonoxide(t *testing.T) {
	for _, v := range shippedCatalog(t).SafetyTable() {
		if v.Products == "" || v.Kind == UnknownKind {
			continue
		}
		assert.Contains(t, v.Products, "carbon monoxide", v.Kind)
		assert.Contains(t, v.Limits, "carbon monoxide: OSHA 50 ppm, NIOSH 35 ppm, 200 ppm ceiling", v.Kind)
	}
}

// What is sold as polyethylene or EVA and is more than that has a row that refuses
// heat, marked as from memory, and words by which it is known.
func TestWhatIsSoldAsPolyethylene(t *testing.T) {
	c := shippedCatalog(t)
	for _, kind := range []string{"fr", "antistatic", "conductive", "filled", "nbr", "epdm", "silicone", "phenolic", "pmi", "adhesive"} {
		require.Contains(t, c.Kinds(), kind)
		assert.Equal(t, Refused, c.Safety(kind, Laser).Answer, kind)
		assert.Equal(t, Refused, c.Safety(kind, HotWire).Answer, kind)
		assert.Equal(t, Caution, c.Safety(kind, Router).Answer, kind)
		assert.Equal(t, "from memory", c.Safety(kind, Laser).Mark, kind)
		assert.True(t, slices.ContainsFunc(c.spoken, func(s spoken) bool { return s.Kind == kind }), kind)
	}
}
