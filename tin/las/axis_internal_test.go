package las

import (
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Coordinates that a product and a sum of doubles give with an error, as decimals.
// The first is the least northing in the header of testdata/autzen-pad's source.
func TestNearestDecimal(t *testing.T) {
	for _, c := range []struct {
		x             int32
		scale, offset float64
		want          float64
	}{
		{84893520, 0.01, 0, 848935.2}, // 848935.2000000001 as a product
		{3, 0.1, 0, 0.3},              // 0.30000000000000004
		{63716207, 0.01, 0, 637162.07},
		{123456789, 0.001, 500000, 623456.789},
		{-7, 0.0001, 1234567.8901, 1234567.8894},
		{1, 0.00025, 0.1, 0.10025},
		{math.MaxInt32, 1e-7, -120, 94.7483647},
		{math.MinInt32, 1e-7, 1e6, 999785.2516352},
		{5, 10, 100, 150},
		{5, 1e3, 1e9, 1000005000},
	} {
		a := newAxis(c.scale, c.offset)
		assert.True(t, a.decimal)
		assert.Equal(t, c.want, a.at(c.x))
	}
}

// Against exact arithmetic: decimals of any length, and scales that are none.
func TestAxisAgainstExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	decimals, beyond := 0, 0
	check := func(a axis, x int32, value func(float64) *big.Rat) {
		t.Helper()
		exact := new(big.Rat).Mul(value(a.scale), new(big.Rat).SetInt64(int64(x)))
		want, _ := exact.Add(exact, value(a.offset)).Float64()
		require.Equal(t, want, a.at(x), "%v * %v + %v", x, a.scale, a.offset)
	}
	for range 200_000 {
		digits := rng.IntN(13)
		scale := decimal(rng.Int64N(int64(1)<<rng.IntN(20)+1)+1, digits)
		offset := decimal(rng.Int64N(1<<52)-1<<51, rng.IntN(10)+3)
		x := int32(rng.Uint32())
		a := newAxis(scale, offset)
		if !a.decimal { // too many digits for an int64
			check(a, x, asDouble)
			continue
		}
		decimals++
		check(a, x, ratOf)
		if abs(a.whole(x)) >= 1<<53 {
			beyond++
		}
	}
	assert.Greater(t, decimals, 120_000)
	assert.Greater(t, beyond, 1000, "numbers beyond 2^53 were among them")

	for range 100_000 { // odd scales, as those of 9.2e-8 that some programs write
		scale, offset := 1e-7*rng.Float64(), 1e5*rng.NormFloat64()
		x := int32(rng.Uint32())
		a := newAxis(scale, offset)
		require.False(t, a.decimal)
		check(a, x, asDouble)
	}
}

// asDouble is v itself.
func asDouble(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }

func decimal(n int64, digits int) float64 {
	v, err := strconv.ParseFloat(strconv.FormatInt(n, 10)+"e-"+strconv.Itoa(digits), 64)
	if err != nil {
		panic(err)
	}
	return v
}

// ratOf is the decimal that v stands for: the shortest that gives v again.
func ratOf(v float64) *big.Rat {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(v, 'g', -1, 64))
	if !ok {
		panic(v)
	}
	return r
}

func TestShortest(t *testing.T) {
	for _, c := range []struct {
		v        float64
		digits   int64
		exponent int
	}{
		{0, 0, 0}, {1, 1, 0}, {0.01, 1, -2}, {-0.00025, -25, -5}, {500000, 5, 5}, {848935.2, 8489352, -1},
		{1e-300, 1, -300}, {1.7976931348623157e308, 17976931348623157, 292}, {-12.5, -125, -1},
	} {
		digits, exponent := shortest(c.v)
		assert.Equal(t, c.digits, digits, "%v", c.v)
		assert.Equal(t, c.exponent, exponent, "%v", c.v)
	}
}

func TestFloorDiv(t *testing.T) {
	for _, c := range [][3]int64{{7, 3, 2}, {6, 3, 2}, {0, 3, 0}, {-1, 3, -1}, {-3, 3, -1}, {-4, 3, -2}} {
		assert.Equal(t, c[2], floorDiv(c[0], c[1]), "%v", c)
	}
}
