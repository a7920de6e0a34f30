package robust

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOrientKnown(t *testing.T) {
	for _, c := range []struct {
		name string
		p    [6]float64
		want int
	}{
		{"anticlockwise", [6]float64{0, 0, 1, 0, 0, 1}, +1},
		{"clockwise", [6]float64{0, 0, 0, 1, 1, 0}, -1},
		{"in line", [6]float64{0, 0, 1, 1, 3, 3}, 0},
		{"two coincide", [6]float64{0.1, 0.7, 0.1, 0.7, 5, 3}, 0},
		{"all coincide", [6]float64{0.1, 0.7, 0.1, 0.7, 0.1, 0.7}, 0},
		{"left by one ulp", [6]float64{0, 0, 12, 12, 24, nudge(24, 1)}, +1},
		{"right by one ulp", [6]float64{0, 0, 12, 12, 24, nudge(24, -1)}, -1},
		// 0.1, 0.2, 0.3 are not doubles: fl(0.3) is less than three times fl(0.1).
		{"tenths are not in line with themselves thrice", [6]float64{0, 0, 0.1, 1, 0.3, 3}, +1},
		{"greatest", [6]float64{-1e50, -1e50, 1e50, 1e50, 1e50, nudge(1e50, -1)}, -1},
		{"smallest", [6]float64{0, 0, 1e-50, 1e-50, 1e-50, nudge(1e-50, 1)}, +1},
		{"both", [6]float64{-1e50, -1e50, 1e50, 1e50, 1e-50, nudge(1e-50, 1)}, +1},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := c.p
			got := Orient(p[0], p[1], p[2], p[3], p[4], p[5])
			assert.Equal(t, c.want, got)
			assert.Equal(t, c.want, ratOrient(p[0], p[1], p[2], p[3], p[4], p[5]), "the table itself")
		})
	}
}

func TestInCircleKnown(t *testing.T) {
	for _, c := range []struct {
		name string
		p    four
		want int
	}{
		{"inside", four{1, 0, 0, 1, -1, 0, 0, 0}, +1},
		{"outside", four{1, 0, 0, 1, -1, 0, 2, 2}, -1},
		{"on", four{1, 0, 0, 1, -1, 0, 0, -1}, 0},
		{"clockwise, inside", four{-1, 0, 0, 1, 1, 0, 0, 0}, -1},
		{"d is a corner", four{1, 0, 0, 1, -1, 0, 0, 1}, 0},
		{"a and b coincide", four{1, 2, 1, 2, -1, 0, 0, 5}, 0},
		{"all in line", four{0, 0, 1, 1, 2, 2, 5, 5}, 0},
		{"inside by one ulp", four{1, 0, 0, 1, -1, 0, 0, nudge(-1, 1)}, +1},
		{"outside by one ulp", four{1, 0, 0, 1, -1, 0, 0, nudge(-1, -1)}, -1},
		{"greatest", four{1e50, -1e50, 1e50, 1e50, -1e50, 1e50, -1e50, nudge(-1e50, 1)}, +1},
		{"smallest", four{1e-50, 0, 0, 1e-50, -1e-50, 0, 0, nudge(-1e-50, -1)}, -1},
		{"smallest difference in a great circle", four{1e50, 0, 0, 1e50, -1e50, 0, 1e-50, -1e50}, -1},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, inCircleOf(c.p))
			p := c.p
			assert.Equal(t, c.want, ratInCircle(p[0], p[1], p[2], p[3], p[4], p[5], p[6], p[7]), "the table itself")
		})
	}
}

func inCircleOf(p four) int {
	return InCircle(p[0], p[1], p[2], p[3], p[4], p[5], p[6], p[7])
}

// permutations of four points, each with the sign of its parity.
func permutations() (perms [][4]int, signs []int) {
	var walk func(p [4]int, k, s int)
	walk = func(p [4]int, k, s int) {
		if k == 4 {
			perms, signs = append(perms, p), append(signs, s)
			return
		}
		for i := k; i < 4; i++ {
			q, s2 := p, s
			if i != k {
				q[i], q[k] = q[k], q[i]
				s2 = -s
			}
			walk(q, k+1, s2)
		}
	}
	walk([4]int{0, 1, 2, 3}, 0, 1)
	return perms, signs
}

// same is require.Equal for the inner loops: it prepares no message unless there is
// something to say.
func same(t require.TestingT, want, got int, what string, q four, order []int) {
	if want != got {
		require.Equal(t, want, got, "%s of %v in order %v", what, q, order)
	}
}

