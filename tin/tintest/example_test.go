package tintest_test

import (
	"fmt"

	"barrow/tin/tintest"
)

// A bank 2 m high with a level top of 14 x 6 m on a rim of 20 x 12 m.
func ExampleFrustum() {
	bank := tintest.Frustum([2]float64{20, 12}, [2]float64{14, 6}, 2)
	ground, err := bank.Surface()
	if err != nil {
		fmt.Println(err)
		return
	}
	if err := tintest.Check(ground, bank.Points...); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d spots, %d breaklines, %.0f m3 above its rim\n", len(bank.Points), len(bank.Breaklines), bank.Cut)
	// Output: 8 spots, 6 breaklines, 312 m3 above its rim
}
