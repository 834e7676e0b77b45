package strict

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"traywright/cam/finding"
	"traywright/geometry/units"
)

// readAll takes what a small format would: a name, a list of numbers, a flag.
func readAll(text string) (string, []float64, bool, error) {
	d := Read("f.yaml", []byte(text))
	m := d.Root().Map("name", "numbers", "flag")
	var numbers []float64
	for _, v := range m.Get("numbers").List() {
		numbers = append(numbers, v.Number(-10, 10))
	}
	return m.Need("name").Text(), numbers, m.Get("flag").Flag(), d.Err()
}

func TestRead(t *testing.T) {
	name, numbers, flag, err := readAll("\xef\xbb\xbfname:  a\n  b \nnumbers: [1, -2.5, .5, 3.]\r\nflag: true\n")
	require.NoError(t, err)
	assert.Equal(t, "a b", name)
	assert.Equal(t, []float64{1, -2.5, .5, 3}, numbers)
	assert.True(t, flag)
}

// Problems are shown where they are, all of them, in the file's order.
func TestProblemsHaveTheirPlace(t *testing.T) {
	_, _, _, err := readAll("flag: maybe\nnumbers:\n  - 1\n  - 11\n  - {a: 1}\nnmae: x\n")
	var found finding.List
	require.True(t, errors.As(err, &found))
	assert.True(t, found.Unread())
	assert.Equal(t, []string{
		"error: f.yaml:1:1: name is missing", "hint: add `name:` with its value",
		`error: f.yaml:1:7: flag is "maybe"`, "hint: known are true, false",
		"error: f.yaml:4:5: numbers[2]: 11 is not from -10 to 10", "hint: write a number from -10 to 10",
		"error: f.yaml:5:5: numbers[3] has to be a text or a number, and here is a group of `key: value`", "hint: check the indentation, and put a text that has { or [ in it in quotes",
		`error: f.yaml:6:1: the file has no key "nmae"`, "hint: did you mean name?",
	}, strings.Split(err.Error(), "\n"))
}

func TestNumbersAreDecimal(t *testing.T) {
	for _, text := range []string{"0x1", "1e3", "1_000", "0b1", ".inf", "-.inf", ".nan", "1;5", "1 2", "--1", "+", ".", "true", "''"} {
		_, _, _, err := readAll("name: x\nnumbers: [" + text + "]")
		assert.Error(t, err, text)
	}
	for text, want := range map[string]float64{"007": 7, "+1.5": 1.5, "-0": 0, `"3"`: 3} {
		_, numbers, _, err := readAll("name: x\nnumbers: [" + text + "]")
		require.NoError(t, err, text)
		assert.Equal(t, []float64{want}, numbers)
	}
}

// A decimal comma is told as what it is, in braces too, where it makes two keys of a number; another key without a value is none.
func TestDecimalCommas(t *testing.T) {
	for text, want := range map[string]string{
		"name: x\nnumbers: ['9,50']": `numbers[1]: "9,50" is no number` + "\nhint: write it with a point: 9.50", "{name: 9,50, numbers: [1]}": "`name: 9,50` is no number\nhint: write it with a point: `name: 9.50`",
		"name: x\nnumbers: ['1,234,5']": "hint: write a number such as 12.5", "{name: x,50, numbers: [1]}": `has no key "50"`, "{name: 9,50: 3, numbers: [1]}": `has no key "50"`, "{name: 9,nubmers, numbers: [1]}": `has no key "nubmers"`,
	} {
		_, _, _, err := readAll(text)
		assert.ErrorContains(t, err, want, text)
	}
}

func TestNames(t *testing.T) {
	for _, bad := range []string{"A", "a--b", "-a", "a-", "../a", "a b", "a_b", "ä", strings.Repeat("a", 41)} {
		d := Read("f.yaml", []byte("'"+bad+"'"))
		assert.Empty(t, d.Root().Name())
		assert.Error(t, d.Err(), bad)
	}
}

// An absent value reads as zero and is no problem.
func TestZeroValue(t *testing.T) {
	var v Value
	v.Fail("x", "y")
	assert.False(t, v.Present())
	text, ok := v.Scalar()
	assert.False(t, ok)
	assert.Empty(t, v.Text()+v.Name()+text+v.OneOf("a"))
	assert.Zero(t, v.Number(1, 2)+float64(v.Whole(1, 2)+v.Word("a", "b")))
	_, ok = v.Length(units.Millimetre)
	assert.False(t, ok)
	assert.Zero(t, v.At())
	v.Keys(&Group{}, Key{"a", func(Value) { t.Error("there is no value") }})
	assert.Nil(t, v.Tuple("[x, y]"))
	assert.Empty(t, v.List())
	assert.False(t, v.Map("a").Get("a").Present())
}

// Any bytes are read or refused, and every problem has a place and one line.
func FuzzRead(f *testing.F) {
	for _, text := range []string{"name: x\nnumbers: [1]\nflag: true", "a: &a [*a]", "? x\n: y", "{[", "- - -", "\"", "|\n a", "a: >\n b", "%YAML 1.2\n---\na", "\x00", "name: \u202e"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		name, numbers, _, err := readAll(text)
		assert.NotContains(t, name, "\n")
		for _, n := range numbers {
			assert.True(t, n >= -10 && n <= 10)
		}
		var found finding.List
		if err != nil {
			require.True(t, errors.As(err, &found))
		}
		for _, f := range found {
			assert.Regexp(t, `^f\.yaml(:[1-9][0-9]*:[1-9][0-9]*)?$`, f.Where)
			assert.NotContains(t, f.Message+f.Hint, "\n")
			assert.NotContains(t, f.Message+f.Hint, "\x1b")
		}
	})
}

