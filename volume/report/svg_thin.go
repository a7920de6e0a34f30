package report

import (
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"
)

// thinnedPath writes lines as one path, with no more than mostPoints places: thinned to a
// tolerance, in their own unit, that starts at planTolerance and doubles until that holds.
// What is no longer than the tolerance is left out.
func thinnedPath(lines []orb.LineString, closed bool) (path string, tolerance float64) {
	tolerance = planTolerance
	for {
		kept, points := thin(lines, closed, tolerance)
		if points <= mostPoints {
			return pathOf(kept, closed), tolerance
		}
		lines, tolerance = kept, 2*tolerance
	}
}

// thin takes places out of lines that change them by no more than a tolerance (Douglas and
// Peucker 1973).
func thin(lines []orb.LineString, closed bool, tolerance float64) (kept []orb.LineString, points int) {
	s := simplify.DouglasPeucker(tolerance)
	least := 2
	if closed {
		least = 4
	}
	for _, l := range lines {
		if b := l.Bound(); len(l) < 2 || max(b.Max[0]-b.Min[0], b.Max[1]-b.Min[1]) <= tolerance {
			continue
		}
		if l = s.LineString(l.Clone()); len(l) >= least {
			kept = append(kept, l)
			points += len(l)
		}
	}
	return kept, points
}

func pathOf(lines []orb.LineString, closed bool) string {
	var b strings.Builder
	for _, l := range lines {
		if closed {
			l = l[:len(l)-1]
		}
		word := "M"
		for _, p := range l {
			b.WriteString(word + px(p[0]) + " " + px(p[1]))
			word = "L"
		}
		if closed {
			b.WriteString("Z")
		}
	}
	return b.String()
}
