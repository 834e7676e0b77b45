// Package safety holds a job against the table of foam and process and against
// the rules of the machine's owner. It only ever makes things stricter.
package safety

import "traywright/profiles"

// Rules is what the machine's owner allows, from one shop rules file.
type Rules struct {
	File     string
	Owner    string
	Permits  []Permit
	Forbids  []Forbid
	Limits   Limits
	Requires []string
}

// Permit is the owner's word for one foam under one process, on a condition.
type Permit struct {
	Foam    string
	Process profiles.Process
	When    string
	Line    int
}

// Forbid shuts out whatever matches all of its fields that are not empty.
type Forbid struct {
	Foam, Kind, Machine string
	Process             profiles.Process
	Line                int
}

// Limits lower recipes; a zero field is no limit.
type Limits struct {
	PowerPercent, FeedMMPerMin, DepthMM, Minutes float64
}
