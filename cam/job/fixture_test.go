package job_test

import (
	"errors"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry/units"
)

const (
	mm   = units.Length(1_000_000)
	inch = units.Length(25_400_000)
)

// folder is a job's folder; files are pairs of a name and a text.
func folder(files ...string) fs.FS {
	fsys := fstest.MapFS{}
	for i := 0; i < len(files); i += 2 {
		fsys[files[i]] = &fstest.MapFile{Data: []byte(files[i+1])}
	}
	return fsys
}

// mustLoad loads a job that is right.
func mustLoad(t require.TestingT, fsys fs.FS) *job.Job {
	j, found, err := job.Load(fsys, "job.yaml")
	require.NoError(t, err)
	require.Empty(t, found)
	return j
}

// complaints loads a job that is wrong; unread says that it could not be read.
func complaints(t *testing.T, fsys fs.FS) (found finding.List, unread bool) {
	j, found, err := job.Load(fsys, "job.yaml")
	if err == nil {
		require.NotNil(t, j)
		return found, false
	}
	var unreadable finding.List
	require.True(t, errors.As(err, &unreadable), "%v", err)
	require.NotEmpty(t, unreadable)
	assert.Nil(t, j)
	assert.Empty(t, found)
	assert.True(t, unreadable.Unread())
	assert.Equal(t, len(unreadable), strings.Count(err.Error(), "error: "))
	return unreadable, true
}

// wellFormed is what every finding has to be.
func wellFormed(t assert.TestingT, list finding.List) {
	for _, f := range list {
		assert.Regexp(t, `^[a-z]+(-[a-z]+)*$`, f.Rule)
		assert.NotEmpty(t, f.Where)
		assert.NotEmpty(t, f.Hint, f.Message)
		for _, text := range []string{f.Message, f.Hint} {
			assert.NotContains(t, text, "\n")
			assert.NotContains(t, text, "\x1b")
			assert.LessOrEqual(t, len(text), 600, text)
		}
	}
}

// contractJob has every key of a job file; its stack is a sum of common practice.
const contractJob = `game: Tidewrack
units: mm                        # of bare numbers; any length may carry its own: 31 mm, 1.25 in, 1 1/4 in, 2"
roster: roster.csv               # optional
machine: bench-router            # a profile
shop_rules: shop-rules.yaml      # optional; some foams cannot be cut by some processes without it
case:                            # optional: the inside of every case, unless a case says otherwise
  inside: [250, 190, 5 in]       # length, width, height left for foam
  corner: 8                      # inside corner radius
  ease: 1                        # foam outline is this much larger per side than the case, to grip
tray_defaults:                   # any tray key may stand here
  layers:                        # top to bottom
    - {foam: pe-30, thickness: 1 in}
    - {foam: pe-45, thickness: 1/4 in}
  wall: 6
  edge: 10
  fit: snug
trays:
  - id: stores
    label: "{game} stores"       # {game}, {case}, {tray} are filled in, so a name is typed once
    layers: [{foam: pe-30, thickness: 2 in}, {foam: pe-45, thickness: 1/4 in}]
    halves: 2                    # optional: cut as two trays side by side, for weight
    cut: sheets                  # each layer on its own, glued afterwards (default), or block: glued first, router only
    pockets:
      - {for: logbook, at: [12, 12], size: [74, 105], depth: 20, notch: ends}
      - {for: dice, at: [100, 12], size: [66, 34], depth: through, relief: dogbone}
      - {at: [12, 130], round: 25.75, depth: 12, grid: [6, 2], pitch: [32, 32]}
      - {for: kraken, at: [180, 60], outline: kraken.dxf, turn: 15}
  - id: crew
    holds: [deckhand, beasts]
    pockets:
      - {for: deckhand, at: [12, 12], fit: easy, tool: flat-3}
      - {for: kraken, at: [60, 12], notch: [n, w], notch_width: 18, notch_reach: 1/4"}
      - {at: [120, 12], slot: [2 in, 1]}
cases:                           # optional; without it each tray is made once
  - name: Gull Watch
    copies: 2
    stack: [crew, stores]        # top to bottom, tray ids
  - {name: Reef Watch, stack: [crew], ease: 1, corner: 8.0 mm, inside: [25 cm, 19 cm, 4 in]}
`

const contractRoster = "id,name,group,count,length,width,height,weight_g,shape,pose\n" +
	"kraken,The Kraken,beasts,1,58,44,61,38.5,rect,lying\n" +
	"deckhand,,crew,4,25,25,30,,round,upright\n"

func contract() fs.FS {
	return folder("job.yaml", contractJob, "roster.csv", contractRoster)
}
