package page_test

// Sentences of the cut sheets of madeJobs. Numbers are worked out beside them where they are not the job's own.

// A flat cutter of 3.175 or 6 mm, lengths in inches, two cases, a block, and layers.
var routerSentences = []string{
	`- [ ] Read aloud, letter by letter: "OIL" goes onto cover (3 to make): cut through, 1.575 in high`, // 40 mm
	`The dry run reckons with pe-45 1/4 in as 0.23 to 0.27 in, pe-30 1 in as 0.98 to 1.02 in`,           // half a mm off, the foams' own
	`| pe-30 | 1 in | 6 | 10 1/2 × 8 1/2 in | crew, riders |`,                                           // crew once, riders five times; 202 x 152 mm, 6 and twice 23.5, up to whole halves
	`- 1 × pe-30, 1 in thick, 39.37 × 19.685 in (1000 × 500 mm)`,
	`Blanks are parted from these sheets with a knife, and 31 % is left over.`,
	"Before crew is cut, glue its layers into one block, top to bottom pe-30 1 in / pe-45 1/4 in, and let the glue cure.",
	`| [ ] | riders/riders-1-pe-30-25.4mm-t2.ngc | riders | 5 | pe-30, 1 in | fit T1 |`,
	`In all: 35 min 15 s of programs, `,                                                                    // 5 x 36 + 3 x 104 + 145 + 232 + 5 x (163 + 42 + 45) s, but to the tenth
	", 5 pockets roughed first with a larger tool, without which it would take about 22 min more; by hand", // five copies of riders
	"- Roughed: T2 has taken most of the foam out of 1 pocket, in an earlier program on the same foam",
	`-t1, -t2 and on at the end of a name are the first, the second and so on that a sheet takes`,
	`- riders ("riders"), 5 to make, 7.874 × 5.906 in, 96 g packed: pe-30 1 in / pe-45 6 mm`, // nobody sells 6 mm in inches
	"| riders | 1.236 in | 96 g |\n| riders | 1.236 in | 96 g |\n| together | 2.722 in of 2.756 in, 0.033 in left | 200 g |",
	`Cut to: 7.953 × 5.984 in: the tray is 7.874 × 5.906 in, and its foam is that much larger (ease), so that the case presses it in`, // 202 x 152 mm
	`goes 0.185 in deep; its edges are 2.047 in long; let it stand 2.166 in out of the collet`,                                        // 6 - 1.3 mm; 52; 55
	"Fit T1, 3.175 mm single-flute cutter, flat end. Let it stand 1.063 in out of the collet, not less, for the nut passes over clamps.",
	`- Board: nothing is cut below the foam`, `- Board: cuts go 0.031 in below the foam: into a board that may be spoilt`, // 0.8 mm
	`Keep it at least 0.102 in (X) and 0.102 in (Y), and at most 7.772 in (X) and 5.803 in (Y), from the lower-left end of the machine's travel.`, // 1 mm of ease and half of 3.175; 400 less 202.5875 and 300 less 152.5875
	`The tool's centre sweeps 8.078 × 6.109 in (X then Y).`, // 200 and 150, + 2 x 1 + 3.175 mm
	`- [ ] 1: First glue the layers into one block, in the order shown under Glue-up, and let the glue cure.`,
	`Clamps take the outer 0.511 in of the foam and no more`, // 15 mm less 2, rounded down
	`- [ ] 5: Set the zero point and mark where X0 Y0 is, from which the 2 programs of this sheet count`,
	`- [ ] 10: Leave the foam clamped: 1 more to run on it, before any other foam is laid.`,
	`- [ ] 3: Zero check: X0 Y0 stays. Set Z0 again with T2, then bring its tip over the mark of X0 Y0 and look that it is there`,
	`1 plug stands in its pocket on a skin of 0.051 in, 0.185 in down`,                                                                                                                  // 1.3 mm, 6 - 1.3
	"too high. The hole's edge underneath is on the tray's underside and is seen: cut it flush.\n", "too high. The hole's edge underneath goes onto the layer below and is not seen.\n", // of riders' base, and of its layer 1
	`Run cover/cover-1-pe-45-6.35mm.ngc: 1 mark, 4 label or emblem holes, the outline last.`, // O is two beside its bridges
	`Made 5 times, for riders layer 2: [ ] [ ] [ ] [ ] [ ]`,
	"- 1: marks, 0.059 in\n- 2: Doubloon, 0.472 in\n- 3: Die, 0.709 in\n",
	"- 1: marks, 0.059 in\n- 2: OIL, through\n- 3: outline, 0.199 in\n",
	`section at Y 2.657 in, seen from the front; # is this sheet; not to scale`, // 67.5 mm, through both pockets
	"As under Gluing up: layer 1 onto layer 2.",
	"- [ ] 2 x Logbook (A7) · logbook, in one pocket: as measured, 0.354 in high, out by the notch\n- [ ] 1 x (no name)\n",
}

