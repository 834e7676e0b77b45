// Package page makes everything a person looks at: pictures of what one program
// leaves of its foam, of the whole job, of a section and of the cut step by step;
// and on paper, as PDF, the cut sheet for the bench and templates of the trays in
// true size to lay the pieces on before any foam is cut.
//
// The picture of a program is drawn from what the dry run read and cut, never
// from the plan; the plan is only held against it. Pictures are PNG, about 2400
// pixels on their longer side, laid out to be read on A4 at arm's length, in
// grey too: depth is a ramp of lightness, and whatever has a colour has a
// shape or a line style of its own. The colours are those of Okabe and Ito
// (2008), which the colour-blind can tell apart.
//
// In pictures x and y are pixels from the upper-left corner, Y down; a view turns
// the millimetres of the foam, Y up, into them. On paper they are mm from the
// upper-left corner, Y down, and sizes of letters are points (1/72 inch). The same
// input gives the same bytes.
package page
