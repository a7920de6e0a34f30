package takeoff_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

func TestParseLength(t *testing.T) {
	for _, tt := range []struct {
		text string
		in   tin.Unit
		want float64
		unit bool
	}{
		{"175 mm", tin.Metre, 0.175, true},
		{"175mm", tin.Metre, 0.175, true},
		{" 17.5 cm ", tin.Metre, 0.175, true},
		{"0.175", tin.Metre, 0.175, false},
		{".5 m", tin.Metre, 0.5, true},
		{"6 in", tin.Metre, 0.1524, true}, // 25.4 mm to the inch, exact since 1959
		{"6 in", tin.Foot, 0.5, true},     // by floating point 0.49999999999999994
		{"0.2 ft", tin.Foot, 0.2, true},
		{"0.2 ft", tin.Metre, 0.06096, true},
		{"0.3048 m", tin.Foot, 1, true},
		{"1200 m", tin.SurveyFoot, 3937, true},
		{"3937 ftUS", tin.Metre, 1200, true},
		{"-0.25 m", tin.Metre, -0.25, true},
		{"1 m", tin.Unit(0.5), 2, true},
	} {
		got, unit, err := takeoff.ParseLength(tt.text, tt.in)
		require.NoError(t, err, tt.text)
		assert.Equal(t, tt.want, got, "%s in %v", tt.text, tt.in)
		assert.Equal(t, tt.unit, unit, tt.text)
	}
	for _, text := range []string{"", "mm", "1e9 m", "1e999999999", "1,5 m", "1 yd", "1 m 2", "Inf", "0x10", "1/2 m", "١ m"} {
		_, _, err := takeoff.ParseLength(text, tin.Metre)
		assert.Error(t, err, text)
	}
}
