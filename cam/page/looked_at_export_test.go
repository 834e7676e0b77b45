package page

// What the tests that stand outside of the room compare pages with.
var (
	SameAsLookedAt = sameAsLookedAt
	PagesOf        = pagesOf
	WordsOf        = wordsOf
	ButNotRaced    = butNotRaced
)
