package formation

import (
	"math"

	"barrow/tin"
)

// shape is a convex polygon in local units, anticlockwise.
type shape []tin.FaceCorner

// cellShape returns a cell as a shape without levels.
func cellShape(frame tin.Frame, c *tin.Cell) shape {
	s := make(shape, 0, len(c.Corner))
	for _, v := range c.Corner {
		x, y := frame.Local(v)
		s = append(s, tin.FaceCorner{X: x, Y: y})
	}
	return s
}

// leftOf is above 0 to the left of the side from a to b, by the distance times the
// side's length. It is computed from the lesser end, so that the shapes on both sides of
// it are cut in the same places.
func leftOf(a, b, at tin.FaceCorner) float64 {
	sign := 1.0
	if b.X < a.X || b.X == a.X && b.Y < a.Y {
		a, b, sign = b, a, -1
	}
	return sign * (float64((b.X-a.X)*(at.Y-a.Y)) - float64((b.Y-a.Y)*(at.X-a.X)))
}

// keep returns the part of a shape where a value that is linear over it is 0 or more.
func (s shape) keep(value func(tin.FaceCorner) float64) shape { return tin.WhereFace(s, value) }

// area2 returns twice the area in square local units.
func (s shape) area2() float64 {
	sum := 0.0
	for i := 2; i < len(s); i++ {
		sum += float64((s[i-1].X-s[0].X)*(s[i].Y-s[0].Y)) - float64((s[i-1].Y-s[0].Y)*(s[i].X-s[0].X))
	}
	return sum
}

// inside returns the part of a shape within another.
func (s shape) inside(other shape) shape {
	for i, a := range other {
		b := other[(i+1)%len(other)]
		s = s.keep(func(c tin.FaceCorner) float64 { return leftOf(a, b, c) })
	}
	return s
}

// outside returns the part of a shape outside another, in convex parts.
func (s shape) outside(other shape) (parts []shape) {
	for i, a := range other {
		b := other[(i+1)%len(other)]
		beyond := s.keep(func(c tin.FaceCorner) float64 { return -leftOf(a, b, c) })
		if beyond.area2() > 0 {
			parts = append(parts, beyond)
			s = s.keep(func(c tin.FaceCorner) float64 { return leftOf(a, b, c) })
		}
	}
	return parts
}

// withoutShort leaves out corners nearer than least to the one before: a side that short
// has no direction to cut by.
func (s shape) withoutShort(least float64) shape {
	var out shape
	for i, c := range s {
		next := s[(i+1)%len(s)]
		if math.Hypot(next.X-c.X, next.Y-c.Y) >= least {
			out = append(out, c)
		}
	}
	return out
}
