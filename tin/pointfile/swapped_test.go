package pointfile_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"barrow/tin"
	"barrow/tin/pointfile"
)

func TestSwapped(t *testing.T) {
	box := func(e0, n0, e1, n1 float64) orb.Bound {
		return orb.Bound{Min: orb.Point{e0, n0}, Max: orb.Point{e1, n1}}
	}
	grid := []tin.Point{{E: 312000, N: 5812000}, {E: 312100, N: 5812200}}
	local := []tin.Point{{E: 0, N: 0}, {E: 40, N: 30}}
	tests := []struct {
		name    string
		points  []tin.Point
		outline orb.Bound
		want    bool
	}{
		{"right", grid, box(312010, 5812010, 312020, 5812020), false},
		{"swapped", grid, box(5812010, 312010, 5812020, 312020), true},
		{"elsewhere both ways", grid, box(0, 0, 10, 10), false},
		{"meets at the rim", grid, box(312100, 5812200, 312110, 5812210), false},
		{"local, both ways fit", local, box(5, 5, 10, 10), false},
		{"local, swapped", local, box(10, 32, 20, 38), true},
		{"no points", nil, box(0, 0, 1, 1), false},
		{"no outline", grid, orb.Bound{Min: orb.Point{1, 1}}, false},
	}
	for _, tt := range tests {
		p, got := pointfile.Swapped(tt.points, tt.outline)
		assert.Equal(t, tt.want, got, tt.name)
		if got {
			assert.Equal(t, "swapped_columns", p.Code)
			assert.Contains(t, p.Message, "check the order of the columns")
		} else {
			assert.Empty(t, p)
		}
	}
}
