package safety

import (
	"io/fs"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// promises are the sentences of SAFETY.md that say what the program does, by how they
// begin, and the tests or scripts that hold each. What only the reader can do or know
// is advice.
var promises = []struct{ begins, heldBy string }{
	{"Lasers set foam on fire", "advice"},
	{"Where any of them is stricter than what traywright prints", "advice"},
	{"It knows what you tell it", "TestEveryFoamProcessAndPermit TestTheStrictestFileWins"},
	{"It reads back every program", "dryrun TestFaultsAreCaught"},
	{"What a hand cuts has no program", "by_hand"},
	{"It refuses what the table refuses", "TestEditsNeverOpen TestARefusalIsOneMessage attack_refused"},
	{"The table rules over programs that were written elsewhere too", "attack_dryrun TestEditsNeverOpen"},
	{"`dryrun` judges each for the foam", "attack_dryrun"},
	{"A foam that nobody has named is judged", "attack_dryrun"},
	{"Of a machine that nobody has named", "attack_dryrun TestAlikeOf"},
	{"What an owner forbids may be", "attack_dryrun"},
	{"It cannot know", "advice"},
	{"what your foam is.", "advice"},
	{"A trade name, a colour", "own_foams"},
	{"Ask the seller", "advice"},
	{"A foam that nobody can name is `unknown`", "TestEveryFoamProcessAndPermit own_foams"},
	{"whether your machine is", "advice"},
	{"whether the extraction runs", "advice"},
	{"whether anybody is watching", "advice"},
	{"how your foam cuts.", "advice"},
	{"Every feed, power, step-down and kerf that ships is", "TestEveryNumberHasASource"},
	{"whether a permit in a rules file", "advice"},
	{"Writing your own permit", "advice"},
	{"traywright takes a hot wire in a hand", "TestAHotWireInAHandIsAHotWire by_hand"},
	{"In the shop rules traywright takes a hand's blade", "TestAHandsBladeIsAKnifeToTheOwner"},
	{"On traywright's cut sheet the lines are carried over", "by_hand"},
	{"A dry run that passes", "dryrun"},
	{"It does not mean that cutting is safe", "advice"},
	{"With `--job` each cut is held against the plan", "TestFaultsAreCaught TestSettingsAreHeld TestSettingsThatMayDiffer TestWaitsThatNobodyPlanned own_machine"},
	{"A pocket that is milled twice is warned of", "TestAPocketMilledAgain"},
	{"Into the face of foam that stays no cut", "TestCloseAboveTheFoam TestAnOffcutIsNotScratched"},
	{"A cutter goes round the way that", "TestFaultsAreCaught"},
	{"Each tab has to stand", "TestTabsStandAsPlanned"},
	{"A beam is lit and put out where", "TestFaultsAreCaught TestALapWithoutItsWayInOrOn"},
	{"Without a job only the machine's limits", "TestSettingsUnknown TestForeignStartAndEnd attack_dryrun attack_energy wire_heat"},
	{"Neither judges overrides turned", "advice"},
	{"How deep a beam goes it takes from", "TestPassesGoThrough TestLimitOfADepth depth"},
	{"Corners tell whether the program still", "TestCornersOfATrayByHand TestCornersAgainstEachCutAnew corners"},
	{"Where foam that is thinner than its label", "corners"},
	{"A kind of foam under a process is", "TestEveryFoamProcessAndPermit"},
	{"The answers are this project's", "TestSafetyDocumentQuotesTheTable"},
	{"Where sources disagree", "TestEveryFoamProcessAndPermit"},
	{"Before a tool is put in or taken out", "TestRouterPages controllers"},
	{"Layers glued into a block", "TestEveryFoamProcessAndPermit own_foams"},
	{"A kind is a chemistry, and what", "TestWhatIsSoldAsPolyethylene"},
	{"Where the id, the name, the notes or a source", "TestEveryContradictionUnderHeat TestEveryTextOfARowSpeaks attack_names"},
	{"`vouches: [{foam: mat", "TestAContradictionNeedsAVouch"},
	{"The foam is then judged by the kind", "TestAContradictionNeedsAVouch"},
	{"The words that are known", "TestWhatAFoamSpeaksOf"},
	{"The kind of a foam that ships and the process", "TestTheProcessOfAKnownMachineStays TestAKnownLaserIsNotWeaker TestBadProfiles attack_process attack_energy"},
	{"The watts are the profile's word", "TestAWeakLaserIsWarnedOf attack_energy"},
	{"Another machine is a laser, whatever it says", "TestABeamIsALaserWhateverItSays TestASpotIsNoCutter TestASpindleThatTurnsAsAPowerIsALaser"},
	{"A profile that has any of these", "TestABeamIsALaserWhateverItSays attack_process"},
	{"Nor is one that says router, knife or hand", "TestWhatCallsItselfHotIsAHotWire TestTheHandsWireStaysAWire"},
	{"Products and limits are what heat", "TestExposureLimits TestEveryBurningRowNamesCarbonMonoxide"},
	{"Less is no promise of safety", "advice"},
	{"Whoever owns the machine writes", "TestReadRules TestForbids"},
	{"Several files (building, workshop, user)", "TestTheStrictestFileWins shop_rules"},
	{"A rule can only make things stricter", "TestMoreRulesAreNeverLooser TestMoreRulesNeverRaiseARecipe"},
	{"A rules file that cannot be read", "shop_rules TestBadRules"},
	{"So does a rule that can never apply", "TestRulesThatNeverApply TestLimitsThatNeverApply TestWhatNeverAppliesIsTold"},
	{"A permit for what the table refuses", "TestRulesThatCannotWork shop_rules"},
	{"Nor does one whose `when` says nothing", "TestAConditionIsWords attack_condition"},
	{"A permit that the table does not ask for", "TestAPermitWithoutWordsOpensNothing attack_condition"},
	{"Forbid by kind and by process", "advice"},
	{"A foam or a machine can be copied", "advice"},
	{"Where a foam or a machine is forbidden by its name", "TestALikeOfWhatIsForbidden attack_names"},
	{"A rule by kind holds for what speaks", "TestAForbidByKindIsNotTalkedRound"},
	{"A recipe or a program that gives a mm", "TestABeamIsBoundByItsStart TestHeat attack_energy"},
	{"A program whose beam is lit", "TestCheckLit attack_energy"},
	{"The cut sheets that traywright writes for a laser ask", "TestEveryCautionOnlyWhereItApplies TestASheetOfALaserWithoutALid"},
	{"Heat gathers** where a beam goes over", "TestPausesBetweenPasses beam_use"},
	{"The number that traywright prints follows EN 207", "TestLB"},
	{"`traywright hotwire` does these sums", "TestVoltageLimits hotwire"},
	{"Such foam is `fr`, and refused", "TestEveryCautionOnlyWhereItApplies TestWhatAFoamSpeaksOf TestSafetyDocumentQuotesTheTable"},
	{"traywright writes programs for a drag knife", "TestWhatIsNeitherBeamNorCutter blade_cut"},
	{"traywright writes programs for an oscillating knife", "blade_turned"},
	{"A program of traywright's for an upright wire", "TestOneWayOfAWire TestFaultsOfAWire"},
	{"No program of traywright's switches the wire's supply", "hotwire_cut"},
	{"traywright holds a recipe's current", "TestCurrentOfARecipe"},
	{"The slower a wire goes, the more heat the foam gets", "TestAWireIsBoundByItsStart TestAWireMeasuredSoHotIsWarnedOf TestALowerFeedCoolsAWire wire_heat"},
	{"Stretch, sag and lag that the cut sheet names", "TestNumbersOfAWire hotwire_cut"},
}

// promising are the sections whose every sentence is held or is advice; elsewhere it is
// those that speak of the program, or of refusing and warning.
var (
	promising  = []string{"## What it can know, and what it cannot", "## The table", "## Shop rules"}
	ofItself   = regexp.MustCompile(`traywright|refused|refuses|warned of`)
	generated  = regexp.MustCompile(`(?s)<!-- generated.*?<!-- end -->`)
	aSentence  = regexp.MustCompile(`([.?!]\**|:)\s+([A-Z*\x60])`)
	notPromise = regexp.MustCompile(`^\*\*(Laser|Hot wire|Router|Always)`)
)

// sentences splits a section's text.
func sentences(text string) []string {
	text = generated.ReplaceAllString(text, "")
	var list []string
	for _, paragraph := range regexp.MustCompile(`\n\s*\n|\n- `).Split(text, -1) {
		line := strings.Join(strings.Fields(paragraph), " ")
		for s := range strings.SplitSeq(aSentence.ReplaceAllString(line, "$1\x00$2"), "\x00") {
			if s = strings.TrimPrefix(strings.TrimPrefix(s, "- "), "**"); s != "" {
				list = append(list, s)
			}
		}
	}
	return list
}

// Every sentence of SAFETY.md that says what the program does is held by a test.
func TestEveryPromiseIsHeld(t *testing.T) {
	data, err := os.ReadFile("../../SAFETY.md")
	require.NoError(t, err)
	names := testNames(t)
	used := map[string]bool{}
	for _, section := range regexp.MustCompile(`\n(## )`).Split(strings.ReplaceAll(string(data), "\n## ", "\n\n## ## "), -1) {
		title, body, _ := strings.Cut(section, "\n")
		all := slices.Contains(promising, title)
		for _, s := range sentences(body) {
			if title == "## Sources" || !all && !ofItself.MatchString(s) || notPromise.MatchString(s) {
				continue
			}
			at := slices.IndexFunc(promises, func(p struct{ begins, heldBy string }) bool { return strings.HasPrefix(s, p.begins) })
			if assert.GreaterOrEqual(t, at, 0, "nothing holds: %s", s) {
				used[promises[at].begins] = true
			}
		}
	}
	for _, p := range promises {
		assert.True(t, used[p.begins], "SAFETY.md does not say: %s", p.begins)
		for _, name := range strings.Fields(p.heldBy) {
			assert.True(t, name == "advice" || names[name], "%s: there is no test %s", p.begins, name)
		}
	}
}

// testNames are the tests of the project and its scripts.
func testNames(t *testing.T) map[string]bool {
	names := map[string]bool{}
	function := regexp.MustCompile(`(?m)^func (Test\w+)\(`)
	root := os.DirFS("../..")
	require.NoError(t, fs.WalkDir(root, ".", func(path string, d fs.DirEntry, err error) error {
		if script, ok := strings.CutSuffix(path, ".txtar"); ok {
			names[script[strings.LastIndex(script, "/")+1:]] = true
		}
		if err != nil || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := fs.ReadFile(root, path)
		for _, m := range function.FindAllStringSubmatch(string(text), -1) {
			names[m[1]] = true
		}
		return err
	}))
	return names
}
