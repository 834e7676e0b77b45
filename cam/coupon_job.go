package cam

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/kerf"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/process"
	"traywright/geometry/units"
	"traywright/profiles"
)

// CouponOfJob makes the fewest test pieces that tell every kerf that a job needs and nobody knows yet. The
// job's own profiles, shop rules and checks count, and each piece passes the gate of a coupon. There is no
// coupon where every kerf is known.
func CouponOfJob(ctx context.Context, r Request, spec kerf.CouponSpec, o Options) (CouponResult, error) {
	p, found := decide(r)
	result := CouponResult{Result: Result{Plan: p, Report: describe(r, p, found)}}
	if found.Failed() {
		return result, nil
	}
	specs, told := neededCoupons(p, spec)
	result.Report.Findings = told
	if told.Failed() || len(specs) == 0 {
		return result, nil
	}
	result, err := cutPieces(ctx, CouponRequest{ofJob: true, Spec: spec, Catalog: r.Catalog, Machine: p.Machine.ID, Rules: r.Rules}, specs, o)
	result.Report.Findings = append(told, result.Report.Findings...)
	return result, err
}

// couponNeed is a kerf that a job needs: of a foam with a tool, in foam of a thickness from low to high.
type couponNeed struct {
	foam      profiles.Foam
	tool      profiles.Tool
	recipe    profiles.Recipe
	low, high float64 // mm
	edges     float64 // of it what the tool's cutting edges go through, mm, beyond which its shank rubs; 0 where nobody says
	sheets    []units.Length
	known     bool
	unit      units.Unit // of the job
}

// clean is the thickest foam that the tool makes a coupon of without a warning, mm.
func (n couponNeed) clean() float64 {
	if n.edges > 0 {
		return min(n.high, n.edges)
	}
	return n.high
}

func (n couponNeed) String() string { return fmt.Sprintf("%s with %s", n.foam.ID, n.tool.ID) }

// needs are the kerfs of a plan: of what goes through whole layers, one for each thickness; of what stops
// in the foam, one for every cut up to the deepest.
func needs(p *plan.Plan) (list []couponNeed) {
	stops := !process.MeansOf(p.Machine).WholeLayers()
	for _, t := range p.Trays {
		for _, s := range t.Sheets {
			for _, c := range s.CutOn(p.Machine) {
				for i, r := range c.Recipes {
					one := couponNeed{foam: s.Layers[i].Foam, tool: c.Tool, recipe: r, low: s.Layers[i].Thickness.MM(), sheets: []units.Length{s.Layers[i].Thickness}, known: r.Measured() && len(r.MeasuredIn) > 0, unit: p.Job.Units}
					if one.high = math.Inf(1); stops {
						one.low = c.DepthMM
						if reach := c.Tool.Reach(); reach > 0 {
							one.high = reach + r.SkinMM.Value
						}
						if flute := c.Tool.FluteMM.Value; flute > 0 {
							one.edges = flute + r.SkinMM.Value
						}
					}
					list = addNeed(list, one, stops)
				}
			}
		}
	}
	return list
}

// addNeed joins needs that one coupon tells.
func addNeed(list []couponNeed, one couponNeed, stops bool) []couponNeed {
	for i, n := range list {
		if n.foam.ID != one.foam.ID || n.tool.ID != one.tool.ID || !stops && !profiles.Alike(n.low, one.low) {
			continue
		}
		if n.known == one.known {
			list[i].low = math.Max(n.low, one.low)
			list[i].sheets = append(n.sheets, one.sheets...)
			return list
		}
	}
	return append(list, one)
}

// neededCoupons are the pieces to cut, and what is to be told of them before.
func neededCoupons(p *plan.Plan, spec kerf.CouponSpec) (specs []kerf.CouponSpec, found finding.List) {
	stops := !process.MeansOf(p.Machine).WholeLayers()
	var open []couponNeed
	for _, n := range needs(p) {
		if n.known {
			found = append(found, finding.Finding{Severity: finding.Note, Rule: "kerf-known", Where: n.String(),
				Message: fmt.Sprintf("left out: its kerf, %s give or take %s%s, is known for %s", fineIn(n.recipe.KerfMM.Value, spec.Units), fineIn(n.recipe.KerfIntervalMM.Value, spec.Units), n.recipe.ByCoupons(), page.Length(n.low, spec.Units))})
			continue
		}
		open = append(open, n)
	}
	at := measuredAt(open, stops)
	for i, n := range open {
		found = append(found, n.tell(at[i], spec.Units, stops)...)
		one := spec
		one.Foam, one.Thickness, one.Tool = n.foam.ID, at[i], n.tool.ID
		specs = append(specs, one)
	}
	slices.SortStableFunc(specs, func(a, b kerf.CouponSpec) int {
		return cmp.Or(strings.Compare(a.Foam, b.Foam), cmp.Compare(a.Thickness, b.Thickness))
	})
	if n := len(specs); n > mostPieces {
		found = append(found, finding.Finding{Rule: "too-many-pieces", Where: kerf.CouponID, Message: fmt.Sprintf("the job needs %d kerfs that nobody knows, more than %d pieces to cut and measure at a time", n, mostPieces),
			Hint: "make coupons of single foams first: --foam instead of --job; what is saved is left out then"})
	}
	for i := range specs {
		if len(specs) > 1 {
			specs[i].Piece, specs[i].Of = i+1, len(specs)
		}
	}
	return specs, found
}