// checkOrient holds Orient, and each of its stages where it may answer, against
// the oracle, for the first three points in all orders.
func checkOrient(t require.TestingT, q four) {
	want := ratOrient(q[0], q[1], q[2], q[3], q[4], q[5])
	for _, p := range [][3]int{{0, 1, 2}, {1, 2, 0}, {2, 0, 1}, {0, 2, 1}, {2, 1, 0}, {1, 0, 2}} {
		if p == [3]int{0, 2, 1} {
			want = -want // the last three orders turn the other way
		}
		ax, ay, bx, by, cx, cy := q[2*p[0]], q[2*p[0]+1], q[2*p[1]], q[2*p[1]+1], q[2*p[2]], q[2*p[2]+1]
		same(t, want, Orient(ax, ay, bx, by, cx, cy), "Orient", q, p[:])
		if s, ok := orientFilter(ax, ay, bx, by, cx, cy); ok {
			same(t, want, s, "filter", q, p[:])
		}
		if s, ok := orientExactDiffs(ax, ay, bx, by, cx, cy); ok {
			same(t, want, s, "exact differences", q, p[:])
		}
		same(t, want, orientExpansion(ax, ay, bx, by, cx, cy), "expansion", q, p[:])
	}
}

// checkInCircle does the same for InCircle.
func checkInCircle(t require.TestingT, q four) {
	want := ratInCircle(q[0], q[1], q[2], q[3], q[4], q[5], q[6], q[7])
	perms, signs := permutations()
	for i, p := range perms {
		var m four
		for k := range 4 {
			m[2*k], m[2*k+1] = q[2*p[k]], q[2*p[k]+1]
		}
		w := signs[i] * want
		same(t, w, inCircleOf(m), "InCircle", q, p[:])
		if s, ok := inCircleFilter(m[0], m[1], m[2], m[3], m[4], m[5], m[6], m[7]); ok {
			same(t, w, s, "filter", q, p[:])
		}
		var d differences
		if d.set(m[0], m[1], m[2], m[3], m[4], m[5], m[6], m[7]) {
			if s, ok := d.inCircleShort(); ok {
				same(t, w, s, "short", q, p[:])
			}
			same(t, w, d.inCircleExactDiffs(), "exact differences", q, p[:])
		}
		same(t, w, d.inCircleExpansion(), "expansion", q, p[:])
	}
}

func requireInRange(t require.TestingT, q four) {
	for _, x := range q {
		if !InRange(x) {
			require.Fail(t, "out of range", "%v", q)
		}
	}
}

func TestAgainstOracle(t *testing.T) {
	n := 300
	if testing.Short() {
		n = 50
	}
	for _, f := range families() {
		t.Run(f.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(3, 4))
			for range n {
				q := f.make(r)
				requireInRange(t, q)
				checkOrient(t, q)
				checkInCircle(t, q)
			}
		})
	}
}

// The picture of a rounded orientation test that breaks up near a line, on 64 x 64
// neighbours of (0.5, 0.5) (Kettner et al., Classroom examples of robustness
// problems, 2008; from memory).
func TestOrientNeighboursOfALine(t *testing.T) {
	const step = 1.0 / (1 << 53)
	plain, zero := 0, 0
	for i := range 64 {
		for j := range 64 {
			x, y := 0.5+float64(i)*step, 0.5+float64(j)*step
			want := 0
			switch {
			case y > x:
				want = +1
			case y < x:
				want = -1
			}
			same(t, want, Orient(12, 12, 24, 24, x, y), "Orient", four{12, 12, 24, 24, x, y}, []int{0, 1, 2})
			if want == 0 {
				zero++
			}
			if sign(float64((12-x)*(24-y))-float64((12-y)*(24-x))) != want {
				plain++
			}
		}
	}
	assert.Positive(t, zero)
	assert.Positive(t, plain, "the plain formula is wrong somewhere, or the test shows nothing")
}

