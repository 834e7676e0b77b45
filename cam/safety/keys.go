package safety

import (
	"traywright/profiles"
	"traywright/profiles/strict"
)

// Keys are the keys of a file of shop rules.
func Keys() *strict.Group { return &rulesKeys }

var rulesKeys = strict.Group{Name: "shop-rules", At: "the file", Bare: true, Rows: []strict.Row{
	{Key: "owner", Form: strict.AnyText, Means: "whose rules these are"},
	{Key: "permits", Form: strict.ListOf(strict.Keyed(&permitKeys), 0), Means: "the word that the safety table leaves to the owner; it opens nothing that the table refuses"},
	{Key: "forbids", Form: strict.ListOf(strict.Keyed(&forbidKeys), 0), Means: "what is not cut here"},
	{Key: "limits", Form: strict.Either(strict.Keyed(&limitKeys), strict.ListOf(strict.Keyed(&limitKeys), 0)), Means: "recipes are lowered to power and feed; what is beyond depth and minutes is refused"},
	{Key: "requires", Form: strict.ListOf(strict.Either(strict.AnyText, strict.Keyed(&requireKeys)), 0), Means: "printed as boxes to tick on the cut sheet and in each program"},
	{Key: "vouches", Form: strict.ListOf(strict.Keyed(&vouchKeys), 0), Means: "what a foam is, although its profile speaks of something else; what another file forbids by kind stays forbidden"},
}}

// Whom a rule is for.
var (
	forFoam    = strict.Row{Key: "foam", Form: strict.AnID, Default: "any", Means: "only for this foam"}
	forKind    = strict.Row{Key: "kind", Form: strict.AnID, Default: "any", Means: "only for foams of this kind"}
	forProcess = strict.Row{Key: "process", Form: strict.OneOf(processNames()...), Default: "any", Means: "only for this way of cutting"}
	forMachine = strict.Row{Key: "machine", Form: strict.AnID, Default: "any", Means: "only for this machine"}
)

func processNames() []string {
	var names []string
	for _, p := range profiles.Processes() {
		names = append(names, string(p))
	}
	return names
}

// needed is the row of a key that has to be there.
func needed(r strict.Row) strict.Row { r.Default = strict.Needed; return r }

var permitKeys = strict.Group{Name: "permit", At: "an entry of `permits:`", Bare: true, Rows: []strict.Row{
	needed(forFoam), needed(forProcess), forMachine,
	{Key: "when", Form: strict.AnyText, Means: "the condition, in words; without one it opens nothing"},
}}

var forbidKeys = strict.Group{Name: "forbid", At: "an entry of `forbids:`, by one key or more", Bare: true, Rows: []strict.Row{forFoam, forKind, forProcess, forMachine}}

var requireKeys = strict.Group{Name: "require", At: "an entry of `requires:` that is not for everyone", Bare: true, Rows: []strict.Row{
	{Key: "what", Form: strict.AnyText, Default: strict.Needed, Means: "what has to be so"},
	forFoam, forKind, forProcess, forMachine,
}}

var vouchKeys = strict.Group{Name: "vouch", At: "an entry of `vouches:`", Bare: true, Rows: []strict.Row{
	needed(forFoam),
	{Key: "is", Form: strict.AnID, Default: strict.Needed, Means: "the kind that it is"},
	{Key: "although", Form: strict.AnID, Default: strict.Needed, Means: "the kind that its profile speaks of"},
	{Key: "because", Form: strict.AnyText, Default: strict.Needed, Means: "how the owner knows"},
}}

// limit is a number above 0 with one of its units behind it.
const limit = `^\s*\+?(?=[\d.]*[1-9])(\d+\.?\d*|\.\d+)\s*`

var limitKeys = strict.Group{Name: "limits", At: "`limits:`, or an entry of it", Bare: true, Rows: []strict.Row{
	forFoam, forProcess, forMachine,
	{Key: "power", Form: strict.Pattern("number above 0, 100 at most, with %", limit+`%\s*$`).In("%"), Default: "none", Means: "of the machine's full power, such as 60 %"},
	{Key: "feed", Form: strict.Pattern("number above 0, 100000 mm/min at most, with mm/min, mm/s or in/min", limit+`(mm/min|mm/s|in/min)\s*$`), Default: "none", Means: "such as 2400 mm/min"},
	{Key: "depth", Form: strict.WithUnit(), Default: "none", Means: "of a cut, such as 30 mm"},
	{Key: "minutes", Form: strict.Pattern("number above 0, or with min or h", limit+`(min|h)?\s*$`).OrNumber(0, 100_000).In("min"), Default: "none", Means: "of a program; for every program, so in an entry without foam, machine and process"},
}}
