package draw

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestSections(t *testing.T) {
	r, wanted := trayResult()
	o := SectionOptions{
		Title: "crew: layer 1 of 2", Layers: []SectionLayer{{"pe-30", 19.05}, {"pe-45", 6.35}}, Wanted: wanted,
	}
	for name, at := range map[string]float64{"section-coins": 20, "section-kraken": 130} {
		var b bytes.Buffer
		require.NoError(t, Section(&b, r, AtY, at, o))
		show(t, name, b.Bytes())
	}
	var b bytes.Buffer
	require.NoError(t, Section(&b, r, AtX, 208, SectionOptions{}))
	show(t, "section-x", b.Bytes())
}

func TestFrames(t *testing.T) {
	r, _ := trayResult()
	n := 0
	err := Frames(r, 6, FrameOptions{SheetOptions: SheetOptions{Title: "crew", Machine: fixtureMachine()}}, func(i int, data []byte) error {
		n++
		show(t, fmt.Sprintf("frame-%d", i), data)
		return nil
	})
	require.NoError(t, err)
	require.Equal(t, 6, n)
}
