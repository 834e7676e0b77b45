package cam

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/cam/page"
	"traywright/cam/plan"
	"traywright/cam/proof"
	"traywright/cam/safety"
	"traywright/profiles"
)

// The safety table rules over every program, ours or not. A program that is already
// written is judged
//
//   - for the foam that its header names, that the user names and that the job's
//     sheet is of; they have to be the same, and where there is none it is a foam
//     that nobody knows;
//   - under the machine that it is tried on and under the one that its header names;
//     where there is none, as a beam's or a router's, by what it does;
//   - as a beam's in any case when it cuts and never goes down or has the S words of a
//     power, unless it is tried on a wire and stays on in its rapids, as a wire does; as
//     a router's, when it turns something and goes down with it;
//   - for the heat of its beam or its wire, and for how long the beam is lit.

// judge asks the safety table and the shop rules about the program. Sheet is what a
// job has it for; nil without one.
func (d *Tried) judge(c *profiles.Catalog, p *plan.Plan, sheet *plan.Sheet) finding.List {
	foams, found := d.foams(c, sheet)
	machines, more := d.machines(c, p)
	found = append(append(found, more...), d.unknownPower(machines)...)
	uses := d.uses(known(foams, c), machines, p, sheet)
	if (p == nil || len(uses) > 0) && !d.dark() {
		found = append(found, safety.Check(uses, c, d.trial.Rules)...)
	}
	return append(append(found, d.judgeBeam(c, foams)...), d.judgeWire(c, foams)...)
}

// dark reports whether a program for a beam never lights it, so that no foam is heated.
func (d *Tried) dark() bool {
	return d.setup.Machine.Process.Traits().Beam && d.Unfollowed == 0 && d.OnSeconds == 0 && d.Alike.MostS == 0
}

// claim is somebody's word for what the program is cut from.
type claim struct {
	who   string
	foams []profiles.Foam
}

// foams are all that the program may be cut from, and an error where words differ.
func (d *Tried) foams(c *profiles.Catalog, sheet *plan.Sheet) ([]profiles.Foam, finding.List) {
	var found finding.List
	said, unknown := d.headerFoams(c)
	if unknown != "" {
		found = append(found, finding.Finding{
			Severity: finding.Warning, Rule: "unknown-foam", Where: d.trial.Name,
			Message: fmt.Sprintf("was made for the foam %q, which no profile names", unknown), Hint: "give the folder that names it with --profiles",
		})
	}
	claims := []claim{{"its header", said}, {"--foam", d.trial.Foams}}
	if sheet != nil {
		job := claim{who: "the job"}
		for _, l := range sheet.Layers {
			job.foams = append(job.foams, l.Foam)
		}
		claims = append(claims, job)
		found = append(found, d.otherThickness(sheet)...)
	}
	var all []profiles.Foam
	var first claim
	for _, next := range claims {
		switch {
		case len(next.foams) == 0:
			continue
		case first.who == "":
			first = next
		case foamNames(next.foams) != foamNames(first.foams):
			found = append(found, finding.Finding{
				Rule: "other-foam", Where: d.trial.Name,
				Message: fmt.Sprintf("%s says that it is for %s, and %s says %s", first.who, foamNames(first.foams), next.who, foamNames(next.foams)),
				Hint:    "cut it in the foam that it was made for, or make a program for this one",
			})
		}
		all = append(all, next.foams...)
	}
	slices.SortStableFunc(all, func(a, b profiles.Foam) int { return strings.Compare(a.ID, b.ID) })
	return slices.CompactFunc(all, func(a, b profiles.Foam) bool { return a.ID == b.ID }), found
}

// otherThickness is an error where the header says another thickness than the job's
// sheet has: somebody lays foam of the one under a program for the other.
func (d *Tried) otherThickness(sheet *plan.Sheet) finding.List {
	const rounding = 0.006 // of a header's thickness
	if d.saidMM <= 0 || math.Abs(d.saidMM-sheet.ThicknessMM()) <= rounding {
		return nil
	}
	hint := "say with --measured how thick the sheet is, or make the program again with `traywright cut`"
	if slices.ContainsFunc(sheet.Layers, plan.Layer.Measured) {
		hint = "make the program again with `traywright cut`, for the sheet as it was measured"
	}
	return finding.List{{
		Rule: "other-thickness", Where: d.trial.Name,
		Message: fmt.Sprintf("its header says that it is for foam of %s, and the job's sheet is %s", page.Length(d.saidMM, d.trial.Unit), page.Length(sheet.ThicknessMM(), d.trial.Unit)),
		Hint:    hint,
	}}
}

// headerFoams are the foams that the program's header names, and the first that no
// profile does.
func (d *Tried) headerFoams(c *profiles.Catalog) (foams []profiles.Foam, unknown string) {
	named := d.header["foam"]
	if named == "" {
		return nil, ""
	}
	for id := range strings.SplitSeq(strings.ReplaceAll(named, "\n", "+"), "+") {
		id = strings.TrimSpace(id)
		foam, ok := c.Foam(id)
		if !ok {
			foam = profiles.Foam{ID: id, Kind: profiles.UnknownKind}
			if unknown == "" {
				unknown = id
			}
		}
		foams = append(foams, foam)
	}
	return foams, unknown
}

