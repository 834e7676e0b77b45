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

// Two kinds of rows never go by one name, of which the schema would have one's keys.
func TestKindsOfRowsHaveNamesOfTheirOwn(t *testing.T) {
	kinds := map[string]reflect.Type{}
	var walk func(reflect.Type)
	walk = func(of reflect.Type) {
		switch of.Kind() {
		case reflect.Pointer, reflect.Slice, reflect.Array:
			walk(of.Elem())
		case reflect.Struct:
			name := groupName(of)
			if known, ok := kinds[name]; ok {
				assert.Equal(t, known, of, name)
				return
			}
			kinds[name] = of
			for i := range of.NumField() {
				walk(of.Field(i).Type)
			}
		}
	}
	walk(reflect.TypeFor[Report]())
	assert.Greater(t, len(kinds), 10)
}
