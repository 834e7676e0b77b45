package page

import (
	"fmt"

	"github.com/golang/freetype/truetype"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// parseFonts are the two Go fonts that pictures and paper are set in. An error is a
// fault of the program.
func parseFonts() (regular, bold *truetype.Font, err error) {
	if regular, err = truetype.Parse(goregular.TTF); err != nil {
		return nil, nil, fmt.Errorf("regular font: %w", err)
	}
	if bold, err = truetype.Parse(gobold.TTF); err != nil {
		return nil, nil, fmt.Errorf("bold font: %w", err)
	}
	return regular, bold, nil
}
