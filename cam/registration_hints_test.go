package cam_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam"
	"traywright/cam/finding"
)

// Under a blade, which goes round no hole under a width of its own, what is said where a registration hole is too narrow is followed
// once, and the job is refused no more: the dowel that it names, the ears, or no holes.
func TestDowelHintsUnderABladeAreFollowedOnce(t *testing.T) {
	named, ears, none := 0, 0, 0
	for _, machine := range []string{"bench-drag-knife", "bench-knife"} {
		for _, way := range []string{"dowels", "ears"} {
			for _, pocket := range []string{"[20, 15]", "[96, 68]"} {
				for _, size := range []string{"[120, 90]", "[120, 40]"} {
					for dowel := 2.0; dowel < 13; dowel += 1.5 {
						if size == "[120, 40]" && pocket == "[96, 68]" {
							continue
						}
						text := fmt.Sprintf("machine: %s\nregistration: %s\ndowel: %g mm\ntrays: [{id: a, size: %s, edge: 10, layers: [{foam: pe-30, thickness: 6 mm}, {foam: pe-30, thickness: 6 mm}], pockets: [{at: [12, 11], size: %s, depth: 6 mm}]}]\n", machine, way, dowel, size, pocket)
						f := cam.Check(stockRequest(t, t, text)).Report.Findings
						if !f.Failed() {
							continue
						}
						hint := f[slices.IndexFunc(f, func(f finding.Finding) bool { return f.Severity == finding.Error })].Hint
						if d := regexp.MustCompile("^write `dowel: ([0-9.]+ mm)`").FindStringSubmatch(hint); d != nil {
							text = strings.Replace(text, fmt.Sprintf("dowel: %g mm", dowel), "dowel: "+d[1], 1)
							named++
						} else if strings.HasPrefix(hint, "write `registration: ears`") {
							text = strings.Replace(text, "registration: "+way, "registration: ears", 1)
							ears++
						} else {
							assert.Contains(t, hint, "`registration: none`", text)
							text = strings.Replace(text, fmt.Sprintf("registration: %s\ndowel: %g mm\n", way, dowel), "", 1)
							none++
						}
						again := cam.Check(stockRequest(t, t, text)).Report.Findings
						assert.False(t, again.Failed(), "%s\n%s\nand then %v", hint, text, again)
					}
				}
			}
		}
	}
	assert.NotZero(t, named)
	assert.NotZero(t, ears)
	t.Log(named, ears, none)
}
