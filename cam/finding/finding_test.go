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
	list := List{{Warning, "wall-too-thin", "job.yaml:3:9", "leaves 3 mm", "move it"}}
	text, err := json.Marshal(list)
	require.NoError(t, err)
	assert.JSONEq(t, `[{"severity":"warning","rule":"wall-too-thin","where":"job.yaml:3:9","message":"leaves 3 mm","hint":"move it"}]`, string(text))
	var back List
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, list, back)
	assert.Error(t, json.Unmarshal([]byte(`[{"severity":"fatal"}]`), &back))
	assert.Equal(t, "severity 9", Severity(9).String())
}

func ExampleFinding_String() {
	fmt.Println(Finding{Where: "job.yaml:3:9", Message: "leaves a wall of 3 mm", Hint: "move it 3 mm away"})
	// Output:
	// error: job.yaml:3:9: leaves a wall of 3 mm
	// hint: move it 3 mm away
}
