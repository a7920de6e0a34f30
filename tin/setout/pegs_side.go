package setout

import (
	"iter"
	"math"

	"github.com/paulmach/orb"
)

// side is a side of an outline with its direction and the way out of the pad.
type side struct {
	ring, index int
	from, to    Corner
	length      float64   // in plan
	along, out  orb.Point // of length 1
}

// sidesOf returns the sides of a ring that are longer than nothing. The way out is to the
// right of them where the ring goes anticlockwise, and the other way round for a hole.
func sidesOf(corners []Corner, ring int) (sides []side) {
	left := (ringOf(corners).Orientation() == orb.CCW) == (ring > 0)
	for i, from := range corners {
		to := corners[(i+1)%len(corners)]
		s := side{ring: ring, index: i, from: from, to: to, length: distance(from.At, to.At)}
		if s.length == 0 {
			continue
		}
		s.along = orb.Point{(to.At[0] - from.At[0]) / s.length, (to.At[1] - from.At[1]) / s.length}
		s.out = orb.Point{s.along[1], -s.along[0]}
		if left {
			s.out = orb.Point{-s.out[0], -s.out[1]}
		}
		sides = append(sides, s)
	}
	return sides
}

// neighbours go through the sides of rings, each with the one before it and after it.
func neighbours(rings [][]side) iter.Seq[[3]*side] {
	return func(yield func([3]*side) bool) {
		for _, ring := range rings {
			for i := range ring {
				n := len(ring)
				if !yield([3]*side{&ring[(i+n-1)%n], &ring[i], &ring[(i+1)%n]}) {
					return
				}
			}
		}
	}
}

// at returns the place of the side at a distance from its beginning; the ends are exact.
func (s *side) at(along float64) orb.Point {
	switch along {
	case 0:
		return s.from.At
	case s.length:
		return s.to.At
	}
	return s.place(along, 0)
}

// place returns the place so far along the side and so far out.
func (s *side) place(along, out float64) orb.Point {
	p := s.from.At
	for i := range p {
		p[i] += float64(along*s.along[i]) + float64(out*s.out[i])
	}
	return p
}

// local returns how far along the side and how far out a place lies.
func (s *side) local(p orb.Point) (along, out float64) {
	x, y := p[0]-s.from.At[0], p[1]-s.from.At[1]
	return float64(x*s.along[0]) + float64(y*s.along[1]), float64(x*s.out[0]) + float64(y*s.out[1])
}

// straight is the sine of the angle below which a corner is no corner.
const straight = 1e-9

// turn is above 0 where the outline turns away from its outside between before, which
// ends where s begins, and s: at an outward corner. It is the sine of the angle.
func (s *side) turn(before *side) float64 {
	return float64(before.along[0]*s.out[0]) + float64(before.along[1]*s.out[1])
}

// inwardAfter reports whether the corner between before and s is an inward one.
func (s *side) inwardAfter(before *side) bool { return s.turn(before) < -straight }

// halved returns the side with both directions turned so that out halves the outward
// corner between before and s; false where the corner is inward or straight.
func (s *side) halved(before *side) (side, bool) {
	if s.turn(before) < straight {
		return side{}, false
	}
	sum := orb.Point{before.out[0] + s.out[0], before.out[1] + s.out[1]}
	size := math.Hypot(sum[0], sum[1])
	h := *s
	h.out = orb.Point{sum[0] / size, sum[1] / size}
	h.along = orb.Point{-h.out[1], h.out[0]}
	return h, true
}
