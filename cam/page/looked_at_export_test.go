package page

// What the tests that stand outside of the room compare pages with.
var (
	SameAsLookedAt = sameAsLookedAt
	TextAsLookedAt = textAsLookedAt
	PagesOf        = pagesOf
	ButNotRaced    = butNotRaced
)
