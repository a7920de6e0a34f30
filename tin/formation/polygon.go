package formation

import (
	"math"

	"github.com/paulmach/orb"
)

// polygon is a convex polygon, anticlockwise.
type polygon []orb.Point

func (p polygon) bound() orb.Bound { return orb.Ring(p).Bound() }

// area is computed from differences to the first corner.
func (p polygon) area() float64 {
	sum := 0.0
	for i := 2; i < len(p); i++ {
		sum += cross(p[0], p[i-1], p[i])
	}
	return sum / 2
}

// middle is the mean of the corners.
func (p polygon) middle() orb.Point {
	var x, y float64
	for _, c := range p {
		x, y = x+(c[0]-p[0][0]), y+(c[1]-p[0][1])
	}
	n := float64(len(p))
	return orb.Point{p[0][0] + x/n, p[0][1] + y/n}
}

// cut returns what lies on the left and what on the right of the line through a and
// b. Both have the same corners on it; a part without a corner off the line is empty.
func (p polygon) cut(a, b orb.Point) (left, right polygon) {
	side := make([]float64, len(p))
	anyLeft, anyRight := false, false
	for i, c := range p {
		side[i] = cross(a, b, c)
		anyLeft, anyRight = anyLeft || side[i] > 0, anyRight || side[i] < 0
	}
	if !anyRight {
		return p, nil
	}
	if !anyLeft {
		return nil, p
	}
	for i, c := range p {
		next := (i + 1) % len(p)
		if side[i] >= 0 {
			left = append(left, c)
		}
		if side[i] <= 0 {
			right = append(right, c)
		}
		if side[i] > 0 && side[next] < 0 || side[i] < 0 && side[next] > 0 {
			at := partway(c, p[next], side[i]/(side[i]-side[next]))
			left, right = append(left, at), append(right, at)
		}
	}
	return left, right
}

// without takes k out of p: it returns the area of what they share, and convex
// parts that make up the rest.
func (p polygon) without(k polygon) (shared float64, rest []polygon) {
	in := p
	for i := range k {
		left, right := in.cut(k[i], k[(i+1)%len(k)])
		if left == nil {
			return 0, []polygon{p}
		}
		if right != nil {
			rest = append(rest, right)
		}
		in = left
	}
	return in.area(), rest
}

// clip returns the part of a stretch in the polygon, rim and all.
func (p polygon) clip(s stretch) (part stretch, ok bool) {
	from, to := 0.0, 1.0
	for i := range p {
		u, v := p[i], p[(i+1)%len(p)]
		da, db := cross(u, v, s.a), cross(u, v, s.b)
		switch {
		case da < 0 && db < 0:
			return stretch{}, false
		case da < 0:
			from = max(from, da/(da-db))
		case db < 0:
			to = min(to, da/(da-db))
		}
	}
	return stretch{partway(s.a, s.b, from), partway(s.a, s.b, to)}, from <= to
}

// stretch is a straight line between two places, or one place.
type stretch struct{ a, b orb.Point }

func newStretch(a, b orb.Point) stretch {
	if comparePoints(b, a) < 0 {
		a, b = b, a
	}
	return stretch{a, b}
}

func (s stretch) bound() orb.Bound { return orb.MultiPoint{s.a, s.b}.Bound() }

// nearest returns the place on the stretch that is nearest to p.
func (s stretch) nearest(p orb.Point) orb.Point {
	ux, uy := s.b[0]-s.a[0], s.b[1]-s.a[1]
	square := float64(ux*ux) + float64(uy*uy)
	if square == 0 {
		return s.a
	}
	t := (float64(ux*(p[0]-s.a[0])) + float64(uy*(p[1]-s.a[1]))) / square
	switch {
	case t <= 0:
		return s.a
	case t >= 1:
		return s.b
	}
	return partway(s.a, s.b, t)
}

// distance returns that of a place from the stretch: across where it lies beside it,
// which is steadier than to the nearest place.
func (s stretch) distance(p orb.Point) float64 {
	at := s.nearest(p)
	if at == s.a || at == s.b {
		return distance(p, at)
	}
	return math.Abs(cross(s.a, s.b, p)) / distance(s.a, s.b)
}

// crosses reports whether the stretch parts a polygon: it reaches into it, and its
// line leaves more than least on both sides.
func (s stretch) crosses(p polygon, least float64) bool {
	low, high := 0.0, 0.0
	for _, c := range p {
		d := cross(s.a, s.b, c)
		low, high = min(low, d), max(high, d)
	}
	if least *= distance(s.a, s.b); high <= least || low >= -least {
		return false
	}
	_, ok := p.clip(s)
	return ok
}

// partway returns the place at the share t of the way from a to b.
func partway(a, b orb.Point, t float64) orb.Point {
	return orb.Point{a[0] + float64(t*(b[0]-a[0])), a[1] + float64(t*(b[1]-a[1]))}
}
