package profiles

import (
	"strings"

	"traywright/profiles/strict"
)

// Keys are the keys of a file of profiles.
func Keys() *strict.Group { return &profilesKeys }

// sourced is a value alone, or with a source of its own.
func sourced(f strict.Form) strict.Form { return strict.Detailed(f, &sourcedKeys) }

// UnitOf is the unit that the end of a key names, in a profile or a report; "" for none.
func UnitOf(key string) string {
	for _, end := range []struct{ key, unit string }{
		{"_mm_per_min", "mm/min"}, {"_mm_per_s2", "mm/s2"}, {"_kg_m3", "kg/m3"}, {"mm_per_pass", "mm"}, {"_mm", "mm"},
		{"_nm", "nm"}, {"_n_per_m", "N/m"}, {"_n", "N"}, {"_a", "A"}, {"_w", "W"}, {"_s", "s"}, {"seconds", "s"}, {"_g", "g"}, {"_mm3", "mm3"}, {"rpm", "1/min"}, {"_percent", "%"}, {"_degrees", "degrees"},
	} {
		if strings.HasSuffix(key, end.key) {
			return end.unit
		}
	}
	return ""
}

// Rows that many groups have.
var (
	idRow     = strict.Row{Key: "id", Form: strict.AnID, Default: strict.Needed, Means: "what jobs and other rows call it"}
	nameRow   = strict.Row{Key: "name", Form: strict.AnyText, Default: strict.Needed, Means: "what people call it"}
	sourceRow = strict.Row{Key: "source", Form: strict.AnyText, Means: "where every number of the row comes from that names no source: a standard, a handbook, a measurement"}
	notesRow  = strict.Row{Key: "notes", Form: strict.AnyText, Means: "for people"}
)

var sourcedKeys = strict.Group{Name: "sourced", At: "in place of any number that may have a source of its own", Bare: true, Rows: []strict.Row{
	{Key: "value", Form: strict.AnyText.Called("number or word"), Default: strict.Needed, Means: "the number, within the limits of its key"},
	{Key: "source", Form: strict.AnyText, Default: strict.Needed, Means: "where it comes from"},
}}

var profilesKeys = strict.Group{Name: "profiles", At: "the file", Bare: true, Rows: []strict.Row{
	{Key: "foams", Form: strict.ListOf(strict.Keyed(&foamKeys), 0), Means: "foams as they are bought"},
	{Key: "machines", Form: strict.ListOf(strict.Keyed(&machineKeys), 0), Means: "machines with their tools"},
	{Key: "recipes", Form: strict.ListOf(strict.Keyed(&recipesKeys), 0), Means: "settings for foams on a machine with a tool"},
	{Key: "safety", Form: strict.ListOf(strict.Keyed(&safetyKeys), 0), Means: "kinds of foam, and what may be cut how; what ships can be made stricter only"},
	{Key: "spoken", Form: strict.ListOf(strict.Keyed(&spokenKeys), 0), Means: "words by which a kind of foam is known in a name or a note"},
	{Key: "measured", Form: strict.ListOf(strict.Keyed(&recipesKeys), 0), Means: "recipes that `kerf --save` laid over others"},
	{Key: "scales", Form: strict.ListOf(strict.Keyed(&scaleKeys), 0), Means: "machines' scales that `kerf --save` measured"},
}}

var stockSize = strict.WithUnit()

