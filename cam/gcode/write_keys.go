package gcode

// Keys are what comments of Opening and Body begin with, in small letters: there are none without.
var Keys = []string{
	"job", "tray", "layer", "program", "made", "foam", "thickness", "breakthrough", "skin", "plugs", "left", "bridges", "machine", "scale",
	"tool", "stick-out", "trail", "blade", "kerf", "current", "recipe", "note", "passes", "z zero", "focus", "full power", "x", "y", "z", "in inches",
	"seal of moves", "seal of plan", "time", "caution", "required", "seal of words", "op", "tool in the spindle", "change the tool",
}
