package robust_test

import (
	"fmt"

	"barrow/tin/internal/robust"
)

func Example() {
	// Three pegs on one line, 0.1 m, 0.2 m and 0.3 m out. In metres the doubles are
	// not in line; in whole millimetres the pegs are.
	fmt.Println(robust.Orient(0.1, 1, 0.2, 2, 0.3, 3))
	fmt.Println(robust.OrientWhole(100, 1000, 200, 2000, 300, 3000))
	// Output:
	// 1
	// 0
}

func ExampleOrient() {
	fmt.Println(robust.Orient(0, 0, 10, 0, 10, 10)) // turns left
	fmt.Println(robust.Orient(0, 0, 10, 0, 20, 0))  // in line
	// Output:
	// 1
	// 0
}

func ExampleInCircle() {
	// The circle round a 10 m square, corners anticlockwise.
	fmt.Println(robust.InCircle(0, 0, 10, 0, 10, 10, 5, 5))  // the middle
	fmt.Println(robust.InCircle(0, 0, 10, 0, 10, 10, 0, 10)) // the fourth corner
	fmt.Println(robust.InCircle(0, 0, 10, 0, 10, 10, 0, 11)) // beyond it
	// Output:
	// 1
	// 0
	// -1
}
