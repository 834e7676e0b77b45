package plan

import (
	"errors"

	"traywright/cam/job"
	"traywright/geometry"
)

// DesignOf is the finished hole of a pocket that has a shape of its own, turned, with its notches and without relief. The
// lower-left corner of its box, notches left out, is at 0, 0. Outlines are Input's.
func DesignOf(p job.Pocket, outlines map[string]geometry.Region) (geometry.Region, error) {
	m := newMaker(Input{Job: &job.Job{}, Outlines: outlines})
	p.Fit, p.For = "", ""
	form, ok := m.form(&board{}, &p, place{})
	if !ok || p.Shape == job.FromPiece {
		return geometry.Region{}, errors.New("it has no shape of its own")
	}
	made, err := m.pattern(patternKey{form, p.Turn, p.Notch, p.NotchWidth, p.NotchReach, job.NoRelief, ""})
	if err != nil {
		return geometry.Region{}, err
	}
	return made.bare, nil
}
