package safety

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/profiles"
)

// A hot wire in a hand is judged as a hot wire, whatever its machine is called: what the table
// refuses, what owners forbid and permit, what to mind and what to do when it burns (by what the
// words mean, no source). The knife of the same row is none of it.
func TestAHotWireInAHandIsAHotWire(t *testing.T) {
	c := catalog(t)
	m := bench(t, profiles.Hand)
	bow, known := m.Tool("bow")
	require.True(t, known)
	knife, known := m.Tool("knife")
	require.True(t, known)
	wire := bench(t, profiles.HotWire)
	for _, kind := range c.Kinds() {
		foam := ofKind(t, kind)
		hand, machine := Use{Foam: foam, Machine: m.With(bow), DepthMM: 20}, Use{Foam: foam, Machine: wire, DepthMM: 20}
		_, want := Refusal(machine, c)
		_, refused := Refusal(hand, c)
		assert.Equal(t, want, refused, kind)
		for _, r := range [][]Rules{nil, permits(permit(hand)), forbids(Forbid{Process: profiles.HotWire}), forbids(Forbid{Machine: "by-hand"})} {
			assert.Equal(t, Check([]Use{machine}, c, r).Failed() || r != nil && len(r[0].Forbids) > 0, Check([]Use{hand}, c, r).Failed(), "%s %+v", kind, r)
		}
		assert.False(t, Check([]Use{{Foam: foam, Machine: m.With(knife), DepthMM: 20}}, c, forbids(Forbid{Process: profiles.HotWire})).Failed(), kind)
		all := strings.Join(Cautions([]Use{hand}, nil), " ")
		for _, phrase := range []string{"ducted outdoors", "25 V AC or 60 V DC", "burns skin", "Never leave a hot wire on"} {
			assert.Contains(t, all, phrase)
		}
		assert.NotContains(t, all, "unattended", "there is no machine to stay with")
	}
	assert.Equal(t, IfItBurns(profiles.HotWire), IfItBurns(m.With(bow).Process))
	assert.Empty(t, IfItBurns(m.With(knife).Process))
	assert.NotContains(t, strings.Join(Cautions([]Use{{Foam: ofKind(t, "pe"), Machine: wire}}, nil), " "), "Never leave a hot wire on")
}

// Where the table refuses a foam under the wire of a hand's machine, the hint is to cut it with that
// machine's own knife, which it allows; a machine that is a hot wire has none. And no foam is refused
// to a hand or a router, which is where whoever has a machine that is not built is sent (by the table).
func TestARefusedWireInAHandLeadsToTheKnife(t *testing.T) {
	c := catalog(t)
	m := bench(t, profiles.Hand)
	bow, known := m.Tool("bow")
	require.True(t, known)
	for _, kind := range c.Kinds() {
		for _, p := range []profiles.Process{profiles.Hand, profiles.Router} {
			assert.NotEqual(t, profiles.Refused, c.Safety(kind, p).Answer, "%s %s", kind, p)
		}
		f, refused := Refusal(Use{Foam: ofKind(t, kind), Machine: m.With(bow), DepthMM: 20}, c)
		if refused {
			assert.Equal(t, "no permit opens this; take out `tool: bow`: by-hand cuts it with the knife", f.Hint, kind)
			f, _ = Refusal(Use{Foam: ofKind(t, kind), Machine: bench(t, profiles.HotWire), DepthMM: 20}, c)
			assert.Contains(t, f.Hint, "choose another foam", kind)
		}
	}
}

// To whoever owns the room a hand's blade is a knife, and everything that a hand moves is by hand;
// a machine's knife is no hand, and no blade is a hot wire (by what the words mean, no source).
func TestAHandsBladeIsAKnifeToTheOwner(t *testing.T) {
	c := catalog(t)
	m := bench(t, profiles.Hand)
	knife, _ := m.Tool("knife")
	bow, _ := m.Tool("bow")
	foam := ofKind(t, "pe")
	for _, x := range []struct {
		machine profiles.Machine
		by      string
	}{{m.With(knife), "knife hand"}, {m.With(bow), "hot-wire hand"}, {bench(t, profiles.Knife), "knife"}, {bench(t, profiles.HotWire), "hot-wire"}} {
		for _, p := range profiles.Processes() {
			want := strings.Contains(" "+x.by+" ", " "+string(p)+" ")
			assert.Equal(t, want, Check([]Use{{Foam: foam, Machine: x.machine, DepthMM: 20}}, c, forbids(Forbid{Process: p})).Failed(), "%s: %s", x.by, p)
			limits := []Rules{{File: "r", Limits: []Limits{{Process: p, DepthMM: 10}}}}
			assert.Equal(t, want, Check([]Use{{Foam: foam, Machine: x.machine, DepthMM: 20}}, c, limits).Failed(), "%s: depth by %s", x.by, p)
		}
	}
	found := Check([]Use{{Foam: foam, Machine: m.With(knife), DepthMM: 20}}, c, forbids(Forbid{Machine: "bench-knife"}))
	require.Len(t, found, 1)
	assert.Contains(t, found[0].Message, "as is bench-knife")
}
