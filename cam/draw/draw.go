// Package draw makes the pictures: what one program leaves of its foam, the
// whole job at a glance, a section, and the cut step by step.
//
// The picture of a program is drawn from what the dry run read and cut, never
// from the plan; the plan is only held against it. Pages are PNG, about 2400
// pixels on their longer side, laid out to be read on A4 at arm's length, in
// grey too: depth is a ramp of lightness, and whatever has a colour has a
// shape or a line style of its own. The colours are those of Okabe and Ito
// (2008), which the colour-blind can tell apart.
//
// Inside the package x and y are pixels from the page's upper-left corner, Y
// down; a view turns the millimetres of the foam, Y up, into them.
package draw
