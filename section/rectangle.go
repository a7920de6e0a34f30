package section

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// alike is how near two lengths or areas are, relative to themselves, that count as
// equal: which rectangle or end is taken must not hang on rounding.
const alike = 1e-9

// Default returns the alignment to take where none was drawn: the long axis of the
// smallest rectangle round the given places, from chainage 0 at its western end, or
// at the southern one where both ends are equally far west. Of equally small
// rectangles the one whose axis runs nearest to east and west counts. The places
// must not all be at one.
func Default(works []orb.Point) (*Alignment, error) {
	for _, p := range works {
		if !isLength(p[0], p[1]) {
			return nil, fail("bad_coordinate", "give finite numbers", "%v, %v is not a place", p[0], p[1])
		}
	}
	corners := Hull(works)
	if len(corners) < 2 {
		return nil, fail("alignment_short", "draw an alignment", "the works have no extent to lay an alignment along")
	}
	best := around(corners, 0)
	for i := 1; i < len(corners); i++ {
		if r := around(corners, i); r.before(best) {
			best = r
		}
	}
	return NewAlignment(best.axis(corners[0]), 0)
}

// rectangle lies round the works: along an axis from least to most, and half way
// across at middle, counted from a corner of the works.
type rectangle struct {
	along, across       orb.Point // unit vectors
	from, to, near, far float64
}

// around returns the smallest rectangle with a side along side i of the hull.
func around(corners []orb.Point, i int) rectangle {
	v := sub(corners[(i+1)%len(corners)], corners[i])
	length := math.Hypot(v[0], v[1])
	r := rectangle{along: orb.Point{v[0] / length, v[1] / length}}
	r.across = orb.Point{-r.along[1], r.along[0]}
	for _, p := range corners {
		q := sub(p, corners[0])
		s, t := dot(q, r.along), dot(q, r.across)
		r.from, r.to, r.near, r.far = min(r.from, s), max(r.to, s), min(r.near, t), max(r.far, t)
	}
	length, width := r.to-r.from, r.far-r.near
	upright := math.Abs(r.along[0]) < math.Abs(r.across[0])
	if width > length && !same(width, length) || same(width, length) && upright {
		r = rectangle{along: r.across, across: orb.Point{-r.along[0], -r.along[1]}, from: r.near, to: r.far, near: -r.to, far: -r.from}
	}
	return r
}

func (r rectangle) area() float64 { return (r.to - r.from) * (r.far - r.near) }

// before reports whether a rectangle is to be taken before another.
func (r rectangle) before(other rectangle) bool {
	if !same(r.area(), other.area()) {
		return r.area() < other.area()
	}
	east, than := math.Abs(r.along[0]), math.Abs(other.along[0])
	if !same(east, than) {
		return east > than
	}
	// Mirror images of each other: the one that rises to the east.
	return r.along[0]*r.along[1] > 0 && other.along[0]*other.along[1] < 0
}

// axis returns the middle line from west to east, or from south to north.
func (r rectangle) axis(origin orb.Point) orb.LineString {
	middle := (r.near + r.far) / 2
	at := func(s float64) orb.Point {
		return orb.Point{
			origin[0] + (float64(s*r.along[0]) + float64(middle*r.across[0])),
			origin[1] + (float64(s*r.along[1]) + float64(middle*r.across[1])),
		}
	}
	line := orb.LineString{at(r.from), at(r.to)}
	east, north := r.along[0], r.along[1]
	if math.Abs(east) <= alike && north < 0 || east < -alike {
		slices.Reverse(line)
	}
	return line
}

func same(a, b float64) bool { return math.Abs(a-b) <= alike*max(math.Abs(a), math.Abs(b)) }

// Hull returns the corners of the convex hull of places, anticlockwise from the least by
// easting and northing; of places in line the two ends (A. M. Andrew 1979, from memory).
func Hull(points []orb.Point) []orb.Point {
	sorted := slices.Clone(points)
	slices.SortFunc(sorted, func(p, q orb.Point) int { return cmp.Or(cmp.Compare(p[0], q[0]), cmp.Compare(p[1], q[1])) })
	sorted = slices.Compact(sorted)
	if len(sorted) < 3 {
		return sorted
	}
	var out []orb.Point
	half := func(p orb.Point, from int) {
		for len(out) > from+1 && cross(sub(out[len(out)-1], out[len(out)-2]), sub(p, out[len(out)-2])) <= 0 {
			out = out[:len(out)-1]
		}
		out = append(out, p)
	}
	for _, p := range sorted {
		half(p, 0)
	}
	from := len(out) - 1
	for _, p := range slices.Backward(sorted[:len(sorted)-1]) {
		half(p, from)
	}
	return out[:len(out)-1]
}

// Interval returns the greatest interval of 1, 2 or 5 times a power of ten units
// that gives at least 20 sections over a length in metres, itself in metres. It
// returns 0 where the length is not above 0.
func Interval(length float64, unit tin.Unit) float64 {
	if !(length > 0) || !isLength(length) {
		return 0
	}
	most := length / unit.Metres() / 19
	power := math.Pow(10, math.Floor(math.Log10(most)))
	for _, digit := range [...]float64{10, 5, 2, 1} {
		if digit*power <= most*(1+alike) {
			return digit * power * unit.Metres()
		}
	}
	return power / 2 * unit.Metres() // the power was rounded up
}
