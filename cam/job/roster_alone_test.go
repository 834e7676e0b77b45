package job_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

func TestRosterAlone(t *testing.T) {
	const text = "id,count,length,width,height\ndie,4,1,1,1\nlog,1,105 mm,74 mm,20 mm\n"
	pieces, found, err := job.ReadRoster("r.csv", []byte(text), units.Inch)
	require.NoError(t, err)
	require.Empty(t, found)
	require.Len(t, pieces, 2)
	assert.Equal(t, 25.4, pieces[0].Length.MM())
	assert.Equal(t, 105.0, pieces[1].Length.MM())

	_, found, err = job.ReadRoster("r.csv", []byte("id,count,length,width,height\ndie,4,-1,1,1\n"), units.Millimetre)
	require.NoError(t, err)
	require.True(t, found.Failed())
	assert.Equal(t, "r.csv:2:7", found[0].Where)

	for _, bad := range []string{"id,count\ndie,4\n", "id,count,length,width,height\ndie,4,one,1,1\n", "\xff\xfe\xff"} {
		_, _, err = job.ReadRoster("r.csv", []byte(bad), units.Millimetre)
		var read finding.List
		assert.True(t, errors.As(err, &read), bad)
	}
	_, _, err = job.ReadRoster("r.csv", make([]byte, 5<<20), units.Millimetre)
	assert.ErrorContains(t, err, "larger than 4 MiB")
}