var routerLook = []string{
	"In all: 35 min 15 s of programs, 209 ft of cuts, 14 setups, 11 tool changes of about 33 min, 5 pockets roughed first with a larger tool, without which it would take about 22 min more; by hand about 2 h 33 min, judged, no source: ",
	"lifting 10 plugs 9 min", "pe-45, 6 mm, T2</span>", "Without it the job would take about 22 min more", "until that one has run, do not start it.</p>",
	"A sheet that takes several programs gets them all, one after another, before the next piece of foam is laid. A tick",
	"Fit T2, 6 mm single-flute cutter, long, flat end. Let it stand 2.166 in out of the collet, not less, for the nut passes over clamps.", // 55 mm, rounded up
}

var routerPaper = []string{
	`5 × riders/riders-2-pe-45-6mm.ngc, T2, 36 s each`,
	"A sheet that takes several programs gets them all, one after another, before the next piece of foam is laid.",
	"look that it is the one, sits tight and stands 1.063 in out of the collet, not less.", // 27 mm
}

// A beam of 0.4 mm: panels of a sheet, bridges, engraving, an owner's rules.
var laserSentences = []string{
	`- [ ] a second person is in the room (shop-rules.yaml:5 of Quayside workshop)`,
	`| pe-30 | 12.7 mm | 1 | 465 × 405 mm | sheet-1-p1 |`, // 190 and 250 side by side, twice 190, 8.8 between and 8 around, whole mm
	"- 1 × pe-30, 12.7 mm thick, 1200 × 1000 mm, at 14.50 each: 14.50; called sheet-1\n- From the rack: rest, 560 × 300 mm of pe-45, 6.35 mm thick; rest-2, labelled \"rest\", 560 × 300 mm of pe-45, 6.35 mm thick.\n- Together 14.50, in the money of the stock.",
	`cut from front to back at X 465 mm from the left edge; then the strip from X 0 mm to 465 mm from left to right at Y 405 mm from the front edge. Strip by strip, each from the front: p1 is 465 × 405 mm.`,
	`2: stores layer 1 copy 2 at X 206.8 mm, Y 8 mm; 3: stores layer 1 copy 3 at X 206.8 mm, Y 206.8 mm, all from the sheet's front left corner, good face up.`, // 8 + 190 + 8 of wall + 2 x 0.4
	`Offcuts to keep, each with its name written on it: "sheet-1 rest", 192 × 144 mm from X 0 mm, Y 261 mm`,                                                     // 405 - 261; it gave way to the arrow, 10 and 0.4 wide, 2 beside a cut that begins at 206.8 - 0.4 - 1.27
	`- beam: pe-30: feed 900 mm/min, 1 pass, 45 %, kerf 0.4 mm`, `- beam: pe-30: feed 900 mm/min, engraving, 1 pass, 4.5 %, kerf 0.4 mm`,
	"\n- power: enough to darken the face, far too little to cut; starting value, try yours\n", // of engraving alone
	`- Focus: in focus on the foam's top the nozzle stands 12 mm above it`,
	`- The tool's centre sweeps 449.2 × 389.4 mm (X then Y).`, // 206.8 + 250 - 8 + 0.4; 405 - 8 + 0.2, the arrow's tip, less 8 - 0.2
	`its 465 mm along X (panel 1 of sheet-1). Before it is cut, write its name on its rim, front left. The program first engraves an arrow to the back in the waste, at X 197.2 mm, Y 377.2 mm`,
	`rest-2, labelled "rest", pe-45, 6.35 mm thick, 560 × 300 mm`,
	`Cut out of what is left what goes back into the rack, and write its name on each: "sheet-1 rest", 192 × 144 mm from X 0 mm, Y 261 mm`,
	`Run sheets/sheet-1-p1-pe-30-12.7mm.ngc: 1 mark, 12 label or emblem holes, 18 pockets, the outline last.`,
	`Snap out 18 bridges of 1 mm, when the machine has stopped: pieces narrower than the foam is thick are held by them, so that none tips up (pocket 1 (oar) of stores layer 1 copy 1, label 1 (BOA) of stores layer 1 copy 1, `,
	`The bridges inside letters and emblems stay: they hold islands.`,
	"- 1: marks\n- 2–5: coin, through\n- 6: oar, through\n",
	`Hold it with pins or weights on the outer rim of the foam and no more (5.6 mm on the left, 3.8 mm on the right, 5.6 mm in front, 3.6 mm at the back), lower than the nozzle.`, // 8 less 0.4 and 2; 465 - 206.8 - 250 less as much; the arrow's tip
	`- [ ] pe-45: only when (shop-rules.yaml:4 of Quayside workshop): extraction running, lid closed.`,
}

