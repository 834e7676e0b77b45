package coupon_test

import (
	"fmt"

	"traywright/cam/coupon"
	"traywright/geometry/units"
)

func ExampleParseLadder() {
	ladder, err := coupon.ParseLadder("stepdown=4 mm,1/4 in", units.Millimetre)
	fmt.Println(ladder.Key, ladder.Values, err)
	_, err = coupon.ParseLadder("feeed=600,900", units.Millimetre)
	fmt.Println(err)
	// Output:
	// stepdown [4 6.35] <nil>
	// a ladder cannot be over "feeed"; did you mean feed?
}
