package job

import "traywright/profiles/strict"

// Forms of values in a job. A bare number is a length in the job's units.
var (
	inUnits       = "job's units"
	aLength       = strict.ALength().In(inUnits)
	above         = strict.ALengthAbove(false).In(inUnits)
	notBelow      = strict.ALengthAbove(true).In(inUnits)
	lengthWidth   = strict.ATuple("[length, width]", above)
	place         = strict.ATuple("[x, y]", aLength)
	aName         = strict.AnyText
	aFile         = strict.AnyText.Called("file in the job's folder")
	turn          = strict.ANumber(-360, 360).In("degrees")
	copies        = strict.AWhole(1, mostCount)
	registrations = []string{"none", "dowels", "ears"}
	reliefs       = []string{"none", "dogbone", "tbone"}
	turns         = []string{"quarter", "any"}
	accesses      = []string{"notch", "gap", "lift", "none"}
)

// Keys are the keys of a job and of what stands in it. An arrangement has the same.
func Keys() *strict.Group { return &jobKeys }

// RosterKeys are the columns of a roster.
func RosterKeys() *strict.Group { return &rosterKeys }

var jobKeys = strict.Group{Name: "job", At: "the file", Rows: []strict.Row{
	{Key: "game", Form: aName, Means: "what it is all for: fills in `{game}` in labels"},
	{Key: "units", Form: strict.OneOf("mm", "in"), Default: "mm", Means: "of bare numbers, and of what is printed; any length may carry its own: 31 mm, 3.1 cm, 1.25 in, 1 1/4 in, 2\""},
	{Key: "roster", Form: aFile, Means: "the pieces as measured; `traywright keys roster` has its columns"},
	{Key: "machine", Form: strict.AnyText.Called("name of a machine"), Means: "what cuts: `traywright profiles` lists them. --machine overrides it"},
	{Key: "shop_rules", Form: aFile, Means: "what the machine's owner allows"},
	{Key: "profiles", Form: strict.AnyText.Called("folder in the job's folder"), Means: "your own machines, foams, recipes and measured kerfs, as --profiles"},
	{Key: "page_font", Form: aFile, Means: "a TrueType or OpenType file, as of a label's `font`: it draws what the letters of pictures and paper lack in names, such as Chinese, Arabic, Hebrew or Devanagari"},
	{Key: "case", Form: strict.Keyed(&insideKeys), Means: "the inside of every case, unless a case says otherwise"},
	{Key: "tray_defaults", Form: strict.Keyed(&trayKeys), Means: "any key of a tray but `id`, for all trays that do not say otherwise. Those that `arrange` chooses for a case without a `stack` take them too, save for a `size` that is not the case's, `halves: 2`, `holds` and `pockets`, which are refused there"},
	{Key: "trays", Form: strict.ListOf(strict.Keyed(&trayKeys), 0), Means: "the trays; `arrange` makes them from the roster for a case without a `stack`"},
	{Key: "cases", Form: strict.ListOf(strict.Keyed(&casesKeys), 0), Default: "each tray is made once", Means: "which trays go into which case"},
	{Key: "stock", Form: strict.Either(strict.Keyed(&stockKeys), aFile), Means: "the sheets that one has or can buy, or a file with the same keys and `units` of its own"},
}}.With(dowelRows...)

var dowelRows = []strict.Row{
	{Key: "registration", Form: strict.OneOf(registrations...), Default: "none", Means: "`dowels` puts the same two holes through every layer of a tray, `ears` through two ears of waste beside its rim; a tray's own word counts before that of `tray_defaults`, and that before the job's"},
	{Key: "dowel", Form: above, Means: "the diameter of the dowels; asked for where `registration` is `dowels` or `ears`"},
}

// insideRows are what a case measures; left out is what holds for a key that is not there.
func insideRows(inside, others string) []strict.Row {
	return []strict.Row{
		{Key: "inside", Form: strict.ATuple("[length, width, height]", above), Default: inside, Means: "the case's inside as measured, and the height left for foam"},
		{Key: "corner", Form: notBelow, Default: others, Means: "radius of its inside corners"},
		{Key: "ease", Form: notBelow, Default: others, Means: "the foam is this much larger on each side, to grip"},
	}
}