// Registration holes on sheets that are bought, two cases.
var dowelSentences = []string{
	"- 2 × pe-30, 12.7 mm thick, 400 × 300 mm, at 4.00 each: 8.00; called sheet-1, sheet-2\n- 1 × pe-45, 6.35 mm thick, 400 × 300 mm, at 4.00 each: 4.00; called sheet-3\n- Together 12.00, in the money of the stock.\n",
	`- Of all sheets that are cut up, 28 % is in no tray and in no offcut of use.`,
	`- 2 dowels of 8 mm, 52 mm or longer`, // 31.75 and 20 to hold them by, from memory
	`| [ ] | sheets/sheet-2-pe-30-12.7mm.ngc | square | 1 | pe-30, 12.7 mm | T1 |`,
	`Behind the pages of the sheets each tray has one of its own: Glue up long, Glue up square.`,
	"## Glue up long: 1 to make, 31.75 mm thick\n",
	`4. Push the dowels through the tray's lowest layer from below, at the places said with the tray`,
	`Keep glue 3 mm from every pocket, dowel hole and from the rim`,
	`let it stand 27 mm out of the collet, not less, for the nut passes over clamps: at its deepest it stays 13.5 mm above the foam`,
	`Run sheets/sheet-1-pe-30-12.7mm.ngc: 1 mark, 5 pockets, 8 registration holes, the outline last.`, // two for each of four parts
	"- [ ] 10: Before you lift anything out, write what each part is on a bit of paper, and tape or pin that to it, numbers as on the picture: 1: long layer 1; 2: long layer 2; 3: square layer 1 copy 1; 4: square layer 1 copy 2.\n",
	"- [ ] 11: Mark each part's own front left corner, turned back as Parts says, with a pencil on its side before you lift it out: it is glued by that.\n- [ ] 12: 5 plugs stand in their pockets on a skin of 1.3 mm, 11.4 mm down",
	"- 11: pocket 1 of square layer 1 copy 2, plug, 11.4 mm\n",
	`None takes the foam's front left corner: the tip goes there to find its zero.`,
}

