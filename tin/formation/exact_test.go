package formation_test

import (
	"math/big"

	"github.com/paulmach/orb"
)

// exactArea returns the area of a ring in exact arithmetic on its coordinates,
// rounded once.
func exactArea(ring orb.Ring) float64 {
	twice := new(big.Rat)
	number := func(x float64) *big.Rat { return new(big.Rat).SetFloat64(x) }
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		twice.Add(twice, new(big.Rat).Mul(number(a[0]), number(b[1])))
		twice.Sub(twice, new(big.Rat).Mul(number(a[1]), number(b[0])))
	}
	twice.Abs(twice)
	area, _ := twice.Quo(twice, number(2)).Float64()
	return area
}
