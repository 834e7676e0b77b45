package safety

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/profiles"
)

// liar is a foam whose name is one thing and whose kind another.
func liar(name, kind string) profiles.Foam { return profiles.Foam{ID: "mat", Name: name, Kind: kind} }

func vouches(v Vouch) []Rules {
	v.Line = 5
	return []Rules{{File: "v.yaml", Owner: "o", Vouches: []Vouch{v}}}
}

// A foam that speaks of what the table is stricter about is not cut until somebody
// vouches for its kind, naming both; and then it is judged by its kind.
func TestAContradictionNeedsAVouch(t *testing.T) {
	laser := Use{Foam: liar("vinyl mat", "pe"), Machine: bench(t, profiles.Laser), DepthMM: 10, Where: "tray x"}
	right := Vouch{Foam: "mat", Is: "pe", Although: "pvc", Because: "the seller's data sheet"}
	found := Check([]Use{laser}, catalog(t), nil)
	require.Len(t, found, 1)
	assert.Equal(t, "kind-contradicted", found[0].Rule)
	assert.Contains(t, found[0].Message, `its profile speaks of "vinyl", which is pvc, and says kind: pe; pvc is refused under a laser: absolutely: hydrogen chloride`)
	assert.Contains(t, found[0].Hint, `vouches: [{foam: mat, is: pe, although: pvc, because: "..."}]`)
	assert.True(t, Barred(laser, catalog(t), nil))
	assert.True(t, Check([]Use{laser}, catalog(t), permits(permit(laser))).Failed(), "a permit is no vouch")

	for name, wrong := range map[string]Vouch{
		"another foam":     {Foam: "mat-2", Is: "pe", Although: "pvc", Because: right.Because},
		"another kind":     {Foam: "mat", Is: "eva", Although: "pvc", Because: right.Because},
		"another word":     {Foam: "mat", Is: "pe", Although: "cr", Because: right.Because},
		"the other way":    {Foam: "mat", Is: "pvc", Although: "pe", Because: right.Because},
		"dots":             {Foam: "mat", Is: "pe", Although: "pvc", Because: "..."},
		"something unsaid": {Foam: "mat", Is: "pe", Although: "pvc", Because: "\u200b \u3164"},
	} {
		assert.Equal(t, []string{"kind-contradicted"}, errorRules(laser, Check([]Use{laser}, catalog(t), vouches(wrong))), name)
	}

	found = Check([]Use{laser}, catalog(t), vouches(right))
	assert.Equal(t, []string{"owners-word-needed"}, errorRules(laser, found), "a vouch is no permit")
	found = Check([]Use{laser}, catalog(t), append(vouches(right), permits(permit(laser))...))
	assert.Empty(t, errorRules(laser, found))
	assert.Contains(t, found[len(found)-2].Message, "it is taken for pe by v.yaml:5 of o, because: the seller's data sheet")
	assert.Contains(t, Cautions([]Use{laser}, vouches(right))[0], "mat is taken for pe although it speaks of pvc (v.yaml:5 of o): the seller's data sheet")
}

// Every kind that heat makes poison or fire of, against each that it does not.
func TestEveryContradictionUnderHeat(t *testing.T) {
	c := catalog(t)
	names := map[string]string{
		"pu": "polyurethane", "pvc": "vinyl", "cr": "neoprene", "melamine": "Melamin", "nbr": "nitrile", "epdm": "EPDM", "silicone": "Silikon", "phenolic": "phenolic",
		"pmi": "methacrylimide", "fr": "flame retardant", "antistatic": "antistatic", "conductive": "conductive", "filled": "chalk-filled", "adhesive": "self-adhesive",
		"eps": "polystyrene", "xps": "XPS", "epp": "polypropylene",
	}
	tried := 0
	for spoken, name := range names {
		for kind := range decided {
			for _, p := range profiles.Processes() {
				u := Use{Foam: liar(name, kind), Machine: bench(t, p), Where: "tray x"}
				rank := map[byte]int{'a': 0, 'c': 1, 'O': 2, 'R': 3}
				is, says := decided[spoken][p], decided[kind][p]
				rules := errorRules(u, Check([]Use{u}, c, permits(permit(u))))
				switch {
				case says == 'R':
					assert.Equal(t, []string{"foam-refused"}, rules)
				case rank[is] > rank[says] && rank[is] >= 2:
					assert.Equal(t, []string{"kind-contradicted"}, rules, "%s that says %s under %s", name, kind, p)
					tried++
				default:
					assert.Empty(t, rules, "%s that says %s under %s", name, kind, p)
				}
				assert.Equal(t, says != 'R' && rank[is] > rank[says], has(Check([]Use{u}, c, nil), "kind-contradicted"), "%s that says %s under %s", name, kind, p)
			}
		}
	}
	assert.Greater(t, tried, 80)
}

