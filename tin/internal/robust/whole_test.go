package robust

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func inCircleWholeOf(p four) int {
	return InCircleWhole(p[0], p[1], p[2], p[3], p[4], p[5], p[6], p[7])
}

// wholeFirstStep answers where InCircleWhole needs no integers.
func wholeFirstStep(q four) (s int, ok bool) {
	return compareRounded(
		wholeCross(q[0], q[1], q[2], q[3], q[6], q[7]), wholeScalar(q[0], q[1], q[2], q[3], q[4], q[5]),
		wholeCross(q[0], q[1], q[2], q[3], q[4], q[5]), wholeScalar(q[0], q[1], q[2], q[3], q[6], q[7]))
}

func ints(q ...float64) []*big.Int {
	r := make([]*big.Int, len(q))
	for i, x := range q {
		r[i] = big.NewInt(int64(x))
	}
	return r
}

func bigCross(a, b, c, d *big.Int) *big.Int {
	l, r := new(big.Int).Mul(a, d), new(big.Int).Mul(b, c)
	return l.Sub(l, r)
}

func bigOrient(q four) int {
	r := ints(q[:6]...)
	sub := func(i, j int) *big.Int { return new(big.Int).Sub(r[i], r[j]) }
	return bigCross(sub(2, 0), sub(3, 1), sub(4, 0), sub(5, 1)).Sign()
}

func bigInCircle(q four) int {
	r := ints(q[:]...)
	var x, y, w [3]*big.Int
	for i := range 3 {
		x[i], y[i] = new(big.Int).Sub(r[2*i], r[6]), new(big.Int).Sub(r[2*i+1], r[7])
		w[i] = new(big.Int).Mul(x[i], x[i])
		w[i].Add(w[i], new(big.Int).Mul(y[i], y[i]))
	}
	det := new(big.Int)
	for i := range 3 {
		j, k := (i+1)%3, (i+2)%3
		det.Add(det, new(big.Int).Mul(w[i], bigCross(x[j], y[j], x[k], y[k])))
	}
	return det.Sign()
}

func checkWhole(t require.TestingT, q four) {
	order := []int{0, 1, 2, 3}
	same(t, bigOrient(q), OrientWhole(q[0], q[1], q[2], q[3], q[4], q[5]), "OrientWhole", q, order)
	want := bigInCircle(q)
	same(t, want, inCircleWholeOf(q), "InCircleWhole", q, order)
	same(t, want, inCircleOf(q), "InCircle", q, order)
	same(t, -want, InCircleWhole(q[2], q[3], q[0], q[1], q[4], q[5], q[6], q[7]), "InCircleWhole", q, []int{1, 0, 2, 3})
}

func TestWholeAgainstBigInt(t *testing.T) {
	const last = WholeLimit - 1
	for _, f := range []family{
		{"random", wholeFour},
		{"small", func(r *rand.Rand) (q four) {
			for i := range q {
				q[i] = float64(r.IntN(9) - 4)
			}
			return q
		}},
		{"full span", func(r *rand.Rand) (q four) {
			for i := range q {
				q[i] = float64(r.IntN(WholeLimit))
			}
			return q
		}},
		{"corners of the span", func(r *rand.Rand) (q four) {
			for i := range q {
				q[i] = float64(r.IntN(2) * last)
			}
			return q
		}},
		{"near the corners of the span", func(r *rand.Rand) (q four) {
			for i := range q {
				if q[i] = float64(r.IntN(4)); r.IntN(2) == 0 {
					q[i] = last - q[i]
				}
			}
			return q
		}},
		{"far from the origin", func(r *rand.Rand) (q four) {
			for i := range q {
				q[i] = 1<<52 + float64(r.IntN(1<<26))
			}
			return q
		}},
		{"circle", circle65(0, 0, 500_000)},
		{"circle, a unit off", func(r *rand.Rand) four {
			q := circle65(0, 0, 500_000)(r)
			q[r.IntN(8)] += float64(r.IntN(3) - 1)
			return q
		}},
		{"grid", gridFour(0, 0, 50_000)},
		{"line", lineFour(0, 0, 50_000)},
	} {
		t.Run(f.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(9, 10))
			for range 2000 {
				checkWhole(t, f.make(r))
			}
		})
	}
}

// A square as great as the lane allows, its corners displaced so that the first
// order cancels, has a determinant that is lost in the rounding of the products.
// The last step of InCircleWhole must see it.
func TestWholeSeesWhatRoundingHides(t *testing.T) {
	hidden := 0
	for _, side := range []float64{WholeLimit - 4, WholeLimit - 5, WholeLimit - 77} {
		for k := range 625 {
			var m [4]float64
			for j := range m {
				m[j] = float64(k%5 - 2)
				k /= 5
			}
			q := four{0, 0, side, 0, side + m[0], side + m[1], m[2], side + m[3]}
			checkWhole(t, q)
			_, ok := wholeFirstStep(q)
			if !ok && bigInCircle(q) != 0 {
				hidden++
			}
		}
	}
	assert.Positive(t, hidden, "no case got as far as the last step")
}