// BenchmarkRead reads the most that is read at all: flat, and as deep as may be.
func BenchmarkRead(b *testing.B) {
	for name, text := range map[string]string{
		"flat":   strings.Repeat("- {a: 1, b: [2, 3], c: word}\n", 1<<20/29),
		"keys":   "a:\n" + strings.Repeat("  - b: 1\n    c: 2\n", 1<<20/18),
		"dashes": strings.Repeat(strings.Repeat("- ", 900)+"1\n", 100),
		"colons": strings.Repeat(":", 2000),
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Read("f.yaml", []byte(text))
			}
		})
	}
}

// 40,000 keys in one mapping took the parser half a minute.
func TestTooManyKeys(t *testing.T) {
	var text strings.Builder
	for i := range 30_000 {
		fmt.Fprintf(&text, "k%d:\n", i)
	}
	assert.ErrorContains(t, Read("x.yaml", []byte(text.String())).Err(), "more than 500 keys")
}

// The bounds are on how deep a file is at one place and on the keys of one group, however
// long it is: what is closed, or stands beside it, does not add up.
func TestBoundsAreOfOnePlace(t *testing.T) {
	keys := func(n int, indent string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "%sk%d: 1\n", indent, i)
		}
		return b.String()
	}
	dashes := func(n int) string { return strings.Repeat("- ", n) + "1\n" }
	brackets := func(n int) string { return strings.Repeat("[", n) + "1" + strings.Repeat("]", n) }
	var stairs strings.Builder
	for i := range maxDepth {
		fmt.Fprintf(&stairs, "%*sk:\n", i, "")
	}
	stairs.WriteString(strings.Repeat(" ", maxDepth) + "1\n")
	for name, c := range map[string]struct{ text, want string }{
		"500 keys":                        {keys(500, ""), ""},
		"501 keys":                        {keys(501, ""), "more than 500 keys"},
		"twice 400, one group in another": {"a:\n" + keys(400, "  ") + keys(400, ""), ""},
		"501 in a group":                  {"a:\n" + keys(501, "  ") + "b: 1\n", "more than 500 keys"},
		"400 in each of three":            {"a:\n" + keys(400, "  ") + "b:\n" + keys(400, "  ") + "c:\n" + keys(400, "  "), ""},
		"40 brackets":                     {brackets(40), ""},
		"41 brackets":                     {brackets(41), "nested more than 40 deep"},
		"39 brackets, many times":         {"[" + strings.Repeat(brackets(39)+", ", 50) + "1]", ""},
		"40 dashes":                       {dashes(40), ""},
		"41 dashes":                       {dashes(41), "nested more than 40 deep"},
		"40 dashes, many times":           {strings.Repeat(dashes(40), 50), ""},
		"30 dashes before 11 brackets":    {strings.Repeat("- ", 30) + brackets(11), "nested more than 40 deep"},
		"30 dashes before 10 brackets":    {strings.Repeat(strings.Repeat("- ", 30)+brackets(10)+"\n", 20), ""},
		"40 groups in each other":         {stairs.String(), ""},
		"lists below their key":           {"a:\n- 1\n- 2\nb:\n- 3\n" + "c: {d: [1, 2], e: {f: 3}}\n", ""},
	} {
		err := Read("x.yaml", []byte(c.text)).Err()
		if c.want == "" {
			assert.NoError(t, err, name)
		} else {
			assert.ErrorContains(t, err, c.want, name)
		}
	}
}

// What stands for something written elsewhere is refused where a file must mean
// what a person reads in it, and read where it may.
func TestAliases(t *testing.T) {
	const text = "name: &n x\nflag: *n\n"
	assert.ErrorContains(t, Read("x.yaml", []byte(text)).Err(), "x.yaml:1:7: here is an anchor or an alias, which is not read")
	var log finding.Log
	root, ok := Parse(&log, "x.yaml", text, Options{Aliases: true, LongestText: 5})
	require.True(t, ok)
	assert.Equal(t, "x", root.Map("name", "flag").Get("flag").Text())
	root.Map("name", "flag", "size").Get("name").Tuple("[x, y]")
	assert.EqualError(t, log.All(), "error: x.yaml:1:10: `name` takes 2 values\nhint: write `name: [x, y]`")
}

// A fault of the parser is one of the file, not the end of the program.
func TestFaultOfTheParser(t *testing.T) {
	b := &builder{Log: &finding.Log{}, file: "x.yaml"}
	func() {
		defer b.survive()
		panic("the parser tripped")
	}()
	assert.EqualError(t, b.All(), "error: x.yaml:1:1: this is no YAML: it is not well formed\nhint: check the indentation; a text with : # { } [ ] & * or % in it has to be in quotes")
}

// What a terminal obeys and what turns the text around it, each alone, and what is neither.
func TestWhatATerminalNeverGets(t *testing.T) {
	for r, bad := range map[rune]bool{'a': false, 0xe4: false, 0x20: false, 0x2013: false, 0x4e00: false, 0x07: true, 0x1b: true, 0x7f: true, 0x85: true, 0x9b: true, 0x200e: true, 0x202e: true, 0x2066: true, 0xfffd: true} {
		_, err := line("x"+string(r)+"y", 9)
		assert.Equal(t, bad && r != 0x85, err != nil, "%U: %v", r, err) // U+0085 is white space, and collapsed
		want := "x" + string(r) + "y"
		if bad {
			want = fmt.Sprintf("x\\u%04xy", r)
		}
		assert.Equal(t, want, Shown("x"+string(r)+"y"))
		assert.Equal(t, "\n\t"+want, Shown("\n\tx"+string(r)+"y"))
	}
	_, err := line("1234 6789", 9)
	assert.NoError(t, err)
	_, err = line("1234 67890", 9)
	assert.ErrorContains(t, err, "has 10 characters, more than 9")
}