// Every case must be reached by the families, or the tests above prove little.
func TestFamiliesReachEveryStage(t *testing.T) {
	orient, inCircle := map[int]int{}, map[int]int{}
	wideMinors, notTied := 0, 0
	for _, f := range families() {
		r := rand.New(rand.NewPCG(3, 4))
		for range 300 {
			q := f.make(r)
			orient[orientStage(q)]++
			stage := inCircleStage(q)
			inCircle[stage]++
			if stage < 3 {
				continue
			}
			if inCircleOf(q) != 0 {
				notTied++
			}
			var d differences
			d.set(q[0], q[1], q[2], q[3], q[4], q[5], q[6], q[7])
			var m [2][16]float64
			cross := wideMinor(&m[0], d.abx, d.ady, d.aby.neg(), d.adx)
			scalar := wideMinor(&m[1], d.acx, d.bcx, d.acy, d.bcy)
			if len(cross)*len(scalar) > smallProduct {
				wideMinors++
			}
		}
	}
	for stage := 1; stage <= 3; stage++ {
		assert.Positive(t, orient[stage], "Orient stage %d", stage)
	}
	for stage := 1; stage <= 4; stage++ {
		assert.Positive(t, inCircle[stage], "InCircle stage %d", stage)
	}
	assert.Positive(t, wideMinors, "long expansions")
	assert.Positive(t, notTied, "near-ties that are none")
}

func TestInRange(t *testing.T) {
	for _, x := range []float64{0, math.Copysign(0, -1), 1, -6e6, 1e-50, -1e-50, 1e50, -1e50} {
		assert.True(t, InRange(x), "%g", x)
	}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), nudge(1e-50, -1), nudge(1e50, 1), 5e-324, math.MaxFloat64} {
		assert.False(t, InRange(x), "%g", x)
	}
	// The proof at InRange needs these.
	_, exp := math.Frexp(smallest)
	assert.GreaterOrEqual(t, exp-53, -219)
	_, exp = math.Frexp(greatest)
	assert.LessOrEqual(t, exp, 167)
}

// Negative zero is zero.
func TestNegativeZero(t *testing.T) {
	z := math.Copysign(0, -1)
	assert.Equal(t, 0, Orient(z, 0, 0, z, 1, 1))
	assert.Equal(t, +1, Orient(z, z, 1, z, z, 1))
	assert.Equal(t, 0, InCircle(z, z, 1, z, 1, 1, z, 1))
	assert.Equal(t, 0, OrientWhole(z, 0, 0, z, 1, 1))
	assert.Equal(t, 0, InCircleWhole(z, z, 1, z, 1, 1, z, 1))
}

// Numbers out of range have no right answer, but must not panic or hang.
func TestOutOfRangeAnswers(t *testing.T) {
	odd := []float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, 5e-324, -1e-300, 0, 1, 0.1}
	r := rand.New(rand.NewPCG(5, 6))
	isSign := func(s int) {
		if s < -1 || s > 1 {
			assert.Fail(t, "not a sign", "%d", s)
		}
	}
	for range 20000 {
		var q four
		for i := range q {
			q[i] = odd[r.IntN(len(odd))]
		}
		isSign(Orient(q[0], q[1], q[2], q[3], q[4], q[5]))
		isSign(inCircleOf(q))
		isSign(orientExpansion(q[0], q[1], q[2], q[3], q[4], q[5]))
		var d differences
		d.set(q[0], q[1], q[2], q[3], q[4], q[5], q[6], q[7])
		isSign(d.inCircleExactDiffs())
		isSign(d.inCircleExpansion())
	}
}

func TestNothingIsAllocated(t *testing.T) {
	full := math.Pi / 3
	for stage, q := range map[int]four{
		1: {0, 0, 1, 0, 0, 1, 5, 5},
		2: {0, 0, 1, 0, 1, 1, 0, 1},
		3: {6e6 + 0.1, 6e6 + 0.1, 6e6 + 0.7, 6e6 + 0.1, 6e6 + 0.7, 6e6 + 0.7, 6e6 + 0.1, 6e6 + 0.7},
		4: {-full * 1e-30, full, full * 1e-30, full, math.E * 1e5, 7.7, -math.E * 1e5, 7.7},
	} {
		require.Equal(t, stage, inCircleStage(q))
		assert.Zero(t, testing.AllocsPerRun(100, func() { sink += inCircleOf(q) }), "InCircle stage %d", stage)
	}
	for stage, q := range map[int]four{
		1: {0, 0, 1, 0, 0, 1},
		2: {0, 0, 1, 1, 3, 3},
		3: {0.1, 0.1, 0.7, 0.7, 1e5 / 3.0, 1e5 / 3.0},
	} {
		require.Equal(t, stage, orientStage(q))
		assert.Zero(t, testing.AllocsPerRun(100, func() { sink += Orient(q[0], q[1], q[2], q[3], q[4], q[5]) }), "Orient stage %d", stage)
	}
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		sink += OrientWhole(0, 0, 1, 1, 2, 2) + InCircleWhole(0, 0, 1, 0, 1, 1, 0, 1)
	}))
}
