package page

import (
	"fmt"

	"traywright/cam/proof"
)

// Corners says in how many corners of its tolerances a program is safe, and what
// fails first; "" where none were tried.
func Corners(c *proof.Corners) string {
	if c == nil {
		return ""
	}
	text := fmt.Sprintf("safe in %d of %d", c.Safe, c.Tried)
	if len(c.Weak) > 0 {
		by := "by " + c.Weak[0].Tolerance.String()
		if c.Weak[0].AsPlanned() {
			by = "as planned already"
		}
		text += fmt.Sprintf(", %s fails first, %s", c.Weak[0].Name, by)
	}
	return text
}
