package formation

import (
	"context"
	"math"
	"slices"

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
	ctx   context.Context
	shape *clearShape
	nearest
	area  tin.Sum // square local units of works in the zone
	steps int
	err   error // of ctx
}

// stopped counts a step of the work, and reports whether ctx has ended.
func (c *clearing) stopped() bool {
	if c.steps++; c.steps%1024 == 0 && c.err == nil {
		c.err = c.ctx.Err()
	}
	return c.err != nil
}

// piece measures a convex part of the works.
func (c *clearing) piece(p polygon) { c.split(p, c.shape.rimTree.SortedIn(p.bound())) }

// split parts a piece by the sides of the rim that cross it, of those given, so that
// each part is on one side of it. Cutting by a side in the middle of the list first
// keeps the lists short.
func (c *clearing) split(p polygon, near []int) {
	if c.stopped() {
		return
	}
	var crossing []int
	for _, i := range near {
		if c.shape.rim[i].crosses(p, nanometre/c.unit) {
			crossing = append(crossing, i)
		}
	}
	if len(crossing) == 0 {
		c.part(p)
		return
	}
	k := len(crossing) / 2
	r := c.shape.rim[crossing[k]]
	crossing = slices.Delete(crossing, k, k+1)
	left, right := p.cut(r.a, r.b)
	c.split(left, crossing)
	c.split(right, crossing)
}

// part measures a part of the works on one side of the rim.
func (c *clearing) part(p polygon) {
	if s := c.shape; len(s.rim) > 0 && s.holds(p.middle()) != s.inside {
		c.area.Add(p.area())
		c.deepest(p)
		return
	}
	c.zone(p, c.shape.zoneTree.SortedIn(p.bound()))
	c.closest(p)
}

// zone adds the area that a part shares with those polygons of the zone that are
// given: it takes one after the other out of the part, first one in the middle of the
// list, as split does.
func (c *clearing) zone(p polygon, near []int) {
	for len(near) > 0 && !c.stopped() {
		k := len(near) / 2
		zone := c.shape.zone[near[k]]
		near = slices.Delete(slices.Clone(near), k, k+1)
		shared, rest := p.without(zone)
		if len(rest) == 1 && shared == 0 {
			continue
		}
		c.area.Add(shared)
		for _, r := range rest {
			c.zone(r, c.shape.zoneTree.Among(near, r.bound()))
		}
		return
	}
}

// closest looks for where a part is nearest to a side of the shape.
func (c *clearing) closest(p polygon) {
	c.shape.sideTree.Near(p.bound(), c.reach(), func(i int) float64 {
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