var foamKeys = strict.Group{Name: "foam", At: "an entry of `foams:`", Bare: true, Rows: []strict.Row{
	idRow, nameRow,
	{Key: "kind", Form: strict.AnID, Default: strict.Needed, Means: "its chemistry, a row of the safety table: pe, xpe, eva, pu, ... unknown"},
	sourceRow,
	{Key: "thicknesses", Form: strict.ListOf(stockSize, 0), Default: strict.Needed, Means: "that it is sold in, 0.5 to 500 mm"},
	{Key: "sizes", Form: strict.ListOf(strict.ATuple("[length, width]", stockSize), 0), Means: "of the sheets that it is sold in, 50 to 5000 mm"},
	{Key: "stock_source", Form: strict.AnyText, Default: "the source", Means: "where thicknesses and sizes come from"},
	{Key: "fits", Form: strict.Keyed(&fitsKeys), Default: strict.Needed, Means: "how much larger than its piece a pocket is"},
	notesRow,
	{Key: "cells", Form: sourced(strict.OneOf(OpenCells, "closed")), Default: "not known", Means: "in open ones marks do not hold"},
	{Key: "grain", Form: strict.AFlag, Default: "false", Means: "it has a way that it bends or tears along, or a pattern: no layer is turned on its sheet, and the first number of a sheet's `size` is the one along it"},
}}.With(rowsOf(foamNumbers)...)

var fitsKeys = func() strict.Group {
	g := strict.Group{Name: "fits", At: "`fits:` of a foam", Bare: true}
	for _, name := range fitNames {
		g.Rows = append(g.Rows, strict.Row{Key: name, Form: sourced(strict.ANumber(-20, 50).In("mm")), Default: strict.Needed, Means: "added to length and to width; they grow from tight to easy"})
	}
	return g
}()

// recipesKeys are what several foams have in common on one machine with one tool.
var recipesKeys = strict.Group{Name: "recipes", At: "an entry of `recipes:` or `measured:`", Bare: true, Rows: []strict.Row{
	{Key: "machine", Form: strict.AnID, Default: strict.Needed, Means: "on which"},
	{Key: "tool", Form: strict.AnID, Default: strict.Needed, Means: "with which"},
	{Key: "source", Form: strict.AnyText, Default: strict.Needed, Means: sourceRow.Means},
	{Key: "common", Form: strict.Keyed(&commonKeys), Means: "what all these foams have in common"},
	{Key: "foams", Form: strict.Keyed(&recipeFoamsKeys), Default: strict.Needed, Means: "each foam's own numbers, which go over those"},
}}

var (
	recipeForm      = strict.Keyed(&recipeKeys)
	recipeFoamsKeys = strict.Group{Name: "recipe-foams", At: "`foams:` of recipes: names of foams", Bare: true, Any: &recipeForm}
	commonKeys      = strict.Group{Name: "common", At: "`common:` of recipes", Bare: true, Rows: rowsOf(recipeNumbers)}.With(lapRows()...)
	recipeKeys      = strict.Group{Name: "recipe", At: "behind the name of a foam", Bare: true, Rows: rowsOf(recipeNumbers)}.With(lapRows()...).With(testedRow, measuredInRow, sourceRow)
	testedRow       = strict.Row{Key: "tested", Form: strict.ListOf(strict.Keyed(&testedKeys), 0), Means: "of a hot wire, every kerf that a coupon gave, as `kerf --save` writes them: whatever its feed and current, its kerf is taken from these and between them, never beyond"}
	measuredInRow   = strict.Row{Key: "measured_in", Form: strict.ListOf(strict.Keyed(&measuredInKeys), 0), Means: "in how thick foam the kerf was measured, as `kerf --save` writes it: a cutter's counts for cuts up to so deep, any other's for foam so thick and between two of them; `check` and `cut` warn of all else"}
)

// testedKeys are those of one kerf that was tested.
var testedKeys = func() strict.Group {
	g := strict.Group{Name: "tested", At: "an entry of `tested:` of a recipe", Bare: true}
	for _, n := range recipeNumbers {
		if new(TestedKerf).in(n.key) != nil {
			g.Rows = append(g.Rows, strict.Row{Key: n.key, Form: strict.ANumber(n.least, n.most).In(UnitOf(n.key)), Default: strict.Needed, Means: n.means})
		}
	}
	return g
}()

var safetyKeys = func() strict.Group {
	g := strict.Group{Name: "safety", At: "an entry of `safety:`", Bare: true, Rows: []strict.Row{
		{Key: "kind", Form: strict.AnID, Default: strict.Needed, Means: "of foam"},
		{Key: "chemistry", Form: strict.AnyText, Default: strict.Needed, Means: "what it is"},
		{Key: "heat", Form: strict.Keyed(&heatKeys), Default: strict.Needed, Means: "what it gives where it gets hot"},
	}}
	for _, p := range processNames() {
		g.Rows = append(g.Rows, strict.Row{Key: p, Form: strict.Keyed(&verdictKeys), Default: strict.Needed, Means: "whether it may be cut so"})
	}
	return g
}()

