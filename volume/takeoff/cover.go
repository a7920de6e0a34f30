package takeoff

import (
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// cover is how much of an area either surface covers, square metres on the grid.
type cover struct{ area, a, b float64 }

// areaRounding is the share of an area that its rounding can make.
const areaRounding = 1e-9

// beyond returns what an area is more than a part of it, 0 where that is rounding.
func beyond(area, part float64) float64 {
	if rest := area - part; rest > areaRounding*area {
		return rest
	}
	return 0
}

// covered measures polygons in metres, and the ground of both surfaces in them.
func (m *comparing) covered(polygons orb.MultiPolygon, key string) (c cover, err error) {
	if c.area, c.a, err = m.a.coverOf(polygons, key); err == nil {
		_, c.b, err = m.b.coverOf(polygons, key)
	}
	return c, err
}

// coverOf returns the area of polygons, and of the ground in them.
func (r *run) coverOf(polygons orb.MultiPolygon, key string) (area, ground float64, err error) {
	cells, err := r.ground.Partition(polygons, nil)
	if err != nil {
		return 0, 0, under(key, err)
	}
	var all, twice, covered tin.Sum
	var inside []tin.Cell
	var at orb.Point
	for _, c := range cells {
		all.Add(c.Area)
		if len(c.In) > 1 {
			if twice.Value() == 0 {
				at = centroid(c)
			}
			twice.Add(c.Area)
		}
		if c.Ground {
			inside = append(inside, c)
		}
	}
	if twice.Value() > areaRounding*all.Value() {
		return 0, 0, &tin.InputError{Code: codeAreasOverlap, Key: key, At: &at,
			Message: fmt.Sprintf("%s lie in two of its outlines at once, at E %.2f N %.2f", r.area(twice.Value()), at[0]/r.unit, at[1]/r.unit),
			Hint:    "draw the outlines apart, or as one"}
	}
	n := 0
	for _, p := range r.ground.Pieces(inside) {
		if n++; n%4096 == 0 && r.ctx.Err() != nil {
			return 0, 0, r.ctx.Err()
		}
		if p.Ground {
			covered.Add(p.Area())
		}
	}
	return all.Value(), covered.Value() * r.ground.Frame().Area(), nil
}