// A blade that swivels, leans by 10 degrees and trails by 0.5 mm.
var bladeSentences = []string{
	`- blade: pe-30: feed 1200 mm/min, 3 passes, deep in one pass at most 3 mm, kerf 0.2 mm`,
	`- Blade: swivels freely, its tip 0.5 mm behind the axis: the program moves the axis so that the tip follows the line.`,
	`at inside corners it cuts up to 1.17 mm past the corner at the foam's top, and nothing at its bottom`, // (6.35 + 0.3) x tan 10 degrees
	`Keep it at least 0.51 mm (X) and 2.08 mm (Y), and at most `,
	`Push the pins into the outer 13 mm of the foam and no more, until their heads are level with its top: no cut comes so far out`,
	`Use no clamp that stands on the foam, for none is so flat: the holder comes down to 1.35 mm above the foam beside them. A clamp all the same: write its place and height`,
	`- [ ] 3: Turn the blade by hand until it points to the right, its tip trailing to the left, as if it had just cut along X`,
	`The program's first move goes straight to Z 11.35 mm, down where it stands higher.`, // 6.35 and 5 of clearance, from the board
	`pocket 1 after 37 s (line 83), pocket 3 after 1 min 17 s (line 156)`, `(line 360), and 1 more, the tray after 5 min 41 s (line 440).`,
	`set Z0 anew, and begin again on a new piece of foam.`,
	`- [ ] 6: Hands away: the blade cuts wherever the machine takes it.`,
	"section at Y 24.88 mm, seen from the front", // through two pockets of the first row, 12 + 25.75 / 2 mm
	"- [ ] 9 x (no name)\n",
}

// A blade 2 mm wide that an axis turns, and what it does not fit.
var tightSentences = []string{
	`A counts up counter-clockwise seen from above, and goes from -175 to 180 here. In the foam it turns by 5.7 degrees in one place at most`, // 2 acos(1 - 0.1 / 80)
	`- [ ] 3: Turn the blade with the machine's own keys until its edge points along X, to the right, and call that A0`,
	`send A90 and look from above: its edge has to point away from the machine's front, along Y. Where it points the other way, write a\_counts: cw`,
	`which leaves the blade's motor running, and switch that off too; never reach in before both stand still.`, `set A0 and Z0 anew`,
	`- [ ] 9: What comes free lies where it was: pocket 6 after 2 min 28 s (line 119), the tray after 8 min 11 s (line 285).`,
	`- [ ] 10: When it has stopped, switch the blade's motor off before you reach in.`,
	`the blade, 2 mm wide, does not fit 22 places, 86.51 mm in all`,
	`pocket 1: 4.48 mm at X 51.02 mm Y 12.98 mm, 4.48 mm at X 51.02 mm Y 71.02 mm`,  // a quarter turn of 3 - 0.15 mm round 49, 15
	`pocket 5: 1.6 mm at X 178.95 mm Y 20.15 mm, 1.6 mm at X 178.95 mm Y 89.85 mm.`, // across, 1.9 - 0.3 mm
}

// A knife and a bow in a hand, paper that a printer stretches.
var handSentences = []string{
	`- pe-45, 6.35 mm thick, with the bow: 1 pass of at most 60 mm (a wire cuts the whole thickness at once).`,
	`then measure both diagonals of all of it (522.6 mm)`, // the root of 420.6^2 + 310.2^2
	`pe-30, 25.4 mm thick, at least 430 × 320 mm. Good face up.`,
	`Score the line, then 3 passes of about 8.47 mm.`, // 25.4 / 3
	"- 1: logbook, through, with the knife\n- 2: pocket 3, through, with the knife\n- 3: a, through, with the knife\n- 4: dice, through, with the knife\n- 5: outline, through, with the knife\n",
	`Write "wide, layer 2 of 2" on the foam's upper face: layers are glued by their numbers, 1 on top.`,
	`- [ ] 3: Numbers 1 to 2 with the knife, 2, the outline, last, for until then the rim holds the sheet.`,
	"section at Y 53.49 mm",
	"- [ ] 1 x logbook\n- [ ] 1 x dice\n- [ ] 1 x (no name)\n- [ ] 1 x a\n",
}