// known puts a foam without a name in the place of those that no profile names.
func known(foams []profiles.Foam, c *profiles.Catalog) []profiles.Foam {
	list := slices.Clone(foams)
	for i, f := range list {
		if _, ok := c.Foam(f.ID); !ok {
			list[i] = profiles.Foam{Kind: profiles.UnknownKind}
		}
	}
	return list
}

// foamNames are the names of foams, each once, in order.
func foamNames(foams []profiles.Foam) string {
	var ids []string
	for _, f := range foams {
		ids = append(ids, f.ID)
	}
	slices.Sort(ids)
	return strings.Join(slices.Compact(ids), " + ")
}

// machines are all that the program may be run on, by name and by what it does.
func (d *Tried) machines(c *profiles.Catalog, p *plan.Plan) ([]profiles.Machine, finding.List) {
	var list []profiles.Machine
	var found finding.List
	if d.setup.Machine.Process != "" {
		list = append(list, d.setup.Machine)
	}
	named, _, _ := madeFor(d.header)
	switch m, ok := c.Machine(named); {
	case named == "" || named == d.setup.Machine.ID:
	case ok:
		list = append(list, m)
		found = append(found, finding.Finding{
			Rule: "other-machine", Where: d.trial.Name, Message: fmt.Sprintf("was made for %s, and is tried on %s", named, d.setup.Machine.ID),
			Hint: "leave --machine out, or give --machine " + named,
		})
	default:
		unknown := finding.Finding{
			Severity: finding.Warning, Rule: "unknown-machine", Where: d.trial.Name,
			Message: fmt.Sprintf("was made for the machine %q, which no profile names", named), Hint: "give the folder that names it with --profiles",
		}
		if d.Alike.NeverDown || d.Alike.Powers || d.setup.Machine.Process.Traits().Beam {
			unknown.Severity = finding.Error // its heat was meant for another beam
		}
		found = append(found, unknown)
	}
	more, told := d.alike(list)
	return append(list, more...), append(found, told...)
}

// alike is the machine that the program drives by what it does, where that is none of
// those that are named.
func (d *Tried) alike(named []profiles.Machine) ([]profiles.Machine, finding.List) {
	alike := d.Alike
	none := func(has func(profiles.Traits) bool) bool {
		return !slices.ContainsFunc(named, func(m profiles.Machine) bool { return has(m.Process.Traits()) })
	}
	tell := func(rule, message, hint string) finding.List {
		return finding.List{{Severity: finding.Warning, Rule: rule, Where: d.trial.Name, Message: message + ", whatever its machine says", Hint: hint}}
	}
	knife := len(named) > 0 && none(func(t profiles.Traits) bool { return !t.Blade })
	beam, router := []profiles.Machine{{Process: profiles.Laser}}, []profiles.Machine{{Process: profiles.Router}}
	wire := func(t profiles.Traits) bool { return t.Beam || t.Hot && alike.HotRapids }
	var found finding.List
	if knife && alike.MostS > 0 {
		found = finding.List{{Rule: "knife-switched-on", Where: d.trial.Name,
			Message: fmt.Sprintf("switches something on with S%g, and a knife has nothing that is switched on with an S word", alike.MostS),
			Hint:    "give the machine that it is for with --machine, or take M3, M4 and S out"}}
	}
	switch {
	case len(named) == 0 && (alike.NeverDown || alike.Powers || alike.Shallow):
		return beam, nil
	case len(named) == 0:
		return router, nil
	case alike.NeverDown && none(wire):
		return beam, append(found, tell("judged-as-beam", "cuts with something switched on and never goes down meanwhile: it is judged as a beam's program",
			"a router's or a knife's program goes down into the foam")...)
	case alike.Powers && alike.MostS > 0 && none(wire):
		return beam, append(found, tell("judged-as-beam", fmt.Sprintf("switches something on with S%g at most, which is a power and no speed: it is judged as a beam's program", alike.MostS),
			"a router's program turns its cutter faster")...)
	case alike.Turns && none(func(t profiles.Traits) bool { return t.Turning }):
		return router, append(found, tell("judged-as-cutter", "turns something and goes down with it: it is judged as a router's program",
			"a knife's program turns nothing")...)
	}
	return nil, found
}

// uses are every foam under every machine, but what a job has asked about already.
func (d *Tried) uses(foams []profiles.Foam, machines []profiles.Machine, p *plan.Plan, sheet *plan.Sheet) []safety.Use {
	if len(foams) == 0 {
		foams = []profiles.Foam{{Kind: profiles.UnknownKind}}
	}
	// Two who name different foams name no block.
	block := strings.Contains(d.header["foam"], "+") || len(d.trial.Foams) > 1 || sheet != nil && len(sheet.Layers) > 1 || strings.HasPrefix(d.header["layer"], "all")
	var list []safety.Use
	for _, m := range machines {
		for _, f := range foams {
			asked := sheet != nil && m.ID == p.Machine.ID && slices.ContainsFunc(sheet.Layers, func(l plan.Layer) bool { return l.Foam.ID == f.ID })
			if !asked {
				list = append(list, safety.Use{Foam: f, Machine: m, Block: block, DepthMM: d.depthMM(m), Where: d.trial.Name})
			}
		}
	}
	return list
}

