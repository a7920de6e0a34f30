package takeoff

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A side that is round but for rounding stays so: 10,000 m2 have cells of 1 m, wherever
// the pad lies.
func TestRoundedDown(t *testing.T) {
	for _, tt := range [][2]float64{{1, 1}, {1 - 1e-12, 1}, {1 + 1e-12, 1}, {0.2 - 1e-12, 0.2}, {0.4846, 0.2}, {0.5, 0.5}, {4.99, 2}, {0.00099999, 0.0005}, {73, 50}} {
		require.InEpsilon(t, tt[1], roundedDown(tt[0]), 1e-12, "%v", tt[0])
	}
}
