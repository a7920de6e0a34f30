package tin_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

func TestCheckOutline(t *testing.T) {
	hole := func(outer orb.Polygon, rings ...orb.Ring) orb.Polygon {
		return append(orb.Polygon{outer[0]}, rings...)
	}
	ten := box(0, 0, 10, 10)
	good := []struct {
		name string
		p    orb.Polygon
	}{
		{"triangle, open", orb.Polygon{{{0, 0}, {10, 0}, {0, 10}}}},
		{"triangle, closed", orb.Polygon{{{0, 0}, {10, 0}, {0, 10}, {0, 0}}}},
		{"clockwise", orb.Polygon{reversed(ten[0])}},
		{"a corner within a straight side", orb.Polygon{{{0, 0}, {5, 0}, {10, 0}, {10, 10}}}},
		{"the same in decimals", orb.Polygon{{{0.1, 0.1}, {0.2, 0.2}, {0.3, 0.3}, {0.1, 0.3}}}},
		{"a corner repeated at once", orb.Polygon{{{0, 0}, {0, 0}, {10, 0}, {10, 0}, {10, 0}, {0, 10}, {0, 0}, {0, 0}}}},
		{"repeated at the end, three times", orb.Polygon{{{0, 0}, {10, 0}, {0, 10}, {0, 0}, {0, 0}, {0, 0}}}},
		{"0 and -0", orb.Polygon{{{0, minus}, {10, 0}, {minus, 10}, {minus, 0}}}},
		{"a hole", hole(ten, box(2, 2, 4, 4)[0])},
		{"two holes side by side", hole(ten, box(2, 2, 4, 4)[0], box(5, 2, 7, 4)[0])},
		{"a notch that comes near", orb.Polygon{{{0, 0}, {10, 0}, {10, 10}, {5, 0.001}, {0, 10}}}},
		{"map offsets, full mantissas", orb.Polygon{{{500000 + math.Pi, 6.2e6 + math.E}, {500010, 6.2e6 + 1.0/3}, {500003, 6.2e6 + 9.1}}}},
		{"as large as coordinates go", box(-1e9, -1e9, 1e9, 1e9)},
		{"a sliver", orb.Polygon{{{0, 0}, {1000, 0}, {500, 1e-9}}}},
	}
	for _, tt := range good {
		t.Run(tt.name, func(t *testing.T) {
			assert.NoError(t, tin.CheckOutline(tt.p))
			for _, same := range turnings(tt.p) {
				assert.NoError(t, tin.CheckOutline(same))
			}
		})
	}
	bad := []struct {
		name       string
		p          orb.Polygon
		code, want string
	}{
		{"nothing", nil, "outline_empty", ""},
		{"no corners", orb.Polygon{{}}, "outline_short", "the outline has 0 corners"},
		{"two corners", orb.Polygon{{{0, 0}, {1, 1}}}, "outline_short", "2 corners"},
		{"two corners, closed", orb.Polygon{{{0, 0}, {1, 1}, {0, 0}}}, "outline_short", "2 corners"},
		{"one place", orb.Polygon{{{1, 1}, {1, 1}, {1, 1}, {1, 1}}}, "outline_short", "1 corner at"},
		{"figure of eight", orb.Polygon{{{0, 0}, {10, 10}, {10, 0}, {0, 10}}}, "outline_crosses", "side 1-2 of the outline crosses side 3-4, at E 5.000 N 5.000"},
		{"spike", orb.Polygon{{{0, 0}, {10, 0}, {5, 0}, {5, 5}}}, "outline_touches", "lies on its side"},
		{"spike and back", orb.Polygon{{{0, 0}, {10, 0}, {20, 0}, {10, 0}, {5, 5}}}, "outline_touches", "corner 4 of the outline lies on another corner"},
		{"touching corner", orb.Polygon{{{0, 0}, {10, 0}, {10, 10}, {5, 0}, {0, 10}}}, "outline_touches", "a corner of the outline lies on its side 1-2, at E 5.000 N 0.000"},
		{"corner on a side in decimals", orb.Polygon{{{0.1, 0.1}, {0.3, 0.3}, {0.3, 0.9}, {0.2, 0.2}, {0.1, 0.9}}}, "outline_touches", "E 0.200 N 0.200"},
		{"touching itself at a corner", orb.Polygon{{{0, 0}, {10, 0}, {5, 5}, {10, 10}, {0, 10}, {5, 5}}}, "outline_touches", "lies on another corner"},
		{"all in line", orb.Polygon{{{0, 0}, {5, 5}, {9, 9}}}, "outline_", ""},
		{"hole outside", hole(ten, box(20, 2, 24, 4)[0]), "outline_hole_outside", "hole 1"},
		{"hole round it", hole(ten, box(-20, -20, 24, 40)[0]), "outline_hole_outside", "hole 1"},
		{"hole in a hole", hole(ten, box(2, 2, 8, 8)[0], box(3, 3, 4, 4)[0]), "outline_hole_outside", "hole 2"},
		{"hole round a hole", hole(ten, box(3, 3, 4, 4)[0], box(2, 2, 8, 8)[0]), "outline_hole_outside", "hole 1"},
		{"hole across the rim", hole(ten, box(5, 5, 15, 8)[0]), "outline_crosses", "hole 1"},
		{"holes across", hole(ten, box(2, 2, 6, 6)[0], box(4, 4, 8, 8)[0]), "outline_crosses", "of hole 2"},
		{"hole touching the rim", hole(ten, orb.Ring{{0, 5}, {5, 4}, {5, 6}}), "outline_touches", "E 0.000 N 5.000"},
		{"hole along the rim", hole(ten, box(2, 0, 4, 4)[0]), "outline_touches", ""},
		{"hole equal to the rim", hole(ten, ten[0]), "outline_touches", "hole 1"},
		{"holes touching", hole(ten, box(2, 2, 4, 4)[0], box(4, 4, 6, 6)[0]), "outline_touches", "hole 2"},
		{"hole too short", hole(ten, orb.Ring{{2, 2}, {3, 3}}), "outline_short", "hole 1 of the outline has 2 corners"},
		{"empty hole", hole(ten, orb.Ring{}), "outline_short", "hole 1 of the outline has 0 corners"},
		{"NaN", orb.Polygon{{{0, 0}, {math.NaN(), 0}, {0, 10}}}, "bad_coordinate", "corner NaN, 0"},
		{"Inf", orb.Polygon{{{0, 0}, {10, 0}, {0, math.Inf(1)}}}, "bad_coordinate", "corner 0, +Inf"},
		{"too far", orb.Polygon{{{0, 0}, {1e10, 0}, {0, 10}}}, "bad_coordinate", "corner 1e+10, 0"},
		{"NaN in a hole", hole(ten, orb.Ring{{2, 2}, {4, 2}, {2, math.NaN()}}), "bad_coordinate", "corner 2, NaN"},
	}
	for _, tt := range bad {
		t.Run(tt.name, func(t *testing.T) {
			e := asInputError(t, tin.CheckOutline(tt.p))
			assert.Contains(t, e.Code, tt.code)
			assert.Contains(t, e.Message, tt.want)
			assert.NotEmpty(t, e.Hint)
			if len(tt.p) == 0 || len(tt.p[0]) == 0 {
				return
			}
			for _, same := range turnings(tt.p) {
				require.Error(t, tin.CheckOutline(same), "%v", same)
			}
		})
	}
}

// turnings returns the polygon with its outer ring begun at each corner, in
// both directions.
func turnings(p orb.Polygon) []orb.Polygon {
	ring := p[0]
	if len(ring) > 1 && ring[0] == ring[len(ring)-1] {
		ring = ring[:len(ring)-1]
	}
	var out []orb.Polygon
	for i := range ring {
		r := append(append(orb.Ring{}, ring[i:]...), ring[:i]...)
		out = append(out, append(orb.Polygon{r}, p[1:]...))
		out = append(out, append(orb.Polygon{append(reversed(r), r[len(r)-1])}, p[1:]...))
	}
	return out
}