// depthMM is how deep the program is known to cut into foam. Of two words for the
// foam's thickness the greater counts: what is hot goes through all of it, and a cutter
// as deep as it goes. Where there is but one, the dry run has seen to a cutter.
func (d *Tried) depthMM(m profiles.Machine) float64 {
	if m.Process.Traits().Hot {
		return max(d.setup.ThicknessMM, d.saidMM)
	}
	if d.saidMM <= d.setup.ThicknessMM {
		return 0
	}
	lowest := 0.0
	for _, motion := range d.Motions {
		lowest = min(lowest, motion.From.Z, motion.To.Z)
	}
	return min(-lowest, d.saidMM)
}

// unknownPower is the error of a program that is judged as a beam's where nobody knows
// how strong the beam is: its heat cannot be judged.
func (d *Tried) unknownPower(machines []profiles.Machine) finding.List {
	for _, m := range machines {
		if m.Process.Traits().Beam && m.PowerW.Value <= 0 {
			return finding.List{{Rule: "power-unknown", Where: d.trial.Name, Message: "is judged as a beam's program, and nobody has said how strong the beam is: its heat cannot be judged",
				Hint: "name the machine that it is for with --machine NAME"}}
		}
	}
	return nil
}

// judgeBeam holds the heat of the beam and the time that it is lit against what is
// safe, for foam of the least thickness that somebody says: it starts with the fewest
// passes. What gives no more than the plan itself does, whose recipe has been judged with the
// plan, is no hotter than what `cut` lets pass.
func (d *Tried) judgeBeam(c *profiles.Catalog, foams []profiles.Foam) finding.List {
	m := d.setup.Machine
	if !m.Process.Traits().Beam {
		return nil
	}
	found := safety.CheckLit(d.OnSeconds, d.trial.Name)
	heat := d.Heat(m.PowerW.Value)
	if d.wanted != nil && heat.Within(proof.Result{Motions: slices.Collect(d.wanted.Way)}.Heat(m.PowerW.Value)) {
		return found
	}
	beam := safety.Beam{PassJPerMM: heat.PassJPerMM, AllJPerMM: heat.AllJPerMM, Passes: heat.Passes}
	thin := d.setup.ThicknessMM
	if thin <= 0 || d.saidMM > 0 && d.saidMM < thin {
		thin = d.saidMM
	}
	for _, f := range foams {
		u := safety.Use{Foam: f, Machine: m, DepthMM: thin, Where: d.trial.Name}
		if !safety.Barred(u, c, d.trial.Rules) {
			found = append(found, safety.CheckBeam(beam, u, c)...)
		}
	}
	return found
}

// judgeWire holds the heat of the wire where it goes slowest against what is safe: at the current that the header tells a
// hand to set or, where it says none, at the one that `cut` would; at that of the shipped recipe where nobody has another.
func (d *Tried) judgeWire(c *profiles.Catalog, foams []profiles.Foam) (found finding.List) {
	m := d.setup.Machine
	slowest := math.Inf(1)
	for _, motion := range d.Motions {
		if length := motion.From.DistanceTo(motion.To.Point); !motion.Rapid && (length > 0 || motion.Arc) {
			slowest = min(slowest, motion.Feed)
		}
	}
	if !m.Process.Traits().Wire || math.IsInf(slowest, 1) {
		return nil
	}
	limits := newLimiter(Request{Job: &job.Job{}, Catalog: c, Rules: d.trial.Rules}, m)
	for _, f := range foams {
		u := safety.Use{Foam: f, Machine: m, DepthMM: d.setup.ThicknessMM, Where: d.trial.Name}
		if safety.Barred(u, c, d.trial.Rules) {
			continue
		}
		for _, t := range m.Tools {
			r, ok := limits.recipe(f.ID, t.ID)
			if !ok {
				var on profiles.Machine
				r, on, _ = c.Started(f, profiles.HotWire, 0)
				t, _ = on.Tool(r.Tool)
			}
			r.FeedMMPerMin.Value = slowest
			r.CurrentA.Value = cmp.Or(d.saidA(), r.CurrentA.Value)
			for _, f := range safety.CheckWireHeat(r, t, u, c) {
				f.Hint = strings.Replace(f.Hint, "set feed_mm_per_min to", "raise F to", 1)
				found = append(found, f)
			}
		}
	}
	return found
}

// saidA is the current that the header tells a hand to set, 0 where it says none.
func (d *Tried) saidA() float64 {
	amps, _, _ := strings.Cut(d.header["current"], " ")
	a, err := strconv.ParseFloat(amps, 64)
	if err != nil || !(a > 0 && a < 1000) {
		return 0
	}
	return a
}
