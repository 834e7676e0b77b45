package finding

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A finding whose author forgot its severity refuses the job.
func TestZeroSeverityIsAnError(t *testing.T) {
	assert.True(t, List{{}}.Failed())
	assert.False(t, List{{Severity: Warning}, {Severity: Note}}.Failed())
	assert.False(t, List(nil).Failed())
}

func TestJSON(t *testing.T) {
	empty, err := json.Marshal(List(nil))
	require.NoError(t, err)
	assert.Equal(t, "[]", string(empty))
	list := List{{Severity: Warning, Rule: "wall-too-thin", Where: "job.yaml:3:9", Message: "leaves 3 mm", Hint: "move it"}}
	text, err := json.Marshal(list)
	require.NoError(t, err)
	assert.JSONEq(t, `[{"severity":"warning","rule":"wall-too-thin","where":"job.yaml:3:9","message":"leaves 3 mm","hint":"move it"}]`, string(text))
	var back List
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, list, back)
	assert.Error(t, json.Unmarshal([]byte(`[{"severity":"fatal"}]`), &back))
	assert.Equal(t, "severity 9", Severity(9).String())
}

// Errors first; repeats in one program are one finding with a count, those of
// another program or of no program are not.
func TestFolded(t *testing.T) {
	at := func(s Severity, rule, file string, line, more int) Finding {
		return Finding{Severity: s, Rule: rule, Where: fmt.Sprintf("%s:%d", file, line), Message: rule, Line: line, More: more}
	}
	list := List{
		at(Warning, "slow", "a.ngc", 2, 0), at(Error, "off", "a.ngc", 3, 0), {Rule: "loose", Where: "tray a"},
		at(Error, "off", "a.ngc", 7, 4), at(Error, "off", "b.ngc", 3, 0), {Rule: "loose", Where: "tray a"}, at(Error, "slow", "a.ngc", 9, 0),
	}
	want := List{at(Error, "off", "a.ngc", 3, 5), {Rule: "loose", Where: "tray a"}, at(Error, "off", "b.ngc", 3, 0), {Rule: "loose", Where: "tray a"},
		at(Error, "slow", "a.ngc", 9, 0), at(Warning, "slow", "a.ngc", 2, 0)}
	assert.Equal(t, want, list.Folded())
	assert.Equal(t, "error: a.ngc:3: off (and 5 more like it)", list.Folded()[0].String())
	assert.Equal(t, Warning, list[0].Severity, "the list itself stays as it is")
	assert.Empty(t, List(nil).Folded())
	text, err := json.Marshal(list.Folded()[0])
	require.NoError(t, err)
	assert.JSONEq(t, `{"severity":"error","rule":"off","where":"a.ngc:3","message":"off (and 5 more like it)","hint":""}`, string(text))
}

// What says the same of several places is told once, with how many there are; an error only where all are one place of a file.
func TestFoldedAlike(t *testing.T) {
	thick := func(where string) Finding {
		return Finding{Severity: Warning, Rule: "thick", Where: where, Message: "is 19 mm", Hint: "measure it"}
	}
	other := thick("job.yaml:9:1: tray riders")
	other.Hint = "leave it"
	unknown := func(where string) Finding {
		return Finding{Rule: "unknown", Where: where, Message: "there is no foam"}
	}
	first, more := unknown("a: b/job.yaml:4:7: tray crew, layer 1"), thick("job.yaml:5:7: tray crew")
	first.More, more.More = 1, 2
	assert.Equal(t, List{first, unknown("a: b/job.yaml:8:7: tray stores"), unknown("tray stores"), unknown("tray cover"), more, other}, List{
		thick("job.yaml:5:7: tray crew"), first, unknown("a: b/job.yaml:8:7: tray stores"), unknown("tray stores"), unknown("tray cover"),
		thick("job.yaml:5:7: tray stores"), thick("job.yaml:7:1: tray cover"), other}.Folded())
	first.More = 0
	assert.Equal(t, 1, List{first, unknown("a: b/job.yaml:4:7: tray stores, layer 1")}.Folded()[0].More)
}

func ExampleFinding_String() {
	fmt.Println(Finding{Where: "job.yaml:3:9", Message: "leaves a wall of 3 mm", Hint: "move it 3 mm away"})
	// Output:
	// error: job.yaml:3:9: leaves a wall of 3 mm
	// hint: move it 3 mm away
}
