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
