package formation

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// facetTurn is the greatest angle between the facets that round corners of a rim are
// made of, radians.
const facetTurn = 1.0 / 250

// surroundings is what lies within a distance of polygons. Its rim runs along lines
// that far outside their sides, and along round corners between them, made of facets
// that touch the circle from outside. Whatever of those lies nearer to another side is
// left out; the rest cuts the plane into cells, and each lies within or beyond.
type surroundings struct {
	rings [][]orb.Point // from a near origin, metres, what they hold on their left
	rim   *rim
	far   float64 // metres
	lines []orb.LineString
}

// around returns the outline of polygons with all that lies within a distance of them,
// and by how much its area is overstated at most, m2. The polygons are closed, outer
// rings anticlockwise, holes clockwise.
func around(ctx context.Context, m orb.MultiPolygon, far float64) (orb.MultiPolygon, float64, error) {
	origin := m[0][0][0]
	s := surroundings{rings: nearRings(m, origin), far: far}
	s.rim = newRim(s.rings)
	turning := 0.0
	for _, r := range s.rings {
		if err := ctx.Err(); err != nil {
			return nil, 0, err
		}
		turning += s.offsets(r)
	}
	rings, err := s.outline(ctx)
	if err != nil {
		return nil, 0, err
	}
	out := nested(rings, func(p orb.Point) orb.Point { return orb.Point{p[0] + origin[0], p[1] + origin[1]} })
	return out, far * far / 2 * turning * (math.Tan(facetTurn/2)/(facetTurn/2) - 1), nil
}

// nearRings returns all rings from an origin, open.
func nearRings(m orb.MultiPolygon, origin orb.Point) (out [][]orb.Point) {
	for _, p := range m {
		for _, r := range p {
			ring := make([]orb.Point, len(r)-1)
			for i := range ring {
				ring[i] = orb.Point{r[i][0] - origin[0], r[i][1] - origin[1]}
			}
			out = append(out, ring)
		}
	}
	return out
}

// offsets adds the lines along the sides of a ring and round its outward corners, and
// returns by how many radians those turn together.
func (s *surroundings) offsets(ring []orb.Point) (turning float64) {
	n := len(ring)
	for i, a := range ring {
		b, c := ring[(i+1)%n], ring[(i+2)%n]
		u, w := unit(a, b), unit(b, c)
		s.keep(along(a, outward(u), s.far), along(b, outward(u), s.far))
		turn := math.Atan2(cross(orb.Point{}, u, w), float64(u[0]*w[0])+float64(u[1]*w[1]))
		if turn <= 0 {
			continue
		}
		turning += turn
		s.corner(b, outward(u), outward(w), turn)
	}
	return turning
}

// corner adds the facets round a corner, from the normal of the side before it to that
// of the side after it.
func (s *surroundings) corner(v, from, to orb.Point, turn float64) {
	parts := math.Ceil(turn / facetTurn)
	step := turn / parts
	last := along(v, from, s.far)
	for i := 0.0; i < parts; i++ {
		sin, cos := math.Sincos(float64((i + 0.5) * step))
		ray := orb.Point{float64(cos*from[0]) - float64(sin*from[1]), float64(sin*from[0]) + float64(cos*from[1])}
		next := along(v, ray, s.far/math.Cos(step/2))
		s.keep(last, next)
		last = next
	}
	s.keep(last, along(v, to, s.far))
}

// keep adds what of a line is no nearer to any side than it should be.
func (s *surroundings) keep(a, b orb.Point) {
	length := distance(a, b)
	if !(length > 0) {
		return
	}
	u := unit(a, b)
	var nearer [][2]float64
	s.rim.tree.Meeting(orb.MultiPoint{a, b}.Bound().Pad(s.far), func(i int) {
		if from, to := s.rim.sides[i].nearer(a, u, s.far-snap); from < to {
			nearer = append(nearer, [2]float64{from, to})
		}
	})
	slices.SortFunc(nearer, func(p, q [2]float64) int { return comparePoints(p, q) })
	done := 0.0
	for _, n := range append(nearer, [2]float64{length, length}) {
		if to := min(n[0], length); to-done > 0 {
			s.lines = append(s.lines, orb.LineString{along(a, u, done), along(a, u, to)})
		}
		done = max(done, n[1])
	}
}

