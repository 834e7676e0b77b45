package process

import (
	"fmt"

	"traywright/cam/plan"
	"traywright/geometry"
)

// A cut along a line takes nothing off for the kerf: the tool's centre or the
// beam runs on the line itself, as a coupon wants it. What the line goes around
// is measured afterwards, so it must not fly; see router.along.

// along goes around the line with the beam, which comes in from inside it.
func (l *laser) along(cut plan.Cut) (finished, error) {
	path := geometry.NewRegion(cut.Along)
	return l.contours(Pocket, cut, newRoom(path, false), path.Contours(), path, startOf(cut.Along))
}

// along cuts a groove around the line, level by level as the outline is cut,
// climbing on what is inside. It has to end above the sheet's bottom: the skin
// holds the plug.
func (r *router) along(cut plan.Cut) (finished, error) {
	if cut.Through {
		return finished{}, noPath(cut.Name, fmt.Sprintf("cut through %.2f mm, the plug inside it would fly loose", r.sheet.ThicknessMM()),
			"leave a skin under it")
	}
	kerf := cut.WidestMM()
	e := r.newEmitter()
	passes := r.outlineRun(cut, cut.Along.Reverse(), startOf(cut.Along), kerf).cut(e)
	if err := keepsFrom(e.moves, cut, kerf/2, false); err != nil {
		return finished{}, err
	}
	return finished{r.op(Pocket, cut, e.done(), passes), geometry.NewRegion(cut.Along)}, nil
}

func startOf(c geometry.Contour) geometry.Point { return c.Vertices()[0].Point }
