package stock

import (
	"fmt"
	"strconv"
	"strings"

	"traywright/cam/job"
	"traywright/geometry/units"
)

// Rack is what is left of a stock as the text of a file that a job can name in its `stock`.
func (l Layout) Rack(j *job.Job) []byte {
	s, exact := j.Stock, func(l units.Length) string { return l.Exact(j.Units) }
	var b strings.Builder
	b.WriteString("# What is left when all is cut. Rows with a count and no price are at hand; the others can be bought.\n")
	b.WriteString("# No two rows have one name: write each on its foam.\n")
	fmt.Fprintf(&b, "margin: %s\nsheets:\n", exact(s.Margin))
	for _, row := range l.Left {
		b.WriteString("  - {")
		if row.Name != "" {
			fmt.Fprintf(&b, "name: %s, ", strconv.Quote(row.Name))
		}
		fmt.Fprintf(&b, "foam: %s, thickness: %s, size: [%s, %s]", row.Foam, exact(row.Thickness), exact(row.Length), exact(row.Width))
		if row.Count > 0 {
			fmt.Fprintf(&b, ", count: %d", row.Count)
		}
		if row.Price > 0 {
			fmt.Fprintf(&b, ", price: %s", strconv.FormatFloat(row.Price, 'f', -1, 64))
		}
		b.WriteString("}\n")
	}
	return []byte(b.String())
}
