package cam

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What a row of the report keeps to itself is no key of it.
func TestKeysOfTheReportAreWhatIsWritten(t *testing.T) {
	var keys []string
	for _, r := range keysOf(reflect.TypeFor[HandReport]()).Rows {
		keys = append(keys, r.Key)
	}
	assert.Equal(t, []string{"work", "count", "seconds", "basis"}, keys)
}