var insideKeys = strict.Group{Name: "case", At: "`case:` of a job", Rows: insideRows("", "0")}

var (
	holds    = strict.ListOf(strict.Either(strict.AnyText.Called("pieces and groups"), strict.Keyed(&heldKeys)), 0)
	heldKeys = strict.Group{Name: "held", At: "an entry of `holds:` for a piece with a drawing, or one that may be turned", Rows: []strict.Row{
		{Key: "piece", Form: aName, Default: strict.Needed, Means: "its id in the roster"},
		{Key: "outline", Form: aFile, Default: "the roster's", Means: "a DXF or SVG drawing of its finished hole, true size and with its units; the same as in the roster's column"},
		{Key: "turn", Form: strict.OneOf(turns...), Default: "the tray's", Means: "as of a tray, for this piece in the whole job; an entry has an `outline`, a `turn`, or both"},
	}}
)

var casesKeys = strict.Group{Name: "cases", At: "an entry of `cases:`", Rows: []strict.Row{
	{Key: "name", Form: aName, Default: strict.Needed, Means: "of the case: fills in `{case}` in labels"},
	{Key: "copies", Form: copies, Default: "1", Means: "how many such cases are made"},
	{Key: "stack", Form: strict.ListOf(strict.AnyText.Called("ids of trays"), 0), Means: "its trays, top to bottom; left out, `arrange` chooses them"},
	{Key: "holds", Form: holds, Means: "what `arrange` is to find room for"},
}}.With(insideRows("that of `case:`", "that of `case:`")...)

var habitRows = []strict.Row{
	{Key: "relief", Form: strict.OneOf(reliefs...), Default: "none", Means: "lets a square corner into a pocket that a round tool made"},
	{Key: "notch", Form: strict.Either(strict.OneOf(append([]string{"none", "ends", "sides"}, sideNames...)...), strict.ListOf(strict.OneOf(sideNames...), 0)), Default: "no holes", Means: "finger holes: at the short sides (ends), the long ones (sides), or on compass sides; `none` is `access: none` as well"},
	{Key: "notch_width", Form: above, Default: "20 mm", Means: "along the pocket's side; less admits no finger, which is a warning"},
	{Key: "notch_reach", Form: above, Default: "10 mm", Means: "away from the pocket; less admits no finger, which is a warning"},
	{Key: "access", Form: strict.OneOf(accesses...), Default: "what there is", Means: "how fingers get at the piece: a `notch` where it takes the least room, a `gap` beside it that is a pocket without a piece, a `lift` because it stands out by `proud`, or `none` is wanted"},
	{Key: "proud", Form: above, Default: "5 mm", Means: "how far the piece stands out with `access: lift`, under air that the case leaves above the tray"},
}

