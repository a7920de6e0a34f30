package daylight

import (
	"iter"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/formation/internal/boxtree"
)

// findOverlaps finds the units whose regions share an area within reach of an outline.
func (s *sheet) findOverlaps() {
	regions := make([][]polygon, len(s.units))
	boxes := make([]orb.Bound, len(s.units))
	for i := range s.units {
		regions[i] = s.regions(&s.units[i])
		boxes[i] = nowhere()
		for _, r := range regions[i] {
			boxes[i] = boxes[i].Union(r.bound())
		}
	}
	s.tree = boxtree.New(boxes)
	for i := range s.units {
		s.tree.Meeting(boxes[i], func(j int) {
			if j > i && s.share(regions[i], &s.units[j]) {
				s.units[i].overlaps = append(s.units[i].overlaps, int32(j))
				s.units[j].overlaps = append(s.units[j].overlaps, int32(i))
			}
		})
	}
	for i := range s.units {
		slices.Sort(s.units[i].overlaps)
	}
}

// around returns the units of a pad whose sectors may share an area with a shape within
// reach, ascending.
func (s *sheet) around(shape polygon, pad int32) (out []int32) {
	s.tree.Meeting(shape.bound(), func(i int) {
		u := &s.units[i]
		if u.pad == pad && slices.ContainsFunc(u.sectors, func(sector []line) bool { return !beyond(sector, shape, 0) }) {
			out = append(out, int32(i))
		}
	})
	slices.Sort(out)
	return out
}

// regions returns the convex parts of a unit within reach.
func (s *sheet) regions(u *unit) (out []polygon) {
	centre := s.faces[u.first]
	half := 2*s.reach + s.span
	square := polygon{
		{corner: corner{x: centre.x - half, y: centre.y - half}}, {corner: corner{x: centre.x + half, y: centre.y - half}},
		{corner: corner{x: centre.x + half, y: centre.y + half}}, {corner: corner{x: centre.x - half, y: centre.y + half}},
	}
	for _, sector := range u.sectors {
		p := square.within(sector)
		if u.fan { // out to the reach
			p = p.within([]line{
				{u.x + s.reach, u.y, -1, 0}, {u.x - s.reach, u.y, 1, 0}, {u.x, u.y + s.reach, 0, -1}, {u.x, u.y - s.reach, 0, 1},
			})
		} else {
			front := sector[0]
			p = p.within([]line{{front.x + s.reach*front.nx, front.y + s.reach*front.ny, -front.nx, -front.ny}})
		}
		if len(p) > 2 {
			out = append(out, p)
		}
	}
	return out
}

// share reports whether parts share an area with a unit that is more than rounding.
func (s *sheet) share(parts []polygon, u *unit) bool {
	for _, p := range parts {
		size := p.area2()
		for _, sector := range u.sectors {
			if p.within(sector).area2() > 1e-12*size {
				return true
			}
		}
	}
	return false
}

// near returns the faces of a unit whose regions may share an area with a shape, but
// for those that skip says no one asks for.
func (s *sheet) near(u *unit, shape polygon, skip func(face int32) bool) iter.Seq[int32] {
	return func(yield func(int32) bool) {
		for _, r := range u.facing(shape) {
			for facet := r[0]; facet <= r[1]; facet++ {
				first, last := u.crossing(facet, shape, slackMetre/s.length)
				for i := first; i <= last; i++ {
					if !skip(i) && !beyond(s.faces[i].region, shape, 0) && !yield(i) {
						return
					}
				}
			}
		}
	}
}

// beyond reports whether a shape lies wholly beyond one of the lines, or reaches over it
// by no more than slack.
func beyond(lines []line, shape polygon, slack float64) bool {
	for i := range lines {
		out := true
		for _, c := range shape {
			if lines[i].distance(c.x, c.y) > slack {
				out = false
				break
			}
		}
		if out {
			return true
		}
	}
	return false
}

// Steep is where the levels of an outline differ by more than a batter can take.
type Steep struct {
	At    orb.Point // local
	Other orb.Point
	By    float64 // how much the higher stands above the batter that rises from the lower, metres
}

// steep finds where, for two places p and q of an outline, the level of p lies above
// the batter from q by the most; nil if it nowhere does by more than rounding. For
// batters that differ by side each counts with its own.
func (p *Pad) steep(sign, length float64) *Steep {
	var worst *Steep
	if p.level() {
		return nil
	}
	for r, ring := range p.Rings {
		for i := range ring {
			profile := p.profile(r, i, sign)
			if profile.Upright() {
				continue
			}
			slope := length / profile.Along
			for _, ring2 := range p.Rings {
				for k := range ring2 {
					a, b, c, d := ring2[k], ring2[(k+1)%len(ring2)], ring[i], ring[(i+1)%len(ring)]
					if mostExcess(a, b, c, d, sign, slope) <= 0 {
						continue
					}
					s := steepest(a, b, c, d, sign, slope)
					if s.By > 1e-9 && (worst == nil || s.By > worst.By) {
						worst = &s
					}
				}
			}
		}
	}
	return worst
}

// level reports whether all corners are at one level.
func (p *Pad) level() bool {
	for _, ring := range p.Rings {
		for _, v := range ring {
			if v.Level != p.Rings[0][0].Level {
				return false
			}
		}
	}
	return true
}

// mostExcess bounds what steepest finds, from above: the greatest difference of levels
// less the batter's rise over the distance of the sides' boxes.
func mostExcess(a, b, c, d Vertex, sign, slope float64) float64 {
	apart := func(a, b, c, d float64) float64 { return max(0, min(a, b)-max(c, d), min(c, d)-max(a, b)) }
	rise := max(sign*a.Level, sign*b.Level) - min(sign*c.Level, sign*d.Level)
	return rise - slope*hypot(apart(a.X, b.X, c.X, d.X), apart(a.Y, b.Y, c.Y, d.Y))
}

// steepest returns the greatest excess of the level of a place on side a-b over the
// batter that rises from a place on side c-d. The excess is concave in both places, so
// that going up in turn along each finds the greatest.
func steepest(a, b, c, d Vertex, sign, slope float64) Steep {
	place := func(a, b Vertex, t float64) Vertex {
		return Vertex{at(a.X, b.X, t), at(a.Y, b.Y, t), at(a.Level, b.Level, t)}
	}
	excess := func(p, q Vertex) float64 {
		return sign*(p.Level-q.Level) - slope*hypot(p.X-q.X, p.Y-q.Y)
	}
	// best returns where on a side the excess against a fixed place is greatest, the
	// level on the side counted with a sign.
	best := func(a, b, q Vertex, sign float64) float64 {
		dx, dy := b.X-a.X, b.Y-a.Y
		l := hypot(dx, dy)
		foot := (float64((q.X-a.X)*dx) + float64((q.Y-a.Y)*dy)) / l
		away := math.Abs(float64((q.X-a.X)*dy)-float64((q.Y-a.Y)*dx)) / l
		k := sign * (b.Level - a.Level) / l / slope
		switch {
		case k >= 1:
			return 1
		case k <= -1:
			return 0
		}
		return min(max((foot+away*k/math.Sqrt(1-k*k))/l, 0), 1)
	}
	var out Steep
	for _, t := range []float64{0, 1} {
		q := place(c, d, t)
		p := q
		for range 32 {
			p = place(a, b, best(a, b, q, sign))
			q = place(c, d, best(c, d, p, -sign))
		}
		if by := excess(p, q); by > out.By {
			out = Steep{At: orb.Point{p.X, p.Y}, Other: orb.Point{q.X, q.Y}, By: by}
		}
	}
	return out
}
