package formation

import (
	"github.com/paulmach/orb"

	"barrow/tin"
)

// creases returns the lines along which the planes of two margins meet, in the
// cells that no outline holds.
func (r *ruling) creases(cells []tin.Cell) (lines []orb.LineString) {
	for _, c := range cells {
		w := r.claims(c)
		if len(w.outlines) > 0 || len(w.margins) < 2 {
			continue
		}
		for k, i := range w.margins {
			for _, j := range w.margins[k+1:] {
				if line := crease(c, r.marginPlane(i, c), r.marginPlane(j, c)); line != nil {
					lines = append(lines, line)
				}
			}
		}
	}
	return lines
}

// crease returns where two planes meet in a cell; nil if they do not, or all over.
func crease(c tin.Cell, p, q tin.Plane) orb.LineString {
	var over [3]float64
	low, high := 0.0, 0.0
	for i, v := range c.Corner {
		over[i] = p.LevelAt(v[0], v[1]) - q.LevelAt(v[0], v[1])
		low, high = min(low, over[i]), max(high, over[i])
	}
	if low >= -levelTie || high <= levelTie {
		return nil
	}
	var line orb.LineString
	for i, a := range c.Corner {
		j := (i + 1) % 3
		b, oa, ob := c.Corner[j], over[i], over[j]
		if oa == 0 {
			line = append(line, a)
		}
		if (oa < 0 && ob > 0) || (oa > 0 && ob < 0) {
			if comparePoints(b, a) < 0 { // the same from the cell on the other side
				a, b, oa, ob = b, a, ob, oa
			}
			line = append(line, along(a, orb.Point{b[0] - a[0], b[1] - a[1]}, oa/(oa-ob)))
		}
	}
	if len(line) != 2 || line[0] == line[1] {
		return nil
	}
	return line
}