var trayKeys = strict.Group{Name: "tray", At: "an entry of `trays:`, or `tray_defaults:`", Rows: []strict.Row{
	{Key: "id", Form: strict.AnyText.Called("id"), Means: "names the tray's folder: small letters, digits and hyphens; every tray needs one of its own"},
	{Key: "label", Form: aName, Default: "the id", Means: "its name on paper; {game}, {case}, {tray} and {group} are filled in"},
	{Key: "size", Form: lengthWidth, Default: "the case's", Means: "only where there is no case"},
	{Key: "corner", Form: notBelow, Default: "the case's", Means: "radius of its outer corners"},
	{Key: "ease", Form: notBelow, Default: "the case's", Means: "its foam is this much larger on each side"},
	{Key: "each", Form: strict.OneOf("case"), Default: "one for all", Means: "`case` makes one for each case that stacks it or whose trays `arrange` chooses; its id is this one, - and the case's name in a-z and 0-9"},
	{Key: "layers", Form: strict.ListOf(strict.Keyed(&layerKeys), 0), Means: "its sheets, top to bottom; needed here or in `tray_defaults`"},
	{Key: "wall", Form: notBelow, Default: "the foam's least", Means: "least foam between two pockets; 0 is the foam's least"},
	{Key: "edge", Form: notBelow, Default: "the foam's least", Means: "least foam between a pocket and the rim; 0 is the foam's least"},
	{Key: "headroom", Form: notBelow, Default: "0", Means: "least room above a piece in its pocket: the pocket is so much deeper than the piece"},
	{Key: "fit", Form: strict.AnyText.Called("`tight`, `snug` or `easy`"), Default: "snug", Means: "how much larger pockets are than their pieces"},
	{Key: "halves", Form: strict.AWhole(1, 2), Default: "1", Means: "2 cuts it as two trays side by side, for weight"},
	{Key: "cut", Form: strict.OneOf("sheets", "block"), Default: "sheets", Means: "each layer on its own and glued afterwards, or a block that is glued first, router only"},
	{Key: "bridges", Form: strict.OneOf("auto", "none"), Default: "auto", Means: "of what might tip up under a beam: `none` leaves them out"},
	{Key: "tight_corners", Form: strict.OneOf("refused", "left"), Default: "refused", Means: "curves and short sides that a turned blade is too wide for: `left` stops it short of them, and a hand cuts there what is left"},
	{Key: "tool", Form: strict.AnyText.Called("id of a tool"), Default: "the first that fits", Means: "of the machine, for its pockets and its outline"},
	{Key: "turn", Form: strict.OneOf(turns...), Default: "quarter", Means: "how `arrange` may turn what it places: by quarters, or in steps of 15 degrees"},
	{Key: "waste", Form: strict.OneOf("clear"), Default: "the quicker one", Means: "mills all of each pocket; plugs are asked for pocket by pocket"},
	{Key: "holds", Form: holds, Means: "what `arrange` is to place in it"},
	{Key: "pockets", Form: strict.ListOf(strict.Keyed(&pocketKeys), 0), Means: "its pockets"},
	{Key: "labels", Form: strict.ListOf(strict.Keyed(&labelKeys), 0), Means: "texts that are engraved or cut"},
	{Key: "emblems", Form: strict.ListOf(strict.Keyed(&emblemKeys), 0), Means: "pictures that are engraved or cut"},
}}.With(habitRows...).With(dowelRows...)

var layerKeys = strict.Group{Name: "layer", At: "an entry of `layers:`", Rows: []strict.Row{
	{Key: "foam", Form: strict.AnyText.Called("name of a foam"), Default: strict.Needed, Means: "a profile: `traywright profiles` lists them"},
	{Key: "thickness", Form: above, Default: strict.Needed, Means: "as it is sold"},
	{Key: "measured", Form: above, Default: "the thickness", Means: "what the sheet really measures"},
	{Key: "z_zero", Form: strict.OneOf("top", "bed"), Default: "the machine's", Means: "where this sheet's programs have Z zero"},
}}

var pocketKeys = strict.Group{Name: "pocket", At: "an entry of `pockets:`", Rows: []strict.Row{
	{Key: "for", Form: aName, Means: "the piece, by its id in the roster, or any name. Without a shape, the shape comes from the piece and the fit"},
	{Key: "at", Form: place, Default: strict.Needed, Means: "lower-left corner of the pocket's box, from the tray's lower-left corner before `ease`"},
	{Key: "size", Form: lengthWidth, Means: "length and width of the finished hole"},
	{Key: "corner", Form: notBelow, Default: "0", Means: "corner radius of a `size`"},
	{Key: "round", Form: above, Means: "diameter of a round hole"},
	{Key: "slot", Form: lengthWidth, Means: "length and width of a hole with round ends"},
	{Key: "outline", Form: aFile, Means: "a DXF or SVG drawing, true size and with its units: the finished hole"},
	{Key: "depth", Form: strict.Either(above, strict.OneOf("through")), Default: "the top layer's thickness", Means: "from the tray's top; `through` goes through every layer"},
	{Key: "grid", Form: strict.ATuple("[columns, rows]", copies), Default: "[1, 1]", Means: "so many equal pockets, 20000 in all at most; needs `pitch`"},
	{Key: "pitch", Form: strict.ATuple("[x, y]", notBelow), Means: "the steps from one pocket of a `grid` to the next"},
	{Key: "turn", Form: strict.Either(turn, strict.OneOf("any")), Default: "0", Means: "counter-clockwise; `any` lets `arrange` turn it about its `at`, in steps of 15 degrees, where it has room so and not as it is; till then it is 0"},
	{Key: "fit", Form: strict.AnyText.Called("`tight`, `snug` or `easy`"), Default: "the tray's", Means: "how much larger or, in soft foam, smaller than its piece; the foam's profile has the numbers"},
	{Key: "tool", Form: strict.AnyText.Called("id of a tool"), Default: "the first that fits", Means: "of the machine; left out, the first that fits the pocket and whose edges reach its depth, or else the first that reaches it"},
	{Key: "waste", Form: strict.OneOf("clear", "plug"), Default: "the quicker one", Means: "`clear` mills all of it, `plug` cuts round it and leaves a plug to lift out; left out, the quicker one that is safe"},
	{Key: "pin", Form: strict.AFlag, Default: "false", Means: "`arrange` leaves it where it is, in `arrangement.yaml` too"},
}}.With(habitRows...)

