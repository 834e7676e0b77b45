package strict

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

// What a form says of itself, and what a schema does.
func TestFormsInWords(t *testing.T) {
	side := Group{Name: "side", Rows: []Row{{Key: "width", Form: ALengthAbove(false).In("mm"), Default: Needed, Means: "of it"}}}
	for want, f := range map[string]Form{
		"number, 0.5 to 1000": ANumber(0.5, 1000), "whole number, -3 to 7": AWhole(-3, 7), "length, 0 or more": ALengthAbove(true), "length above 0": ALengthAbove(false), "length": ALength(),
		"length with its unit": WithUnit(), "`a`, `b` or `c`": OneOf("a", "b", "c"), "`a`": OneOf("a"), "list of side rows": ListOf(Keyed(&side), 1), "list of length": ListOf(ALength(), 0), "[x, y], each length": ATuple("[x, y]", ALength()),
		"side keys": Keyed(&side), "length; or `all`": Either(ALength(), OneOf("all")), "a place": ALength().Called("a place"), "word": Typed("word", "string"), "name": Pattern("name", "^a$"),
	} {
		assert.Equal(t, want, f.Words)
	}
	assert.Equal(t, "mm", Either(OneOf("all"), ALength().In("mm"), ALength().In("in")).Unit)
	assert.Equal(t, "mm", ListOf(ALength().In("mm"), 1).Unit)
	assert.Equal(t, "mm", ATuple("[x]", ALength().In("mm")).Unit)
	assert.Equal(t, "mm", Detailed(ALength().In("mm"), &side).Unit)
	tuple := ATuple("[x, y, z]", ALength()).toSchema()
	assert.Equal(t, []any{3, 3}, []any{tuple["minItems"], tuple["maxItems"]})
}

// A group and all below it, each once, in the order of their rows; With adds none to the group that it is made of.
func TestGroupsBelowAGroup(t *testing.T) {
	inner := Group{Name: "inner", Rows: []Row{{Key: "x", Form: ALength(), Means: "of it"}}}
	free := Keyed(&Group{Name: "free"})
	outer := Group{Name: "outer", Bare: true, Any: &free, Rows: []Row{
		{Key: "id", Form: AnID, Default: Needed, Means: "its name"}, {Key: "list", Form: ListOf(Keyed(&inner), 1), Means: "several"}, {Key: "one", Form: Keyed(&inner), Means: "one"}, {Key: "deep", Form: Detailed(ALength(), &inner), Means: "either"},
	}}
	names := func(g Group) (list []string) {
		for _, b := range g.Reach() {
			list = append(list, b.Name)
		}
		return list
	}
	assert.Equal(t, []string{"outer", "inner", "free"}, names(outer))
	more := outer.With(Row{Key: "more", Form: Keyed(&Group{Name: "last"})})
	assert.Equal(t, []string{"id", "list", "one", "deep"}, outer.Names())
	assert.Equal(t, []string{"id", "list", "one", "deep", "more"}, more.Names())
	assert.Equal(t, []string{"outer", "inner", "last", "free"}, names(more))
	assert.True(t, more.has("more"))
	assert.False(t, outer.has("more"))

	text, err := json.Marshal(outer.Schema("a title")["$defs"].(map[string]any)["outer"])
	require.NoError(t, err)
	assert.JSONEq(t, `{"type":"object","required":["id"],"additionalProperties":{"$ref":"#/$defs/free"},"properties":{
		"id":{"type":["string","integer"],"pattern":`+string(must(json.Marshal(id.String())))+`,"maxLength":40,"description":"its name"},
		"list":{"anyOf":[{"type":"array","minItems":1,"items":{"$ref":"#/$defs/inner"}},{"type":"null"}],"description":"several"},
		"one":{"anyOf":[{"$ref":"#/$defs/inner"},{"type":"null"}],"description":"one"},
		"deep":{"anyOf":[{"anyOf":[`+string(must(json.Marshal(ALength().toSchema())))+`,{"$ref":"#/$defs/inner","properties":{"x":`+string(must(json.Marshal(ALength().toSchema())))+`}}]},{"type":"null"}],"description":"either"}}}`, string(text))
	inner.Rows[0].Default = ""
	assert.NotContains(t, inner.object(), "required")
	assert.Equal(t, false, inner.object()["additionalProperties"])
}

func must(b []byte, _ error) []byte { return b }

// Cells of a table are read as values of a file are: whole numbers and lengths, from and to their bounds.
func TestCellsAreRead(t *testing.T) {
	for _, c := range []struct {
		text string
		want int
		rule string
	}{{"1", 1, ""}, {"9", 9, ""}, {"0", 0, "count-too-small"}, {"10", 0, "bad-number"}, {"-10", 0, "bad-number"}, {"-9", -9, "count-too-small"}, {"1.5", 0, "bad-number"}, {"+3", 3, ""}} {
		log := &finding.Log{First: "f"}
		assert.Equal(t, c.want, Cell(log, finding.Position{File: "f", Line: 1, Column: 2}, "count", c.text, 99).Whole(1, 9), c.text)
		assert.Equal(t, c.rule, ruleOf(log), c.text)
	}
	for text, ok := range map[string]bool{"31": true, "1 1/4 in": true, "a": false} {
		log := &finding.Log{First: "f"}
		_, read := Cell(log, finding.Position{File: "f", Line: 1}, "length", text, 99).Length(units.Millimetre)
		assert.Equal(t, []any{ok, ok}, []any{read, ruleOf(log) == ""}, text)
	}
	assert.Equal(t, `"a\"b\\c"`, Quote(`a"b\c`))
}

func ruleOf(log *finding.Log) string {
	found, err := log.Result()
	if err != nil {
		found = err.(finding.List)
	}
	if len(found) == 0 {
		return ""
	}
	return found[0].Rule
}

// What YAML takes for a text as it stands, and never for a number or a word of its own.
func TestPlainTexts(t *testing.T) {
	for text, plain := range map[string]bool{"keg": true, "pe-30": true, "no": false, "y": false, "null": false, "1e3": false, "10": false, "a: b": false, "x}": false, "Keg": false, "": false} {
		assert.Equal(t, plain, Plain(text), text)
	}
}

// A file that is no text is told by its first bytes, and not by the first of them that is no UTF-8.
func TestFilesThatAreNoText(t *testing.T) {
	for text, what := range map[string]string{"GIF89a\x01\x00": "a picture (GIF)", "II*\x00\x08": "a picture (TIFF)", "\x1f\x8b\x08": "an archive", "%PDF-1.4": "a PDF", "%\nG0 X1\n": "", "id,count\n": "", "BM: x": "", "": ""} {
		assert.Equal(t, what, NoText([]byte(text)), text)
		log := &finding.Log{First: "f"}
		_, read := Text(log, "f", []byte(text), "")
		assert.Equal(t, what == "", read, text)
		if found, err := log.Result(); what != "" {
			assert.ErrorContains(t, err, "a picture, a PDF or an archive", "%v", found)
		}
	}
}
