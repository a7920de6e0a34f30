package formation

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// zoneParts returns convex polygons whose union is what is within the distance of a
// side of the shape, but for its round corners: those are polygons round the circle.
//
// A place has its nearest place on the shape within a side, and then lies in the
// rectangle on both sides of it; or at an end of sides, and then all sides that end
// there lead away from it: it lies in the sector between the normals of two of them.
func (s *clearShape) zoneParts() (parts []polygon) {
	var ends []sideEnd
	for _, r := range s.sides {
		if r.a == r.b {
			parts = append(parts, s.circle(r.a))
			continue
		}
		u := unit(r.a, r.b)
		n := outward(u)
		parts = append(parts, polygon{along(r.a, n, s.within), along(r.b, n, s.within), along(r.b, n, -s.within), along(r.a, n, -s.within)})
		ends = append(ends, sideEnd{r.a, math.Atan2(u[1], u[0])}, sideEnd{r.b, math.Atan2(-u[1], -u[0])})
	}
	slices.SortFunc(ends, func(a, b sideEnd) int { return cmp.Or(comparePoints(a.at, b.at), cmp.Compare(a.angle, b.angle)) })
	for i := 0; i < len(ends); {
		next := i
		for next < len(ends) && ends[next].at == ends[i].at {
			next++
		}
		if p := s.corner(ends[i:next]); p != nil {
			parts = append(parts, p)
		}
		i = next
	}
	return parts
}

// sideEnd is an end of a side and the direction in which the side leaves it.
type sideEnd struct {
	at    orb.Point
	angle float64
}

// corner returns the sector at a place where sides end, nil if they leave in
// directions that leave no room for one.
func (s *clearShape) corner(ends []sideEnd) polygon {
	for i, e := range ends {
		to := ends[(i+1)%len(ends)].angle
		if i == len(ends)-1 {
			to += 2 * math.Pi
		}
		if to-e.angle > math.Pi {
			return append(s.arc(e.at, e.angle+math.Pi/2, to-math.Pi/2), e.at)
		}
	}
	return nil
}

// circle returns a polygon round the circle about a point.
func (s *clearShape) circle(at orb.Point) polygon {
	p := s.arc(at, 0, 2*math.Pi)
	return p[1 : len(p)-1]
}

// arc returns the two ends of an arc, anticlockwise, and between them the corners of
// its tangents.
func (s *clearShape) arc(at orb.Point, from, to float64) polygon {
	on := func(angle, radius float64) orb.Point {
		sin, cos := math.Sincos(angle)
		return along(at, orb.Point{cos, sin}, radius)
	}
	step := min(greatestStep, 2*math.Acos(s.within/(s.within+roundError/s.unit)))
	n := max(1, math.Ceil((to-from)/step))
	step = (to - from) / n
	p := polygon{on(from, s.within)}
	for i := range int(n) {
		p = append(p, on(from+float64((float64(i)+0.5)*step), s.within/math.Cos(step/2)))
	}
	return append(p, on(to, s.within))
}
