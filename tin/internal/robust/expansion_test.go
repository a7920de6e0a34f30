package robust

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func ratOf(e []float64) *big.Rat {
	total := new(big.Rat)
	for _, r := range rats(e...) {
		total.Add(total, r)
	}
	return total
}

// lowestBit returns the exponent of the last bit of x that is set.
func lowestBit(x float64) int {
	m, exp := math.Frexp(x)
	for m != math.Trunc(m) {
		m *= 2
		exp--
	}
	return exp
}

// requireExpansion checks what is promised: no zero, rising, no bits in common.
func requireExpansion(t *testing.T, e []float64) {
	t.Helper()
	for i, x := range e {
		if x == 0 || i > 0 && math.Abs(e[i-1]) >= math.Ldexp(1, lowestBit(x)) {
			require.Fail(t, "zero or overlapping component", "%v", e)
		}
	}
}

// randomExpansion is built as the package builds them.
func randomExpansion(r *rand.Rand, spread int) []float64 {
	number := func() float64 { return math.Ldexp(r.Float64()-0.5, r.IntN(2*spread+1)-spread) }
	var h [16]float64
	var d [4]difference
	for i := range d {
		d[i] = subtract(number(), number())
		if r.IntN(4) == 0 {
			d[i].tail = 0
		}
	}
	return wideMinor(&h, d[0], d[1], d[2], d[3])
}

func TestErrorFreeSteps(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for range 3000 {
		a, b := wide(r), wide(r)
		if r.IntN(2) == 0 {
			b = a * (1 + r.Float64())
		}
		for _, c := range []struct {
			name string
			f    func(a, b float64) (float64, float64)
			want *big.Rat
		}{
			{"twoSum", twoSum, radd(rats(a)[0], rats(b)[0])},
			{"twoDiff", twoDiff, rsub(rats(a)[0], rats(b)[0])},
			{"twoProduct", twoProduct, rmul(rats(a)[0], rats(b)[0])},
		} {
			x, y := c.f(a, b)
			require.Zero(t, c.want.Cmp(ratOf([]float64{x, y})), "%s(%g, %g)", c.name, a, b)
			require.Equal(t, x, x+y, "%s(%g, %g): the first is the rounded result", c.name, a, b)
		}
	}
}

func TestExpansions(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	longest := 0
	for _, spread := range []int{0, 2, 60, 100} {
		for range 300 {
			e, f, b := randomExpansion(r, spread), randomExpansion(r, spread), r.Float64()-0.5
			requireExpansion(t, e)
			longest = max(longest, len(e))

			h := sum(make([]float64, len(e)+len(f)), e, f)
			requireExpansion(t, h)
			require.Zero(t, radd(ratOf(e), ratOf(f)).Cmp(ratOf(h)))
			require.Equal(t, ratOf(h).Sign(), signOf(h))

			k := scale(make([]float64, 2*len(e)), e, b)
			requireExpansion(t, k)
			require.Zero(t, rmul(ratOf(e), rats(b)[0]).Cmp(ratOf(k)))

			before := ratOf(h)
			c := compress(h)
			requireExpansion(t, c)
			require.Zero(t, before.Cmp(ratOf(c)))
			if len(c) > 0 { // compareExpansions relies on this
				last := c[len(c)-1]
				rest := new(big.Rat).Abs(rsub(before, rats(last)[0]))
				require.Negative(t, rest.Cmp(rats(2 * ulpHalf * math.Abs(last))[0]), "%v", c)
			}

			g := randomExpansion(r, spread)
			product := rsub(rmul(ratOf(e), ratOf(f)), rmul(ratOf(g), ratOf(c)))
			require.Equal(t, product.Sign(), compareExpansions(e, f, g, c))
			require.Equal(t, 0, compareExpansions(e, f, f, e))
			require.Equal(t, product.Sign(), compareWide(e, f, g, c[max(0, len(c)-16):]))
		}
	}
	assert.Greater(t, longest, 4)
}
