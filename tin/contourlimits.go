package tin

import (
	"math"
	"slices"
)

// withinLimits returns the parts of a line where boundary and voids leave ground.
func (c *contourer) withinLimits(line [][2]float64) [][][2]float64 {
	if !c.s.limits.any() {
		return [][][2]float64{line}
	}
	around := emptyBox()
	for _, p := range line {
		around.add(box{p[0], p[1], p[0], p[1]})
	}
	sides := c.s.limits.sidesIn(&around)
	var out [][][2]float64
	part := [][2]float64{line[0]}
	end := func() {
		if len(part) > 1 && c.s.limits.holds(middleOf(part)) {
			out = append(out, part)
		}
	}
	for i := 1; i < len(line); i++ {
		for _, p := range passing(sides, line[i-1], line[i]) {
			if last := part[len(part)-1]; last != p {
				part = append(part, p)
			}
			end()
			part = [][2]float64{p}
		}
		if part[len(part)-1] != line[i] {
			part = append(part, line[i])
		}
	}
	end()
	return joined(out)
}

// middleOf returns the middle of the longest stretch of a line. Where a side runs along an
// edge of the surface, a line comes to it twice, by rounding: a stretch between the two may
// lie on the other side of it.
func middleOf(line [][2]float64) (x, y float64) {
	longest, most := 1, 0.0
	for i := 1; i < len(line); i++ {
		if d := math.Hypot(line[i][0]-line[i-1][0], line[i][1]-line[i-1][1]); d > most {
			longest, most = i, d
		}
	}
	a, b := line[longest-1], line[longest]
	return a[0]/2 + b[0]/2, a[1]/2 + b[1]/2
}

// limitSide is a side of a ring of boundary or voids.
type limitSide struct {
	a, b [2]float64
	box  box
}

// sidesIn returns the sides whose boxes meet a box.
func (l limits) sidesIn(around *box) (sides []limitSide) {
	for _, p := range slices.Concat(l.boundary, l.voids) {
		for _, ring := range p {
			for i, a := range ring {
				b := ring[(i+1)%len(ring)]
				s := limitSide{a, b, box{min(a[0], b[0]), min(a[1], b[1]), max(a[0], b[0]), max(a[1], b[1])}}
				if s.box.meets(around) {
					sides = append(sides, s)
				}
			}
		}
	}
	return sides
}

// meets reports whether two boxes share a place.
func (b *box) meets(c *box) bool {
	return b.maxX >= c.minX && c.maxX >= b.minX && b.maxY >= c.minY && c.maxY >= b.minY
}

// passing returns where a stretch crosses or touches sides, from its start to its end. One
// that ends short of a side by no more than rounding touches it.
func passing(sides []limitSide, from, to [2]float64) (places [][2]float64) {
	tr := track{px: from[0], py: from[1], qx: to[0], qy: to[1], ux: to[0] - from[0], uy: to[1] - from[1]}
	near := 0x1p-49 * max(math.Abs(from[0]), math.Abs(from[1]), math.Abs(to[0]), math.Abs(to[1]))
	tr.near = near / max(math.Hypot(tr.ux, tr.uy), leastCoordinate)
	around := box{min(from[0], to[0]) - near, min(from[1], to[1]) - near, max(from[0], to[0]) + near, max(from[1], to[1]) + near}
	var along []float64
	for i := range sides {
		if s := &sides[i]; s.box.meets(&around) {
			tr.meet(s.a[0], s.a[1], s.b[0], s.b[1], func(t float64) {
				if t >= -tr.near && t <= 1+tr.near {
					along = append(along, min(max(t, 0), 1))
				}
			})
		}
	}
	slices.Sort(along)
	for _, t := range slices.Compact(along) {
		x, y := tr.at(t)
		places = append(places, [2]float64{x, y})
	}
	return places
}

// joined puts parts of a line together where one begins at the end of another: it was
// only touched there, or is closed.
func joined(parts [][][2]float64) (out [][][2]float64) {
	for _, p := range parts {
		if k := len(out) - 1; k >= 0 && out[k][len(out[k])-1] == p[0] {
			out[k] = append(out[k], p[1:]...)
			continue
		}
		out = append(out, slices.Clone(p))
	}
	if k := len(out) - 1; k > 0 && out[k][len(out[k])-1] == out[0][0] {
		out[0] = append(out[k], out[0][1:]...)
		out = out[:k]
	}
	return out
}
