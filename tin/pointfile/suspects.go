package pointfile

import (
	"context"
	"fmt"
	"math"
	"slices"

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
func survey(ctx context.Context, points []tin.Point, sites []site, levelled bool) (spacing float64, suspects []Suspect, err error) {
	if err := ctx.Err(); err != nil {
		return 0, nil, err
	}
	t := newTree(sites)
	gaps := make([]float64, len(sites))
	off := make([]float64, len(sites))   // level less what its neighbours give
	local := make([]float64, len(sites)) // median absolute deviation of the neighbours
	alone := make([]bool, len(sites))    // all but one neighbour on one side
	next := make([]int32, len(sites))    // the point nearest
	var q near
	for i := range sites {
		if i%4096 == 0 && ctx.Err() != nil {
			return 0, nil, ctx.Err()
		}
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
		return spacing, nil, nil
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
	return spacing, suspects, nil
}
