package job_test

import (
	"encoding/csv"
	"errors"
	"io/fs"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/cam/finding"
	"traywright/cam/job"
)

// checkLoad loads anything: it never panics, its findings are well formed, and
// a job without errors keeps the promises of the types.
func checkLoad(t *testing.T, fsys fs.FS) *job.Job {
	j, found, err := job.Load(fsys, "job.yaml")
	wellFormed(t, found)
	if err != nil {
		var read finding.List
		assert.True(t, errors.As(err, &read))
		assert.NotEmpty(t, read)
		wellFormed(t, read)
		return nil
	}
	if found.Failed() {
		return nil
	}
	ids := map[string]bool{}
	for _, tray := range j.Trays {
		assert.Regexp(t, `^[a-z0-9]+(-[a-z0-9]+)*$`, tray.ID)
		assert.False(t, ids[tray.ID])
		ids[tray.ID] = true
		assert.Positive(t, tray.Length)
		assert.Positive(t, tray.Width)
		assert.NotEmpty(t, tray.Layers)
		for _, l := range tray.Labels {
			assert.NotContains(t, l.FontFile, "..")
			assert.Equal(t, l.Font == "", l.FontFile != "")
			assert.Positive(t, l.Height+l.BoxLength)
		}
		for _, e := range tray.Emblems {
			assert.NotEmpty(t, e.File)
			assert.NotContains(t, e.File, "..")
			assert.Positive(t, e.Length+e.Picture.Width)
			assert.True(t, e.Threshold >= 0 && e.Threshold < 1)
		}
		for _, p := range tray.Pockets {
			assert.NotContains(t, p.OutlineFile, "..")
			assert.Positive(t, p.Columns*p.Rows)
			assert.GreaterOrEqual(t, p.Depth, 0*mm)
		}
	}
	for _, c := range j.Cases {
		assert.NotEmpty(t, c.Stack)
		for _, id := range c.Stack {
			assert.True(t, ids[id])
		}
	}
	return j
}

func FuzzJob(f *testing.F) {
	f.Add(contractJob)
	f.Add(exploding(3))
	f.Add(labelled(`{text: "{tray} {group}", at: [1, 2], height: 9, arc: -40}, {at: [1, 2], box: [9, 9], font: a.ttf, make: 2 mm}`,
		`{picture: a.png, at: [1, 2], size: [9, 9], threshold: 40 %, invert: true, make: through, turn: 90}`))
	for _, tables := range [][]struct{ text, rule, where, message, hint string }{unreadableJobs, wrongJobs} {
		for _, c := range tables {
			f.Add(expand(c.text))
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		checkLoad(t, folder("job.yaml", text, "roster.csv", contractRoster))
	})
}

// What encoding/csv reads without a complaint is read here alike.
func FuzzRoster(f *testing.F) {
	f.Add(contractRoster)
	f.Add("id;count;length;width;height\ncrab;2;31,5;20;10\n")
	f.Add("# x\n\nid\tcount\tlength\twidth\theight\tname\n\"crab\"\t2\t1 1/4\"\t20\t10\t\"a \"\"b\"\"\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		j := checkLoad(t, folder("job.yaml", withRoster("mm"), "roster.csv", text))
		if j == nil || strings.ContainsAny(text, ";\t") {
			return
		}
		r := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff")))
		r.Comment, r.TrimLeadingSpace, r.FieldsPerRecord = '#', true, -1
		records, err := r.ReadAll()
		if err != nil {
			return
		}
		assert.Equal(t, idsOf(records), idsIn(j), "%q", text)
	})
}

// idsOf are the ids in a table that encoding/csv has read.
func idsOf(records [][]string) []string {
	var ids []string
	column := -1
	for _, record := range records {
		if all := strings.TrimSpace(strings.Join(record, "")); all == "" || strings.HasPrefix(strings.TrimSpace(record[0]), "#") {
			continue
		}
		if column < 0 {
			for i, name := range record {
				if strings.EqualFold(strings.TrimSpace(name), "id") {
					column = i
				}
			}
			continue
		}
		ids = append(ids, strings.Join(strings.Fields(record[column]), " "))
	}
	return ids
}

func idsIn(j *job.Job) []string {
	var ids []string
	for _, p := range j.Roster {
		ids = append(ids, p.ID)
	}
	return ids
}