func makingRows(at string) []strict.Row {
	words := append(makeWords[:len(makeWords):len(makeWords)], "through")
	return []strict.Row{
		{Key: "at", Form: place, Default: strict.Needed, Means: at},
		{Key: "turn", Form: turn, Default: "0", Means: "counter-clockwise"},
		{Key: "make", Form: strict.Either(strict.OneOf(words...), above), Default: "mark", Means: "`mark` engraves it, `outline` engraves its edge, `through` cuts it out, and a depth is from the tray's top; what is cut gets bridges, so that no island falls out"},
		{Key: "tool", Form: strict.AnyText.Called("id of a tool"), Default: "the first that fits", Means: "of the machine; all that is engraved on a tray takes the same"},
	}
}

var labelKeys = strict.Group{Name: "label", At: "an entry of `labels:`", Rows: []strict.Row{
	{Key: "text", Form: aName, Default: "the tray's label", Means: "any text; {game}, {case}, {tray} and {group} are filled in, so a name is typed once. A name spelt almost right is found"},
	{Key: "height", Form: above, Default: "what fits the `box`", Means: "of a capital letter; with a `box`, the most"},
	{Key: "font", Form: strict.AnyText.Called("name of a font, or file"), Default: "`strokes`; `go-bold` for what is cut", Means: "`strokes` (single lines), `go`, `go-bold` and others, or a TrueType or OpenType file in the job's folder (up to 32 MiB; no collections, web or colour fonts, no text from right to left)"},
	{Key: "align", Form: strict.OneOf("left", "center", "right"), Default: "left", Means: "whether `at` is where its base line begins, its middle or its end"},
	{Key: "box", Form: lengthWidth, Means: "that the text has to fit in"},
	{Key: "arc", Form: aLength, Default: "a straight line", Means: "radius of a circle that it stands on, below 0 along its bottom"},
	{Key: "spacing", Form: aLength, Default: "as far apart as they must be", Means: "added between letters"},
}}.With(makingRows("where its base line begins, is centred or ends; with a `box`, the box's lower-left corner")...)

var emblemKeys = strict.Group{Name: "emblem", At: "an entry of `emblems:`", Rows: []strict.Row{
	{Key: "picture", Form: aFile.Called("PNG, JPEG or SVG in the job's folder"), Default: strict.Needed, Means: "what is drawn; it needs one of `size`, `width` and `height`"},
	{Key: "size", Form: lengthWidth, Means: "that it becomes as large as fits in"},
	{Key: "width", Form: above, Means: "its height follows"},
	{Key: "height", Form: above, Means: "its width follows"},
	{Key: "threshold", Form: strict.Pattern("share of white between 0 and 1, neither of them, such as 0.4 or 40 %", `^\s*\+?(\d+\.?\d*|\.\d+)\s*%?\s*$`).OrNumber(0, 1), Default: "chosen from the picture", Means: "what is darker is ink"},
	{Key: "invert", Form: strict.AFlag, Default: "false", Means: "what is lighter is ink"},
}}.With(makingRows("its lower-left corner")...)

