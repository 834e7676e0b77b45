package lookedat

import (
	"maps"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Declared are the interfaces of the page's types.d.ts, each with its own keys and whether a key may be missing.
func Declared(t *testing.T, file string) map[string]map[string]bool {
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	all, extends := map[string]map[string]bool{}, map[string]string{}
	for _, m := range regexp.MustCompile(`(?s)\n  interface (\w+)(?: extends (\w+))? \{\n(.*?)\n  \}`).FindAllStringSubmatch(string(text), -1) {
		all[m[1]], extends[m[1]] = map[string]bool{}, m[2]
		for _, key := range regexp.MustCompile(`(?m)^    (\w+)(\??):`).FindAllStringSubmatch(m[3], -1) {
			all[m[1]][key[1]] = key[2] == "?"
		}
	}
	for name := range all {
		for from := extends[name]; from != ""; from = extends[from] {
			maps.Copy(all[name], all[from])
		}
	}
	return all
}

// Written are the keys that a type has in JSON, and which of them may be missing.
func Written(of reflect.Type) map[string]bool {
	keys := map[string]bool{}
	for i := range of.NumField() {
		f := of.Field(i)
		name, how, _ := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous {
			for key, may := range Written(f.Type) {
				keys[key] = may
			}
		} else if name != "" && name != "-" {
			keys[name] = how != ""
		}
	}
	return keys
}
