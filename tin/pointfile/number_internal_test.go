package pointfile

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestDecimal(t *testing.T) {
	tests := []struct {
		text string
		mark byte
		want float64
		next int // -1: left to slowDecimal
	}{
		{"312540.125,", '.', 312540.125, 10},
		{"312540,125;", ',', 312540.125, 10},
		{"-0.5", '.', -0.5, 4},
		{"+7", '.', 7, 2},
		{"9007199254740991", '.', 1<<53 - 1, 16},
		{"9007199254740992", '.', 0, -1}, // 2^53
		{"0.000000000000000001", '.', 0, -1},
		{"0.00000000000000001", '.', 1e-17, 19},
		{"1.5.2", '.', 1.5, 3},
		{"5.", '.', 0, -1},
		{".5", '.', 0, -1},
		{",5", ',', 0, -1},
		{"", '.', 0, -1},
		{"-", '.', 0, -1},
		{"x", '.', 0, -1},
		{"18446744073709551617", '.', 0, -1}, // 2^64 + 1
	}
	for _, tt := range tests {
		got, next, _ := decimal([]byte(tt.text), 0, tt.mark)
		assert.Equal(t, tt.next, next, tt.text)
		assert.Equal(t, tt.want, got, tt.text)
	}
}

func TestDecimalIsParseFloat(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	taken := 0
	for range 200000 {
		v := (rng.Float64() - 0.5) * math.Pow10(rng.IntN(18)-6)
		text := strconv.FormatFloat(v, 'f', rng.IntN(12), 64)
		if sameAsParseFloat(t, text) {
			taken++
		}
	}
	assert.Greater(t, taken, 150000, "the quick way is taken for most numbers")
}

// sameAsParseFloat holds decimal and slowDecimal against strconv, bit for bit,
// and reports whether decimal took the number.
func sameAsParseFloat(t *testing.T, text string) bool {
	t.Helper()
	want, err := strconv.ParseFloat(text, 64)
	f, ok := formOf([]byte(text))
	if ok && f.mark == ',' {
		want, err = strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	}
	if ok {
		if err != nil {
			require.ErrorIs(t, err, strconv.ErrRange, text)
		}
		require.Equal(t, math.Float64bits(want), math.Float64bits(slowDecimal([]byte(text), f)), text)
	}
	v, next, decimals := decimal([]byte(text), 0, '.')
	if f.mark == ',' {
		v, next, decimals = decimal([]byte(text), 0, ',')
	}
	if next != len(text) {
		return false
	}
	require.True(t, ok, text)
	require.Equal(t, math.Float64bits(want), math.Float64bits(v), text)
	require.Equal(t, f.decimals, decimals, text)
	return true
}

func FuzzDecimal(f *testing.F) {
	for _, s := range []string{"1", "-0", "312540.125", "9007199254740993", "0.1", "1e22", "1e23", "5.", ".5", "123456789.123456789",
		"1,5", "00000000000000000001", "0x1p-2", "1_000", "inf", "nan", "1e400", "4.9e-324", "179769313486231580793e289"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) < 1000 {
			sameAsParseFloat(t, text)
		}
	})
}
