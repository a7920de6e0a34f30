package takeoff

import (
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume/takeoff/internal/tomltree"
)

// spotIndex finds surveyed points by name.
type spotIndex map[string]spotRef

// spotRef is a point of a survey; twice is true where two points of one name lie
// at different places.
type spotRef struct {
	survey, point int32
	other         [2]int32 // of another place
	twice         bool
}

func (l *loader) indexSpots() {
	if l.spots != nil {
		return
	}
	l.spots = spotIndex{}
	for s := range l.job.Surveys {
		for i, p := range l.job.Surveys[s].Points {
			if p.Name == "" {
				continue
			}
			old, ok := l.spots[p.Name]
			if !ok {
				l.spots[p.Name] = spotRef{survey: int32(s), point: int32(i)}
				continue
			}
			if q := l.point(old.survey, old.point); (q.E != p.E || q.N != p.N) && !old.twice {
				old.twice, old.other = true, [2]int32{int32(s), int32(i)}
				l.spots[p.Name] = old
			}
		}
	}
}

func (l *loader) point(survey, point int32) tin.Point {
	return l.job.Surveys[survey].Points[point]
}

// spot finds the surveyed point a text names.
func (l *loader) spot(n *tomltree.Node) tin.Point {
	name := l.text(n, `"P12", a point of the survey by its name`)
	if l.err != nil {
		return tin.Point{}
	}
	l.indexSpots()
	ref, ok := l.spots[name]
	if !ok {
		hint := "names are those in the number column of the survey's points"
		if w := l.similarSpot(name); w != "" {
			hint = fmt.Sprintf("did you mean %q?", w)
		}
		l.fail(n, codeUnknownSpot, fmt.Sprintf("no surveyed point is named %q", name), hint)
		return tin.Point{}
	}
	if ref.twice {
		l.fail(n, codeAmbiguousSpot, fmt.Sprintf("two surveyed points are named %q: %s and %s", name,
			l.placeOf(ref.survey, ref.point), l.placeOf(ref.other[0], ref.other[1])), "give them different names, or give coordinates here")
		return tin.Point{}
	}
	return l.point(ref.survey, ref.point)
}

func (l *loader) placeOf(survey, point int32) string {
	p := l.point(survey, point)
	return fmt.Sprintf("%s:%d at (%s, %s)", l.job.Surveys[survey].Name, p.Line, formatNumber(p.E), formatNumber(p.N))
}

// similarSpot looks among a bounded number of names.
func (l *loader) similarSpot(name string) string {
	best, bestDistance, seen := "", tooFar(name), 0
	for _, s := range l.job.Surveys {
		for _, p := range s.Points {
			if p.Name == "" {
				continue
			}
			if seen++; seen > 20000 {
				return best
			}
			if d := editDistance(name, p.Name); d < bestDistance {
				best, bestDistance = p.Name, d
			}
		}
	}
	return best
}

// place reads a spot's name or [E, N].
func (l *loader) place(n *tomltree.Node) orb.Point {
	if n == nil || l.err != nil {
		return orb.Point{}
	}
	if n.Kind == tomltree.String {
		p := l.spot(n)
		return orb.Point{p.E, p.N}
	}
	return l.coordinates(n)
}
