package formation_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"barrow/tin"
	"barrow/tin/formation"
)

func TestMarkShift(t *testing.T) {
	assert.Equal(t, 52.366, formation.Mark{Plan: 62.500, Measured: 10.134}.Shift())
	assert.Equal(t, -0.2, formation.Mark{Plan: 0.1, Measured: 0.3}.Shift())
}

func TestCheckMarks(t *testing.T) {
	const shift = 52.366
	for _, c := range []struct {
		name           string
		plan, measured float64
		tolerance      float64
		want           string // part of the warning; empty: none
	}{
		{"right", 63.212, 10.846, 0, ""},
		{"just within, high", 63.202, 10.846, 0, ""}, // 0.010 to the bit: no rounding makes it a warning
		{"just within, low", 63.222, 10.846, 0, ""},
		{"just over, high", 63.2019, 10.846, 0, "0.0101 m HIGH"},
		{"low", 63.230, 10.846, 0, "0.018 m LOW"},
		{"within a wide tolerance", 63.230, 10.846, 0.02, ""},
		{"over a tight tolerance", 63.210, 10.846, 0.001, "0.002 m HIGH"},
		{"negative tolerance counts as none given", 63.210, 10.846, -1, ""},
		{"tolerance not a number", 63.230, 10.846, math.NaN(), "0.018 m LOW"},
		{"plan not a number", math.NaN(), 10.846, 0, "cannot be checked"},
		{"measured infinite", 63.212, math.Inf(1), 0, "cannot be checked"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := formation.CheckMarks(shift, []formation.Mark{{Name: "BM2", Plan: c.plan, Measured: c.measured}}, c.tolerance, tin.Metre)
			if c.want == "" {
				assert.Empty(t, got)
				return
			}
			if assert.Len(t, got, 1) {
				assert.Equal(t, formation.CodeCheckMarkOff, got[0].Code)
				assert.Contains(t, got[0].Message, `"BM2"`)
				assert.Contains(t, got[0].Message, c.want)
			}
		})
	}
	got := formation.CheckMarks(0, []formation.Mark{{Name: "A", Plan: 1, Measured: 2}, {Plan: 1, Measured: 1}, {Plan: 2, Measured: 1}}, 0, tin.Metre)
	if assert.Len(t, got, 2) {
		assert.Contains(t, got[0].Message, `check mark "A"`)
		assert.Contains(t, got[1].Message, "check mark 3")
	}
	assert.Empty(t, formation.CheckMarks(0, nil, 0, tin.Metre))
}
