package formation

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// nearest is the least distance found so far and where it is. Of distances that are
// the same to a nanometre the one first by coordinates counts.
type nearest struct {
	least float64 // local units
	at    orb.Point
	key   float64 // least in nanometres
	unit  float64 // metres in a local unit
}

func newNearest(unit float64) nearest {
	return nearest{least: math.Inf(1), key: math.Inf(1), unit: unit}
}

// take takes a distance into account.
func (n *nearest) take(d float64, at orb.Point) {
	key := math.Round(d * n.unit / nanometre)
	if key < n.key || key == n.key && comparePoints(at, n.at) < 0 {
		n.least, n.at, n.key = d, at, key
	}
}

// reach is beyond what distance nothing is of interest any more.
func (n *nearest) reach() float64 { return (n.key + 1) * nanometre / n.unit }

// clearing measures the works of one pad against one shape.
type clearing struct {
	shape *clearShape
	nearest
	area tin.Sum // square local units of works in the zone
}

// piece measures a convex part of the works.
func (c *clearing) piece(p polygon) {
	c.shape.split(p, func(part polygon, wrong bool) {
		if wrong {
			c.area.Add(part.area())
			c.deepest(part)
			return
		}
		c.zone(part)
		c.closest(part)
	})
}

// zone adds the area that a part shares with the zone.
func (c *clearing) zone(p polygon) {
	rest := []polygon{p}
	c.shape.zoneTree.meeting(p.bound(), func(i int) {
		k := c.shape.zone[i]
		box := k.bound()
		var still []polygon
		for _, r := range rest {
			if !r.bound().Intersects(box) {
				still = append(still, r)
				continue
			}
			shared, more := r.without(k)
			c.area.Add(shared)
			still = append(still, more...)
		}
		rest = still
	})
}

// closest looks for where a part is nearest to a side of the shape.
func (c *clearing) closest(p polygon) {
	c.shape.sideTree.near(p.bound(), c.reach(), func(i int) float64 {
		c.measure(p, c.shape.sides[i])
		return c.reach()
	})
}

// measure takes the least distance of a part from a stretch: at an end of the
// stretch, at a corner of the part, or 0 where they meet.
func (c *clearing) measure(p polygon, s stretch) {
	if in, ok := p.clip(s); ok {
		c.take(0, partway(in.a, in.b, 0.5))
		return
	}
	for i, v := range p {
		c.take(s.distance(v), v)
		side := newStretch(v, p[(i+1)%len(p)])
		for _, end := range []orb.Point{s.a, s.b} {
			c.take(side.distance(end), side.nearest(end))
		}
	}
}
