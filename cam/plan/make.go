package plan

import (
	"traywright/cam/finding"
	"traywright/cam/job"
	"traywright/geometry"
	"traywright/geometry/lettering"
	"traywright/geometry/units"
	"traywright/profiles"
)

// Input is all that a plan is made from.
type Input struct {
	Job     *job.Job
	Catalog *profiles.Catalog
	Machine profiles.Machine
	// MachineAt is the place that names the machine, for findings about it, and
	// ProudTold says that pieces which stand out of their pockets are told elsewhere.
	MachineAt string
	ProudTold bool
	// PlugsOnMM is the foam left under holes that go through by the job, and are grooves
	// that leave their plugs standing: a coupon's. 0 for none.
	PlugsOnMM float64
	Means     Means // what the machine's process can do; nil for one that has no cutting paths
	// Recipe is the settings for a foam with one of the machine's tools, the
	// shop's limits already applied; false where there are none.
	Recipe func(foam, tool string) (profiles.Recipe, bool)
	// Barred are the foams that may not go under this machine whatever permits there
	// are. That is said elsewhere, and the plan asks for no recipes for them.
	Barred map[string]bool
	// Outlines are the drawings that pockets name, by file name, true size in
	// mm; where in the plane they lie does not matter.
	Outlines map[string]geometry.Region
	// Pictures are the shapes of emblems, in mm and of the size that the job asks
	// for, and Fonts the fonts of labels that are files, by file name.
	Pictures map[job.Picture]geometry.Region
	Fonts    map[string]*lettering.Face
	// TolMM is the distance under which two points are one; 0 is a millionth
	// of a millimetre, far below what foam can show and far above what rounding
	// does to coordinates of a metre.
	TolMM float64
}

// Make decides what will be cut and checks it before any path is made. It goes
// through the job in these steps, and reports all that is wrong, not the first:
//
//  1. trays: layers, halves, outline with ease;
//  2. pockets: shape from the job or from piece and fit, notches, turn, place;
//     labels and emblems: see mark.go; registration holes: see registration.go;
//  3. sheets: each pocket's depth against the layers, pockets that meet at one
//     depth joined, a tool and recipes for each cut, the shape that it leaves;
//  4. true distances: inside the tray, edge, wall; travel of the machine;
//  5. pieces: loose, tight, standing proud, more or fewer pockets than pieces;
//  6. weights, stacks and the room left in each case.
//
// The plan is there for showing what was found even when a finding is an
// error; it may be cut only when none is.
func Make(in Input) (*Plan, finding.List) {
	m := newMaker(in)
	m.checkProcess()
	m.makeTrays()
	groups := m.groups()
	m.packPieces(groups)
	first := m.log
	for _, b := range m.boards {
		b.log = newLog()
		m.log = b.log
		m.register(b)
		m.beginSheets(b)
	}
	m.settleRoughings()
	for _, b := range m.boards {
		m.log = b.log
		m.finishSheets(b)
		m.checkPlaces(b)
		m.checkWalls(b)
		m.checkMarks(b)
		m.checkTravel(b)
		m.checkPieces(b)
		m.weighFoam(b)
		b.finish()
		first.append(b.log)
	}
	m.log = first
	m.checkAside()
	m.makeCases(groups)
	return m.plan(), m.log.list()
}

// maker carries what every step looks things up in.
type maker struct {
	Input
	unit     units.Unit
	log      *log
	pieces   map[string]*job.Piece
	shapes   map[patternKey]*pattern
	outlines map[string]*drawn
	outcomes map[cutKey]cutOutcome
	told     map[string]bool // recipes that are missing
	beyond   []overreach     // of the sheet that is made
	boards   []*board
	cases    []Case

	roughingSavesS float64
}

func newMaker(in Input) *maker {
	if !(in.TolMM > 0) {
		in.TolMM = 1e-6
	}
	m := &maker{
		Input: in, unit: in.Job.Units, log: newLog(),
		pieces: map[string]*job.Piece{}, shapes: map[patternKey]*pattern{}, outlines: map[string]*drawn{},
		outcomes: map[cutKey]cutOutcome{}, told: map[string]bool{},
	}
	for i := range in.Job.Roster {
		m.pieces[in.Job.Roster[i].ID] = &in.Job.Roster[i]
	}
	return m
}

func (m *maker) plan() *Plan {
	p := &Plan{Job: m.Job, Machine: m.Machine, Cases: m.cases, RoughingSavesS: m.roughingSavesS, Letters: m.Fonts[m.Job.PageFont]}
	for _, b := range m.boards {
		p.Trays = append(p.Trays, b.Tray)
	}
	return p
}

// slackMM is how much less than asked a measured distance may be: what the
// rounding of coordinates can do, and no more.
func (m *maker) slackMM() float64 { return 10 * m.TolMM }

// built reports whether the machine's process has cutting paths.
func (m *maker) built() bool { return m.Means != nil }

// wholeLayers reports whether a pocket has to end where a layer does, as it has
// to under every process that is not built yet.
func (m *maker) wholeLayers() bool { return m.Means == nil || m.Means.WholeLayers() }

// checkProcess says once that a process has no cutting paths.
func (m *maker) checkProcess() {
	if !m.built() {
		m.log.fail(place{text: m.MachineAt}, "process-not-built",
			"machine "+m.Machine.ID+" is a "+string(m.Machine.Process)+", which is not built yet: no paths are made for one, neither as a program nor as a drawing",
			"choose a router or by-hand with `machine:` or --machine") // a laser is refused many foams
	}
}
