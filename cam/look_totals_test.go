package cam_test

import (
	"context"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
)

// The page that is live has the job's totals as look.html has them.
func TestTheLiveLookHasTheTotals(t *testing.T) {
	for _, name := range []string{"job.yaml", "stock.yaml"} {
		request := demoRequest(t, name)
		cut, err := cam.Cut(context.Background(), request, cam.Options{})
		require.NoError(t, err)
		require.NotEmpty(t, cut.Files, "%v", cut.Report.Findings)
		live, err := cam.Look(context.Background(), request, true)
		require.NoError(t, err)
		inAll := regexp.MustCompile(`In all: .* by hand about [^<]*`)
		want := inAll.FindString(string(fileNamed(t, cut, "look.html")))
		require.NotEmpty(t, want)
		assert.Equal(t, want, inAll.FindString(string(live.Files[0].Data)))
	}
}
