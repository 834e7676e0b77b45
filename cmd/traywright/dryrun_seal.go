package main

import "traywright/cam/proof"

// sealText says whether a program is the one that was proved, and against what.
func sealText(s proof.Seal) string {
	text := map[proof.Kept]string{
		proof.NoSeal:  "no seal says what was proved of it",
		proof.Same:    "sealed: its moves are those that were proved",
		proof.Changed: "sealed, but its moves were changed since they were proved",
	}[s.Moves]
	if s.Words == proof.Changed {
		text += "; its comments were changed since they were written"
	}
	switch s.Plan {
	case proof.Same:
		text += "; the plan is still the one that it was proved against"
	case proof.Changed:
		text += "; the plan is another than the one that it was proved against"
	}
	return text
}