var stockKeys = strict.Group{Name: "stock", At: "`stock:` of a job", Rows: []strict.Row{
	{Key: "margin", Form: notBelow, Default: "0", Means: "least foam between a part and its sheet's edge. What holds the sheet keeps its own room whatever is said: the whole cut, and beside it 15 mm for clamps and half the nut under a cutter, 5 mm for pins under a beam, less what its way in takes of them"},
	{Key: "sheets", Form: strict.ListOf(strict.Keyed(&sheetKeys), 1), Default: strict.Needed, Means: "the sizes of sheet"},
}}

// rackKeys are those of a stock in a file of its own.
var rackKeys = stockKeys.With(strict.Row{Key: "units", Form: strict.OneOf("mm", "in"), Default: "mm", Means: "of its bare numbers"})

var sheetKeys = strict.Group{Name: "sheet", At: "an entry of `sheets:` of a stock", Rows: []strict.Row{
	{Key: "name", Form: aName, Default: "offcut, offcut-2 and on where there is a count and no price, else sheet-1 and on", Means: "of what is at hand: its files are called so, in small letters and with a number where another sheet or panel has that name; the cut sheet then says both"},
	{Key: "foam", Form: strict.AnyText.Called("name of a foam"), Default: strict.Needed, Means: "a profile"},
	{Key: "thickness", Form: above, Default: strict.Needed, Means: "as it is sold"},
	{Key: "size", Form: lengthWidth, Default: strict.Needed, Means: "of the whole sheet"},
	{Key: "count", Form: copies, Default: "as many as needed", Means: "how many of a size there are; left out, as many as needed can be bought"},
	{Key: "price", Form: strict.ANumber(0, mostPrice).In("your money"), Default: "0", Means: "of one; a row with a `count` and no price is at hand and costs nothing"},
}}

var (
	cellLength = strict.Pattern("length above 0", `^\s*\+?(?=.*[1-9\u00bc-\u00be\u2153-\u215e])[\d.,/\u2044\u00bc-\u00be\u2150-\u215e -]+\s*([a-zA-Z]+\.?|["\u2033\u201d])?\s*$`).OrNumber(0, 100_000).In(inUnits)
	cellWeight = strict.Either(strict.ANumber(0, mostWeightG), strict.Pattern("", `^\s*\+?(\d+([.,]\d*)?|[.,]\d+)\s*$`)).Called("number, 0 to 100000").In("g")
)

var rosterKeys = strict.Group{Name: "roster", At: "the columns, in any order", Rows: []strict.Row{
	{Key: "id", Form: aName, Default: strict.Needed, Means: "what the job calls the piece; once in a roster"},
	{Key: "count", Form: copies, Default: strict.Needed, Means: "how many of them there are"},
	{Key: "length", Form: cellLength, Default: strict.Needed, Means: "of the box around the piece, as measured"},
	{Key: "width", Form: cellLength, Default: strict.Needed, Means: "of the box around the piece"},
	{Key: "height", Form: cellLength, Default: strict.Needed, Means: "of the box around the piece"},
	{Key: "name", Form: aName, Default: "the id", Means: "what people call it, in any script"},
	{Key: "group", Form: aName, Means: "those of one group can be named together in `holds`"},
	{Key: "weight_g", Form: cellWeight, Default: "0", Means: "of one; where others were weighed, a note says which were not"},
	{Key: "shape", Form: strict.OneOf("rect", "round"), Default: "rect", Means: "of its outline from above"},
	{Key: "often", Form: strict.OneOf("no", "yes"), Default: "no", Means: "it is used every game: `arrange` puts it into the top trays"},
	{Key: "pile", Form: strict.AWhole(1, mostPile), Default: "each alone, in what `arrange` makes", Means: "so many lie on each other in one pocket, as measured unless `pose` lays them down; what is left over is a lower pile"},
	{Key: "outline", Form: aFile, Default: "its box", Means: "a DXF or SVG drawing of the finished hole, true size and with its units, as of a pocket; its `pose` says what its depth is, and is upright where that is `any`"},
	{Key: "pose", Form: strict.OneOf("any", "upright", "lying"), Default: "any", Means: "`upright` stands as measured: its height is the depth; `lying` is laid down: its length and height are the pocket's and its width the depth; `any` leaves it to `arrange`"},
}}