// nearer returns the stretch of the line from a in the direction u that lies nearer to
// a side than far: what it has in common with a circle round either end, and with the
// rectangle between.
func (s side) nearer(a, u orb.Point, far float64) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for _, c := range []orb.Point{s.a, s.b} {
		x, y := c[0]-a[0], c[1]-a[1]
		middle, off := float64(x*u[0])+float64(y*u[1]), float64(x*u[1])-float64(y*u[0])
		if rest := (far - off) * (far + off); rest > 0 {
			from, to = min(from, middle-math.Sqrt(rest)), max(to, middle+math.Sqrt(rest))
		}
	}
	d := unit(s.a, s.b)
	lo, hi := math.Inf(-1), math.Inf(1)
	for _, strip := range []struct {
		axis  orb.Point
		least float64
		most  float64
	}{{d, 0, distance(s.a, s.b)}, {outward(d), -far, far}} {
		at := float64((a[0]-s.a[0])*strip.axis[0]) + float64((a[1]-s.a[1])*strip.axis[1])
		rise := float64(u[0]*strip.axis[0]) + float64(u[1]*strip.axis[1])
		p, q := (strip.least-at)/rise, (strip.most-at)/rise
		switch {
		case rise != 0:
			lo, hi = max(lo, min(p, q)), min(hi, max(p, q))
		case at <= strip.least || at >= strip.most:
			lo, hi = 0, 0
		}
	}
	if lo < hi {
		from, to = min(from, lo), max(to, hi)
	}
	return from, to
}

// outline returns the rings round all cells that lie within.
func (s *surroundings) outline(ctx context.Context) ([][]orb.Point, error) {
	frame := box([]orb.Polygon{{orb.MultiPoint(slices.Concat(s.rings...)).Bound().Pad(2 * s.far).ToRing()}})
	var corners []tin.Point
	for _, p := range frame[0] {
		corners = append(corners, tin.Point{E: p[0], N: p[1]})
	}
	plane, err := tin.FromPoints(corners)
	if err != nil {
		return nil, err
	}
	lines := s.joined()
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	cells, err := plane.Partition([]orb.Polygon{frame}, lines)
	if err != nil {
		return nil, fmt.Errorf("formation: what lies beyond the works cannot be outlined: %w", err)
	}
	var edges edgeSet
	for i, c := range cells {
		if i%1024 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if s.holds(cellCentroid(c)) {
			edges.add(c)
		}
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var rings [][]orb.Point
	for _, r := range edges.rings() {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if ringWidth(r) < leastRing {
			continue
		}
		if err := s.check(r); err != nil {
			return nil, err
		}
		rings = append(rings, fromLeast(r))
	}
	return rings, nil
}

// joined returns the lines with ends that are near to each other made one.
func (s *surroundings) joined() (out []orb.LineString) {
	var parts [][]orb.Point
	for _, l := range s.lines {
		parts = append(parts, l)
	}
	n := newNodes(parts, snap)
	for _, l := range s.lines {
		if a, b := n.of[l[0]], n.of[l[1]]; a != b {
			out = append(out, orb.LineString{n.place[a], n.place[b]})
		}
	}
	return out
}

// holds reports whether a place lies within.
func (s *surroundings) holds(p orb.Point) bool {
	return s.rim.holds(p) || s.distance(p, s.most()) < s.most()
}

// most is how far from a side the facets reach.
func (s *surroundings) most() float64 { return s.far / math.Cos(facetTurn/2) }

// distance returns how far the nearest side is, or something more than a limit.
func (s *surroundings) distance(p orb.Point, limit float64) float64 {
	least := math.Inf(1)
	s.rim.tree.Meeting(orb.Bound{Min: p, Max: p}.Pad(limit), func(i int) {
		d, _ := s.rim.sides[i].distance(p)
		least = min(least, d)
	})
	return least
}

// leastRing is the width of a ring that is no more than the gap between lines that should
// be one, metres: facets of two corners that cross at a slight angle leave such slivers.
const leastRing = 16 * snap

var errRimOpen = errors.New("formation: the rim of what lies beyond the works does not close")

// check refuses a ring that runs elsewhere than it should.
func (s *surroundings) check(ring []orb.Point) error {
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		middle := orb.Point{a[0]/2 + b[0]/2, a[1]/2 + b[1]/2}
		if d := s.distance(middle, s.most()+4*snap); d < s.far-4*snap || d > s.most()+4*snap {
			return errRimOpen
		}
	}
	return nil
}
