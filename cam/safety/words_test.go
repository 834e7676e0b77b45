package safety

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"traywright/profiles"
)

// What an owner would write, in several languages, and what says nothing (the
// project's own rule).
func TestAConditionIsWords(t *testing.T) {
	for _, text := range []string{
		"extraction running", "lid closed, extinguisher in reach", "only on Mondays", "Absaugung läuft", "la hotte tourne", "вытяжка включена",
		"抽气机开着", "排気をつけて", "เปิดพัดลม", "환기 중에만 사용", "2 people in the room", "the seller's data sheet says so", "no smoke is seen and the hood runs", "nobody beside the beam without eyewear", "it passed the flame test", "yes, with extraction running", "always with the lid closed", "ja, Absaugung läuft", "lid\u00a0closed",
	} {
		assert.True(t, saysSomething(text), text)
	}
	for _, text := range []string{
		"", ".", "-", "--", "...", "—", "…", "x", "ok", "yes", "always", "12 34", "* * *", "!!! ???", "aa bb", "xx  yy", "xxxx", "yes yes", "Yes yes",
		"\u200b", "\u200b\u200b \u200b\u200b", "\u2060", "\ufeff", "\u3164\u3164 \u1160\u1160", "\uffa0\u3164 \u115f\u1160", "\u2800\u2800 \u2800", "\u00ad \u00ad",
		"al\u200bways", "a b", "a.b.c.d", "\U000e0061\U000e0062 \U000e0063\U000e0064", "\ufe0f\ufe0f", "好", "好好好好", "yes indeed", "always. sure", "Yes, always!", "of course", "go ahead", "sure ok fine", "ja immer", "bien sûr", "да конечно", "a\u200blways sure", "any time", "OK extraction", "🔥🔥 🧯🧯", "no extraction", "not needed", "anything goes", "do what you like", "I guess so", "do not know", "it is cheap", "no idea", "I don't know", "whatever you want", "none required", "keine Absaugung", "\u0301\u0301", "\u034f\u034f \u180e\u180e",
	} {
		assert.False(t, saysSomething(text), "%q", text)
	}
}

// Where the table asks for the owner's word, only words open; where it does not,
// a permit needs none and asks for none.
func TestAPermitWithoutWordsOpensNothing(t *testing.T) {
	for _, when := range []string{".", "-", "\u200b", "\u3164", "always", "ok"} {
		u := Use{Foam: ofKind(t, "pe"), Machine: bench(t, profiles.Laser), Where: "tray x"}
		p := permit(u)
		p.When = when
		found := Check([]Use{u}, catalog(t), permits(p))
		assert.Equal(t, []string{"owners-word-needed"}, errorRules(u, found), "%q", when)
		assert.True(t, has(found, "permit-without-condition"), "%q", when)
		assert.False(t, has(found, "permitted"), "%q", when)
		assert.NotContains(t, Cautions([]Use{u}, permits(p))[0], "only when")

		u.Machine = bench(t, profiles.HotWire)
		p = permit(u)
		p.When = when
		found = Check([]Use{u}, catalog(t), permits(p))
		assert.Empty(t, errorRules(u, found))
		assert.False(t, has(found, "permit-without-condition"))
		assert.True(t, has(found, "permit-not-needed"))
	}
}
