package takeoff

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"barrow/tin"
)

// Published ratios: 1 ft = 0.3048 m exactly (EPSG unit 9002), 1 ftUS = 1200/3937 m
// (EPSG unit 9003); the others by hand from these.
func TestConverterOfPublishedRatios(t *testing.T) {
	for _, c := range []struct {
		from, to tin.Unit
		v, want  float64
	}{
		{tin.Foot, tin.Metre, 1, 0.3048},
		{tin.Foot, tin.Metre, 500000.12, 152400.036576},
		{tin.SurveyFoot, tin.Metre, 3937, 1200},
		{tin.SurveyFoot, tin.Metre, 39.37, 12},
		{tin.Metre, tin.SurveyFoot, 1200, 3937},
		{tin.Metre, tin.SurveyFoot, 0.003, 0.0098425},
		{tin.Metre, tin.Foot, 0.3048, 1},
		{tin.Foot, tin.SurveyFoot, 500000, 499999},
		{tin.SurveyFoot, tin.Foot, 499999, 500000},
		{0.001, tin.Metre, 175, 0.175},
		{0.001, tin.Foot, 3048.5, 10.001640419947506561679790026246719160},
		{1609.344, tin.Foot, 0.001, 5.28},
	} {
		assert.Equal(t, c.want, newConverter(c.from, c.to).of(c.v), "%v %v in %v", c.v, c.from, c.to)
	}
}

func TestConverterKeepsTheBitsOfOneUnit(t *testing.T) {
	c := newConverter(0, tin.Metre)
	for _, v := range []float64{0.1, math.Copysign(0, -1), math.NaN(), 1e300, 0x1.fffffffffffffp-3} {
		assert.Equal(t, math.Float64bits(v), math.Float64bits(c.of(v)))
	}
	assert.True(t, math.IsNaN(newConverter(tin.Foot, tin.Metre).of(math.NaN())), "a level that is missing stays missing")
}

// The decimal of the file times the ratio, by rational arithmetic, rounded once.
func TestConverterRoundsOnce(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	units := []tin.Unit{tin.Metre, tin.Foot, tin.SurveyFoot, 0.001, 0.0254, 1000, 0.30480061}
	for n := range 60000 {
		from, to := units[n%len(units)], units[rng.IntN(len(units))]
		text := fmt.Sprintf("%.*f", rng.IntN(mostPlaces+1), (rng.Float64()-0.3)*math.Pow10(rng.IntN(7)))
		v, _ := strconv.ParseFloat(text, 64)
		if digits, _ := decimal(v); math.Abs(digits) >= 1e15 {
			continue // more digits than a float64 tells apart
		}
		exact, _ := new(big.Rat).SetString(text)
		exact.Mul(exact, metresExactly(from)).Quo(exact, metresExactly(to))
		want, _ := exact.Float64()
		if got := newConverter(from, to).of(v); !sameUnit(from, to) && got != want {
			t.Fatalf("%s from %v to %v: %v, want %v", text, from, to, got, want)
		}
	}
}

// A number that is no decimal of few places is taken as the float64 it is.
func TestConverterOfOtherNumbers(t *testing.T) {
	v := math.Pi * 1e5
	exact := new(big.Rat).SetFloat64(v)
	exact.Mul(exact, big.NewRat(1200, 3937))
	want, _ := exact.Float64()
	assert.Equal(t, want, newConverter(tin.SurveyFoot, tin.Metre).of(v))
	assert.Equal(t, 1e300*0.3048, newConverter(tin.Foot, tin.Metre).of(1e300))
}

func BenchmarkConverter(b *testing.B) {
	c := newConverter(tin.SurveyFoot, tin.Metre)
	v := 0.0
	for n := 0; b.Loop(); n++ {
		v += c.of(float64(600000000+n) / 1000)
	}
	_ = v
}