// fineIn is a length to a thousandth; never nothing for what is more.
func fineIn(mm float64, u units.Unit) string {
	if mm > 0 && mm < u.MM()/2000 {
		return fmt.Sprintf("less than 0.001 %s", u)
	}
	return fmt.Sprintf("%g %s", math.Round(mm/u.MM()*1000)/1000, u)
}

// tell says what the thickness of a piece leaves unknown.
func (n couponNeed) tell(at units.Length, u units.Unit, stops bool) finding.List {
	one := finding.Finding{Where: n.String()}
	switch thickest := slices.Max(n.sheets); {
	case at == 0:
		one.Rule, one.Message = "tool-too-short", fmt.Sprintf("no foam of it is sold that it reaches through, and %s deep are cut with it", page.Length(n.low, u))
		one.Hint = "give the job a longer tool: a coupon of thinner foam is cut with --foam and --thickness instead of --job"
	case at.MM() < n.low && !profiles.Alike(at.MM(), n.low):
		one.Severity, one.Rule = finding.Warning, "coupon-thinner"
		one.Message, one.Hint = fmt.Sprintf("cuts %s deep, and no coupon of it can be deeper than %s: its kerf there stays unknown", page.Length(n.low, u), at.Exact(u)), "use a longer tool for what is so deep"
	case stops && thickest.MM() <= n.high && thickest.MM() > n.clean() && at < thickest:
		one.Severity, one.Rule = finding.Note, "tool-short"
		one.Message = fmt.Sprintf("its edges are too short for foam of %s: its kerf is measured in %s, and counts for cuts up to so deep", thickest.Exact(u), at.Exact(u))
	case stops && thickest.MM() > n.high:
		one.Severity, one.Rule = finding.Note, "tool-short"
		one.Message = fmt.Sprintf("too short for foam of %s: its kerf is measured in %s, and counts for cuts up to so deep", thickest.Exact(u), at.Exact(u))
	default:
		return nil
	}
	return finding.List{one}
}

// measuredAt is in how thick foam each kerf is measured, 0 where that cannot be: of each foam in as few
// thicknesses as may be. What goes through has its layer's. Of what stops, the need that reaches least takes the
// thickest that it can, and every other that this serves takes it too: the fewest points that meet all intervals.
func measuredAt(open []couponNeed, stops bool) []units.Length {
	at := make([]units.Length, len(open))
	order := make([]int, len(open))
	for i := range open {
		order[i], at[i] = i, open[i].sheets[0]
	}
	if !stops {
		return at
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(open[a].clean(), open[b].clean())
	})
	for k, i := range order {
		var chosen, own []units.Length
		for l, o := range order {
			if open[o].foam.ID != open[i].foam.ID {
				continue
			}
			own = append(own, open[o].sheets...)
			if l < k {
				chosen = append(chosen, at[o])
			}
		}
		at[i] = open[i].thickness(chosen, own)
	}
	return at
}

// mostPieces of a coupon: more is nobody's evening, and each has a letter of its own or three.
const mostPieces = 8

// inJobsUnit are the thicknesses that its foam is sold in and that the job's unit names exactly.
func (n couponNeed) inJobsUnit() (list []units.Length) {
	for _, l := range n.foam.Thicknesses {
		if strings.HasSuffix(l.Exact(n.unit), n.unit.String()) {
			list = append(list, l)
		}
	}
	return list
}

// thickness is in how thick foam a cutter's kerf is measured: as another piece, else the thickest of the job's own, else of
// those that are sold, first by the job's unit, that its edges go through, and only where none is so deep one that it reaches through; else the thickest that
// it reaches through; 0 for none.
func (n couponNeed) thickness(chosen, own []units.Length) units.Length {
	var most units.Length
	for _, limit := range [...]float64{n.clean(), n.high} {
		for _, list := range [][]units.Length{chosen, own, n.inJobsUnit(), n.foam.Thicknesses} {
			var best units.Length
			for _, l := range list {
				if l <= 0 || l.MM() > limit {
					continue
				}
				most = max(most, l)
				if l.MM() >= n.low || profiles.Alike(l.MM(), n.low) {
					best = max(best, l)
				}
			}
			if best > 0 {
				return best
			}
		}
	}
	return most
}
