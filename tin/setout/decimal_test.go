package setout_test

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin/setout"
)

func TestDecimal(t *testing.T) {
	for _, tt := range []struct {
		text   string
		want   setout.Decimal
		places int
		as     string
	}{
		{"1.432", 1432000, 3, "1.432"}, {"-2.956", -2956000, 3, "-2.956"}, {"+.5", 500000, 1, "0.5"}, {"5.", 5000000, 0, "5"},
		{"0", 0, 0, "0"}, {"-0.000", 0, 3, "0"}, {"0000000001.10", 1100000, 2, "1.1"}, {"1000000", 1e12, 0, "1000000"}, {"0.000001", 1, 6, "0.000001"},
	} {
		d, places, err := setout.ParseDecimal(tt.text)
		require.NoError(t, err, tt.text)
		assert.Equal(t, tt.want, d, tt.text)
		assert.Equal(t, tt.places, places, tt.text)
		assert.Equal(t, tt.as, d.String())
		b, err := json.Marshal(d)
		require.NoError(t, err)
		assert.Equal(t, tt.as, string(b))
	}
	for _, text := range []string{"", "-", ".", "1,5", "1e3", "--1", "1.2.3", "1 2", "NaN", "0x1", "1000000.1", "99999999", "1.1234567", "+-1", "٣"} {
		_, _, err := setout.ParseDecimal(text)
		assert.Error(t, err, text)
	}
	assert.Equal(t, "1.500", setout.Decimal(1500000).Text(3))
	assert.Equal(t, "1.5001", setout.Decimal(1500100).Text(3), "digits are never left off")
	assert.Equal(t, "-9223372036854.775808", setout.Decimal(math.MinInt64).String())
}

// The sum that binary fractions do not get right.
func TestDecimalSumsAreExact(t *testing.T) {
	sum := dec("0.1") + dec("0.2")
	assert.Equal(t, dec("0.3"), sum)
	assert.Equal(t, 0.3, sum.Float())
}

func TestDecimalOf(t *testing.T) {
	d, err := setout.DecimalOf(0.012)
	require.NoError(t, err)
	assert.Equal(t, dec("0.012"), d)
	for _, x := range []float64{math.NaN(), math.Inf(1), 1e7} {
		_, err := setout.DecimalOf(x)
		assert.Error(t, err)
	}
}
