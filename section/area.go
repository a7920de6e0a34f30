package section

import (
	"math"

	"barrow/tin"
)

// Area is an area of cut or of fill in a section: square metres, and its moment
// about the alignment, cubic metres, positive to the right.
type Area struct{ Area, Moment float64 }

// Eccentricity returns the offset of the area's centroid, metres, 0 without area.
func (a Area) Eccentricity() float64 {
	if a.Area == 0 {
		return 0
	}
	return a.Moment / a.Area
}

// scaled returns the area with all offsets times a factor.
func (a Area) scaled(factor float64) Area {
	return Area{a.Area * factor, a.Moment * factor * factor}
}

// Strip is a part of a section on which ground and formation are both straight.
type Strip struct {
	From, To               float64 // offsets
	Ground, GroundTo       float64 // levels of the ground less the topsoil taken off
	Formation, FormationTo float64 // levels of the formation
}

// depths returns ground less formation at both ends.
func (s Strip) depths() (from, to float64) { return s.Ground - s.Formation, s.GroundTo - s.FormationTo }

// sums adds up cut and fill of strips, each split where ground and formation cross.
type sums struct{ cut, fill, cutMoment, fillMoment tin.Sum }

func (t *sums) add(s Strip) {
	d, e := s.depths()
	if d*e >= 0 {
		t.part(s.From, s.To, d, e)
		return
	}
	zero := s.From + float64((s.To-s.From)*(d/(d-e)))
	t.part(s.From, zero, d, 0)
	t.part(zero, s.To, 0, e)
}

// part adds a trapezium whose depth does not change sign. Its area is w (d + e) / 2
// and its moment w (d (2 from + to) + e (from + 2 to)) / 6 (worked by hand).
func (t *sums) part(from, to, d, e float64) {
	area := (to - from) * (d + e) / 2
	moment := (to - from) * (float64(d*(2*from+to)) + float64(e*(from+2*to))) / 6
	if d+e > 0 {
		t.cut.Add(area)
		t.cutMoment.Add(moment)
	} else {
		t.fill.Add(-area)
		t.fillMoment.Add(-moment)
	}
}

func (t *sums) areas() (cut, fill Area) {
	return Area{t.cut.Value(), t.cutMoment.Value()}, Area{t.fill.Value(), t.fillMoment.Value()}
}

// strips lays ground and formation over each other, both in order of offset. It
// returns their common strips and how much of the formation has no ground, metres.
func strips(ground, formation []Stretch) (out []Strip, uncovered float64) {
	var missing tin.Sum
	out = make([]Strip, 0, len(ground)+len(formation))
	done := math.Inf(-1) // overlaps by rounding count once
	g := 0
	for _, f := range formation {
		at := max(f.From, done)
		for at < f.To {
			for g < len(ground) && ground[g].To <= at {
				g++
			}
			if g == len(ground) || ground[g].From >= f.To {
				missing.Add(f.To - at)
				break
			}
			if from := ground[g].From; from > at {
				missing.Add(from - at)
				at = from
			}
			to := min(f.To, ground[g].To)
			out = append(out, Strip{
				From: at, To: to,
				Ground: ground[g].LevelAt(at) - f.Topsoil, GroundTo: ground[g].LevelAt(to) - f.Topsoil,
				Formation: f.LevelAt(at), FormationTo: f.LevelAt(to),
			})
			at = to
		}
		done = max(done, f.To)
	}
	return out, missing.Value()
}
