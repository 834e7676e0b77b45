package strict

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
	var problems Problems
	require.True(t, errors.As(err, &problems))
	assert.Equal(t, []string{
		"f.yaml:1:1: name is missing",
		`f.yaml:1:7: flag: "maybe" is not known here (known are true, false)`,
		"f.yaml:4:5: numbers[2]: 11 is not from -10 to 10",
		"f.yaml:5:5: numbers[3]: is `key: value`, not a text or a number",
		"f.yaml:6:1: nmae: there is no such key (did you mean name?)",
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
	assert.Empty(t, v.Text()+v.Name()+v.Scalar()+v.OneOf("a"))
	assert.Zero(t, v.Number(1, 2))
	assert.Empty(t, v.List())
	assert.False(t, v.Map("a").Get("a").Present())
	assert.Empty(t, Problems{}.Error())
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
		var problems Problems
		if err != nil {
			require.True(t, errors.As(err, &problems))
		}
		for _, p := range problems {
			assert.True(t, p.Line > 0 && p.Column > 0, p)
			assert.NotContains(t, p.Error(), "\n")
			assert.NotContains(t, p.Error(), "\x1b")
		}
	})
}

// BenchmarkRead reads the most that is read at all: flat, and as deep as may be.
func BenchmarkRead(b *testing.B) {
	for name, text := range map[string]string{
		"flat":   strings.Repeat("- {a: 1, b: [2, 3], c: word}\n", maxBytes/29),
		"keys":   "a:\n" + strings.Repeat("  - b: 1\n    c: 2\n", maxBytes/18),
		"dashes": strings.Repeat(strings.Repeat("- ", 900)+"1\n", 100),
		"colons": strings.Repeat(":", maxLine-1),
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Read("f.yaml", []byte(text))
			}
		})
	}
}

// 40,000 keys in one mapping took the parser half a minute.
func TestTooManyLines(t *testing.T) {
	var text strings.Builder
	for i := range 30_000 {
		fmt.Fprintf(&text, "k%d:\n", i)
	}
	assert.ErrorContains(t, Read("x.yaml", []byte(text.String())).Err(), "more than 5000 lines")
}
