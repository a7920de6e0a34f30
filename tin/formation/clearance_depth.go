package formation

import (
	"math"

	"github.com/paulmach/orb"
)

// deep is a place on the wrong side of an area's rim.
type deep struct {
	at   orb.Point
	by   float64 // distance from the rim, local units
	side int     // of the rim, that is nearest
}

// deepest looks for the place of a part that is farthest from the rim, to within
// depthError: it halves triangles as long as the rim leaves room for a deeper place.
func (c *clearing) deepest(p polygon) {
	first := c.deep(p[0])
	width := 0.0
	for _, v := range p {
		width = max(width, distance(p[0], v))
	}
	if -(first.by + width) > c.reach() {
		return
	}
	corners := []deep{first}
	for _, v := range p[1:] {
		corners = append(corners, c.deep(v))
	}
	var open [][3]deep
	for i := 2; i < len(p); i++ {
		open = append(open, [3]deep{corners[0], corners[i-1], corners[i]})
	}
	for len(open) > 0 && !c.stopped() {
		t := open[len(open)-1]
		open = open[:len(open)-1]
		if c.shape.deepAtMost(t) <= depthError/c.unit-c.least {
			continue
		}
		k := longestOf(t)
		a, b, apex := t[k], t[(k+1)%3], t[(k+2)%3]
		half := c.deep(partway(a.at, b.at, 0.5))
		open = append(open, [3]deep{apex, a, half}, [3]deep{half, b, apex})
	}
}

// deep measures how deep a place is, and takes it into account.
func (c *clearing) deep(p orb.Point) deep {
	d := deep{at: p, by: math.Inf(1)}
	c.shape.rimTree.Near(orb.Bound{Min: p, Max: p}, math.Inf(1), func(i int) float64 {
		if by := c.shape.rim[i].distance(p); by < d.by || by == d.by && i < d.side {
			d.by, d.side = by, i
		}
		return d.by
	})
	c.take(-d.by, p)
	return d
}

func longestOf(t [3]deep) int {
	longest, length := 0, -1.0
	for i := range t {
		if d := distance(t[i].at, t[(i+1)%3].at); d > length {
			longest, length = i, d
		}
	}
	return longest
}

// deepAtMost bounds the depth in a triangle. The distance from one side is convex,
// so at a corner it is greatest; the depth is no more than that from any side, nor
// than a mean of those from two sides with any weights. A depth changes no faster
// than the place.
func (s *clearShape) deepAtMost(t [3]deep) float64 {
	k := longestOf(t)
	bound := max(t[0].by, t[1].by, t[2].by) + distance(t[k].at, t[(k+1)%3].at)
	var from [3][3]float64 // from the side nearest to one corner, to each corner
	for i := range t {
		for j := range t {
			from[i][j] = s.rim[t[i].side].distance(t[j].at)
		}
	}
	for i := range t {
		bound = min(bound, leastGreatest(from[i], from[(i+1)%3]))
	}
	return bound
}

// leastGreatest returns the least, over all weights w in [0, 1], of the greatest of
// w a + (1 - w) b: at an end, or where two of the three are equal.
func leastGreatest(a, b [3]float64) float64 {
	at := func(w float64) float64 {
		greatest := 0.0
		for i := range a {
			greatest = max(greatest, float64(w*a[i])+float64((1-w)*b[i]))
		}
		return greatest
	}
	least := min(at(0), at(1))
	for i := range a {
		j := (i + 1) % 3
		slope := (a[i] - b[i]) - (a[j] - b[j])
		if w := (b[j] - b[i]) / slope; w > 0 && w < 1 {
			least = min(least, at(w))
		}
	}
	return least
}
