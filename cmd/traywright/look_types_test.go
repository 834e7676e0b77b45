package main

import (
	"maps"
	"reflect"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/finding"
	"traywright/testdata/lookedat"
)

// What the page's types say of answers is what the server gives, and what they say that the page
// asks for is what the server takes.
func TestTheAnswersTypesAreTheProgram(t *testing.T) {
	types := lookedat.Declared(t, "../../cam/page/look/types.d.ts")
	for name, v := range map[string]any{"State": lookState{}, "Told": lookTold{}, "Room": lookRoom{}, "Placing": lookPlace{}, "Value": lookValue{}, "LoosePiece": lookLoose{}} {
		assert.Equal(t, lookedat.Written(reflect.TypeOf(v)), types[name], name)
	}
	for name, v := range map[string]any{"Change": lookChange{}, "Finding": finding.Finding{}} { // the page leaves keys out
		assert.Equal(t, slices.Sorted(maps.Keys(lookedat.Written(reflect.TypeOf(v)))), slices.Sorted(maps.Keys(types[name])), name)
	}
}
