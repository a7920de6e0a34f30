package pointfile

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Doubt is why a point is suspected.
type Doubt int

const (
	// DoubtLevel: the level is far off those nearby. The 8 nearest levels are
	// brought to the point along their common slope. The point's differs from
	// their median by more than 8 x 1.4826 times their median absolute deviation
	// from it, by more than the same measure of the whole file, and by more than
	// 0.1 units; and at least 7 of the 8 lie on one side of it. (1.4826 times the
	// median absolute deviation is the standard deviation of normal errors.)
	DoubtLevel Doubt = iota

	// DoubtFar: the point is more than 5 times as far from its nearest
	// neighbour as nine tenths of the points are from theirs.
	DoubtFar

	// DoubtApart: the point is one of a smaller part of the file that is apart
	// from the rest by more than 20 times the extent of the rest, as are points
	// of another origin or grid.
	DoubtApart

	// DoubtSwapped: as DoubtApart, and the point would lie among the rest if
	// easting and northing were exchanged.
	DoubtSwapped

	// DoubtClose: a point before it is nearer than a hundredth of the spacing,
	// but not at the same place.
	DoubtClose
)

// String names the doubt: "level", "far", "apart", "swapped" or "close".
func (d Doubt) String() string {
	switch d {
	case DoubtLevel:
		return "level"
	case DoubtFar:
		return "far"
	case DoubtApart:
		return "apart"
	case DoubtSwapped:
		return "swapped"
	case DoubtClose:
		return "close"
	}
	return fmt.Sprintf("Doubt(%d)", int(d))
}

// Suspect is a point that looks wrong. It may be right all the same.
type Suspect struct {
	Doubt   Doubt
	Point   tin.Point
	Message string // what is odd, in the unit of the file
	index   int
}

const (
	toSD       = 1.4826 // see DoubtLevel
	levelRatio = 8
	levelLeast = 0.1
	farRatio   = 5
	apartRatio = 20
	closeRatio = 0.01
	fewest     = 5 // points; with fewer nothing is far from the rest
)

// survey measures the spacing of sites, and finds levels that do not fit and
// sites that are far from all others.
func survey(points []tin.Point, sites []site, levelled bool) (spacing float64, suspects []Suspect) {
	t := newTree(sites)
	gaps := make([]float64, len(sites))
	off := make([]float64, len(sites))   // level less what its neighbours give
	local := make([]float64, len(sites)) // median absolute deviation of the neighbours
	alone := make([]bool, len(sites))    // all but one neighbour on one side
	next := make([]int32, len(sites))    // the point nearest
	var q near
	for i := range sites {
		t.nearest(i, &q)
		gaps[i] = math.Sqrt(q.dist2[0])
		next[i] = sites[q.site[0]].point
		if levelled && q.count == neighbours {
			off[i], local[i], alone[i] = t.compare(i, &q)
		}
	}
	sorted := slices.Clone(gaps)
	slices.Sort(sorted)
	spacing = median(sorted)
	if len(sites) < fewest {
		return spacing, nil
	}
	levelled = levelled && len(sites) > neighbours
	limit := farRatio * sorted[(len(sorted)-1)*9/10]
	general := 0.0
	if levelled {
		for i, v := range off {
			sorted[i] = math.Abs(v)
		}
		slices.Sort(sorted)
		general = median(sorted)
	}
	for i, s := range sites {
		p := points[s.point]
		if gaps[i] > limit {
			suspects = append(suspects, Suspect{DoubtFar, p, fmt.Sprintf(
				"the nearest other point is %.3f away, and for nine tenths of the points at most %.3f", gaps[i], limit/farRatio), int(s.point)})
			continue // what is nearest is not near: its levels tell nothing
		}
		if gaps[i] < closeRatio*spacing && s.point > next[i] {
			suspects = append(suspects, Suspect{DoubtClose, p, fmt.Sprintf(
				"line %d is only %.4f away, and the spacing is %.3f", points[next[i]].Line, gaps[i], spacing), int(s.point)})
		}
		if most := max(levelLeast, levelRatio*toSD*max(local[i], general)); levelled && alone[i] && math.Abs(off[i]) > most {
			where := "above"
			if off[i] < 0 {
				where = "below"
			}
			suspects = append(suspects, Suspect{DoubtLevel, p, fmt.Sprintf(
				"the level %s is %.3f %s what the nearest points give, %.3f", shortest(s.level), math.Abs(off[i]), where, s.level-off[i]), int(s.point)})
		}
	}
	return spacing, suspects
}

