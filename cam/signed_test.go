package cam_test

import (
	"bytes"
	"context"
	"image/png"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam"
	"traywright/cam/drawing"
	"traywright/cam/kerf"
)

// Every file that a run writes has its sum: no byte of it can be another, none can come or go. A
// program's seals look past blanks and numbers of lines; it is left out here.
func TestEveryFileBearsItsSum(t *testing.T) {
	kinds := map[string]int{}
	for _, f := range someFiles(t) {
		end := path.Ext(f.Path)
		if kinds[end]++; kinds[end] > 2 || f.Path == cam.ReportName || end == ".ngc" {
			continue
		}
		require.True(t, cam.Signed(f.Path, f.Data), f.Path)
		for at := 0; at < len(f.Data); at += max(len(f.Data)/300, 1) {
			changed := bytes.Clone(f.Data)
			changed[at] ^= 1
			require.False(t, cam.Signed(f.Path, changed), "%s at %d", f.Path, at)
			require.False(t, cam.Signed(f.Path, slices.Delete(bytes.Clone(f.Data), at, at+1)), "%s without %d", f.Path, at)
		}
		require.False(t, cam.Signed(f.Path, append(bytes.Clone(f.Data), '\n')), f.Path)
		stillRead(t, end, f.Data)
	}
	for _, end := range []string{".dxf", ".png", ".pdf", ".svg", ".md", ".html", ".csv"} {
		assert.Positive(t, kinds[end], end)
	}
}

// stillRead holds that a reader takes a sum for a remark.
func stillRead(t *testing.T, end string, data []byte) {
	switch end {
	case ".dxf":
		pieces, err := drawing.DXF.Read(context.Background(), data)
		require.NoError(t, err)
		assert.NotEmpty(t, pieces)
	case ".png":
		_, err := png.Decode(bytes.NewReader(data)) // which checks the sum of each chunk
		require.NoError(t, err)
	case ".pdf":
		lines := strings.Split(strings.TrimSuffix(string(data), "\n"), "\n")
		lines = lines[len(lines)-4:]
		assert.Equal(t, []string{"startxref", "%%EOF"}, []string{lines[1], lines[3]}) // ISO 32000-1, 7.5.5
		assert.Regexp(t, "^% seal: [0-9a-f]{64}$", lines[0])
	}
}

// someFiles are of every kind that runs write.
func someFiles(t *testing.T) []cam.File {
	r := laserRequest(t)
	job, err := cam.Cut(context.Background(), r, cam.Options{})
	require.NoError(t, err)
	coupon, err := cam.Coupon(context.Background(), cam.CouponRequest{
		Spec: kerf.CouponSpec{Foam: "pe-30", Thickness: 25_400_000}, Catalog: r.Catalog, Machine: "bench-router",
	}, cam.Options{DXF: drawing.R12})
	require.NoError(t, err)
	return append(coupon.Files, job.Files...)
}

// An empty or foreign file has no sum, and none is put where there is no room for it.
func TestWhatHasNoRoomStaysAsItIs(t *testing.T) {
	for _, name := range []string{"a.png", "a.pdf"} {
		f := cam.File{Path: name, Data: []byte("neither")}
		assert.Equal(t, f, cam.Sign(f))
		assert.False(t, cam.Signed(name, f.Data))
	}
	assert.False(t, cam.Signed("a.dxf", nil))
	assert.False(t, cam.Signed(cam.Arranged, cam.Sign(cam.File{Path: "a.png", Data: []byte("\x00\x00\x00\x00IEND\xaeB`\x82")}).Data))
}
