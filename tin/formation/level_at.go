package formation

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// LevelAt returns the level of the formation at a place of the pad, metres: of a pad with
// levels of its own on the facet that holds the place, or is nearest to holding it. It
// reports false for a pad that rules nowhere.
func (l *LaidPad) LevelAt(p orb.Point) (level float64, ok bool) {
	if l.Pad.Levels == nil {
		return l.Plane.LevelAt(p[0], p[1]), true
	}
	best := math.Inf(-1)
	for _, facets := range [][]tin.Facet{l.Facets, l.Margin} {
		for i := range facets {
			if d := inside(&facets[i].Cell, p); d > best {
				best, level, ok = d, facets[i].Plane.LevelAt(p[0], p[1]), true
			}
		}
	}
	return level, ok
}

// inside returns how far a place lies within a cell; outside it is below 0.
func inside(c *tin.Cell, p orb.Point) float64 {
	least := math.Inf(1)
	for i, a := range c.Corner {
		b := c.Corner[(i+1)%3]
		least = min(least, cross(a, b, p)/distance(a, b))
	}
	return least
}