// apart is the part of a file that lies far from the rest.
type apart struct {
	out  []bool    // by point; nil if there is none
	rest orb.Bound // of the others
}

// findApart looks for empty strips across the file, along easting or northing,
// and sets the smaller side apart, again and again, until no strip is wide
// enough.
func findApart(points []tin.Point) apart {
	a := apart{rest: boundOf(points)}
	left := len(points)
	for left >= fewest {
		found := false
		for axis := range 2 {
			side, box, kept, ok := a.cut(points, axis)
			if !ok {
				continue
			}
			if a.out == nil {
				a.out = make([]bool, len(points))
			}
			for i := range points {
				a.out[i] = a.out[i] || !side(points[i])
			}
			a.rest, left, found = box, kept, true
			break
		}
		if !found {
			break
		}
	}
	return a
}

// cut finds the widest empty strip across an axis. Of strips under a 1024th of
// the range nothing need be known: they are not apartRatio times as wide as
// anything that matters.
func (a *apart) cut(points []tin.Point, axis int) (side func(tin.Point) bool, box orb.Bound, kept int, ok bool) {
	const bins = 1024
	lo, hi := a.rest.Min[axis], a.rest.Max[axis]
	if !(hi > lo) {
		return nil, box, 0, false
	}
	at := func(p tin.Point) float64 {
		if axis == 0 {
			return p.E
		}
		return p.N
	}
	var first, last [bins]float64
	var count [bins]int
	for i, p := range points {
		if a.out != nil && a.out[i] {
			continue
		}
		v := at(p)
		k := max(0, min(int((v-lo)/(hi-lo)*bins), bins-1))
		if count[k] == 0 {
			first[k], last[k] = v, v
		}
		first[k], last[k] = min(first[k], v), max(last[k], v)
		count[k]++
	}
	var gap, edge float64
	var below, sum int
	end := lo
	for k := range bins {
		if count[k] == 0 {
			continue
		}
		if g := first[k] - end; g > gap {
			gap, edge, below = g, first[k], sum
		}
		end = last[k]
		sum += count[k]
	}
	lower := 2*below >= sum
	side = func(p tin.Point) bool { return (at(p) < edge) == lower }
	if kept = below; !lower {
		kept = sum - below
	}
	empty := true
	for i, p := range points {
		if a.out != nil && a.out[i] || !side(p) {
			continue
		}
		q := orb.Point{p.E, p.N}
		if empty {
			box, empty = orb.Bound{Min: q, Max: q}, false
		}
		box = box.Extend(q)
	}
	extent := max(box.Max[0]-box.Min[0], box.Max[1]-box.Min[1])
	return side, box, kept, kept >= 3 && extent > 0 && gap > apartRatio*extent
}

// suspects names the points set apart.
func (a *apart) suspects(points []tin.Point) []Suspect {
	var out []Suspect
	among := a.rest.Pad(max(a.rest.Max[0]-a.rest.Min[0], a.rest.Max[1]-a.rest.Min[1]))
	for i, far := range a.out {
		if !far {
			continue
		}
		p := points[i]
		s := Suspect{DoubtApart, p, fmt.Sprintf("E %s N %s is far from most of the points: another origin, or a slip?", shortest(p.E), shortest(p.N)), i}
		if among.Contains(orb.Point{p.N, p.E}) {
			s.Doubt = DoubtSwapped
			s.Message = fmt.Sprintf("E %s N %s would lie among the other points with easting and northing exchanged", shortest(p.E), shortest(p.N))
		}
		out = append(out, s)
	}
	return out
}
