package tin

import "math"

// areaRows holds the sides of a polygon by rows from south to north, so that a
// place is held against those of its row only.
type areaRows struct {
	south, per float64 // least y, rows per local unit
	sides      [][][2][2]float64
}

// sidesPerRow is how often a side stands in the rows on the average, at most.
const sidesPerRow = 8

func newAreaRows(p localPolygon) areaRows {
	var sides [][2][2]float64
	south, north, rise := math.Inf(1), math.Inf(-1), 0.0
	for _, ring := range p {
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			sides = append(sides, [2][2]float64{a, b})
			south, north = min(south, a[1]), max(north, a[1])
			rise += math.Abs(b[1] - a[1])
		}
	}
	if !(north > south) { // flat, but for the rounding to the frame
		return areaRows{south: south, sides: [][][2][2]float64{sides}}
	}
	// A side stands in a row for each that it rises through, and in one more.
	n := max(1, int(min(1, (sidesPerRow-1)*(north-south)/rise)*float64(len(sides))))
	r := areaRows{south: south, per: float64(n) / (north - south), sides: make([][][2][2]float64, n)}
	for _, s := range sides {
		for k := r.row(min(s[0][1], s[1][1])); k <= r.row(max(s[0][1], s[1][1])); k++ {
			r.sides[k] = append(r.sides[k], s)
		}
	}
	return r
}

// row returns the row of a y, which never falls as y grows.
func (r *areaRows) row(y float64) int {
	return int(max(0, min(float64(len(r.sides)-1), (y-r.south)*r.per)))
}

// side is [localPolygon.side] for a place between the south and the north of
// the polygon.
func (r *areaRows) side(x, y float64) int {
	inside := false
	for _, s := range r.sides[r.row(y)] {
		switch east(s[0], s[1], x, y) {
		case 0:
			return 0
		case 1:
			inside = !inside
		}
	}
	if inside {
		return 1
	}
	return -1
}
