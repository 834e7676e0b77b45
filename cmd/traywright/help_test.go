package main

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Every help screen is ours, says what its flags are, and fits a terminal of 80 columns, but
// for what is to be copied whole.
func TestHelpScreensAreOursAndFit(t *testing.T) {
	example := regexp.MustCompile(`^(Example|For \w+|To read it at once).*: traywright `)
	see := func(arguments ...string) {
		code, out, talk := typed(append(arguments, "--help")...)
		assert.Equal(t, exitDone, code, talk)
		assert.NotRegexp(t, `(?m)^(NAME|USAGE|OPTIONS):|Shows a list|\(default`, out)
		for _, line := range strings.Split(out, "\n") {
			if !example.MatchString(line) {
				assert.LessOrEqual(t, len([]rune(line)), 80, line)
				continue
			}
			for _, command := range regexp.MustCompile(`traywright (\w+[^&|)>]*)`).FindAllStringSubmatch(line, -1) {
				code, out, talk := typed(append(wordsOf(command[1]), "--help")...)
				assert.Equal(t, exitDone, code, "%s: %s", line, talk)
				assert.Contains(t, out, "traywright "+wordsOf(command[1])[0], line)
			}
		}
	}
	see()
	app := newApp(newSession(nil, nil, nil))
	for _, c := range described(app.Commands, "") {
		see(c.Name)
		for _, sub := range c.Subs {
			see(c.Name, sub.Name)
		}
	}
}

// What every command is promised to take does nothing to what is asked for alone, before a command and
// behind it: help, the version, and all that is printed to be kept.
func TestEveryCommandTakesWhatIsPromisedOfAll(t *testing.T) {
	asked := [][]string{nil, {"help"}, {"h"}, {"--help"}, {"-h"}, {"version"}, {"--version"}, {"-v"}, {"help", "cut"}, {"help", "profiles", "new"}, {"keys"}, {"schema", "lens"}, {"man"}, {"man", "safety"}, {"completion", "bash"}, {"profiles", "safety"}}
	_, names := allCommands(newApp(&session{}))
	for _, name := range names {
		asked = append(asked, append(strings.Fields(name), "--help"))
	}
	for _, words := range asked {
		code, plain, _ := typed(words...)
		assert.Equal(t, exitDone, code, words)
		for _, flag := range []string{"--quiet", "--no-color"} {
			for _, with := range [][]string{append([]string{flag}, words...), append(words[:len(words):len(words)], flag)} {
				code, out, talk := typed(with...)
				assert.Equal(t, exitDone, code, with)
				assert.Equal(t, plain, out, with)
				assert.Empty(t, talk, with)
			}
		}
	}
	for _, words := range [][]string{{"--quiet", "--json", "keys"}, {"--json", "--no-color", "keys", "--"}, {"--no-color", "--quiet", "schema", "--", "job"}} {
		code, _, talk := typed(words...)
		assert.Equal(t, exitDone, code, "%s %s", words, talk)
	}
	code, _, talk := typed("--quiet", "schema", "--", "--quiet")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, talk, `"--quiet"`)
}