var heatKeys = strict.Group{Name: "heat", At: "`heat:` of a safety row", Bare: true, Rows: []strict.Row{
	{Key: "products", Form: strict.AnyText, Default: strict.Needed, Means: "what it gives off"},
	{Key: "limits", Form: strict.AnyText, Default: strict.Needed, Means: "of them at workplaces"},
	{Key: "source", Form: strict.AnyText, Default: strict.Needed, Means: "where that comes from"},
	{Key: "mark", Form: strict.OneOf(marks...), Default: strict.Needed, Means: "how sure the source is"},
}}

var verdictKeys = strict.Group{Name: "verdict", At: "a process of a safety row", Bare: true, Rows: []strict.Row{
	{Key: "answer", Form: strict.OneOf(string(Refused), string(OwnerWord), string(Caution), string(Allowed)), Default: strict.Needed, Means: "whether it may be cut so"},
	{Key: "reason", Form: strict.AnyText, Default: strict.Needed, Means: "why"},
	{Key: "source", Form: strict.AnyText, Default: "that of `heat` where it burns; else needed", Means: "where that comes from"},
	{Key: "mark", Form: strict.OneOf(marks...), Default: "that of `heat` where it burns; else needed", Means: "how sure the source is"},
}}

var spokenKeys = strict.Group{Name: "spoken", At: "an entry of `spoken:`", Bare: true, Rows: []strict.Row{
	{Key: "kind", Form: strict.AnID, Default: strict.Needed, Means: "of foam"},
	{Key: "words", Form: strict.ListOf(strict.AnyText, 0), Means: "that mean it where they stand by themselves"},
	{Key: "ends", Form: strict.ListOf(strict.AnyText, 0), Means: "that mean it at the beginning or the end of a word"},
	{Key: "parts", Form: strict.ListOf(strict.AnyText, 0), Means: "that mean it anywhere"},
}}

var scaleKeys = strict.Group{Name: "scale", At: "an entry of `scales:`", Bare: true, Rows: []strict.Row{
	{Key: "machine", Form: strict.AnID, Default: strict.Needed, Means: "whose"},
	sourceRow,
	{Key: "scale_x", Form: sourced(strict.ANumber(leastScale, mostScale)), Default: "1", Means: "what the machine makes of a programmed mm along X"},
	{Key: "scale_y", Form: sourced(strict.ANumber(leastScale, mostScale)), Default: "1", Means: "what the machine makes of a programmed mm along Y"},
	{Key: "rests_on", Form: strict.ListOf(strict.Keyed(&readingKeys), 0), Means: "the coupons behind it"},
}}

var readingKeys = strict.Group{Name: "reading", At: "an entry of `rests_on:`", Bare: true, Rows: []strict.Row{
	{Key: "coupon", Form: strict.AnyText, Default: strict.Needed, Means: "foam, thickness, tool and date"},
	{Key: "axis", Form: strict.OneOf("x", "y"), Default: strict.Needed, Means: "along which it was measured"},
	{Key: "scale", Form: strict.ANumber(leastScale, mostScale), Default: strict.Needed, Means: "that it showed"},
	{Key: "standard_error", Form: strict.ANumber(1e-7, 1), Default: strict.Needed, Means: "of that scale"},
	{Key: "deviation_mm", Form: strict.ANumber(1e-5, 100).In("mm"), Default: strict.Needed, Means: "standard deviation of its readings"},
	{Key: "degrees_of_freedom", Form: strict.ANumber(1, 1e6), Default: strict.Needed, Means: "of its readings"},
	{Key: "lengths", Form: strict.ANumber(1, 1e6), Default: strict.Needed, Means: "how many lengths were measured"},
}}
