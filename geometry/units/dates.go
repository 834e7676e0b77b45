package units

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Dated says of a text in a column of numbers that it is a date, and which fraction a
// spreadsheet has probably made it of; nil where it is none. It knows dates as
// spreadsheets print them (8-Mar, Mar-08, 01. Feb, 3/8/26, 2026-03-08) and the whole
// numbers that they keep for the days of 2000 to 2099.
func Dated(text string) error {
	t := strings.ToLower(tidy(text))
	one, other, ok := dayAndMonth(t)
	if !ok {
		return nil
	}
	made, again := " such as 3/8", "the fraction that it was again, with its unit"
	for _, f := range [][2]int{{one, other}, {other, one}} {
		if f[0] > 0 && f[0] < f[1] && slices.Contains([]int{2, 4, 8, 16, 32, 64}, f[1]) {
			made, again = fmt.Sprintf(", here probably of %d/%d", f[0], f[1]), fmt.Sprintf("it again as %d/%d in", f[0], f[1])
			break
		}
	}
	if _, err := strconv.Atoi(t); err == nil { // a number may be a size as well
		return fmt.Errorf("is typed wrong, or is the number that a spreadsheet keeps for a date: it makes one of a fraction%s; type the size again, with its unit, or set its column to text first", made)
	}
	return fmt.Errorf("looks like a date: a spreadsheet makes one of a fraction%s; type %s, or set its column to text first", made, again)
}

// dayAndMonth are the two numbers that somebody typed, in either order; 0 for one that
// the date does not show.
func dayAndMonth(t string) (one, other int, ok bool) {
	if days, err := strconv.Atoi(t); err == nil && len(t) == 5 {
		day := time.Date(1899, time.December, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, days)
		return int(day.Month()), day.Day(), day.Year() >= 2000 && day.Year() < 2100
	}
	if m := numbered.FindStringSubmatch(t); m != nil && m[2] == m[4] {
		parts := []string{m[1], m[3], m[5]}
		switch {
		case len(m[1]) == 4 && len(m[5]) <= 2: // the year first
			parts = parts[1:]
		case len(m[1]) > 2 || len(m[5]) != 2 && len(m[5]) != 4:
			return 0, 0, false
		}
		one, _ = strconv.Atoi(parts[0])
		other, _ = strconv.Atoi(parts[1])
		return one, other, true
	}
	return named(t)
}

var (
	numbered  = regexp.MustCompile(`^(\d{1,4})([-/.])(\d{1,2})([-/.])(\d{1,4})(?:[ t]\d{1,2}:\d{2}(?::\d{2})?)?$`)
	dateParts = regexp.MustCompile(`\d+|\pL+|[^\d\pL]+`)
)

// months are how the names of months begin, in the languages of most spreadsheets.
var months = [...]string{"jan ene gen", "feb fév fev", "mar mär mrz mrt", "apr avr abr", "may mai mei mag", "jun juin giu", "jul juil lug",
	"aug aoû aou ago", "sep set", "oct okt ott out", "nov", "dec dez déc dic"}

// named is a date that names its month.
func named(t string) (month, number int, ok bool) {
	numbers := 0
	for _, part := range dateParts.FindAllString(t, 6) {
		n, err := strconv.Atoi(part)
		switch {
		case err == nil:
			if numbers++; number == 0 && len(part) <= 2 {
				number = n
			}
		case strings.Trim(part, "-/. ") == "":
		case month > 0 || len([]rune(part)) < 3:
			return 0, 0, false
		default:
			month = 1 + slices.IndexFunc(months[:], func(names string) bool {
				return slices.ContainsFunc(strings.Fields(names), func(name string) bool { return strings.HasPrefix(part, name) })
			})
		}
	}
	return month, number, month > 0 && numbers > 0 && numbers < 3
}