func TestVouchesThatOpenNothing(t *testing.T) {
	for text, rule := range map[string]Vouch{
		`there is no foam "mat"`:                                {Foam: "mat", Is: "pe", Although: "pvc", Because: "a data sheet"},
		`there is no kind "vinyl"`:                              {Foam: "pe-30", Is: "pe", Although: "vinyl", Because: "a data sheet"},
		`opens nothing: its profile says kind: pe, and not eva`: {Foam: "pe-30", Is: "eva", Although: "pvc", Because: "a data sheet"},
		`opens nothing, because "." says not how anybody knows`: {Foam: "pe-30", Is: "pe", Although: "pvc", Because: "."},
		`is not needed: its profile does not speak of pvc`:      {Foam: "pe-30", Is: "pe", Although: "pvc", Because: "a data sheet"},
	} {
		found := Check(nil, catalog(t), vouches(rule))
		require.Len(t, found, 1, text)
		assert.Contains(t, found[0].Message, text)
		assert.NotEqual(t, finding.Error, found[0].Severity)
		assert.Equal(t, "v.yaml:5", found[0].Where)
	}
}

func TestReadVouches(t *testing.T) {
	r, err := ReadRules("r.yaml", []byte("owner: o\nvouches:\n  - {foam: mat, is: pe, although: pvc, because: \"its data sheet of 3 March\"}\n"))
	require.NoError(t, err)
	assert.Equal(t, []Vouch{{Foam: "mat", Is: "pe", Although: "pvc", Because: "its data sheet of 3 March", Line: 3, Column: 5}}, r.Vouches)
	for _, text := range []string{"{foam: mat, is: pe, although: pvc}", "{foam: mat, is: pe, because: x y}", "{foam: mat, although: pvc, because: x y}", "{is: pe, although: pvc, because: x y}", "{foam: mat, is: pe, although: pvc, because: ''}", "{foam: mat, is: pe, although: pvc, because: x, when: y}"} {
		_, err := ReadRules("r.yaml", []byte("vouches: ["+text+"]\n"))
		assert.Error(t, err, text)
	}
}

// Who forbids a foam by its name is told that a copy of it would get by.
func TestALikeOfWhatIsForbidden(t *testing.T) {
	foam := ofKind(t, "pe")
	copied := foam
	copied.ID = "my-copy"
	u := Use{Foam: copied, Machine: bench(t, profiles.Router), Where: "tray x"}
	found := Check([]Use{u}, catalog(t), forbids(Forbid{Foam: foam.ID, Line: 3}))
	require.Len(t, found, 1)
	assert.Equal(t, finding.Warning, found[0].Severity)
	assert.Contains(t, found[0].Message, "my-copy under a router (machine bench-router) is of the kind pe, as is "+foam.ID+", which f.yaml:3 of o forbids by its name alone")
	assert.Contains(t, found[0].Hint, "forbids: [{kind: pe}]")
	assert.True(t, Check([]Use{u}, catalog(t), forbids(Forbid{Kind: "pe"})).Failed(), "the hint works")
	assert.Empty(t, Check([]Use{u}, catalog(t), forbids(Forbid{Foam: foam.ID, Process: profiles.Laser})), "for another process")
	assert.Empty(t, Check([]Use{u}, catalog(t), forbids(Forbid{Foam: "pvc-60"})), "of another kind")

	u = Use{Foam: foam, Machine: bench(t, profiles.Router), Where: "tray x"}
	u.Machine.ID = "my-router"
	found = Check([]Use{u}, catalog(t), forbids(Forbid{Machine: "bench-router", Line: 3}))
	require.Len(t, found, 1)
	assert.Equal(t, finding.Warning, found[0].Severity)
	assert.Contains(t, found[0].Message, "is on a router, as is bench-router, which f.yaml:3 of o forbids by its name alone")
	assert.True(t, Check([]Use{u}, catalog(t), forbids(Forbid{Process: profiles.Router})).Failed(), "the hint works")
	assert.Empty(t, Check([]Use{u}, catalog(t), forbids(Forbid{Machine: "bench-laser"})), "of another sort")
	assert.Empty(t, Check([]Use{u}, catalog(t), forbids(Forbid{Machine: "bench-router", Foam: "pu-30"})), "for another foam")
}

// A rule by kind shuts out what speaks of that kind, whatever its profile states,
// until somebody vouches for it.
func TestAForbidByKindIsNotTalkedRound(t *testing.T) {
	u := Use{Foam: liar("vinyl mat", "pe"), Machine: bench(t, profiles.Knife), Where: "tray x"}
	rules := forbids(Forbid{Kind: "pvc", Line: 3})
	found := Check([]Use{u}, catalog(t), rules)
	require.True(t, found.Failed())
	assert.Contains(t, found[0].Message, "mat under a knife (machine bench-knife) is forbidden by f.yaml:3 of o, for its profile speaks of pvc")
	vouch := Vouch{Foam: "mat", Is: "pe", Although: "pvc", Because: "the seller's data sheet"}
	assert.True(t, Check([]Use{u}, catalog(t), append(forbids(Forbid{Kind: "pvc"}), vouches(vouch)...)).Failed(), "whoever forbids listens to nobody else")
	same := forbids(Forbid{Kind: "pvc"})
	same[0].Vouches = []Vouch{vouch}
	assert.False(t, Check([]Use{u}, catalog(t), same).Failed(), "the same owner has vouched")
	assert.True(t, Check([]Use{u}, catalog(t), append(forbids(Forbid{Kind: "pe"}), rules...)).Failed())
	assert.True(t, has(Check([]Use{u}, catalog(t), forbids(Forbid{Foam: "pvc-60"})), "like-what-is-forbidden"), "a copy of it")
}
